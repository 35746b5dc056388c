"""Several marks of one test: which one counts, as declared; the others are set aside, never lost."""

from __future__ import annotations

from kit.load.declared import MarkColumn, Rules
from kit.load.marks import Mark
from kit.load.sheets import Row, text_of


def settle_attempts(rows: list[Row], rules: Rules) -> None:
    """Decide which mark counts where a student has several of one occasion, measure and rater.

    Parameters
    ----------
    rows : list of Row
        Rows whose students are known; marks that do not count are taken out and set aside.
    rules : Rules
        ``attempts`` says which one counts; with ``"mean"`` all stay, numbered.
    """
    seen: dict[tuple, list[tuple[Row, MarkColumn, Mark]]] = {}
    for row in rows:
        if not row.open:
            continue
        keyed = [(mark_key(row, column), column, mark) for column, mark in row.marks]
        if keyed and all(key in seen for key, _, _ in keyed) and _repeats_earlier_row(row, keyed, seen):
            row.account.set_row_aside(
                row.index, why="same_row_twice", found="The row says the same as an earlier one.", do="Delete one."
            )
            continue
        for key, column, mark in keyed:
            seen.setdefault(key, []).append((row, column, mark))
    for taken in seen.values():
        marked = [entry for entry in taken if not entry[2].missing_reason]
        if len(taken) > 1:
            _keep_one(taken, marked, rules)


def _repeats_earlier_row(row: Row, keyed: list[tuple], seen: dict[tuple, list]) -> bool:
    """Say whether every mark of a row has been seen for the same student, test and attempt."""
    return all(
        any(mark == other and row.fields == earlier.fields for earlier, _, other in seen[key]) for key, _, mark in keyed
    )


def _keep_one(taken: list, marked: list, rules: Rules) -> None:
    """Keep the mark that counts and set the others aside; an empty cell gives way to a mark."""
    if rules.attempts == "mean" and len(marked) > 1:
        kept = marked
        for number, (row, column, _) in enumerate(kept, 1):
            row.attempts[column.column] = number
    elif rules.attempts == "best" and marked:
        kept = [max(marked, key=lambda entry: entry[2].share if entry[2].share is not None else entry[2].points)]
    else:
        kept = [(marked or taken)[-1 if rules.attempts == "last" else 0]]
    if len(marked) > 1 and not any(row.school_id for row, _, _ in marked):
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
    if not any(problem.why == "name_twice" and problem.row == second.account.place(second.index)["row"]
               for problem in second.account.problems):  # fmt: skip
        second.account.refuse(
            why="name_twice", index=second.index, column=column.column,
            found=f"Row {first.account.place(first.index)['row']} has the same name and another mark.",
            do="Give the students ids: two students may have one name.",
        )  # fmt: skip


def mark_key(row: Row, column: MarkColumn) -> tuple:
    """Key of one test of one student."""
    named = row.fields["rater"]
    rater = (text_of(named) if named is not None else "") or column.rater
    return row.student, column.occasion, column.measure, rater
