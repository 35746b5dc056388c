"""Several marks of one test: which one counts, as declared; the others are set aside, never lost."""

from __future__ import annotations

import re

from kit.load.columns import plain
from kit.load.declared import MarkColumn, Rules
from kit.load.marks.mark import Mark
from kit.load.ratings.raters import rater_of
from kit.load.sheets import Row

Pair = tuple[Row, Row, MarkColumn]
MANY_TWICE, FEWEST_TWICE = 0.1, 3
"""Share and number of rows about students who have another mark of the same test beyond which it is asked why."""
MOST_TERMS = 4
"""Different cells that a column has at most which tells two terms apart."""


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
            _set_repetition_aside(row, seen[keyed[0][0]], rules)
            continue
        for key, column, mark in keyed:
            seen.setdefault(key, []).append((row, column, mark))
    twice: list[Pair] = []
    for taken in seen.values():
        marked = [entry for entry in taken if not entry[2].missing_reason]
        if len(taken) > 1:
            twice += _keep_one(taken, marked, rules)
    _refuse_twice(twice)


def primary_first(rows: list[Row], rules: Rules) -> list[Row]:
    """Put the rows of the choirs that count first, where the study file names them; else leave the order."""
    if not rules.primary_choir:
        return rows
    primary = {plain(choir) for choir in rules.primary_choir}
    return sorted(rows, key=lambda row: plain(row.choir) not in primary)


def _set_repetition_aside(row: Row, earlier: list[tuple[Row, MarkColumn, Mark]], rules: Rules) -> None:
    """Set a row aside that says the same as one of the same choir, or of another choir."""
    choirs = {other.choir for other, _, _ in earlier}
    if row.choir in choirs or "" in (row.choir, *choirs):  # where no choir is named, it may be the same one
        row.account.set_row_aside(
            row.index, why="same_row_twice", found="The row says the same as an earlier one.", do="Delete one."
        )
    else:
        row.account.set_row_aside(
            row.index, why="second_choir", found=f'The student has the same marks in "{min(choirs)}".',
            do="Nothing: the other choir is named under primary_choir in study.toml."
            if {plain(choir) for choir in choirs} & {plain(choir) for choir in rules.primary_choir}
            else "Name the choir that counts under primary_choir in study.toml if it is this one.",
        )  # fmt: skip


def _repeats_earlier_row(row: Row, keyed: list[tuple], seen: dict[tuple, list]) -> bool:
    """Say whether every mark of a row has been seen for the same student, test and attempt."""
    return all(
        any(mark == other and row.fields == earlier.fields for earlier, _, other in seen[key]) for key, _, mark in keyed
    )


def _keep_one(taken: list, marked: list, rules: Rules) -> list[Pair]:
    """Keep the mark that counts and set the others aside; an empty cell gives way to a mark.

    Gives pairs of rows with different marks that may be of two students or two tests: they have one name and no id, or
    one id where no rule is declared and nothing numbers the attempts.
    """
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
        return [(marked[0][0], marked[1][0], marked[1][1])]
    for row, column, mark in taken:
        if any(mark is other and row is keeper for keeper, _, other in kept):
            continue
        row.marks = [(c, m) for c, m in row.marks if c is not column or m is not mark]
        found = {
            "why": "second_attempt", "found": f"The student was tested again ({column.occasion}).",
            "do": f'The {rules.attempts or "first"} mark counts; declare attempts = "first", "last", "best" or "mean".',
        }  # fmt: skip
        if not row.marks:
            row.account.set_row_aside(row.index, column=column.column, **found)
        elif not mark.missing_reason:
            row.account.set_cell_aside(row.index, column.column, **found)
    numbered = any(column.attempt or row.fields.get("attempt") for row, column, _ in marked)
    again = [(marked[0][0], row, column) for row, column, _ in marked if row is not marked[0][0]]
    return [] if rules.attempts or numbered else again


