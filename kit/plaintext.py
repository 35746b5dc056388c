"""Text that a spreadsheet program must not run: what stands at the start of a cell and begins a formula."""

from __future__ import annotations

import re

_FORMULA = re.compile(r"\s*[=+\-@＝＋－＠\t\r]")
_NUMBER = re.compile(r"[+-]?\d[\d.,]*(?: ?%)?")


def escape_formula(text: str) -> str:
    """Put an apostrophe before text that a spreadsheet program would run as a formula.

    Parameters
    ----------
    text : str
        A cell of a table that is to be written as CSV.

    Returns
    -------
    str
        The text as it is, or with an apostrophe before it where it begins with ``= + - @`` (also in their wide
        forms), a tab or a line end. Negative and signed numbers such as ``-2.5`` and ``+12 %`` are numbers and stay.
    """
    return f"'{text}" if _FORMULA.match(text) and not _NUMBER.fullmatch(text) else text
