"""The normalised tables: every column's name, type, unit and meaning, and the reason codes for what was not used."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
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

APPROACHES = ("step", "triad_skip", "other_skip", "repeat")
"""How a note is reached from the one before it; empty for the first note of a melody."""

ITEMS = Table(
    "items",
    "one scored note or beat",
    (
        Column("student", "text", "Random study id.", required=True),
        Column("choir", "text", "Choir named beside the mark; empty when not given."),
        Column("occasion", "text", "Test occasion.", required=True),
        Column("measure", "text", "What was marked: pitch or rhythm.", required=True),
        Column("form", "text", "Test form; empty when not recorded."),
        Column("rater", "text", "Who marked; empty when not recorded."),
        Column("melody", "text", "Melody of the test.", required=True),
        Column("item", "integer", "Place of the note or beat in its melody, from 1.", required=True),
        Column("degree", "integer", "Scale degree of the note, 1 to 7."),
        Column("alter", "integer", "Alteration of the degree: -1 lowered, 0, 1 raised.", unit="semitones"),
        Column("approached_by", "text", "How the note is reached from the one before it.", allowed=("", *APPROACHES)),
        Column("drilled", "yes_no", "Whether notes of this kind were drilled; empty when not tagged."),
        Column("right", "yes_no", "Whether the note (its pitch) or beat was right; empty when there is no mark."),
        Column("syllable_right", "yes_no", "Whether the syllable said was right; empty when not recorded."),
        Column("sung", "text", "What was sung instead, in scale degrees; empty when not recorded."),
        Column("missing_reason", "text", "Why there is no mark; empty when there is one.", allowed=MISSING_REASONS),
        *PLACE,
    ),
)

UNITS = ("class", "section", "group", "one")
STAGES = ("before_notation", "with_notation")
ACTIVITIES = (
    "echo", "hand signs", "pointing at a chart", "pattern cards", "scale or arpeggio", "round", "rhythm echo",
    "rhythm reading", "silent singing", "names spoken", "dictation", "reading in unison", "reading in parts", "probe",
)  # fmt: skip
"""Kinds of drill (common practice, no source); a school's own words are mapped to them in the study file."""

DRILLS = Table(
    "drills",
    "one line of a drill log",
    (
        Column("date", "date", "Day of the drill."),
        Column("choir", "text", "Choir that was drilled."),
        Column("student", "text", "Random study id; empty for a line about the class."),
        Column("teacher", "text", "Who led, as the log names the role."),
        Column("unit", "text", "Who sang.", allowed=("", *UNITS)),
        Column("activity", "text", "Kind of drill.", allowed=("", *ACTIVITIES)),
        Column("stage", "text", "Before or with the printed page.", allowed=("", *STAGES)),
        Column("minutes", "number", "Length of the drill.", unit="minutes"),
        Column("pattern", "text", "Code of the pattern, or of several with single spaces."),
        Column("target", "text", "What was to be sung, in scale degrees."),
        Column("sung", "text", "What was sung, in scale degrees."),
        Column("response", "text", "What was noted instead of notes: flat, sharp, repeated, unclear, none, declined."),
        Column("attempt", "integer", "Number of the try, from 1.", unit="attempts"),
        Column("right", "yes_no", "Whether the try was right as a whole (its pitches, where marked apart)."),
        Column("notes_right", "number", "Notes that were right, where counted.", unit="notes"),
        Column("notes_asked", "number", "Notes that were asked, where counted.", unit="notes"),
        Column("syllable_right", "yes_no", "Whether the syllables said were right; empty when not recorded."),
        Column("correction", "text", "What the teacher did after a miss."),
        Column("right_after", "yes_no", "Whether it was right after the correction."),
        Column("class_rating", "number", "How the class did, as the log rates it."),
        Column("errors_only", "yes_no", "Whether the log holds mistakes only, so that no accuracy can be computed."),
        Column("summary", "yes_no", "Whether the line sums up several days and is no measured session."),
        *PLACE,
    ),
)

PATTERNS = Table(
    "patterns",
    "one pattern of the drill, in the order of teaching",
    (
        Column("pattern", "text", "Code of the pattern.", required=True),
        Column("notes", "text", "Its notes, in scale degrees.", required=True),
        *PLACE,
    ),
)

RATINGS = Table(
    "ratings",
    "one judge's rating of a choir",
    (
        Column("date", "date", "Day of the event."),
        Column("choir", "text", "Choir that was rated.", required=True),
        Column("judge", "text", "Judge by role or code; 'panel' for the result of the whole panel.", required=True),
        Column("part", "text", "What was rated: concert, sight reading, ..."),
        Column("rating", "number", "The rating as a number of its scale.", required=True),
        Column("best_rating", "number", "The best number of the scale.", required=True),
        Column("worst_rating", "number", "The worst number of the scale.", required=True),
        *PLACE,
    ),
)

ATTENDANCE = Table(
    "attendance",
    "one student on one day",
    (
        Column("student", "text", "Random study id.", required=True),
        Column("choir", "text", "Choir named beside the code; empty when not given."),
        Column("date", "date", "The day.", required=True),
        Column("present", "text", "Present, absent, excused, or no school.", required=True,
               allowed=("present", "absent", "excused", "no_school")),
        *PLACE,
    ),
)  # fmt: skip

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
