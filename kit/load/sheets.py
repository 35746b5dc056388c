"""What scores and rosters share: which sheets to read, the header, who a row is about, which choir."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, fields, replace

from kit.errors import Problem
from kit.load.beside import mark_struck, note_beside, refuse_unsaved, set_hidden_aside
from kit.load.cell_range import cut, is_understood
from kit.load.columns import is_generic, plain
from kit.load.declared import MarkColumn, Source, names_of
from kit.load.declared_music import AttendanceSource
from kit.load.formats.cells import Book, Value
from kit.load.formats.formulas import STRUCK
from kit.load.header import Known, is_blank
from kit.load.layout import Header, find_header, is_test_student, known_heading, refuse_twice, sort_rows
from kit.load.ledger import Account
from kit.load.people.keys import id_text, name_key, name_somebody
from kit.load.suggest import Suggestion

_NO_HEADINGS = ("file", "sheets", "cells", "encoding", "choir_from", "scale", "dash", "decimal", "date_order")

Suggest = Callable[[Source, Header, list[list[Value]]], Suggestion]


@dataclass(slots=True)
class Row:
    """One data row on its way into a table.

    ``student`` is the study id, empty until the person is known; ``fields`` are the plain columns;
    ``marks`` what was read from each column of marks; ``attempts`` the number of a mark, by its column, where
    a student has several of one test.
    """

    account: Account
    index: int
    school_id: str
    name: str
    choir: str
    fields: dict[str, Value]
    student: str = ""
    marks: list = field(default_factory=list)
    attempts: dict[str, int] = field(default_factory=dict)

    @property
    def open(self) -> bool:
        """Say whether the row has not been set aside."""
        return self.index not in self.account.aside


@dataclass(slots=True)
class SheetRead:
    """A sheet with its header and what its columns mean; ``beyond`` lists rows outside the declared cells."""

    account: Account
    header: Header
    suggestion: Suggestion
    beyond: tuple[int, ...] = ()
    _columns: dict[str, int | None] = field(default_factory=dict)

    @property
    def source(self) -> Source:
        """The source with every field filled that is declared or recognised."""
        return self.suggestion.source

    def at(self, heading: str) -> int | None:
        """Find the column of a heading, once for all rows."""
        if heading not in self._columns:
            self._columns[heading] = self.header.column(heading) if heading else None
        return self._columns[heading]

    @property
    def used(self) -> set[int]:
        """Columns that the source names, in whatever field."""
        headings: list[str] = []
        for each in fields(self.source):
            value = getattr(self.source, each.name)
            several = value if isinstance(value, tuple) else (value,)
            if each.name not in _NO_HEADINGS:
                headings += [item.column if isinstance(item, MarkColumn) else item for item in several]
        return {at for heading in headings if isinstance(heading, str) and (at := self.at(heading)) is not None}

    def cell(self, index: int, heading: str) -> Value:
        """Read one cell by row and heading."""
        column, row = self.at(heading), self.account.sheet.rows[index]
        return row[column] if column is not None and column < len(row) else None


def open_sheets(
    book: Book, source: Source, declared: list[str], suggest: Suggest, known: Known = known_heading
) -> Iterator[SheetRead | Account]:
    """Open the sheets of a book that a source is about.

    Parameters
    ----------
    book : Book
        The file.
    source : Source
        What is declared about it.
    declared : list of str
        Headings that must be there.
    suggest : callable
        Fills what is not declared.
    known : callable, optional
        Says whether a heading is one of this kind of table; by default those of marks and rosters.

    Yields
    ------
    SheetRead or Account
        The bare account of a sheet that is hidden, holds no scores, or has a problem.
    """
    reads, bare = [], []
    for whole in book.sheets:
        sheet, beyond = cut(whole, getattr(source, "cells", ""))
        account = Account(sheet)
        if not _wanted(sheet.name, source):
            account.leave_unread()
        elif sheet.hidden and not source.sheets:
            set_hidden_aside(account)
        elif read := _open(account, source, declared, suggest, known):
            reads.append(replace(read, beyond=beyond))
            continue
        bare.append(account)
    if reads and not source.sheets and not declared:
        for account in bare:
            if account.problems and account.problems[0].why in ("wrong_columns", "no_header"):
                account.leave_unread()
    yield from reads
    yield from bare


def _open(account: Account, source: Source, declared: list[str], suggest: Suggest, known: Known) -> SheetRead | None:
    """Find the header and what its columns mean; None where something stands in the way, told in the account."""
    understood = is_understood(account, getattr(source, "cells", ""))
    header = find_header(account, declared, known) if understood else None
    if header is None or not _complete(account, header, declared):
        return None
    mark_struck(account.sheet, header)
    suggestion = suggest(source, header, account.sheet.rows[header.index + 1 :])
    read = SheetRead(account, header, replace(suggestion, sheet=account.sheet.name))
    used = read.used
    days = isinstance(source, AttendanceSource)  # its columns are days, and no field names them
    unread = (text for at, text in enumerate(header.headings) if text and at not in used and not (days and known(text)))
    read.suggestion = replace(read.suggestion, unread=tuple(unread))
    twice = [at for at in sorted(read.used) if plain(header.headings[at]) in header.twice]
    for at in twice:
        refuse_twice(account, header.index, header.headings[at])
    return None if twice else read


def data_rows(
    read: SheetRead, fields: tuple[str, ...], choir_of: Callable[[int], str], *, nameless: bool = False
) -> list[Row]:
    """Take the rows that are about a student, each with the person it names.

    Parameters
    ----------
    read : SheetRead
        The sheet.
    fields : tuple of str
        Fields of the source to copy into ``Row.fields``.
    choir_of : callable
        Choir of a row index.
    nameless : bool, optional
        Whether rows that name nobody are about a choir and stay.

    Returns
    -------
    list of Row
        Rows that name nobody are set aside in the account and left out here, unless ``nameless``.
    """
    account, source = read.account, read.source
    student = read.at(getattr(source, "student", ""))
    names = tuple(column for heading in names_of(source) if (column := read.at(heading)) is not None)
    sort_rows(account, read.header, student=student, names=names)
    for index in read.beyond:
        account.call(index, "unread")
    note_beside(account, read.header)
    refuse_unsaved(account, read.header, read.used)
    if not account.data:
        account.refuse(why="no_data", found="There are headings and nothing below them.", do="Fill in the rows.")
    _refuse_long_rows(read)
    headings = {field: getattr(source, field) for field in fields}
    rows = []
    for index in account.data:
        cells = account.sheet.rows[index]
        if is_test_student(cells, names):
            account.set_row_aside(index, why="test_student", found="A test account.", do="Nothing: it is no student.")
            continue
        if _set_struck_aside(read, index, student, names):
            continue
        school_id = id_text(cells[student]) if student is not None and student < len(cells) else ""
        name = name_key(*(cells[c] for c in names if c < len(cells)))
        if not school_id and not name and not nameless:
            do = name_somebody(ids=student is not None, names=bool(names))
            account.set_row_aside(index, why="no_student", found="The row has marks and names nobody.", do=do)
            continue
        values = {field: _unless_struck(read, index, heading) for field, heading in headings.items()}
        rows.append(Row(account, index, school_id, name, choir_of(index), values))
        if name:
            account.change("name replaced by a random study id", index, "(a name)", "(a study id)")
    return rows


def choir_reader(read: SheetRead, several: bool) -> Callable[[int], str]:
    """Decide where a row's choir stands: in a column, in the sheet's name, in the title line, or nowhere.

    Parameters
    ----------
    read : SheetRead
        The sheet.
    several : bool
        Whether several sheets of the file hold such rows; then the sheet's name is the choir.

    Returns
    -------
    callable
        Row index -> choir, empty where it is not told.
    """
    source, sheet = read.source, read.account.sheet
    where = source.choir_from or ("column" if read.at(source.choir) is not None else "sheet" if several else "")
    if where == "column":
        return lambda index: id_text(_unless_struck(read, index, source.choir))
    choir = ""
    if where == "sheet" and (source.choir_from or not is_generic(sheet.name)):
        choir = sheet.name.strip()
        read.account.change("choir taken from the name of the sheet", read.header.index, sheet.name, choir)
    elif where == "title" and read.header.title:
        choir = read.header.title[0]
        read.account.change("choir taken from the title line", 0, choir, choir)
    return lambda index: choir


def text_of(value: Value) -> str:
    """Write a plain field as text; empty for an empty cell."""
    return "" if is_blank(value) else id_text(value)


def _refuse_long_rows(read: SheetRead) -> None:
    """Refuse a text file with rows longer than its header: a comma inside a field has shifted what follows it."""
    account, width = read.account, len(read.header.headings)
    if account.sheet.name:
        return
    for index in account.data:
        extra = [cell for cell in account.sheet.rows[index][width:] if not is_blank(cell)]
        if extra:
            fields = "field" if len(extra) == 1 else "fields"
            account.refuse(
                why="row_shape", index=index, found=f"The row has {len(extra)} more {fields} than the header.",
                do='Put a field with a comma in it, such as the low mark in so, between quotation marks: "so,".',
            )  # fmt: skip


def _set_struck_aside(read: SheetRead, index: int, student: int | None, names: tuple[int, ...]) -> bool:
    """Set a row aside whose id or name is struck through; say whether it was."""
    cells = read.account.sheet.rows[index]
    for column in (*names, *([] if student is None else [student])):
        if column < len(cells) and cells[column] == STRUCK:
            read.account.set_row_aside(
                index, why="cell_struck", column=read.header.headings[column],
                found="The student is struck through.", do="Delete the row, or take the line away if it counts.",
            )  # fmt: skip
            return True
    return False


def _unless_struck(read: SheetRead, index: int, heading: str) -> Value:
    """Read a plain cell; one that is struck through is set aside and read as empty."""
    value = read.cell(index, heading)
    if value != STRUCK:
        return value
    read.account.set_cell_aside(
        index, heading, why="cell_struck", found="The cell is struck through.",
        do="Empty it, or take the line away if it counts.",
    )  # fmt: skip
    return None


def _wanted(name: str, source: Source) -> bool:
    """Say whether the source is about a sheet of this name."""
    return not source.sheets or name.casefold() in {sheet.casefold() for sheet in source.sheets}


def _complete(account: Account, header: Header, declared: list[str]) -> bool:
    """Say whether every declared heading is there; record those that are not."""
    missing = [heading for heading in declared if header.column(heading) is None]
    for heading in missing:
        there = ", ".join(f'"{h}"' for h in header.headings if h)
        account.problems.append(
            Problem(
                why="column_missing", found=f'There is no column "{heading}". The headings are: {there}.',
                do="Correct the heading in study.toml.", **account.place(header.index),
            )
        )  # fmt: skip
    return not missing
