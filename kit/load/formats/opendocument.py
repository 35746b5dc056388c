"""OpenDocument spreadsheets (ISO/IEC 26300) -> their sheets: cells, and what is said beside their values."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

from kit.load.formats import bounds
from kit.load.formats.archive import Archive, damaged
from kit.load.formats.bounds import Allowance, UnreadableError, check_column, check_length, check_merged, check_row
from kit.load.formats.cell_styles import Style
from kit.load.formats.formulas import UNSAVED
from kit.load.formats.workbook import NamedGrid
from kit.load.formats.worksheet import NO_NUMBER, Grid, Value, name_of

_FRESH = ("table-cell", "covered-table-cell")


def read_opendocument(path: Path) -> list[NamedGrid]:
    """Read every table of the document.

    Parameters
    ----------
    path : Path
        An .ods file.

    Returns
    -------
    list of NamedGrid
        In the order of the document.

    Raises
    ------
    UnreadableError
        If the document is locked, damaged, or larger than the bounds.
    """
    walk = _Walk(Allowance())
    try:
        with Archive(path) as archive:
            if archive.holds("META-INF/manifest.xml", b"encryption-data"):
                raise UnreadableError(
                    "file_locked", "The workbook is protected by a password.",
                    "Open it, save a copy without the password, and use the copy.",
                )  # fmt: skip
            archive.parse("content.xml", opened=walk.opened, closed=walk.closed, data=walk.data, namespaces=True)
    except UnreadableError:
        raise
    except (ValueError, KeyError, OverflowError) as error:  # mangled numbers and dates
        raise damaged(str(error)[:200]) from error
    if not walk.sheets:
        raise damaged("it holds no sheet")
    return walk.sheets


def _short(attributes: Mapping[str, str]) -> dict[str, str]:
    """Name attributes by the last word of their namespace: ``table:name``, whatever the document calls it."""
    named = {}
    for key, value in attributes.items():
        space, _, name = key.rpartition(" ")
        words = space.split(":")
        named[f"{words[-2] if len(words) > 1 else ''}:{name}"] = value
    return named


class _Walk:
    """Follows the tags of a document; repeated rows and cells are unfolded, empty ones at the ends left out."""

    def __init__(self, allowance: Allowance) -> None:
        self.sheets: list[NamedGrid] = []
        self._allowance = allowance
        self._styles: dict[str, Style] = {}
        self._hiding: set[str] = set()
        self._style_name = ""
        self._grid = Grid()
        self._row, self._rows_waiting, self._cells = 0, 0, []
        self._column, self._repeats = 0, 1
        self._cell: dict[str, str] | None = None
        self._lines: list[str] = []
        self._depth, self._length, self._comment, self._in_comment = 0, 0, "", False
        self._row_hidden, self._notes = False, []

    def opened(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Take the beginning of a tag."""
        if tag in _FRESH:
            self._cell, self._lines, self._length, self._comment = _short(attributes), [], 0, ""
        elif tag == "p" and self._cell is not None:
            self._depth += 1
            if not self._in_comment:
                self._lines.append("")
        elif self._depth and tag in ("s", "tab", "line-break"):
            count = min(int(_short(attributes).get("text:c", "1")), bounds.LONGEST_CELL + 1) if tag == "s" else 1
            self.data({"s": " ", "tab": "\t"}.get(tag, "\n") * count)
        elif tag == "annotation":
            self._in_comment = True
        else:
            self._open_frame(tag, attributes)

    def closed(self, tag: str) -> None:
        """Take the end of a tag."""
        if tag in _FRESH:
            self._close_cell()
        elif tag == "p" and self._depth:
            self._depth -= 1
        elif tag == "annotation":
            self._in_comment = False
        elif tag == "table-row":
            self._close_row()

    def data(self, text: str) -> None:
        """Take text, if it is that of a cell or of its comment."""
        if not self._depth:
            return
        self._length += len(text)
        check_length(self._length, f"Cell {name_of(self._row + self._rows_waiting, self._column)}")
        if self._in_comment:
            self._comment += text
        else:
            self._lines[-1] += text

    def _open_frame(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Take the beginning of a style, a sheet, a column or a row."""
        if tag == "style":
            self._style_name = _short(attributes).get("style:name", "")
        elif tag in ("table-properties", "text-properties", "table-cell-properties"):
            self._dress(_short(attributes))
        elif tag == "table":
            self._open_table(_short(attributes))
        elif tag == "table-column":
            self._open_column(_short(attributes))
        elif tag == "table-row":
            self._cells, self._column = [], 0
            named = _short(attributes)
            self._repeats = _times(named, "rows-repeated")
            self._row_hidden = named.get("table:visibility", "visible") != "visible"
            self._notes = []

    def _dress(self, named: Mapping[str, str]) -> None:
        """Take the properties of the style under construction."""
        name = self._style_name
        if named.get("table:display") == "false":
            self._hiding.add(name)
        before = self._styles.get(name, Style())
        struck = named.get("style:text-line-through-style", "none") != "none" or before.struck
        colour = named.get("xsl-fo-compatible:background-color", "transparent").lstrip("#").upper()
        colour = before.colour if colour in ("TRANSPARENT", "FFFFFF") else colour
        if struck or colour:
            self._styles[name] = Style(struck=struck, colour=colour)

    def _open_table(self, named: Mapping[str, str]) -> None:
        """Begin a sheet."""
        if len(self.sheets) == bounds.MOST_SHEETS:
            raise UnreadableError(
                "sheet_large", f"The workbook has more than {bounds.MOST_SHEETS:,} sheets.", "Split it."
            )
        self._grid, self._row, self._rows_waiting, self._column = Grid(), 0, 0, 0
        hidden = named.get("table:style-name", "") in self._hiding
        self.sheets.append(NamedGrid(named.get("table:name", ""), self._grid, hidden))

    def _open_column(self, named: Mapping[str, str]) -> None:
        """Note which columns are hidden."""
        repeats = _times(named, "columns-repeated")
        if named.get("table:visibility", "visible") != "visible":
            last = min(self._column + repeats, bounds.MOST_COLUMNS)
            self._allowance.take(max(0, last - self._column))
            self._grid.hidden_columns.update(range(self._column, last))
        self._column += repeats

    def _close_cell(self) -> None:
        """Put the finished cell into its row as often as it is repeated."""
        cell, at = self._cell or {}, self._column
        repeats = _times(cell, "columns-repeated")
        self._cell, self._column = None, at + repeats
        value = _value(cell, self._lines)
        if value is None and "table:formula" in cell and cell.get("office:value-type") != "string":
            value = UNSAVED
        if value is not None:
            check_column(at + repeats - 1)
            self._allowance.take(at + repeats - len(self._cells))
            self._spell([value], repeats)
            self._cells += [None] * (at - len(self._cells)) + [value] * repeats
        wide = _times(cell, "columns-spanned") > 1 or _times(cell, "rows-spanned") > 1
        style = self._styles.get(cell.get("table:style-name", ""))
        dressed = style and (style.colour or style.struck) and at + repeats <= bounds.MOST_COLUMNS
        percent = cell.get("office:value-type") == "percentage"
        if wide or dressed or percent or self._comment or "table:formula" in cell:
            self._notes.append((at, min(repeats, bounds.MOST_COLUMNS), cell, self._comment))

    def _spell(self, cells: list[Value], repeats: int) -> None:
        """Count the letters of cells that are repeated."""
        if repeats > 1:
            self._allowance.spell(repeats * sum(len(value) for value in cells if isinstance(value, str)))

    def _close_row(self) -> None:
        """Put the finished row into its sheet; a repeated empty row at the end is the rest of the sheet."""
        repeats, noted = self._repeats, any(note[3] for note in self._notes)
        if not self._cells and not noted:
            self._rows_waiting += repeats
            return
        check_row(self._row + self._rows_waiting + repeats - 1)
        self._allowance.take(self._rows_waiting + repeats * (1 + len(self._cells) * (repeats > 1)))
        self._spell(self._cells, repeats)
        self._grid.rows.extend([] for _ in range(self._rows_waiting))
        self._row += self._rows_waiting
        self._rows_waiting = 0
        if self._row_hidden:
            self._grid.hidden_rows.update(range(self._row, self._row + repeats))
        for _ in range(repeats):
            self._grid.rows.append(list(self._cells))
            for note in self._notes:
                self._note(*note)
            self._row += 1

    def _note(self, column: int, repeats: int, cell: Mapping[str, str], comment: str) -> None:
        """Note what is said beside the value of a cell of the current row."""
        grid, style = self._grid, self._styles.get(cell.get("table:style-name", ""), Style())
        wide, high = _times(cell, "columns-spanned"), _times(cell, "rows-spanned")
        if wide > 1 or high > 1:
            check_merged(len(grid.merged))
            grid.merged.append((self._row, column, self._row + high - 1, column + wide - 1))
        for place in ((self._row, column + step) for step in range(repeats)):
            self._allowance.take(1)
            if cell.get("office:value-type") == "percentage":
                grid.formats[place] = "0%"
            if "table:formula" in cell:
                grid.formulas.add(place)
            if style.colour:
                grid.fills[place] = style.colour
            if style.struck and place[1] < len(self._cells) and self._cells[place[1]] is not None:
                grid.struck.add(place)
            if comment:
                grid.comments[place] = comment


def _times(named: Mapping[str, str], what: str) -> int:
    """Read how often a row or cell is repeated, or how many columns or rows it spans."""
    return max(1, int(named.get(f"table:number-{what}", "1")))


def _value(cell: Mapping[str, str], lines: list[str]) -> Value:
    """Read one cell by its declared type; text as it is shown."""
    kind = "error" if cell.get("calcext:value-type") == "error" else cell.get("office:value-type")
    if kind in ("float", "percentage", "currency"):
        number = float(cell.get("office:value", "nan"))
        if not math.isfinite(number):
            return NO_NUMBER
        return int(number) if number.is_integer() else number
    if kind == "date":
        return datetime.fromisoformat(cell.get("office:date-value", ""))
    if kind == "boolean":
        return cell.get("office:boolean-value") == "true"
    return "\n".join(lines) or None
