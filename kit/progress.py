"""Progress on the error stream: a moving line on a screen, nothing where there is none."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console


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
    console = Console(stderr=True)
    if not console.is_terminal:
        yield lambda _: None
        return
    with console.status(f"{doing} ...") as status:
        yield lambda step: status.update(f"{doing}: {step} ...")
