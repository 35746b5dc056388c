"""What the columns of a table hold, and how they share a width: on the page, in Word and in the PDF by one rule."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal

Kind = Literal["number", "short", ""]
SHORT = 24
"""Letters of the longest cell that is never broken into two lines."""
WIDE = 75
"""Letters side by side in the longest row of a table in ordinary type; a longer one is set closer."""
ROOM = 95
"""Letters of a table side by side on the page."""
SPARE = 1.15
"""How much wider than its longest line a column may be, where there is room."""
_SMALL = 1.3
"""How far a wish may be above an equal share of the room and still count as small."""
_ROUNDING = 1e-6
_BOLD = 1.08
"""How much wider bold letters are."""
_BETWEEN = 2
"""Letters of white between two columns of the page."""
_SENTENCES = 1 / 3
"""Of the page, what columns of sentences have at least, however much the others take."""
_WRITTEN_NUMBER = re.compile(
    r"less than|more than|at least|at most|no limit|any number|\b(?:to|points?|SD(?: of gains)?|students?|choirs?"
    r"|percentage points|meetings|minutes|hours)\b|[\d\s.,%+\-−–<>\[\]]"
)
_PIECE = re.compile(r"[^\s/-]+[/-]?")
"""A line may be broken after a blank, a stroke or a hyphen."""


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


def needed(lines: Sequence[str], *, whole: bool = False, bold: bool = False) -> tuple[float, float]:
    """Measure a cell in letters.

    Parameters
    ----------
    lines : sequence of str
        What it holds.
    whole : bool, optional
        Whether its lines are never broken.
    bold : bool, optional
        Whether it is set in bold letters.

    Returns
    -------
    least, wished : float
        Its longest piece that is never broken, and its longest line.
    """
    pieces = lines if whole else [piece for line in lines for piece in _PIECE.findall(line)]
    letter = _BOLD if bold else 1.0
    return letter * max(map(len, pieces), default=0), letter * max(map(len, lines), default=0)


def shared_out(least: Sequence[float], wished: Sequence[float], room: float) -> list[float]:
    """Share a width out among columns.

    Parameters
    ----------
    least, wished : sequence of float
        Letters of each column's longest piece and longest line, with the white beside them.
    room : float
        Letters side by side.

    Returns
    -------
    list of float
        Letters for each column: a little more than its longest line where all lines fit; else short columns have their
        longest line and long ones share the rest above their longest piece, as long as all these fit.
    """
    if sum(wished) <= room:
        return [one * min(SPARE, room / sum(wished)) for one in wished]
    if sum(least) >= room - _ROUNDING:
        return [room * one / sum(least) for one in least]
    wide = [*wished]
    open_ = sorted(range(len(wished)), key=lambda at: wished[at])
    left = room
    # a short column has its longest line, as long as the others keep room for their longest pieces
    while len(open_) > 1:
        first, rest = wished[open_[0]], sum(least[at] for at in open_[1:])
        if first > min(_SMALL * left / len(open_), left - rest):
            break
        left -= wished[open_.pop(0)]
    spare, more = left - sum(least[at] for at in open_), sum(wished[at] - least[at] for at in open_)
    for at in open_:
        wide[at] = least[at] + spare * (wished[at] - least[at]) / (more or 1)
    return wide


def widths(headings: Sequence[str], columns: Sequence[Sequence[str]]) -> list[int]:
    """Share the width of the page out among the columns that hold sentences.

    Parameters
    ----------
    headings : sequence of str
        One for each column.
    columns : sequence of sequence of str
        The cells of each column.

    Returns
    -------
    list of int
        Percent of the width for each column, 0 where its cells decide; empty where every line fits beside the others,
        and where fewer than two columns hold sentences, since a single one takes what is left.
    """
    kinds = [kind(cells) for cells in columns]
    if kinds[1:].count("") < 2 - (kinds[0] == "") or not columns[0]:
        return []
    # headings of rows may be broken into lines, also short ones
    kinds[0] = "" if longest(columns[0]) > SHORT // 2 else "short"
    needs = [_needs(*column) for column in zip(headings, columns, kinds, strict=True)]
    least, wished = ([need[at] + _BETWEEN for need in needs] for at in (0, 1))
    taken = sum(wish for wish, one in zip(wished, kinds, strict=True) if one)
    room = max(ROOM, taken / (1 - _SENTENCES))
    if sum(wished) <= room:
        return []
    wide = shared_out(least, wished, room)
    return [0 if one else round(100 * letters / room) for letters, one in zip(wide, kinds, strict=True)]


def _needs(heading: str, cells: Sequence[str], what: Kind) -> tuple[float, float]:
    """Measure a column; its heading is never broken."""
    found = [needed(cell.split("\n"), whole=bool(what)) for cell in cells]
    found.append(needed([heading], whole=True, bold=True))
    return max(least for least, _ in found), max(wished for _, wished in found)
