"""What the columns of a table hold, and how they share a width: on the page, in Word and in the PDF by one rule."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from functools import cache, lru_cache
from itertools import permutations
from typing import Literal

import pandas as pd

Kind = Literal["number", "short", ""]
TOLD_ONCE = 5
"""Rows from which on a column of words that are all the same becomes a sentence below the table."""
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
_STEPS = (16, 8, 4, 2, 1)
"""Letters by which columns are made wider and narrower, one after another."""
_WRITTEN_NUMBER = re.compile(
    r"less than|more than|at least|at most|no limit|any number|\b(?:to|points?|SD(?: of gains)?|students?|choirs?"
    r"|stud(?:y|ies)|percentage points|meetings|minutes|hours)\b|[\d\s.,%+\-−–<>\[\]]"
)
_PIECE = re.compile(r"[^\s/-]+[/-]?")
"""A line may be broken after a blank, a stroke or a hyphen."""
_BREAKABLE = re.compile(r"[^\s/-]*[/-]?\s*")


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


def heading_set(heading: str, kind: str) -> str:
    """Say how a heading is set: a long one, such as the name of an approach above numbers, may be broken.

    Parameters
    ----------
    heading : str
        The heading.
    kind : str
        Of its column.

    Returns
    -------
    str
        An attribute of its tag; empty for none.
    """
    classes = " ".join(filter(None, (kind, "long" if len(heading) > SHORT else "")))
    return f' class="{classes}"' if classes else ""


def told_once(texts: pd.DataFrame) -> tuple[pd.DataFrame, list[str]]:
    """Take out columns of words that say the same in every row of a longer table.

    Parameters
    ----------
    texts : DataFrame
        Cells as they are printed; the first column heads the rows and stays.

    Returns
    -------
    texts : DataFrame
        Without these columns.
    notes : list of str
        A sentence for each of them.
    """
    if len(texts) < TOLD_ONCE:
        return texts, []
    cells = {at: list(texts.iloc[:, at]) for at in range(1, texts.shape[1])}
    same = {
        at: f"{str(texts.columns[at]).rstrip('?')}: {column[0]}, in every row."
        for at, column in cells.items()
        if column[0] and len(set(column)) == 1 and kind(column) != "number"
    }
    return texts.iloc[:, [at for at in range(texts.shape[1]) if at not in same]], [*same.values()]


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


def balanced(
    wide: Sequence[float],
    least: Sequence[float],
    rows: Sequence[Sequence[Sequence[str]]],
    *,
    between: int,
    letter: float = 1.0,
) -> list[float]:
    """Move width from column to column as long as that makes a table lower.

    Parameters
    ----------
    wide : sequence of float
        Letters of each column, as `shared_out` gives them.
    least : sequence of float
        Letters that each must keep, with the white beside it.
    rows : sequence of sequence of sequence of str
        The lines of each cell, row by row.
    between : int
        Letters of white between two columns.
    letter : float, optional
        Width of an ordinary letter, where widths are counted in letters that are wider to be on the safe side.

    Returns
    -------
    list of float
        Letters for each column, together as many as before.
    """
    columns = [*zip(*rows, strict=True)]

    @cache
    def lines(at: int, width: float) -> list[int]:
        return [lines_of(cell, max(1.0, width - between) / letter) for cell in columns[at]]

    def height(tried: Sequence[float]) -> tuple[int, int]:
        counted = [lines(at, one) for at, one in enumerate(tried)]
        # of two that are equally low, the one whose cells are broken less and more evenly
        return sum(map(max, zip(*counted, strict=True))), sum(one * one for column in counted for one in column)

    def moved(best: list[float], step: int) -> list[float]:
        lowest = height(best)
        for giver, taker in permutations(range(len(best)), 2):
            tried = [*best]
            tried[giver], tried[taker] = best[giver] - step, best[taker] + step
            if tried[giver] >= least[giver] and (found := height(tried)) < lowest:
                best, lowest = tried, found
        return best

    best = [*wide]
    for step in _STEPS:
        while (lower := moved(best, step)) != best:
            best = lower
    return best


def lines_of(cell: Sequence[str], room: float) -> int:
    """Count the lines of a cell.

    Parameters
    ----------
    cell : sequence of str
        Its lines as they are written.
    room : float
        Letters side by side; a longer line is broken.

    Returns
    -------
    int
    """
    return max(1, sum(1 if len(line) <= room else _broken(line, room) for line in cell))


def _broken(line: str, room: float) -> int:
    """Count the lines of a line that is too long for its room."""
    count, used = 1, 0
    for piece in _pieces(line):
        if used + len(piece.rstrip()) > room and used:
            count, used = count + 1, 0
        count += max(0, math.ceil(len(piece.rstrip()) / room) - 1)
        used += len(piece)
    return count


@lru_cache(maxsize=4096)
def _pieces(line: str) -> tuple[str, ...]:
    """Take a line apart where it may be broken, each piece with the blanks behind it."""
    return tuple(filter(None, _BREAKABLE.findall(line)))


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
    cells = [[text.split("\n") for text in row] for row in zip(*columns, strict=True)]
    wide = balanced(shared_out(least, wished, room), least, cells, between=_BETWEEN)
    return [0 if one else round(100 * letters / room) for letters, one in zip(wide, kinds, strict=True)]


def _needs(heading: str, cells: Sequence[str], what: Kind) -> tuple[float, float]:
    """Measure a column; its heading is never broken."""
    found = [needed(cell.split("\n"), whole=bool(what)) for cell in cells]
    found.append(needed([heading], whole=True, bold=True))
    return max(least for least, _ in found), max(wished for _, wished in found)
