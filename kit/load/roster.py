"""Lists of the choirs' students -> the students table."""

from __future__ import annotations

import pandas as pd

from kit.load.cells import Book, Value
from kit.load.columns import plain
from kit.load.declared import RosterSource, Rules, names_of
from kit.load.ledger import Account
from kit.load.sheets import Row, SheetRead, choir_reader, data_rows, open_sheets, text_of
from kit.load.suggest import Suggestion, suggest_roster
from kit.tables import STUDENTS, conform

_FIELDS = ("school", "grade", "voice_part", "approach", "experience", "consent")
_YES, _NO = {"yes", "y", "true", "1"}, {"no", "n", "false", "0"}


def read_roster(book: Book, source: RosterSource) -> tuple[list[Row], list[Account], list[Suggestion]]:
    """Read one roster file.

    Parameters
    ----------
    book : Book
        The file.
    source : RosterSource
        What is declared about it; the rest is recognised from the headings.

    Returns
    -------
    rows, accounts, suggestions
        As `kit.load.scores.read_scores` gives them.
    """
    declared = [source.student, source.choir, *names_of(source), *(getattr(source, field) for field in _FIELDS)]
    rows, accounts, suggestions = [], [], []
    sheets = list(open_sheets(book, source, [heading for heading in declared if heading], suggest_roster))
    reads = [sheet for sheet in sheets if isinstance(sheet, SheetRead)]
    for sheet in sheets:
        accounts.append(sheet if isinstance(sheet, Account) else sheet.account)
        if isinstance(sheet, SheetRead):
            suggestions.append(sheet.suggestion)
            rows += data_rows(sheet, _FIELDS, choir_reader(sheet, len(reads) > 1))
    return rows, accounts, suggestions


def student_table(roster: list[Row], scores: list[Row], rules: Rules) -> pd.DataFrame:
    """Lay the students out, one row each; without a roster they are those who have marks.

    Parameters
    ----------
    roster : list of Row
        Rows of the rosters; a student listed twice keeps the first row, the later one is set aside.
    scores : list of Row
        Rows of the files of marks.
    rules : Rules
        ``approaches`` gives other words for the approaches.

    Returns
    -------
    DataFrame
        The students table.
    """
    names = {plain(word): approach for approach, words in rules.approaches.items() for word in (approach, *words)}
    first_spelling: dict[str, str] = {}
    students: dict[str, dict] = {}
    for row in roster or scores:
        if not row.open:
            continue
        if row.student in students:
            if roster:
                _set_second_listing_aside(row, students[row.student])
            continue
        values = {field: text_of(row.fields.get(field)) for field in _FIELDS if field != "consent"}
        if values["approach"]:
            values["approach"] = _one_spelling(row, values["approach"], names, first_spelling)
        consent = _yes_no(row.fields.get("consent"))
        students[row.student] = {
            "student": row.student,
            "choir": row.choir,
            "consent": consent,
            **values,
            **row.account.place(row.index),
        }
    table = [{key: value for key, value in student.items() if key != "column"} for student in students.values()]
    return conform(table, STUDENTS)


def _set_second_listing_aside(row: Row, first: dict) -> None:
    """Set a second row about one student aside, with the reason that fits."""
    if row.choir != first["choir"]:
        row.account.set_row_aside(
            row.index, why="second_choir", found=f'The student is also in "{first["choir"]}".',
            do="Put the row of the choir that should count first.",
        )  # fmt: skip
    else:
        row.account.set_row_aside(
            row.index, why="same_row_twice", found="The student is listed twice.", do="Delete one row."
        )


def _one_spelling(row: Row, approach: str, names: dict[str, str], first_spelling: dict[str, str]) -> str:
    """Write an approach the declared way, or as it was first spelt, without regard to case and spaces."""
    key = plain(approach)
    name = names.get(key) or first_spelling.setdefault(key, approach)
    if name != approach:
        row.account.change("approach spelt one way", row.index, approach, name)
    return name


def _yes_no(value: Value) -> bool | None:
    """Read a yes or no; None for anything else."""
    word = plain(value)
    return True if word in _YES else False if word in _NO else None
