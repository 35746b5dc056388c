"""What a normalised table is: its columns, their types and meanings, and the columns that all of them have."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ColumnType = Literal["text", "integer", "number", "date", "yes_no"]

DTYPES: dict[ColumnType, str] = {
    "text": "str", "integer": "Int64", "number": "float64", "date": "datetime64[us]", "yes_no": "boolean",
}  # fmt: skip

MISSING_REASONS = (
    "absent", "excused", "declined", "voice", "left", "not_enrolled", "technical", "unscorable", "unspecified",
)  # fmt: skip
"""Why a mark is missing. A true zero is a mark; an absence never is."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a normalised table."""

    name: str
    type: ColumnType
    meaning: str
    unit: str = ""
    allowed: tuple[str, ...] = ()
    required: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """One normalised table: what a row is, and its columns in order."""

    name: str
    row_is: str
    columns: tuple[Column, ...]

    @property
    def names(self) -> list[str]:
        """Column names in order."""
        return [column.name for column in self.columns]


PLACE = (
    Column("file", "text", "File that the row came from, as named in the study folder.", required=True),
    Column("sheet", "text", "Sheet of the workbook; empty for text files."),
    Column("row", "integer", "Row as the spreadsheet program shows it; the line for text files.", required=True),
)
