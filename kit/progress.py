"""Progress on the error stream: a moving line on a screen, nothing where there is none."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def shown(doing: str) -> Iterator[Callable[[str], None]]:
    """Show that something is being done, and what.

    Parameters
    ----------
    doing : str
        What is done, in words.

    Yields
    ------
    callable
        To be told the name of each step.
    """
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console  # noqa: PLC0415 - only a screen needs it

    console = Console(stderr=True)
    with console.status(f"{doing} ...") as status:
        yield lambda step: status.update(f"{doing}: {step} ...")