def _refuse_twice(pairs: list[Pair]) -> None:
    """Refuse different marks of one test where they may be of two students, or of two tests."""
    groups: dict[tuple, dict[int, Pair]] = {}
    for pair in pairs:
        first, second, _ = pair
        key = id(first.account), id(second.account), bool(second.school_id)
        groups.setdefault(key, {}).setdefault(second.index, pair)
    for found in map(list, map(dict.values, groups.values())):
        first, second, _ = found[0]
        account = second.account
        many = len(found) >= FEWEST_TWICE and len(found) > MANY_TWICE * len(account.data)
        if second.school_id or (many and first.account is account):
            # one test in two layouts, for example, is asked about first
            if many and not account.problems and not first.account.problems:
                _refuse_many(found)
        elif first.account is not account and 2 * len(found) > len(account.data):
            _refuse_one_test(found)
        else:
            _refuse_one_name(found)


def _refuse_many(found: list[Pair]) -> None:
    """Ask about many students with two rows: each school may number its own singers, or the rows are of two terms."""
    (first, second, column), account = found[0], found[0][1].account
    same, choirs = first.account is account, plain(first.choir) != plain(second.choir)
    if same and not choirs:
        parting = _parting_heading(found)
        told = f' They differ in the column "{parting}".' if parting else ""
        found_it = f"{len(found)} students have two rows with other marks of the same test.{told}"
        do = "If these are two terms, leave one of them; if they are two students, give each an id of its own."
    else:
        where = f"another choir (compare row {first.account.place(first.index)['row']})" if same else _file_of(first)
        found_it = f"{len(found)} of {len(account.data)} ids stand in {where} too, with other marks of the same test."
        do = "If each school numbers its own singers, write the school before the id in all files, such as B-1."
    account.refuse(
        why="id_twice" if second.school_id else "name_twice", index=second.index, column=column.column, found=found_it,
        do=f"{do} If they are tries of one student, say which mark counts: "
        'attempts = "first", "last", "best" or "mean".',
    )  # fmt: skip


def _parting_heading(found: list[Pair]) -> str:
    """Find the column of few different cells in which the two rows of every student differ; empty where none does."""
    account = found[0][1].account
    header = max((index for index, kind in account.kinds.items() if kind == "header"), default=None)
    for at, heading in enumerate(account.sheet.rows[header] if header is not None else ()):
        cells = [[(*account.sheet.rows[row.index], *[None] * at)[at] for row in pair[:2]] for pair in found]
        few = len({cell for pair in cells for cell in pair}) <= MOST_TERMS
        if few and heading and all(one != other for one, other in cells):
            return str(heading)
    return ""


def _refuse_one_test(found: list[Pair]) -> None:
    """Ask about a file most of whose students have another mark of the same test in another file."""
    (first, _, column), account = found[0], found[0][1].account
    account.refuse(
        why="name_twice", column=column.column,
        found=f"{len(found)} of {len(account.data)} students have another mark for this test "
        f"({column.occasion}) in {_file_of(first)}.",
        do='If this is another test, write its occasion in study.toml, such as  occasion = "post".',
    )  # fmt: skip


def _refuse_one_name(found: list[Pair]) -> None:
    """Refuse different marks under one name, one by one."""
    for first, second, column in found:
        where = "" if first.account is second.account else f" of {_file_of(first)}"
        second.account.refuse(
            why="name_twice", index=second.index, column=column.column,
            found=f"Row {first.account.place(first.index)['row']}{where} has the same name and another mark.",
            do="Give the students ids: two students may have one name.",
        )  # fmt: skip


def _file_of(row: Row) -> str:
    """Name the file of a row, with its sheet."""
    sheet = row.account.sheet
    return f'{sheet.file}, sheet "{sheet.name}"' if sheet.name else sheet.file


def mark_key(row: Row, column: MarkColumn, mark: Mark) -> tuple:
    """Key of one test of one student."""
    return row.student, column.occasion, column.measure, rater_of(row, column, mark)


def _number(entry: tuple[Row, MarkColumn, Mark]) -> float:
    """Read the number of an attempt from its column or its row; entries without one keep their order."""
    row, column, _ = entry
    told = column.attempt or row.fields.get("attempt") or 0
    found = re.search(r"\d+", str(told))
    return float(found[0]) if found else 0.0
