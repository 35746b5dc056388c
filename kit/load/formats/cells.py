"""Any spreadsheet or text file -> sheets of cells, each with its row as the spreadsheet program shows it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from kit.errors import Problem, StudyProblems
from kit.load.formats import bounds, textfile
from kit.load.formats.archive import Archive
from kit.load.formats.bounds import UnreadableError
from kit.load.formats.opendocument import read_opendocument
from kit.load.formats.workbook import NamedGrid, read_workbook
from kit.load.formats.worksheet import Cell, Range, Value

ACCEPTED = "Save it as .xlsx, .ods, .csv, .tsv or .parquet and try again."


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of a workbook, or a whole text file.

    Attributes
    ----------
    file, name : str
        File name and sheet name; the sheet of a text file has no name.
    rows : list of list
        Cell values, top row first; rows may differ in length.
    numbers : list of int
        For each row its number as the spreadsheet program shows it (the line of a text file).
    formats : dict
        (row index, column index) -> number format, for numbers shown as something else than a plain number.
    hidden : bool
        Whether the sheet is hidden.
    hidden_rows, hidden_columns : frozenset of int
        Indices of rows and columns that are hidden.
    merged : tuple of (int, int, int, int)
        Merged ranges: first row, first column, last row, last column, as indices.
    formulas, struck : frozenset of (int, int)
        Cells that hold a formula, and cells that are struck through.
    fills, comments : dict
        (row index, column index) -> the colour behind a cell, the comment on it. A comment is for the owner of
        the file alone and never leaves this record.
    """

    file: str
    name: str
    rows: list[list[Value]]
    numbers: list[int]
    formats: dict[Cell, str] = field(default_factory=dict)
    hidden: bool = False
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    merged: tuple[Range, ...] = ()
    formulas: frozenset[Cell] = frozenset()
    struck: frozenset[Cell] = frozenset()
    fills: dict[Cell, str] = field(default_factory=dict)
    comments: dict[Cell, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Book:
    """A file as read.

    Attributes
    ----------
    file : str
        File name.
    fingerprint : str
        SHA-256 of the file, in hexadecimal digits.
    sheets : tuple of Sheet
        In the order of the workbook.
    remarks : tuple of str
        What was decided in opening it: encoding, delimiter.
    """

    file: str
    fingerprint: str
    sheets: tuple[Sheet, ...]
    remarks: tuple[str, ...] = ()


def read_book(path: Path, *, encoding: str = "") -> Book:
    """Open a school file, whatever its kind; the content decides, not the ending of the name.

    Parameters
    ----------
    path : Path
        An .xlsx, .ods, .csv, .tsv, .txt or .parquet file.
    encoding : str, optional
        Encoding of a text file where the study file declares one.

    Returns
    -------
    Book
        All sheets, hidden ones included and marked.

    Raises
    ------
    StudyProblems
        If the file is missing, empty, locked, broken, too large or of another kind.
    """
    content = _content(path)
    try:
        sheets, remarks = _reader(path, content)(path, content, encoding)
    except UnreadableError as error:
        raise refusal(path, error.why, error.found, error.do) from error
    return Book(path.name, hashlib.sha256(content).hexdigest(), tuple(sheets), tuple(remarks))


def refusal(path: Path, why: str, found: str, do: str) -> StudyProblems:
    """Make the error for a file that cannot be opened."""
    return StudyProblems([Problem(why=why, file=path.name, found=found, do=do)])


def _content(path: Path) -> bytes:
    """Read the bytes, unless there are none or too many."""
    if not path.is_file():
        raise refusal(path, "file_missing", "The file is not there.", "Check its name and folder.")
    if path.stat().st_size > bounds.LARGEST_FILE:
        size = path.stat().st_size // 2**20
        raise refusal(
            path,
            "file_large",
            f"The file has {size} MB; the kit opens at most {bounds.LARGEST_FILE // 2**20} MB.",
            "Split it.",
        )
    content = path.read_bytes()
    if not content.strip():
        raise refusal(path, "file_empty", "The file is empty.", "Export it again from the spreadsheet program.")
    return content


Reader = Callable[[Path, bytes, str], tuple[list[Sheet], list[str]]]


def _reader(path: Path, content: bytes) -> Reader:
    """Choose the reader by what the file holds."""
    if content.startswith(b"PK\x03\x04"):
        return _zipped_reader(path)
    if content.startswith(b"PAR1"):
        return _read_parquet
    if content.startswith(b"\xd0\xcf\x11\xe0"):
        if "EncryptedPackage".encode("utf-16-le") in content:
            raise UnreadableError(
                "file_locked", "The workbook is protected by a password.",
                "Open it, save a copy without the password, and use the copy.",
            )  # fmt: skip
        raise UnreadableError("file_kind", "This is a workbook of the old binary kind.", ACCEPTED)
    if textfile.is_binary(content):
        raise UnreadableError("file_kind", "This is no spreadsheet (perhaps a photo, a PDF or an archive).", ACCEPTED)
    if content[:100].lstrip(b"\xef\xbb\xbf \t\r\n").startswith((b"<?xml", b"<!", b"<html", b"<HTML", b"<table")):
        raise UnreadableError("file_kind", "This is a web page, whatever its name says.", ACCEPTED)
    return _read_text


def _zipped_reader(path: Path) -> Reader:
    """Tell an .xlsx from an .ods by what is inside."""
    with Archive(path) as archive:
        names = archive.names
    if "xl/workbook.xml" in names:
        return _read_workbook
    if "content.xml" in names:
        return _read_opendocument
    raise UnreadableError("file_kind", "This is a zip archive, not a workbook.", ACCEPTED)


def _read_workbook(path: Path, content: bytes, encoding: str) -> tuple[list[Sheet], list[str]]:
    """Read an .xlsx: values as last saved."""
    return [_sheet(path, named) for named in read_workbook(path)], []


def _read_opendocument(path: Path, content: bytes, encoding: str) -> tuple[list[Sheet], list[str]]:
    """Read an .ods."""
    return [_sheet(path, named) for named in read_opendocument(path)], []


def _sheet(path: Path, named: NamedGrid) -> Sheet:
    """Make the record of one sheet of a workbook."""
    grid = named.grid
    return Sheet(
        file=path.name, name=named.name, rows=grid.rows, numbers=list(range(1, len(grid.rows) + 1)),
        formats=grid.formats, hidden=named.hidden, hidden_rows=frozenset(grid.hidden_rows),
        hidden_columns=frozenset(grid.hidden_columns), merged=tuple(grid.merged),
        formulas=frozenset(grid.formulas), struck=frozenset(grid.struck), fills=grid.fills, comments=grid.comments,
    )  # fmt: skip


def _read_parquet(path: Path, content: bytes, encoding: str) -> tuple[list[Sheet], list[str]]:
    """Read a Parquet table as a sheet whose first row holds the column names."""
    # here, since it is slow to import and seldom needed
    from kit.load.formats.parquetfile import read_parquet  # noqa: PLC0415

    rows = read_parquet(path)
    return [Sheet(path.name, "", rows, list(range(1, len(rows) + 1)))], []


def _read_text(path: Path, content: bytes, encoding: str) -> tuple[list[Sheet], list[str]]:
    """Read delimited text."""
    text, remark = textfile.decode(content, encoding)
    rows, numbers, delimiter = textfile.split(text)
    return [Sheet(path.name, "", rows, numbers)], [remark, delimiter]
