"""One sheet of an .xlsx workbook: its cells, and what it says beside their values, in one walk through its XML."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from kit.load.formats.archive import Archive, damaged
from kit.load.formats.bounds import (
    LONGEST_CELL,
    MOST_COLUMNS,
    Allowance,
    check_column,
    check_length,
    check_merged,
    check_row,
)
from kit.load.formats.cell_styles import Style, is_on, moment, span
from kit.load.formats.formulas import UNSAVED

Value = str | int | float | bool | datetime | date | time | timedelta | None
Cell = tuple[int, int]
Range = tuple[int, int, int, int]

NO_NUMBER = "#NUM!"
"""What a spreadsheet program shows where a number is too large for it, or none."""

_REFERENCE = re.compile(r"\$?([A-Za-z]{1,3})\$?([1-9][0-9]{0,6})")
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")
_RANGE = re.compile(rf"{_REFERENCE.pattern}(?::{_REFERENCE.pattern})?")


@dataclass(slots=True)
class Grid:
    """The cells of one sheet from its first row on, and what is said beside them; places are counted from 0."""

    rows: list[list[Value]] = field(default_factory=list)
    formats: dict[Cell, str] = field(default_factory=dict)
    formulas: set[Cell] = field(default_factory=set)
    struck: set[Cell] = field(default_factory=set)
    fills: dict[Cell, str] = field(default_factory=dict)
    comments: dict[Cell, str] = field(default_factory=dict)
    merged: list[Range] = field(default_factory=list)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)


@dataclass(frozen=True, slots=True)
class Texts:
    """What all sheets of a workbook share: its texts, which of them are partly struck through, styles, calendar."""

    texts: Sequence[str]
    struck: frozenset[int]
    styles: Sequence[Style]
    epoch: datetime


def read_grid(archive: Archive, part: str, shared: Texts, allowance: Allowance) -> Grid:
    """Read one sheet.

    Parameters
    ----------
    archive : Archive
        The workbook.
    part : str
        Where the sheet stands in it.
    shared : Texts
        What the sheets share.
    allowance : Allowance
        How many cells may still be read.

    Returns
    -------
    Grid
        Without comments, which stand in a part of their own.
    """
    walk = _Walk(shared, allowance)
    archive.parse(part, opened=walk.opened, closed=walk.closed, data=walk.data)
    return walk.grid


def place_of(reference: str) -> Cell:
    """Turn ``C14`` into row and column counted from 0."""
    match = _REFERENCE.fullmatch(reference)
    if not match:
        raise ValueError(f"place_of: reference must be like C14. Got {reference[:20]!r}.")
    column = 0
    for letter in match[1].upper():
        column = column * 26 + ord(letter) - 64
    return int(match[2]) - 1, column - 1


def range_of(text: str) -> Range:
    """Turn ``A1:D30`` into the first and last row and column, counted from 0, as (top, left, bottom, right)."""
    match = _RANGE.fullmatch(text.strip())
    if not match:
        raise ValueError(f"range_of: range must be like A1:D30. Got {text[:20]!r}.")
    first, _, last = text.strip().partition(":")
    (top, left), (bottom, right) = place_of(first), place_of(last or first)
    return min(top, bottom), min(left, right), max(top, bottom), max(left, right)


def name_of(row: int, column: int) -> str:
    """Turn row and column counted from 0 into ``C14``."""
    letters, column = "", column + 1
    while column:
        column, letter = divmod(column - 1, 26)
        letters = chr(65 + letter) + letters
    return f"{letters}{row + 1}"


def written_out(text: str) -> str:
    """Write a letter that is spelt by its number, such as ``_x000D_``, as itself; line ends become one kind."""
    if "_x" not in text:
        return text
    return _ESCAPED.sub(_letter, text).replace("\r\n", "\n").replace("\r", "\n")


def _letter(match: re.Match[str]) -> str:
    """Name the letter of a number, unless it is none that can stand in a text."""
    letter = chr(int(match[1], 16))
    return letter if letter.isprintable() or letter in "\t\n\r" else match[0]


class _Walk:
    """Follows the tags of a sheet; one cell is under construction at a time."""

    def __init__(self, shared: Texts, allowance: Allowance) -> None:
        self.grid = Grid()
        self._shared, self._allowance = shared, allowance
        self._cells: list[Value] | None = None
        self._row, self._column = -1, -1
        self._row_text, self._letters = "", {}
        self._kind, self._style, self._formula, self._inside = "", Style(), False, False
        self._text: list[str] = []
        self._wanted, self._length, self._aside = False, 0, False

    def opened(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Take the beginning of a tag."""
        if tag == "c":
            self._open_cell(attributes)
        elif self._inside:
            if tag in ("v", "t"):
                self._wanted = not self._aside
            elif tag == "f":
                self._formula = True
            elif tag == "rPh":
                self._aside = True
            elif tag == "strike" and is_on(attributes):
                self.grid.struck.add((self._row, self._column))
        elif tag == "row" and self._cells is None:
            self._open_row(attributes)
        elif tag == "mergeCell":
            check_merged(len(self.grid.merged))
            self.grid.merged.append(range_of(attributes.get("ref", "")))
        elif tag == "col" and is_on(attributes, "hidden", "0"):
            first, last = int(attributes.get("min", "1")) - 1, min(int(attributes.get("max", "1")), MOST_COLUMNS)
            self._allowance.take(max(0, last - max(0, first)))
            self.grid.hidden_columns.update(range(max(0, first), last))

    def closed(self, tag: str) -> None:
        """Take the end of a tag."""
        if tag == "c" and self._inside:
            self._close_cell()
        elif tag in ("v", "t"):
            self._wanted = False
        elif tag == "row":
            self._cells = None
        elif tag == "rPh":
            self._aside = False

    def data(self, text: str) -> None:
        """Take text, if it is that of a cell."""
        if self._wanted:
            self._length += len(text)
            self._text.append(text)
            if self._length > LONGEST_CELL:
                check_length(self._length, f"Cell {name_of(self._row, self._column)}")

    def _open_row(self, attributes: Mapping[str, str]) -> None:
        """Begin a row; rows that are not in the file are empty."""
        row = int(attributes["r"]) - 1 if "r" in attributes else self._row + 1
        check_row(row)
        if row <= self._row:
            raise damaged("rows out of order")
        self._allowance.take(row - self._row)
        rows = self.grid.rows
        rows.extend([] for _ in range(row - self._row))
        self._row, self._column, self._cells = row, -1, rows[-1]
        self._row_text = str(row + 1)
        if is_on(attributes, "hidden", "0"):
            self.grid.hidden_rows.add(row)

    def _open_cell(self, attributes: Mapping[str, str]) -> None:
        """Begin a cell; cells that are not in the file are empty."""
        if self._cells is None or self._inside:
            return
        column = self._column_of(attributes["r"]) if "r" in attributes else self._column + 1
        check_column(column)
        if column <= self._column:
            raise damaged("cells out of order")
        self._allowance.take(column - self._column)
        self._column, self._inside = column, True
        self._kind, self._formula, self._length = attributes.get("t", "n"), False, 0
        self._text.clear()
        named = int(attributes["s"]) if "s" in attributes else 0
        self._style = self._shared.styles[named if 0 <= named < len(self._shared.styles) else 0]

    def _column_of(self, reference: str) -> int:
        """Find the column of a cell of the current row; the letters of each column are read once."""
        letters = reference.rstrip("0123456789")
        if letters not in self._letters or reference[len(letters) :] != self._row_text:
            row, column = place_of(reference)
            if row != self._row:
                raise damaged("cells out of order")
            self._letters[letters] = column
        return self._letters[letters]

    def _close_cell(self) -> None:
        """Put the finished cell into its row, and note what is said beside its value."""
        place, cells, style = (self._row, self._column), self._cells, self._style
        self._inside = self._aside = False
        value = self._value("".join(self._text))
        if self._formula:
            self.grid.formulas.add(place)
            # an empty text is a value that was saved
            value = UNSAVED if value is None and self._kind != "str" else value
        if style.colour:
            self.grid.fills[place] = style.colour
        if value is None:
            return
        cells.extend([None] * (self._column - len(cells)))
        cells.append(value)
        if style.struck:
            self.grid.struck.add(place)
        if style.shown and self._kind == "n" and isinstance(value, int | float):
            self.grid.formats[place] = style.shown

    def _value(self, text: str) -> Value:
        """Read the value of a cell by the kind that it says it has."""
        kind = self._kind
        if kind == "n":
            return self._number(text) if text else None
        if kind == "s" and text:
            at = int(text)
            if at in self._shared.struck:
                self.grid.struck.add((self._row, self._column))
            if at < 0:
                return None
            shared = self._shared.texts[at]
            self._allowance.spell(len(shared))
            return shared
        if kind == "b":
            return text.strip() in ("1", "true") if text else None
        if kind == "d":
            return datetime.fromisoformat(text) if text else None
        return written_out(text) or None

    def _number(self, text: str) -> Value:
        """Read a number, which may stand for a date or a span of time."""
        number = float(text)
        if not math.isfinite(number):
            return NO_NUMBER
        if self._style.kind == "date":
            return moment(number, self._shared.epoch)
        if self._style.kind == "span":
            return span(number)
        # digits alone are kept to the last one: an id may be longer than a number with a fraction can hold
        return int(text) if text.strip().lstrip("-").isdecimal() else number
