"""How a notebook looks while it is open: a style for what its cells show, which a finished page does without."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from kit.report.layout import Shown

_FILE = Path(__file__).parent / "template" / "notebook.css"
_BEGIN, _END = "<style>/* notebook */\n", "</style>"


def styled(shown: Shown) -> Shown:
    """Let an object bring the style with it, for every cell of its notebook.

    Parameters
    ----------
    shown : Shown
        What the first cell shows.

    Returns
    -------
    Shown
    """
    return replace(shown, body=shown.body + _style())


def unstyled(body: str) -> str:
    """Take the style out again: a page has its own.

    Parameters
    ----------
    body : str
        HTML that a cell showed.

    Returns
    -------
    str
    """
    before, style, after = body.partition(_BEGIN)
    return before + after.partition(_END)[2] if style else body


@cache
def _style() -> str:
    """Read the style."""
    return f"{_BEGIN}{_FILE.read_text(encoding='utf-8')}{_END}"
