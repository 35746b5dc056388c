"""The lines of a drill log as columns of codes, and how they are taken from the sheets of a workbook."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from kit.load.codes import Codes, smallest
from kit.load.days import ASK_ORDER
from kit.load.declared import names_of
from kit.load.declared_music import DrillSource
from kit.load.drills.columns import FIELDS, is_drill_heading, suggest_drills
from kit.load.formats.cells import Book, Value
from kit.load.layout import is_blank
from kit.load.ledger import Account
from kit.load.sheets import SheetRead, choir_reader, data_rows, open_sheets
from kit.load.suggest import Suggestion

SPLIT = {
    "why": "row_shape",
    "do": 'Put a field with a comma in it, such as the low mark in so, between quotation marks: "so,".',
}

MANY_UNCLEAR = 10
"""Lines without a clear day from which on it is asked for (our own rule)."""


@dataclass(slots=True)
class Log:
    """One log.

    Attributes
    ----------
    account : Account
        The account of its sheet.
    suggestion : Suggestion
        What its columns mean.
    rows : ndarray of int, shape (n,)
        Index in the account of each line; title, header, blank and total rows are left out.
    numbers : ndarray of int, shape (n,)
        The number of each line as the spreadsheet program shows it.
    columns : dict of str to Codes
        Field of the source -> its cells. ``name`` holds all parts of the name, one space between them.
    choir : str
        Choir of every line, where no column names it.
    """

    account: Account
    suggestion: Suggestion
    rows: np.ndarray
    numbers: np.ndarray
    columns: dict[str, Codes] = field(default_factory=dict)
    choir: str = ""

    @property
    def source(self) -> DrillSource:
        """The source with every field filled that is declared or recognised."""
        return self.suggestion.source

    def heading(self, name: str) -> str:
        """Heading of a field; of the name its first part."""
        value = getattr(self.source, name)
        return value if isinstance(value, str) else (*value, "")[0]


def sheet_logs(book: Book, source: DrillSource) -> tuple[list[Log], list[Account]]:
    """Take the logs from the sheets of a book.

    Parameters
    ----------
    book : Book
        The file.
    source : DrillSource
        What is declared about it.

    Returns
    -------
    logs : list of Log
        One for each sheet that holds lines of a log.
    accounts : list of Account
        One for each sheet, problems included.
    """
    sheets = list(open_sheets(book, source, declared_headings(source), suggest_drills, is_drill_heading))
    reads = [sheet for sheet in sheets if isinstance(sheet, SheetRead)]
    logs = [log for read in reads if (log := _sheet_log(read, several=len(reads) > 1)) is not None]
    return logs, [sheet if isinstance(sheet, Account) else sheet.account for sheet in sheets]


def declared_headings(source: DrillSource) -> list[str]:
    """List the headings that the study file names."""
    named = [getattr(source, name) for name in FIELDS if name != "name"]
    return [heading for heading in (*named, *names_of(source)) if heading]


def means_anything(read: SheetRead) -> bool:
    """Refuse a sheet in which nothing but persons and choirs is recognised."""
    source = read.source
    if any(getattr(source, name) for name in FIELDS if name not in ("student", "name", "choir", "teacher", "note")):
        return True
    read.account.refuse(
        why="wrong_columns", index=read.header.index, found="No column of a drill log was recognised.",
        do="Name the columns in study.toml: date, minutes, activity, pattern, sung, right.",
    )  # fmt: skip
    return False


def _sheet_log(read: SheetRead, *, several: bool) -> Log | None:
    """Take the lines of one sheet."""
    if not means_anything(read):
        return None
    _set_split_aside(read)
    source, account = read.source, read.account
    names = tuple(name for name in FIELDS if name not in ("name", "choir", "note") and getattr(source, name))
    choir_of = (lambda _: source.choir_is) if source.choir_is else choir_reader(read, several)
    lines = [row for row in data_rows(read, names, choir_of, nameless=True) if row.open]
    indices = [line.index for line in lines]
    columns = {name: _coded(account, indices, read.at(getattr(source, name)), [row.fields[name] for row in lines])
               for name in names}  # fmt: skip
    columns["choir"] = _coded(account, indices, None, [row.choir for row in lines])
    if parts := [at for heading in names_of(source) if (at := read.at(heading)) is not None]:
        cells = [account.sheet.rows[index] for index in indices]
        columns["name"] = _coded(
            account, indices, None, [joined(row[at] for at in parts if at < len(row)) for row in cells]
        )
    numbers = np.array([account.sheet.numbers[index] for index in indices], np.int64)
    return Log(account, read.suggestion, np.array(indices, np.int64), numbers, columns)


def _set_split_aside(read: SheetRead) -> None:
    """Set rows of a text file aside that have more or fewer fields than its header."""
    account, width = read.account, len(read.account.sheet.rows[read.header.index])
    if account.sheet.name:
        return
    for index in range(read.header.index + 1, len(account.sheet.rows)):
        row = account.sheet.rows[index]
        if len(row) != width and not all(map(is_blank, row)):
            account.set_row_aside(index, found=fields_told(len(row), width), **SPLIT)
            # what lies beyond the header would have the whole file refused
            account.sheet.rows[index] = row[:width]


def fields_told(fields: int, width: int) -> str:
    """Say how many fields a row has."""
    return f"The row has {fields} field{'s' if fields != 1 else ''}, the header has {width}."


def joined(parts: Iterable[Value]) -> str:
    """Write the parts of a name one after the other."""
    return " ".join(str(part) for part in parts if not is_blank(part))


def _coded(account: Account, indices: list[int], column: int | None, cells: list[Value]) -> Codes:
    """Give each different cell of a column a number; the same amount shown in two ways is two cells."""
    known: dict[tuple, int] = {}
    formats, codes = {}, np.empty(len(cells), np.int64)
    for at, (index, cell) in enumerate(zip(indices, cells, strict=True)):
        shown = account.sheet.formats.get((index, column), "") if column is not None else ""
        code = known.setdefault((type(cell), cell, shown), len(known))
        codes[at] = code
        if shown:
            formats[code] = shown
    return Codes(codes.astype(smallest(len(known))), [cell for _, cell, _ in known], formats)


def refuse_unclear_days(log: Log, unclear: np.ndarray) -> None:
    """Ask once for the order of day and month where it leaves most lines of a log without a day.

    Parameters
    ----------
    log : Log
        The log.
    unclear : array of bool, shape (n_lines,)
        Lines whose day can be read in two ways; few of them are set aside one by one and not asked about.
    """
    number = int(unclear.sum())
    if number >= MANY_UNCLEAR and 2 * number > unclear.size:
        log.account.refuse(
            why="date_unclear", column=log.heading("date"),
            found=f"{number} of {unclear.size} days can be read in two ways, day first or month first.",
            do=ASK_ORDER,
        )  # fmt: skip
