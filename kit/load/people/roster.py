"""Lists of the choirs' students -> the students table."""

from __future__ import annotations

from functools import lru_cache

import pandas as pd

from kit.load.columns import plain
from kit.load.declared import RosterSource, Rules, names_of
from kit.load.formats.cells import Book, Value
from kit.load.ledger import Account
from kit.load.marks.attempts import FEWEST_TWICE, MANY_TWICE, primary_first
from kit.load.order_checks import refuse_mixed_choirs
from kit.load.people.aliases import meanings
from kit.load.people.grades import read_grade, read_voice_part
from kit.load.people.personal import report_personal_columns
from kit.load.people.shared_choirs import mostly_spelt
from kit.load.sheets import Row, SheetRead, choir_reader, data_rows, open_sheets, text_of
from kit.load.suggest import Suggestion, suggest_roster
from kit.reasons import REASONS
from kit.tables import STUDENTS, conform

_FIELDS = ("school", "grade", "voice_part", "approach", "experience", "consent", "moved_to")
_KEPT = ("school", "approach", "experience")
# a roster holds few different grades and voice parts, so each is read once
_READ = {"grade": lru_cache(256)(read_grade), "voice_part": lru_cache(256)(read_voice_part)}
_DO = {
    "grade_split": "Write the one grade that the student is in; the grade is left empty until then.",
    "unknown_code": "Write the voice part, such as Alto or Tenor 2; it is left empty until then.",
}
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
        As `kit.load.marks.scores.read_scores` gives them.
    """
    declared = [source.student, source.choir, *names_of(source), *(getattr(source, field) for field in _FIELDS)]
    rows, accounts, suggestions = [], [], []
    sheets = list(open_sheets(book, source, [heading for heading in declared if heading], suggest_roster))
    reads = [sheet for sheet in sheets if isinstance(sheet, SheetRead)]
    for sheet in sheets:
        accounts.append(sheet if isinstance(sheet, Account) else sheet.account)
        if isinstance(sheet, SheetRead):
            suggestions.append(sheet.suggestion)
            report_personal_columns(sheet)
            found = data_rows(sheet, _FIELDS, choir_reader(sheet, len(reads) > 1))
            for row in found:
                row.fields |= {f"column of {field}": getattr(sheet.source, field) for field in _READ}
            rows += found
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
        The students table; ``attrs["second_choirs"]`` has, where there are any, student -> another choir listed.
    """
    names = {plain(word): approach for approach, words in rules.approaches.items() for word in (approach, *words)}
    names |= meanings("approach", rules.aliases)
    spelling = mostly_spelt(text_of(row.fields.get("approach")) for row in roster or scores)
    students: dict[str, tuple[Row, dict]] = {}
    second: dict[str, str] = {}
    for row in primary_first(roster or scores, rules):
        if not row.open:
            continue
        if row.student in students:
            if roster and _set_second_listing_aside(row, students[row.student][0], rules):
                second.setdefault(row.student, row.choir)
            continue
        values = {field: text_of(row.fields.get(field)) for field in _KEPT}
        if values["approach"]:
            values["approach"] = _one_spelling(row, values["approach"], spelling | names)
        values |= {field: _read_word(row, field) for field in _READ}
        place = row.account.place(row.index)
        students[row.student] = row, {
            "student": row.student, "choir": row.choir, "consent": _yes_no(row.fields.get("consent")), **values,
            **{key: place[key] for key in ("file", "sheet", "row")},
        }  # fmt: skip
    _refuse_ids_of_several_schools(roster)
    listed = list(students.values())
    refuse_mixed_choirs(
        [row for row, _ in listed], {at: student["approach"] for at, (_, student) in enumerate(listed)}, rules
    )
    table = conform([student for _, student in listed], STUDENTS)
    table.attrs |= {"second_choirs": second} if second else {}
    return table


def _refuse_ids_of_several_schools(roster: list[Row]) -> None:
    """Ask about ids listed at two schools, unless they are few: each school may number its own singers."""
    moved = [
        row for row in roster if not row.open and row.account.aside[row.index].why == "moved_school" and row.school_id
    ]
    ids = len({row.school_id for row in roster if row.school_id})
    shared = len({row.school_id for row in moved})
    if shared >= FEWEST_TWICE and shared > MANY_TWICE * ids:
        account = moved[0].account
        account.refuse(
            why="id_twice", index=moved[0].index,
            found=f"{shared} of {ids} ids are listed at two schools.",
            do="If each school numbers its own singers, write the school before the id in all files, such as B-1. If "
            "they moved to another school, leave the row of the first school and write the other one under moved_to.",
        )  # fmt: skip


def _read_word(row: Row, field: str) -> str:
    """Read a grade or a voice part; one that cannot be read is set aside by itself."""
    value = row.fields.get(field)
    word = _READ[field](value)
    if word.fault:
        row.account.set_cell_aside(
            row.index,
            text_of(row.fields.get(f"column of {field}")),
            why=word.fault,
            found=REASONS[word.fault],
            do=_DO[word.fault],
        )
    elif word.rule:
        row.account.change(word.rule, row.index, value, word.text)
    return word.text


def _set_second_listing_aside(row: Row, first: Row, rules: Rules) -> bool:
    """Set a second row about one student aside, with the reason that fits, and say whether it names a second choir.

    Two of one name may be two students.
    """
    school, other = (text_of(each.fields.get("school")) for each in (row, first))
    if not row.school_id and plain(row.choir) == plain(first.choir) and _says(row) != _says(first):
        row.account.refuse(
            why="name_twice", index=row.index,
            found=f"Row {first.account.place(first.index)['row']} has the same name in the same choir and says "
            "something else.",
            do="Give the students ids: two students may have one name.",
        )  # fmt: skip
    elif school and other and plain(school) != plain(other):
        row.account.set_row_aside(
            row.index, why="moved_school",
            found=f'The {"student" if row.school_id else "name"} is also listed at "{other}".',
            do=("" if row.school_id else "If these are two students of one name, give them ids. If it is one: ")
            + "Put the row of the school first where the student was tested first.",
        )  # fmt: skip
    elif plain(row.choir) != plain(first.choir):
        row.account.set_row_aside(
            row.index, why="second_choir", found=f'The student is also in "{first.choir}".',
            do="Nothing: the other choir is named under primary_choir in study.toml."
            if plain(first.choir) in map(plain, rules.primary_choir)
            else "Put the row of the choir that should count first, or name it under primary_choir in study.toml.",
        )  # fmt: skip
        return True
    else:
        row.account.set_row_aside(
            row.index, why="same_row_twice", found="The student is listed twice.", do="Delete one row."
        )
    return False


def _says(row: Row) -> list[str]:
    """Write what a row says of its student."""
    return [text_of(row.fields.get(field)) for field in _FIELDS]


def _one_spelling(row: Row, approach: str, names: dict[str, str]) -> str:
    """Write an approach the declared way, or as it is mostly spelt."""
    name = names[plain(approach)]
    if name != approach:
        row.account.change("approach spelt one way", row.index, approach, name)
    return name


def _yes_no(value: Value) -> bool | None:
    """Read a yes or no; None for anything else."""
    word = plain(value)
    return True if word in _YES else False if word in _NO else None
