"""Checks across the rows of all files, once persons are known: dates, moves, groups, zeros for absences."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

from kit.errors import Problem
from kit.load.columns import field_of, plain
from kit.load.declared import MarkColumn, RosterSource, Rules, ScoreSource
from kit.load.ledger import LISTED, rows_in_words
from kit.load.marks.mark import Mark
from kit.load.marks.scores import mark_day
from kit.load.sheets import Row, text_of
from kit.load.suggest import Suggestion
from kit.reasons import REASONS

_NAMED = ("pre", "mid", "post", "later")
_STAYED = {"", "-", "no", "n", "none", "n/a"}


@dataclass(frozen=True, slots=True)
class Zeros:
    """Marks of zero on days on which attendance says absent: perhaps no marks at all."""

    rows: tuple[tuple[str, int], ...]
    of_zeros: int

    def __str__(self) -> str:
        """Say what was found and what to do."""
        places = ", ".join(f"{file} row {row}" for file, row in self.rows[:LISTED])
        more = f" and {len(self.rows) - LISTED} more" if len(self.rows) > LISTED else ""
        return (
            f"{len(self.rows)} of {self.of_zeros} marks of zero are of students who were absent that day "
            f"({places}{more}). If they were not tested, write abs in place of the zero."
        )


def check_rows(listed: Sequence[Row], marked: Sequence[Row], rules: Rules) -> None:
    """Check the rows of all files against each other.

    Parameters
    ----------
    listed : sequence of Row
        Rows of the rosters.
    marked : sequence of Row
        Rows of the files of marks, one mark for each test; marks made after a student moved to another school are
        set aside there, and missing from then on.
    rules : Rules
        The order of the occasions.
    """
    order = {occasion: at for at, occasion in enumerate(tuple(rules.occasions) or _NAMED)}
    rows = [row for row in marked if row.open]
    _refuse_backward_dates(rows, order)
    _count_transfers(rows, order)
    _count_unknown_choirs(listed, rows)
    moved = _moved(listed)
    for row in rows:
        if row.student in moved:
            row.marks = [(column, _before_move(row, column, mark, order)) for column, mark in row.marks]


def refuse_mixed_choirs(listed: Sequence[Row], approaches: Mapping[int, str], rules: Rules) -> None:
    """Refuse a roster in which one choir has two approaches, unless students were assigned one by one.

    Parameters
    ----------
    listed : sequence of Row
        Rows of the rosters that count.
    approaches : mapping of int to str
        Approach of each row, by its place in ``listed``.
    rules : Rules
        ``groups_inside_choirs``.
    """
    accounts = {id(row.account): row.account for row in listed}.values()
    asked = any(problem.why == "choir_shared" for account in accounts for problem in account.problems)
    if rules.groups_inside_choirs or asked:  # choirs of one name may be several, each with an approach of its own
        return
    first: dict[str, str] = {}
    told = set()
    for at, row in enumerate(listed):
        approach, choir = approaches.get(at, ""), plain(row.choir)
        if not approach or not choir or first.setdefault(choir, approach) == approach or choir in told:
            continue
        told.add(choir)
        row.account.refuse(
            why="group_twice", index=row.index,
            found=f'The choir "{row.choir}" has the approaches "{first[choir]}" and "{approach}".',
            do="Correct the label; if students, not choirs, were assigned to approaches, write "
            "groups_inside_choirs = true in study.toml.",
        )  # fmt: skip


def zeros_where_absent(scores: pd.DataFrame, attendance: pd.DataFrame) -> Zeros | None:
    """Find marks of zero that may stand for absences.

    Parameters
    ----------
    scores : DataFrame
        The scores table.
    attendance : DataFrame
        The attendance table.

    Returns
    -------
    Zeros or None
        ``None`` where no zero meets an absence.
    """
    zeros = scores[(scores["points"] == 0) | (scores["points"].isna() & (scores["share"] == 0))]
    away = attendance.loc[attendance["present"].isin(["absent", "excused"]), ["student", "date"]].drop_duplicates()
    met = zeros.merge(away, on=["student", "date"])
    if met.empty:
        return None
    places = sorted({(file, int(row)) for file, row in zip(met["file"], met["row"], strict=True)})
    return Zeros(tuple(places), len(zeros))


def _refuse_backward_dates(rows: list[Row], order: Mapping[str, int]) -> None:
    """Refuse files in which a later test of a student is dated on or before an earlier one."""
    days: dict[str, list[tuple]] = defaultdict(list)
    for row in rows:
        for column, mark in row.marks:
            day = mark_day(row, column)
            if day is not None and not mark.missing_reason and column.occasion in order:
                days[row.student].append((order[column.occasion], day, row, column))
    backward: dict[int, dict[int, tuple]] = defaultdict(dict)
    for tests in days.values():
        for at, day, row, column in tests:
            if any(earlier < at and other >= day for earlier, other, _, _ in tests):
                backward[id(row.account)].setdefault(row.index, (row, column))
    for found in backward.values():
        row, column = found[min(found)]
        listed = rows_in_words([row.account.sheet.numbers[index] for index in sorted(found)])
        row.account.refuse(
            why="dates_backward", index=row.index, column=column.date,
            found=f"{REASONS['dates_backward'].removesuffix('.')}: {listed}.",
            do="Correct the dates, or the occasions.",
        )  # fmt: skip


def _count_transfers(rows: list[Row], order: Mapping[str, int]) -> None:
    """Count the students who were tested in another choir than the first time; the first choir counts."""
    tested: dict[str, list[tuple[int, Row]]] = defaultdict(list)
    for row in rows:
        if row.choir and row.marks:
            tested[row.student].append((min(order.get(column.occasion, 0) for column, _ in row.marks), row))
    for tests in tested.values():
        start, first = min(tests, key=lambda test: test[0])
        away = [row for at, row in tests if at > start and row.choir != first.choir]
        later = [row for row in away if plain(row.choir) != plain(first.choir)]
        if later:
            row = later[0]
            row.account.change(
                "student moved to another choir, the first one counts", row.index, row.choir, first.choir
            )


def _count_unknown_choirs(listed: Sequence[Row], rows: list[Row]) -> None:
    """Count the rows whose choir is on no roster: perhaps one that has another name there."""
    known = {plain(choir) for choir in {row.choir for row in listed} if choir}
    unknown = {choir for choir in {row.choir for row in rows} if choir and plain(choir) not in known}
    for row in rows if known else ():
        if row.choir in unknown:
            row.account.change("choir that is on no roster", row.index, row.choir, row.choir)


def _moved(listed: Sequence[Row]) -> set[str]:
    """List the students whom the roster sends to another school, or lists in two."""
    choirs = {plain(row.choir) for row in listed if row.choir}
    moved, school = set(), {}
    for row in listed:
        if not row.student:
            continue
        to, own = plain(text_of(row.fields.get("moved_to"))), plain(text_of(row.fields.get("school")))
        if to not in _STAYED and to not in choirs and to != own:
            moved.add(row.student)
        if own and school.setdefault(row.student, own) != own:
            moved.add(row.student)
    return moved


def _before_move(row: Row, column: MarkColumn, mark: Mark, order: Mapping[str, int]) -> Mark:
    """Set a mark aside that was made after the move, and say that the student has left."""
    if order.get(column.occasion, 0) == 0 or mark.missing_reason:
        return mark
    row.account.set_cell_aside(
        row.index, column.column, why="moved_school", found=REASONS["moved_school"],
        do="Nothing: the tests of one school only are compared. Take the move out of the roster if it is none.",
    )  # fmt: skip
    return Mark(missing_reason="left")


def unlisted(suggestions: Iterable[Suggestion], scores: pd.DataFrame) -> Iterator[Problem]:
    """Find columns of schools and approaches that nothing reads, in marks of a study without a list of students.

    Parameters
    ----------
    suggestions : iterable of Suggestion
        How the sheets of all files were understood.
    scores : DataFrame
        The scores table.

    Yields
    ------
    Problem
        One for each file; where each student has one row, with the section of study.toml that makes it a list.
    """
    suggestions = list(suggestions)
    if any(isinstance(found.source, RosterSource) for found in suggestions):
        return
    for file, found in {found.source.file: found for found in suggestions}.items():
        told = {field: heading for heading in found.unread if (field := field_of(heading)) in ("school", "approach")}
        if not isinstance(found.source, ScoreSource) or not told:
            continue
        rows = scores[scores["file"] == file].groupby(["sheet", "student"])["row"].nunique()
        listed = " and ".join(f'"{heading}"' for heading in told.values())
        source = {name: getattr(found.source, name) for name in ("file", "student", "name", "choir")} | told
        lines = [f"{name} = {json.dumps(value)}" for name, value in source.items() if value]
        one = ", and choirs of one name in several schools would count as one choir" if "school" in told else ""
        yield Problem(
            why="setting", file=file,
            found=f"The {'column' if len(told) == 1 else 'columns'} {listed} of the marks cannot be used{one}.",
            do="Declare a list of students, with what these columns say of each, under [[rosters]] in study.toml.",
            type_this="\n".join(["[[rosters]]", *lines]) if rows.max() == 1 else "",
        )  # fmt: skip
