"""The normalised tables: every column's name, type, unit and meaning, and the reason codes for what was not used."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import pandas as pd

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

STUDENTS = Table(
    "students",
    "a student",
    (
        Column("student", "text", "Random study id; the private crosswalk alone links it to a person.", required=True),
        Column("choir", "text", "Choir the student sings in."),
        Column("school", "text", "School of the choir."),
        Column("grade", "text", "School grade as the roster gives it."),
        Column("voice_part", "text", "Voice part as the roster gives it."),
        Column("approach", "text", "Teaching approach the choir was assigned to."),
        Column("experience", "text", "Years or level of experience as the roster gives it."),
        Column("consent", "yes_no", "Whether research use is consented to; empty when not recorded."),
        *PLACE,
    ),
)

SCORES = Table(
    "scores",
    "one mark of one test",
    (
        Column("student", "text", "Random study id.", required=True),
        Column("choir", "text", "Choir named beside the mark (column or sheet); empty when not given."),
        Column("occasion", "text", "Test occasion, in the order declared in the study file.", required=True),
        Column("date", "date", "Day of the test."),
        Column("measure", "text", "What was marked: pitch, rhythm, total, ...", required=True),
        Column("form", "text", "Test form (A, B, ...); empty when not recorded."),
        Column("rater", "text", "Who marked; empty when not recorded."),
        Column("attempt", "integer", "Number of the attempt, counted from 1.", unit="attempts"),
        Column("points", "number", "Points earned; empty when the mark is missing or only a share.", unit="points"),
        Column("max_points", "number", "Most points that could be earned.", unit="points"),
        Column("share", "number", "Points over most points, 0 to 1.", unit="share"),
        Column("missing_reason", "text", "Why there is no mark; empty when there is one.", allowed=MISSING_REASONS),
        *PLACE,
        Column("column", "text", "Heading of the column that the mark came from."),
    ),
)

SET_ASIDE = Table(
    "set_aside",
    "a row or cell that was not used",
    (
        *PLACE,
        Column("column", "text", "Heading of the column; empty when the whole row was set aside."),
        Column("found", "text", "What stood there; names are never repeated here."),
        Column("why", "text", "Reason code.", required=True),
        Column("what_to_do", "text", "What to do about it.", required=True),
    ),
)

LEDGER = Table(
    "ledger",
    "a sheet that was read",
    (
        Column("file", "text", "File as named in the study folder.", required=True),
        Column("sheet", "text", "Sheet of the workbook; empty for text files."),
        Column("rows", "integer", "Rows of the sheet, first to last that holds anything or is formatted.", unit="rows"),
        Column("unread", "integer", "Rows of a sheet that holds no scores and was not declared.", unit="rows"),
        Column("title", "integer", "Title lines above the header.", unit="rows"),
        Column("header", "integer", "Header rows.", unit="rows"),
        Column("blank", "integer", "Empty rows.", unit="rows"),
        Column("total", "integer", "Totals, averages and other rows that are no student's.", unit="rows"),
        Column("data", "integer", "Rows about a student: what is left of the sheet.", unit="rows"),
        Column("used", "integer", "Data rows that entered a table.", unit="rows"),
        Column("set_aside", "integer", "Data rows that were set aside, each listed with its reason.", unit="rows"),
        Column("cells_set_aside", "integer", "Single marks set aside inside used rows.", unit="cells"),
    ),
)

CHANGES = Table(
    "changes",
    "a kind of normalisation that was applied",
    (
        Column("file", "text", "File as named in the study folder.", required=True),
        Column("sheet", "text", "Sheet of the workbook; empty for text files."),
        Column("rule", "text", "The rule, in words.", required=True),
        Column("times", "integer", "How often it was applied.", unit="times"),
        Column("before", "text", "One example as found."),
        Column("after", "text", "The example as read."),
        Column("row", "integer", "Row of the example."),
    ),
)

TABLES = {table.name: table for table in (STUDENTS, SCORES, SET_ASIDE, LEDGER, CHANGES)}

REASONS: dict[str, str] = {
    # whole files and sheets
    "file_missing": "The file is not there.",
    "file_empty": "The file holds nothing.",
    "file_kind": "The kit cannot read this kind of file.",
    "file_locked": "The workbook is protected by a password.",
    "file_broken": "The workbook cannot be opened.",
    "file_large": "The file is larger than the kit opens.",
    "file_twice": "The same file was given twice under two names.",
    "encoding_unclear": "The letters of the file can be read in two ways.",
    "no_header": "No row with column headings was found.",
    "no_data": "There are headings and nothing below them.",
    "wrong_columns": "None of the columns is one that the kit needs.",
    "column_missing": "A column named in the study file is not in the sheet.",
    "column_twice": "Two columns have the same heading.",
    "decimals_mixed": "Some numbers have a decimal comma and some a decimal point.",
    "sheet_hidden": "The sheet is hidden.",
    # rows
    "no_student": "The row names no student.",
    "test_student": "The row is a test account, not a student.",
    "same_row_twice": "The row says the same as an earlier one.",
    "second_choir": "The student is listed in a second choir; the first one listed counts.",
    "second_attempt": "The student was tested twice on this occasion; the study file says which mark counts.",
    "name_twice": "Two rows have one name and different marks.",
    "unclear_student": "The row could belong to more than one student.",
    "unknown_occasion": "The occasion is none of those in the study file.",
    "row_shape": "The row has more or fewer fields than the header.",
    # cells
    "not_a_mark": "This is no mark that the kit can read.",
    "unclear_mark": "The mark can be read in two ways.",
    "over_maximum": "The mark is above the most points that can be earned.",
    "below_zero": "The mark is below zero.",
    "formula_unsaved": "The cell holds a formula whose value was not saved.",
    "formula_error": "The cell holds a formula error.",
    "many_over_maximum": "More than one mark in twenty is above the most points that can be earned.",
    "scale_mixed": "Some marks are shares (0.85) and some are whole numbers (85).",
    "id_width": "Some ids have leading zeros and some do not.",
    "occasion_order": "The order of the test occasions is not clear.",
    "setting": "The study file has a setting that the kit does not understand.",
}
"""Reason code -> what it means, in a sentence that can be printed."""


def empty(table: Table) -> pd.DataFrame:
    """Make a normalised table without rows.

    Parameters
    ----------
    table : Table
        Which table.

    Returns
    -------
    DataFrame, shape (0, len(table.columns))
        Every column with its type.
    """
    return conform(pd.DataFrame(), table)


def conform(rows: pd.DataFrame | list[dict], table: Table) -> pd.DataFrame:
    """Give rows the columns of a normalised table, in order and with their types.

    Parameters
    ----------
    rows : DataFrame or list of dict
        Rows; columns that the table does not have are refused.
    table : Table
        Which table.

    Returns
    -------
    DataFrame
        One column for each of ``table.columns``; missing ones are filled with missing values
        (numbers) or empty text.

    Raises
    ------
    ValueError
        If a column is none of the table's.
    """
    found = pd.DataFrame(rows)
    stray = [name for name in found.columns if name not in table.names]
    if stray:
        raise ValueError(f"conform: columns of {table.name!r} must be among {table.names}. Got {stray}.")
    found = found.reindex(columns=table.names)
    for column in table.columns:
        values = found[column.name]
        filled = values.astype(object).where(values.notna(), "") if column.type == "text" else values
        found[column.name] = filled.astype(DTYPES[column.type])
    return found
