"""What a workbook says beside its values: hidden rows, formulas, colours, comments. Counted, never read as data."""

from __future__ import annotations

from collections.abc import Iterable

from kit.load.formats.cells import Sheet, Value
from kit.load.formats.formulas import STRUCK, UNSAVED
from kit.load.formats.worksheet import Cell, name_of
from kit.load.header import is_blank
from kit.load.layout import Header
from kit.load.ledger import Account


def note_beside(account: Account, header: Header) -> None:
    """Count what is said beside the values of the data rows.

    Parameters
    ----------
    account : Account
        The account of the sheet, in which every row that is no data has been recorded.
    header : Header
        Its header.
    """
    sheet, data = account.sheet, set(account.data)
    for before, after in header.joined:
        account.change("heading joined from several rows", header.index, before, after)
    for column, heading in header.left_out:
        for index in account.data:
            row = sheet.rows[index]
            if column < len(row) and not is_blank(row[column]):
                account.change("column is hidden in the workbook, left out", index, heading, "(left out)")
    for index in sorted(sheet.hidden_rows & data):
        account.change("row is hidden in the workbook, read all the same", index, "(hidden)", "(read)")
    headed = {at for at, heading in enumerate(header.headings) if heading}
    for place in _within(sheet.formulas, data, headed):
        if _value(sheet, place) != UNSAVED:
            account.change("formula: the value last saved was read", place[0], "(a formula)", "(its saved value)")
    for place in _within(sheet.fills, data, headed):
        account.change("coloured cell: colours are not read", place[0], f"({name_of(*place)} is coloured)", "(none)")
    for row, _ in sorted(sheet.comments):
        at = row if row < len(sheet.rows) else header.index
        account.change("comment on a cell, kept out of every output", at, "(a comment)", "(none)")


def set_hidden_aside(account: Account) -> None:
    """Set every row of a hidden sheet aside."""
    for index, row in enumerate(account.sheet.rows):
        if all(map(is_blank, row)):
            account.call(index, "blank")
        else:
            account.set_row_aside(
                index, why="sheet_hidden", found="The sheet is hidden.",
                do="Show the sheet, or name it under sheets in study.toml, if it should count.",
            )  # fmt: skip


def mark_struck(sheet: Sheet, header: Header) -> None:
    """Put `STRUCK` in place of every struck-through value below the header, so that no reader takes it for data."""
    for row, column in sheet.struck:
        if row > header.index and row < len(sheet.rows) and not is_blank(_value(sheet, (row, column))):
            sheet.rows[row][column] = STRUCK


def refuse_unsaved(account: Account, header: Header, columns: Iterable[int]) -> None:
    """Refuse a sheet in which a column that is used holds formulas without values, naming the cells.

    Parameters
    ----------
    account : Account
        The account of the sheet.
    header : Header
        Its header.
    columns : iterable of int
        Columns that are used.
    """
    found: list[str] = []
    first: Cell | None = None
    for column in sorted(columns):
        rows = [index for index in account.data if _value(account.sheet, (index, column)) == UNSAVED]
        if rows:
            first = first or (rows[0], column)
            found += _runs(rows, column)
    if first:
        account.refuse(
            why="formula_unsaved", index=first[0], column=header.headings[first[1]],
            found=f"Formulas without a saved value stand in {', '.join(found)}.",
            do="Open the workbook in a spreadsheet program, save it, and use it then.",
        )  # fmt: skip


def _runs(rows: list[int], column: int) -> list[str]:
    """Write cells of one column as ranges: ``C2:C9``, ``C14``."""
    runs: list[list[int]] = []
    for row in rows:
        if runs and runs[-1][1] == row - 1:
            runs[-1][1] = row
        else:
            runs.append([row, row])
    return [
        name_of(first, column) if first == last else f"{name_of(first, column)}:{name_of(last, column)}"
        for first, last in runs
    ]


def _within(places: Iterable[Cell], rows: set[int], columns: set[int]) -> list[Cell]:
    """Choose the cells of data rows in columns with a heading, in order."""
    return sorted(place for place in places if place[0] in rows and place[1] in columns)


def _value(sheet: Sheet, place: Cell) -> Value:
    """Look at a cell, which may lie beyond the end of its row."""
    row = sheet.rows[place[0]]
    return row[place[1]] if place[1] < len(row) else None
