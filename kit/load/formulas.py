"""Formulas of a workbook that were saved without their value: they read as empty cells and are none."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path, PurePosixPath
from xml.etree import ElementTree

UNSAVED = "#FORMULA WITHOUT VALUE"
"""What stands in such a cell after reading."""

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_LINK = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_CELL = re.compile(rb'<c r="([A-Z]+)(\d+)"[^>]*>(?:<f[^>]*/>|<f[^>]*>[^<]*</f>)(?:<v\s*/>|<v></v>)?</c>')


def unsaved_formulas(path: Path) -> dict[str, list[tuple[int, int]]]:
    """Find the cells of a workbook that hold a formula and no value.

    Parameters
    ----------
    path : Path
        An .xlsx file.

    Returns
    -------
    dict of str to list of (int, int)
        Sheet -> (row index, column index); only sheets that have any. Programs other than spreadsheet
        programs write such cells, and a data-frame reader shows nothing there.
    """
    with zipfile.ZipFile(path) as archive:
        found = {}
        for name, part in _parts(archive).items():
            content = archive.read(part) if part in archive.namelist() else b""
            if b"<f" in content and (cells := [_index(*match.groups()) for match in _CELL.finditer(content)]):
                found[name] = cells
    return found


def _parts(archive: zipfile.ZipFile) -> dict[str, str]:
    """Find the part of the archive that holds each sheet."""
    links = ElementTree.fromstring(archive.read("xl/_rels/workbook.xml.rels"))
    targets = {link.get("Id"): link.get("Target", "") for link in links}
    sheets = ElementTree.fromstring(archive.read("xl/workbook.xml")).iter(f"{_MAIN}sheet")
    return {sheet.get("name", ""): _path(targets.get(sheet.get(_LINK), "")) for sheet in sheets}


def _path(target: str) -> str:
    """Write the place of a part the way the archive lists it."""
    return target.lstrip("/") if target.startswith("/") else str(PurePosixPath("xl") / target)


def _index(letters: bytes, number: bytes) -> tuple[int, int]:
    """Turn ``C14`` into row and column counted from 0."""
    column = 0
    for letter in letters:
        column = column * 26 + letter - ord("A") + 1
    return int(number) - 1, column - 1
