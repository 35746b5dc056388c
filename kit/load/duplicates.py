"""The same thing given twice: one file under two names, one test in two layouts."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from kit.load.formats.cells import Book
from kit.load.header import is_blank
from kit.load.ledger import Account
from kit.load.sheets import Row, text_of

MANY_ALIKE = 0.5
"""Share of the marks of the smaller of two sheets that the other must hold too, to be another layout (our own rule)."""

_Mark = tuple[str, str, str]


def content_hash(book: Book) -> str:
    """Hash what a file says: the same for a workbook that was saved again, another one for another cell.

    Parameters
    ----------
    book : Book
        The file as read.

    Returns
    -------
    str
        SHA-256 of the names and cells of all sheets, in hexadecimal digits.
    """
    whole = hashlib.sha256()
    for sheet in book.sheets:
        whole.update(repr((sheet.name, sheet.hidden)).encode())
        for number, row in zip(sheet.numbers, sheet.rows, strict=True):
            if cells := [(at, cell) for at, cell in enumerate(row) if not is_blank(cell)]:
                whole.update(repr((number, cells)).encode())
    return whole.hexdigest()


def set_copy_aside(book: Book, first_file: str) -> list[Account]:
    """Set every row of a file aside that says the same as an earlier one.

    Parameters
    ----------
    book : Book
        The later file.
    first_file : str
        Name of the earlier one.

    Returns
    -------
    list of Account
        One for each sheet; blank rows are counted as blank.
    """
    accounts = [Account(sheet) for sheet in book.sheets]
    for account in accounts:
        for index, row in enumerate(account.sheet.rows):
            if all(map(is_blank, row)):
                account.call(index, "blank")
            else:
                account.set_row_aside(
                    index, why="file_twice", found=f"The file says the same as {first_file}.",
                    do="Take one of the two out of study.toml.",
                )  # fmt: skip
    return accounts


def refuse_two_layouts(rows: Iterable[Row]) -> None:
    """Refuse marks that are given twice: with a column for each test, and with a row for each test.

    Parameters
    ----------
    rows : iterable of Row
        Rows of all files of marks, their students known.

    Notes
    -----
    The problem is recorded in the account of the sheet with a row for each test.
    """
    long, wide = _marks_by_sheet(rows)
    for account, marks in long.values():
        for other, there in wide.values():
            alike = len(marks & there)
            if alike and alike >= MANY_ALIKE * min(len(marks), len(there)):
                place = other.sheet.file + (f', sheet "{other.sheet.name}"' if other.sheet.name else "")
                account.refuse(
                    why="two_layouts",
                    found=f"{alike} marks stand here with a row for each test, and in {place} with a column for each.",
                    do="Choose one of the two, and take the other one out of study.toml.",
                )  # fmt: skip


_Sheets = dict[int, tuple[Account, set[_Mark]]]


def _marks_by_sheet(rows: Iterable[Row]) -> tuple[_Sheets, _Sheets]:
    """Gather which marks each sheet gives, those with a row for each test apart from those with a column for each."""
    long: _Sheets = {}
    wide: _Sheets = {}
    for row in rows:
        if row.open:
            kind = long if text_of(row.fields.get("occasion")) else wide
            _, marks = kind.setdefault(id(row.account), (row.account, set()))
            marks |= {(row.student, column.occasion, column.measure) for column, _ in row.marks}
    return long, wide
