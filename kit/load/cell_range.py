"""A declared range of cells: what lies outside it is not read, and the rows there are counted as unread."""

from __future__ import annotations

from dataclasses import replace

from kit.load.formats.cells import Sheet
from kit.load.formats.worksheet import range_of
from kit.load.header import is_blank
from kit.load.ledger import Account


def cut(sheet: Sheet, cells: str) -> tuple[Sheet, tuple[int, ...]]:
    """Empty what lies outside a range of cells.

    Parameters
    ----------
    sheet : Sheet
        The whole sheet.
    cells : str
        Such as ``A1:D30``; empty, or no range, leaves the sheet as it is.

    Returns
    -------
    sheet : Sheet
        With as many rows, so that every cell keeps its place.
    beyond : tuple of int
        Indices of the rows outside the range that held something.
    """
    try:
        top, left, bottom, right = range_of(cells)
    except ValueError:
        return sheet, ()
    rows = [
        [*[None] * min(left, len(row)), *row[left : right + 1]] if top <= at <= bottom else []
        for at, row in enumerate(sheet.rows)
    ]
    outside = (at for at in range(len(rows)) if not top <= at <= bottom)
    return replace(sheet, rows=rows), tuple(at for at in outside if not all(map(is_blank, sheet.rows[at])))


def is_understood(account: Account, cells: str) -> bool:
    """Say whether a declared range is one; one that is not is refused."""
    try:
        return not cells or bool(range_of(cells))
    except ValueError:
        account.refuse(
            why="setting", found=f'cells = "{cells}" is no range of cells.', do='Write it like cells = "A1:D30".'
        )
        return False
