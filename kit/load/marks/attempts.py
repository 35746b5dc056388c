"""Several marks of one test: which one counts, as declared; the others are set aside, never lost."""

from __future__ import annotations

import re

from kit.load.columns import plain
from kit.load.declared import MarkColumn, Rules
from kit.load.marks.mark import Mark
from kit.load.ratings.raters import rater_of
from kit.load.sheets import Row


def settle_attempts(rows: list[Row], rules: Rules) -> None:
    """Decide which mark counts where a student has several of one occasion, measure and rater.

    Parameters
    ----------
    rows : list of Row
        Rows whose students are known; marks that do not count are taken out and set aside.
    rules : Rules
        ``attempts`` says which one counts; with ``"mean"`` all stay, numbered. Of the same marks in two choirs
        those in a choir of ``primary_choir`` count, else those listed first.
    """
    seen: dict[tuple, list[tuple[Row, MarkColumn, Mark]]] = {}
    for row in primary_first(rows, rules):
        if not row.open:
            continue
        keyed = [(mark_key(row, column, mark), column, mark) for column, mark in row.marks]
        if keyed and all(key in seen for key, _, _ in keyed) and _repeats_earlier_row(row, keyed, seen):
            _set_repetition_aside(row, seen[keyed[0][0]])
            continue
        for key, column, mark in keyed:
            seen.setdefault(key, []).append((row, column, mark))
    for taken in seen.values():
        marked = [entry for entry in taken if not entry[2].missing_reason]
        if len(taken) > 1:
            _keep_one(taken, marked, rules)


def primary_first(rows: list[Row], rules: Rules) -> list[Row]:
    """Put the rows of the choirs that count first, where the study file names them; else leave the order."""
    if not rules.primary_choir:
        return rows
    primary = {plain(choir) for choir in rules.primary_choir}
    return sorted(rows, key=lambda row: plain(row.choir) not in primary)


def _set_repetition_aside(row: Row, earlier: list[tuple[Row, MarkColumn, Mark]]) -> None:
    """Set a row aside that says the same as one of the same choir, or of another choir."""
    choirs = {other.choir for other, _, _ in earlier}
    if row.choir in choirs or "" in (row.choir, *choirs):  # where no choir is named, it may be the same one
        row.account.set_row_aside(
            row.index, why="same_row_twice", found="The row says the same as an earlier one.", do="Delete one."
        )
    else:
        row.account.set_row_aside(
            row.index, why="second_choir", found=f'The student has the same marks in "{min(choirs)}".',
            do="Name the choir that counts under primary_choir in study.toml if it is this one.",
        )  # fmt: skip


def _repeats_earlier_row(row: Row, keyed: list[tuple], seen: dict[tuple, list]) -> bool:
    """Say whether every mark of a row has been seen for the same student, test and attempt."""
    return all(
        any(mark == other and row.fields == earlier.fields for earlier, _, other in seen[key]) for key, _, mark in keyed
    )


def _keep_one(taken: list, marked: list, rules: Rules) -> None:
    """Keep the mark that counts and set the others aside; an empty cell gives way to a mark."""
    taken, marked = sorted(taken, key=_number), sorted(marked, key=_number)
    if rules.attempts == "mean" and len(marked) > 1:
        kept = marked
        for number, (row, column, _) in enumerate(kept, 1):
            row.attempts[column.column] = column.attempt or number
    elif rules.attempts == "best" and marked:
        kept = [max(marked, key=lambda entry: entry[2].share if entry[2].share is not None else entry[2].points)]
    else:
        kept = [(marked or taken)[-1 if rules.attempts == "last" else 0]]
    if len({id(row) for row, _, _ in marked}) > 1 and not any(row.school_id for row, _, _ in marked):
        _refuse_one_name(marked)
        return
    for row, column, mark in taken:
        if any(mark is other and row is keeper for keeper, _, other in kept):
            continue
        row.marks = [(c, m) for c, m in row.marks if c is not column or m is not mark]
        found = {
            "why": "second_attempt", "found": f"The student was tested again ({column.occasion}).",
            "do": f'The {rules.attempts} mark counts; declare attempts = "first", "last", "best" or "mean".',
        }  # fmt: skip
        if not row.marks:
            row.account.set_row_aside(row.index, column=column.column, **found)
        elif not mark.missing_reason:
            row.account.set_cell_aside(row.index, column.column, **found)


def _refuse_one_name(marked: list) -> None:
    """Refuse two different marks under one name where no id tells whether they are one student's."""
    (first, _, _), (second, column, _) = marked[0], marked[1]
    told = {(problem.why, problem.row) for problem in second.account.problems}
    if ("name_twice", second.account.place(second.index)["row"]) not in told:
        second.account.refuse(
            why="name_twice", index=second.index, column=column.column,
            found=f"Row {first.account.place(first.index)['row']} has the same name and another mark.",
            do="Give the students ids: two students may have one name.",
        )  # fmt: skip


def mark_key(row: Row, column: MarkColumn, mark: Mark) -> tuple:
    """Key of one test of one student."""
    return row.student, column.occasion, column.measure, rater_of(row, column, mark)


def _number(entry: tuple[Row, MarkColumn, Mark]) -> float:
    """Read the number of an attempt from its column or its row; entries without one keep their order."""
    row, column, _ = entry
    told = column.attempt or row.fields.get("attempt") or 0
    found = re.search(r"\d+", str(told))
    return float(found[0]) if found else 0.0
