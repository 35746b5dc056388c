"""How a printed table is set: its columns, its type, and whether it stays on one sheet; counted in letters."""

from __future__ import annotations

from dataclasses import dataclass, replace

from kit.report.document.parts import Box, Grid, words_of
from kit.report.tables.widths import balanced, lines_of, needed, shared_out

ROOM = 100
"""Letters of ordinary table type side by side on a sheet."""
DENSE = 1.12
"""How many more of them there are in the smaller type."""
BETWEEN = 3
"""Letters of white between two columns."""
MOST_LINES = 20
"""Lines of the longest table that is kept on one sheet; a sheet holds about three times as many."""
_LONG_ROW = 15
"""Lines of the tallest row that is never parted between two sheets."""
LONG_NOTE = 900
"""Letters of the notes below a table beyond which they may be parted between two sheets."""
SMALLEST = 0.65
"""Of the usual size, the smallest type of a table with many columns."""
ORDINARY = 0.93
"""Width of most letters, where room is counted in wider ones to be on the safe side."""
_ROUNDING = 1e-6
_LETTER = 0.46
"""Width of a letter in the height of its type."""


@dataclass(frozen=True, slots=True)
class Columns:
    """How a table is set.

    Attributes
    ----------
    shares : tuple of float
        Width of each column as a share of the width of the text; together at most 1.
    dense : bool
        Whether it is set in smaller type.
    kept : bool
        Whether it is short enough never to be parted between two sheets.
    rows_kept : bool
        Whether no row of it is parted between two sheets.
    size : float
        Of its type, as a share of the usual one: less where the longest words side by side would not fit otherwise.
    squeezed : bool
        Whether they do not fit even so, and words must be broken.
    """

    shares: tuple[float, ...]
    dense: bool
    kept: bool
    rows_kept: bool = True
    size: float = 1.0
    squeezed: bool = False


def columns_of(grid: Grid, *, room: float = ROOM, letter: float = ORDINARY) -> Columns:
    """Find how a table is set.

    Parameters
    ----------
    grid : Grid
        A table.
    room : float, optional
        Letters of ordinary table type side by side on a sheet.
    letter : float, optional
        Width of most letters, where those of `room` are wider.

    Returns
    -------
    Columns
    """
    least, wished = _least_and_wished(grid)
    dense = sum(wished) > room
    room *= DENSE if dense else 1
    size = max(SMALLEST, min(1.0, room / max(1.0, sum(least))))
    room /= size
    wide = shared_out(least, wished, room)
    every = (*grid.head, *grid.rows)
    if sum(wished) > room:
        plain = [[_lines_of(box) for box in row] for row in every if len(row) == len(least)]
        wide = balanced(wide, least, plain, between=BETWEEN, letter=letter) if plain else wide
    lines = [_lines(row, wide, letter) for row in every]
    shares = tuple(one / room for one in wide)
    return Columns(
        shares,
        dense,
        kept=1 + sum(lines) <= MOST_LINES,
        rows_kept=max(lines, default=0) <= _LONG_ROW,
        size=size,
        squeezed=sum(least) > room + _ROUNDING,
    )


def _least_and_wished(grid: Grid) -> tuple[list[float], list[float]]:
    """Give for each column its longest piece and its longest line, with the white beside it."""
    number = grid.columns
    least, wished = ([float(BETWEEN + 1)] * number for _ in range(2))
    for row in (*grid.head, *grid.rows):
        at = 0
        for box in row:
            if box.columns == 1 and at < number:
                piece, line = needed(_lines_of(box), whole=box.whole, bold=box.heads and row in grid.head)
                least[at], wished[at] = max(least[at], piece + BETWEEN), max(wished[at], line + BETWEEN)
            at += box.columns
    return least, wished


def _lines(row: tuple[Box, ...], wide: list[float], letter: float) -> int:
    """Count the lines of a row."""
    most, at = 1, 0
    for box in row:
        room = max(1.0, sum(wide[at : at + box.columns]) - BETWEEN)
        most = max(most, lines_of(_lines_of(box), room / letter))
        at += box.columns
    return most


def _lines_of(box: Box) -> list[str]:
    """Give the lines of a cell, the unit of a number as long as the longest unit of its column."""
    return words_of(replace(run, text=run.text.ljust(round(run.width / _LETTER))) for run in box.runs).split("\n")
