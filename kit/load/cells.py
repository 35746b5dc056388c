"""Any spreadsheet or text file -> sheets of cells, each with its row as the spreadsheet program shows it."""

from __future__ import annotations

import hashlib
import zipfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from pathlib import Path

from kit.errors import Problem, StudyProblems
from kit.load import opendocument, textfile
from kit.load.formulas import UNSAVED, unsaved_formulas

Value = str | int | float | bool | datetime | date | time | timedelta | None

LARGEST_FILE = 200 * 2**20
"""Bytes of a file that the kit opens at most."""
LARGEST_UNPACKED = 2**30
"""Bytes that a zipped workbook may unpack to at most."""

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
    """

    file: str
    name: str
    rows: list[list[Value]]
    numbers: list[int]
    formats: dict[tuple[int, int], str] = field(default_factory=dict)
    hidden: bool = False


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
    sheets, remarks = _reader(path, content)(path, content, encoding)
    return Book(path.name, hashlib.sha256(content).hexdigest(), tuple(sheets), tuple(remarks))


def refusal(path: Path, why: str, found: str, do: str) -> StudyProblems:
    """Make the error for a file that cannot be opened."""
    return StudyProblems([Problem(why=why, file=path.name, found=found, do=do)])


def _content(path: Path) -> bytes:
    """Read the bytes, unless there are none or too many."""
    if not path.is_file():
        raise refusal(path, "file_missing", "The file is not there.", "Check its name and folder.")
    if path.stat().st_size > LARGEST_FILE:
        size = path.stat().st_size // 2**20
        raise refusal(
            path,
            "file_large",
            f"The file has {size} MB; the kit opens at most {LARGEST_FILE // 2**20} MB.",
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
            raise refusal(
                path, "file_locked", "The workbook is protected by a password.",
                "Open it, save a copy without the password, and use the copy.",
            )  # fmt: skip
        raise refusal(path, "file_kind", "This is a workbook of the old binary kind.", ACCEPTED)
    if textfile.is_binary(content):
        raise refusal(path, "file_kind", "This is no spreadsheet (perhaps a photo, a PDF or an archive).", ACCEPTED)
    return _read_text


def _zipped_reader(path: Path) -> Reader:
    """Tell an .xlsx from an .ods by what is inside, and refuse what unpacks to too much."""
    try:
        with zipfile.ZipFile(path) as archive:
            names = set(archive.namelist())
            unpacked = sum(member.file_size for member in archive.infolist())
    except zipfile.BadZipFile:
        raise refusal(path, "file_broken", "The workbook is damaged.", "Save it again and try once more.") from None
    if unpacked > LARGEST_UNPACKED:
        raise refusal(
            path, "file_large", f"The workbook unpacks to {unpacked // 2**20} MB.",
            f"The kit reads at most {LARGEST_UNPACKED // 2**20} MB: split it.",
        )  # fmt: skip
    if "xl/workbook.xml" in names:
        return _read_workbook
    if "content.xml" in names:
        return _read_opendocument
    raise refusal(path, "file_kind", "This is a zip archive, not a workbook.", ACCEPTED)


def _read_workbook(path: Path, content: bytes, encoding: str) -> tuple[list[Sheet], list[str]]:
    """Read an .xlsx: values as last saved, and the number formats that change their meaning."""
    import openpyxl  # noqa: PLC0415 - here, since text files need no workbook library and it is slow to import

    try:
        # read-only: two thirds of the time, and nothing of the workbook is built but the cells
        book = openpyxl.load_workbook(path, data_only=True, read_only=True)
    except Exception as error:  # the library raises whatever its XML and zip readers raise
        raise refusal(path, "file_broken", "The workbook cannot be opened.", f"Save it again. ({error})") from error
    try:
        unsaved = unsaved_formulas(path)
        return [_workbook_sheet(path, sheet, unsaved.get(sheet.title, ())) for sheet in book.worksheets], []
    except Exception as error:  # the cells are read only now, with the same errors
        raise refusal(path, "file_broken", "The workbook cannot be opened.", f"Save it again. ({error})") from error
    finally:
        book.close()


def _workbook_sheet(path: Path, sheet: object, unsaved: Iterable[tuple[int, int]]) -> Sheet:
    """Copy one worksheet of the workbook library into a Sheet; formulas without a value are marked as such."""
    rows: list[list[Value]] = []
    formats = {}
    # the size that the file states of itself may be wrong, and would cut rows off
    sheet.reset_dimensions()
    for r, cells in enumerate(sheet.iter_rows()):
        rows.append([cell.value for cell in cells])
        for c, cell in enumerate(cells):
            # an empty cell between others has no style to ask for
            if cell.value is not None and cell.has_style and cell.data_type == "n" and cell.number_format != "General":
                formats[r, c] = cell.number_format
    for r, c in unsaved:
        if r < len(rows) and c < len(rows[r]) and rows[r][c] is None:
            rows[r][c] = UNSAVED
    return Sheet(path.name, sheet.title, rows, list(range(1, len(rows) + 1)), formats, sheet.sheet_state != "visible")


def _read_opendocument(path: Path, content: bytes, encoding: str) -> tuple[list[Sheet], list[str]]:
    """Read an .ods."""
    try:
        sheets = opendocument.read(path)
    except (SyntaxError, KeyError, ValueError, zipfile.BadZipFile) as error:
        raise refusal(path, "file_broken", "The workbook cannot be opened.", f"Save it again. ({error})") from error
    return [
        Sheet(path.name, name, rows, list(range(1, len(rows) + 1)), formats, hidden)
        for name, rows, formats, hidden in sheets
    ], []


def _read_parquet(path: Path, content: bytes, encoding: str) -> tuple[list[Sheet], list[str]]:
    """Read a Parquet table as a sheet whose first row holds the column names."""
    import pyarrow.parquet  # noqa: PLC0415 - here, since it is slow to import and seldom needed

    try:
        table = pyarrow.parquet.read_table(path)
    except (OSError, ValueError) as error:
        raise refusal(path, "file_broken", "The table cannot be opened.", f"Save it again. ({error})") from error
    columns = [column.to_pylist() for column in table.columns]
    rows = [list(table.column_names), *(list(row) for row in zip(*columns, strict=True))]
    return [Sheet(path.name, "", rows, list(range(1, len(rows) + 1)))], []


def _read_text(path: Path, content: bytes, encoding: str) -> tuple[list[Sheet], list[str]]:
    """Read delimited text."""
    try:
        text, remark = textfile.decode(content, encoding)
    except textfile.EncodingError as error:
        raise refusal(path, error.why, error.found, error.do) from error
    rows, numbers, delimiter = textfile.split(text)
    return [Sheet(path.name, "", rows, numbers)], [remark, delimiter]
