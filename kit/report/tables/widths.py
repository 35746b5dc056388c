"""What the columns of a table hold, and how they share the width of the page: numbers, short words or sentences."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal

Kind = Literal["number", "short", ""]
SHORT = 24
"""Letters of the longest cell that is never broken into two lines."""
WIDE = 75
"""Letters side by side in the longest row of a table in ordinary type; a longer one is set closer."""
_ROOM = 108
"""Letters side by side on the page."""
_LONG = 80
"""Letters of a sentence beyond which more of them need no more width, only more lines."""
_BETWEEN = 2
"""Letters of white between two columns."""
_WRITTEN_NUMBER = re.compile(
    r"less than|more than|at least|at most|no limit|any number|\b(?:to|points?|SD(?: of gains)?|students?|choirs?"
    r"|percentage points|meetings|minutes|hours)\b|[\d\s.,%+\-−–<>\[\]]"
)


def kind(cells: Sequence[str]) -> Kind:
    """Say what a column holds.

    Parameters
    ----------
    cells : sequence of str
        As they are printed.

    Returns
    -------
    str
        ``"number"`` for numbers, alone or with signs and units; ``"short"`` for what is never broken into two lines;
        empty for sentences, and for a column without cells.
    """
    if not cells:
        return ""
    if not any(_WRITTEN_NUMBER.sub("", cell) for cell in cells):
        return "number"
    return "short" if longest(cells) <= SHORT else ""


def longest(cells: Sequence[str]) -> int:
    """Count the letters of the longest line in a column."""
    return max((len(line) for cell in cells for line in cell.split("\n")), default=0)


def widths(headings: Sequence[str], columns: Sequence[Sequence[str]]) -> list[int]:
    """Share the width of the page out among the columns that hold sentences, by the length of these.

    Parameters
    ----------
    headings : sequence of str
        One for each column.
    columns : sequence of sequence of str
        The cells of each column.

    Returns
    -------
    list of int
        Percent of the width for each column, 0 where its cells decide; empty where fewer than two columns hold
        sentences, since a single one takes what is left.
    """
    kinds = [kind(cells) for cells in columns]
    if kinds[1:].count("") < 2 - (kinds[0] == "") or not columns[0]:
        return []
    # headings of rows may be broken into lines, also short ones
    kinds[0] = "" if longest(columns[0]) > SHORT // 2 else "short"
    taken = sum(
        max(len(heading), longest(cells)) + _BETWEEN
        for heading, cells, one in zip(headings, columns, kinds, strict=True)
        if one
    )
    wishes = [0 if one else _wish(heading, cells) for heading, cells, one in zip(headings, columns, kinds, strict=True)]
    share = max(_ROOM - taken, _ROOM // 3) / _ROOM
    return [round(100 * share * wish / sum(wishes)) for wish in wishes]


def _wish(heading: str, cells: Sequence[str]) -> float:
    """Say how wide a column of sentences should be: between its longest and its average cell, and never too narrow."""
    lengths = [min(len(cell), _LONG) for cell in cells]
    words = max((len(word) for cell in (heading, *cells) for word in cell.split()), default=0)
    return max(words, len(heading), (max(lengths) + sum(lengths) / len(lengths)) / 2)
