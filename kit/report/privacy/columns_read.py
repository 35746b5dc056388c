"""Columns of the tables in a finished file: what stands above them, and each cell as a whole."""

from __future__ import annotations

import csv
import html
import io
import re
import zipfile
from collections.abc import Iterator, Sequence
from itertools import zip_longest

Column = tuple[str, list[str]]
_TABLE = re.compile(r"<table\b.*?</table>", re.DOTALL)
_ROW = re.compile(r"<tr\b.*?</tr>", re.DOTALL)
_CELL = re.compile(r"<t[dh]\b[^>]*>(.*?)</t[dh]>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
_ATTRIBUTE = re.compile(r"\b(data-[\w-]+|title|alt|aria-label)=\"([^\"]*)\"")
_DRAWN = re.compile(r"<!--\s*(.*?)\s*-->", re.DOTALL)
_WORD_TABLE = re.compile(r"<w:tbl>.*?</w:tbl>", re.DOTALL)
_WORD_ROW = re.compile(r"<w:tr\b.*?</w:tr>", re.DOTALL)
_WORD_CELL = re.compile(r"<w:tc>(.*?)</w:tc>", re.DOTALL)
_STRING = re.compile(r"<si>(.*?)</si>", re.DOTALL)
_SHEET_CELL = re.compile(r"<c r=\"([A-Z]+)(\d+)\"([^>]*?)(?:/>|>(.*?)</c>)", re.DOTALL)
_VALUE = re.compile(r"<(?:v|t)\b[^>]*>(.*?)</(?:v|t)>", re.DOTALL)


def columns_of(content: bytes, suffix: str) -> Iterator[Column]:
    """Read the columns of a file.

    Parameters
    ----------
    content : bytes
        The file.
    suffix : str
        Its ending.

    Yields
    ------
    heading : str
        What stands above a column; the name of an attribute; empty for the words of a drawing.
    cells : list of str
        Each as a whole.
    """
    if content.startswith(b"PK\x03\x04"):
        yield from _of_packed(content)
    elif suffix in (".csv", ".tsv"):
        text = content.decode("utf-8", errors="replace")
        yield from _turned(list(csv.reader(io.StringIO(text), delimiter="\t" if suffix == ".tsv" else ",")))
    elif suffix in (".html", ".svg", ".ipynb"):
        yield from _of_page(content.decode("utf-8", errors="replace"))


def _of_page(text: str) -> Iterator[Column]:
    """Read tables, attributes and drawn words of a page."""
    yield from _of_tables(text, _TABLE, _ROW, _CELL)
    attributes: dict[str, list[str]] = {}
    for name, value in _ATTRIBUTE.findall(text):
        attributes.setdefault(name.removeprefix("data-"), []).append(html.unescape(value))
    yield from attributes.items()
    if drawn := _DRAWN.findall(text):
        yield "", drawn


def _of_tables(text: str, table: re.Pattern, row: re.Pattern, cell: re.Pattern) -> Iterator[Column]:
    """Read tables that are written with tags."""
    for found in table.findall(text):
        lines = [cell.findall(line) for line in row.findall(found)]
        yield from _turned([[html.unescape(_TAG.sub("", inside)).strip() for inside in line] for line in lines])


def _of_packed(content: bytes) -> Iterator[Column]:
    """Read the tables of a workbook or a document."""
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        names = parts.namelist()
        strings = []
        if "xl/sharedStrings.xml" in names:
            shared = parts.read("xl/sharedStrings.xml").decode("utf-8", errors="replace")
            strings = [html.unescape(_TAG.sub("", one)) for one in _STRING.findall(shared)]
        for name in names:
            if re.fullmatch(r"xl/worksheets/[^/]+\.xml", name):
                yield from _of_sheet(parts.read(name).decode("utf-8", errors="replace"), strings)
            elif name == "word/document.xml":
                text = parts.read(name).decode("utf-8", errors="replace")
                yield from _of_tables(text, _WORD_TABLE, _WORD_ROW, _WORD_CELL)


def _of_sheet(text: str, strings: Sequence[str]) -> Iterator[Column]:
    """Read the columns of one sheet, each below its first filled cell."""
    columns: dict[str, list[str]] = {}
    for column, _, told, inside in _SHEET_CELL.findall(text):
        value = "".join(_VALUE.findall(inside or ""))
        if 't="s"' in told and value.isdigit() and int(value) < len(strings):
            value = strings[int(value)]
        columns.setdefault(column, []).append(html.unescape(_TAG.sub("", value)))
    yield from ((cells[0], cells[1:]) for cells in columns.values())


def _turned(rows: list[list[str]]) -> Iterator[Column]:
    """Turn rows into columns under the cells of the first."""
    if len(rows) > 1:
        yield from ((column[0], list(column[1:])) for column in zip_longest(*rows, fillvalue=""))
