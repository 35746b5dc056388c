"""OpenDocument spreadsheets (ISO/IEC 26300) -> rows of values with the number formats that change their meaning."""

from __future__ import annotations

import zipfile
from datetime import datetime
from pathlib import Path
from xml.etree import ElementTree

_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
_TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
_STYLE = "{urn:oasis:names:tc:opendocument:xmlns:style:1.0}"

Rows = list[list[object]]
Formats = dict[tuple[int, int], str]


def read(path: Path) -> list[tuple[str, Rows, Formats, bool]]:
    """Read every table of the document.

    Parameters
    ----------
    path : Path
        An .ods file.

    Returns
    -------
    list of tuple
        For each table its name, rows, number formats by (row, column) index, and whether it is hidden.
    """
    with zipfile.ZipFile(path) as archive, archive.open("content.xml") as content:
        tree = ElementTree.parse(content)
    hidden = _hidden_styles(tree)
    return [
        (table.get(f"{_TABLE}name", ""), *_rows(table), table.get(f"{_TABLE}style-name", "") in hidden)
        for table in tree.iter(f"{_TABLE}table")
    ]


def _hidden_styles(tree: ElementTree.ElementTree) -> set[str]:
    """Names of the table styles that hide their table."""
    return {
        style.get(f"{_STYLE}name", "")
        for style in tree.iter(f"{_STYLE}style")
        for properties in style.iter(f"{_STYLE}table-properties")
        if properties.get(f"{_TABLE}display") == "false"
    }


def _rows(table: ElementTree.Element) -> tuple[Rows, Formats]:
    """Unfold repeated rows; a repeated empty row at the end is the rest of the sheet and is left out."""
    rows: Rows = []
    formats: Formats = {}
    waiting = 0
    for element in table.iter(f"{_TABLE}table-row"):
        values, shown = _cells(element)
        repeats = int(element.get(f"{_TABLE}number-rows-repeated", "1"))
        if not values:
            waiting += repeats
            continue
        rows.extend([] for _ in range(waiting))
        waiting = 0
        for _ in range(repeats):
            formats |= {(len(rows), column): style for column, style in shown.items()}
            rows.append(list(values))
    return rows, formats


def _cells(row: ElementTree.Element) -> tuple[list[object], dict[int, str]]:
    """Unfold repeated cells of one row, without the empty ones at its end."""
    values: list[object] = []
    shown: dict[int, str] = {}
    waiting = 0
    for cell in row:
        if cell.tag not in (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell"):
            continue
        repeats = int(cell.get(f"{_TABLE}number-columns-repeated", "1"))
        value = _value(cell)
        if value is None:
            waiting += repeats
            continue
        values.extend([None] * waiting)
        waiting = 0
        if cell.get(f"{_OFFICE}value-type") == "percentage":
            shown |= dict.fromkeys(range(len(values), len(values) + repeats), "0%")
        values.extend([value] * repeats)
    return values, shown


def _value(cell: ElementTree.Element) -> object:
    """Read one cell by its declared type; text as it is shown."""
    kind = cell.get(f"{_OFFICE}value-type")
    if kind in ("float", "percentage", "currency"):
        number = float(cell.get(f"{_OFFICE}value", "nan"))
        return int(number) if number.is_integer() else number
    if kind == "date":
        return datetime.fromisoformat(cell.get(f"{_OFFICE}date-value", ""))
    if kind == "boolean":
        return cell.get(f"{_OFFICE}boolean-value") == "true"
    paragraphs = ["".join(paragraph.itertext()) for paragraph in cell.findall(f"{_TEXT}p")]
    return "\n".join(paragraphs) if paragraphs else None
