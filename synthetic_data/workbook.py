"""Spreadsheet and text files as bytes that are the same on every run: workbooks lose their clock, text its platform."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Callable, Iterable, Mapping, Sequence

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

Cell = object
Rows = Iterable[Sequence[Cell]]

_MOMENT = (2026, 1, 5, 8, 0, 0)
_STAMP = re.compile(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*(</dcterms:(?:created|modified)>)")


def workbook(
    sheets: Mapping[str, Rows], *, dress: Callable[[Worksheet], None] | None = None,
    formulas: Mapping[tuple[str, str], str] | None = None,
) -> bytes:  # fmt: skip
    """Make an .xlsx of sheets of plain rows.

    Parameters
    ----------
    sheets : mapping of str to rows
        Sheet name -> rows, top row first; a cell that is ``None`` stays empty.
    dress : callable, optional
        Called with each finished sheet, to format cells.
    formulas : mapping of (str, str) to str, optional
        Sheet and cell -> the formula behind the number that stands there, as a spreadsheet program saves both.

    Returns
    -------
    bytes
        The file. The same rows give the same bytes.
    """
    book = Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
        if dress:
            dress(sheet)
    written = io.BytesIO()
    book.save(written)
    return _without_clock(written.getvalue(), _formulas_of_parts(book.sheetnames, formulas or {}))


def _formulas_of_parts(names: Sequence[str], formulas: Mapping[tuple[str, str], str]) -> dict[str, dict[str, str]]:
    """Sort the formulas by the part of the file that holds their sheet."""
    parts: dict[str, dict[str, str]] = {}
    for (sheet, cell), formula in formulas.items():
        parts.setdefault(f"xl/worksheets/sheet{names.index(sheet) + 1}.xml", {})[cell] = formula
    return parts


def _with_formulas(part: bytes, formulas: Mapping[str, str]) -> bytes:
    """Put a formula before the saved number of each cell."""
    for cell, formula in formulas.items():
        pattern = re.compile(rb'(<c r="' + cell.encode() + rb'"[^>]*>)(<v>)')
        part, times = pattern.subn(rb"\g<1><f>" + formula.encode() + rb"</f>\g<2>", part)
        if times != 1:
            raise ValueError(f"no number in cell {cell}")
    return part


def text_table(rows: Rows, *, delimiter: str = ",", encoding: str = "utf-8", first: str = "") -> bytes:
    """Make a delimited text file with the line ends that spreadsheet programs write.

    Parameters
    ----------
    rows : rows
        Top row first; ``None`` is an empty field.
    delimiter, encoding : str, optional
        As Python names them.
    first : str, optional
        A line to put above everything.

    Returns
    -------
    bytes
        The file.
    """
    lines = io.StringIO(newline="")
    if first:
        lines.write(first + "\r\n")
    csv.writer(lines, delimiter=delimiter, lineterminator="\r\n").writerows(rows)
    return lines.getvalue().encode(encoding)


def _without_clock(content: bytes, formulas: Mapping[str, Mapping[str, str]]) -> bytes:
    """Write the parts of a workbook again, with one fixed moment in place of the clock, and the formulas."""
    moment = "{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z".format(*_MOMENT).encode()
    fixed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as parts, zipfile.ZipFile(fixed, "w") as rewritten:
        for name in parts.namelist():
            part = parts.read(name)
            if name == "docProps/core.xml":
                part = _STAMP.sub(rb"\g<1>" + moment + rb"\g<2>", part)
            part = _with_formulas(part, formulas.get(name, {}))
            entry = zipfile.ZipInfo(name, date_time=_MOMENT)
            entry.compress_type = zipfile.ZIP_STORED  # compressed bytes differ between versions of the compressor
            entry.create_system = 0
            entry.external_attr = 0
            rewritten.writestr(entry, part)
    return fixed.getvalue()
