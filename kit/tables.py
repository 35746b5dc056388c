"""The normalised tables: students and marks, and the tables that account for how everything was read."""

from __future__ import annotations

from functools import cache

import pandas as pd

from kit.music_tables import (
    ACTIVITIES,
    APPROACHES,
    ATTENDANCE,
    DRILLS,
    ITEMS,
    PATTERNS,
    RATINGS,
    STAGES,
    UNITS,
)
from kit.table import DTYPES, MISSING_REASONS, PLACE, Column, ColumnType, Table

__all__ = [
    "ACTIVITIES", "APPROACHES", "ATTENDANCE", "CHANGES", "DRILLS", "DTYPES", "ITEMS", "LEDGER", "MISSING_REASONS",
    "NORMALISED", "PATTERNS", "PLACE", "RATINGS", "SCORES", "SET_ASIDE", "STAGES", "STUDENTS", "TABLES", "UNITS",
    "Column", "ColumnType", "Table", "conform", "empty", "without_categories",
]  # fmt: skip

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

NORMALISED = (STUDENTS, SCORES, ITEMS, DRILLS, PATTERNS, RATINGS, ATTENDANCE)
"""The tables about music and people; the others account for how they were read."""

TABLES = {table.name: table for table in (*NORMALISED, SET_ASIDE, LEDGER, CHANGES)}


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
    return _typed(table).copy()


@cache
def _typed(table: Table) -> pd.DataFrame:
    """Make the columns of a table once, since every small file needs a few empty tables."""
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
        (numbers) or empty text. Text columns that come as categories without a missing value stay so.

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
        if column.type == "text" and isinstance(values.dtype, pd.CategoricalDtype) and not values.isna().any():
            continue  # a log of millions of lines keeps each different text once
        filled = values.astype(object).where(values.notna(), "") if column.type == "text" else values
        found[column.name] = filled.astype(DTYPES[column.type])
    return found


def without_categories(rows: pd.DataFrame) -> pd.DataFrame:
    """Write text columns that are kept as categories, as those of long logs are, as plain text.

    Parameters
    ----------
    rows : DataFrame
        Rows of any table.

    Returns
    -------
    DataFrame
        The same rows.
    """
    coded = [name for name, dtype in rows.dtypes.items() if isinstance(dtype, pd.CategoricalDtype)]
    return rows.astype(dict.fromkeys(coded, "str"))
