"""Who marked: raters named in the cell, the row or the study file, and one who marks only where the others disagree."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

from kit.load.declared import MarkColumn
from kit.load.ledger import Account
from kit.load.marks.dated import Cell
from kit.load.marks.mark import Mark
from kit.load.sheets import Row, text_of

ADJUDICATOR = "adjudicator"
"""Begins the rater of marks that were given only where the others disagreed; they are no ordinary second marks."""

_RATERS_WITH_ADJUDICATOR = 3


def rater_of(row: Row, column: MarkColumn, mark: Mark) -> str:
    """Name who gave a mark: the cell, the row or the column tells; an adjudicator is called so."""
    named = row.fields["rater"]
    rater = mark.rater or (text_of(named) if named is not None else "") or column.rater
    return f"{ADJUDICATOR} {rater}".strip() if column.adjudicates else rater


def split_raters(account: Account, column: MarkColumn, cells: list[Cell], declared: Sequence[str]) -> list[Cell]:
    """Keep the raters that stand behind marks, as in ``17 (JM)``, where they are declared or stand there repeatedly.

    Parameters
    ----------
    account : Account
        The account of the sheet.
    column : MarkColumn
        The column.
    cells : list of (Row, value, Mark)
        Its cells.
    declared : sequence of str
        Initials of the raters.

    Returns
    -------
    list of (Row, value, Mark)
        ``rater_inside`` where initials stand behind one mark only and are not declared.
    """
    times = Counter(mark.rater for _, _, mark in cells if mark.rater)
    if not times:
        return cells
    split = []
    for row, value, mark in cells:
        if mark.rater and mark.rater not in declared and times[mark.rater] == 1:
            split.append((row, value, Mark(fault="rater_inside")))
            continue
        if mark.rater:
            account.change("rater split from the mark in its cell", row.index, value, mark.rater)
        split.append((row, value, mark))
    return split


def settle_raters(columns: Iterable[MarkColumn], rows: list[Row]) -> None:
    """Leave out the empty cells of raters who did not hear everybody, and tell adjudicators from other raters.

    An empty cell beside another rater's mark of the same test is no missing mark. The marks of one who seems to
    adjudicate and is not declared as such are faulted.

    Parameters
    ----------
    columns : iterable of MarkColumn
        The columns of marks of a sheet.
    rows : list of Row
        Its rows with their marks.
    """
    tests: dict[tuple[str, str], list[MarkColumn]] = defaultdict(list)
    for column in columns:
        if column.rater:
            tests[column.occasion, column.measure].append(column)
    for same in tests.values():
        for column in same:
            if column.adjudicates:
                _settle(rows, column, fault="")
            elif column.adjudicates is None and _seems_to_adjudicate(rows, column, same):
                _settle(rows, column, fault="adjudicator_unclear")
        if len(same) > 1:
            _leave_out_unheard(rows, {column.column for column in same})


def _seems_to_adjudicate(rows: list[Row], column: MarkColumn, same: list[MarkColumn]) -> bool:
    """Say whether a third rater marked the minority on which the others disagree, and nothing else."""
    others = [other for other in same if other.column != column.column and not other.adjudicates]
    if len(others) + 1 < _RATERS_WITH_ADJUDICATOR:
        return False
    given = {True: 0, False: 0}
    for row in rows:
        marks = {each.column: mark for each, mark in row.marks}
        theirs = [marks[other.column] for other in others if other.column in marks]
        known = {(mark.points, mark.share) for mark in theirs if not mark.missing_reason and not mark.fault}
        marked = column.column in marks and not marks[column.column].missing_reason
        if marked and len(known) <= 1:
            return False
        given[marked] += 1
    return 0 < given[True] < given[False]


def _leave_out_unheard(rows: list[Row], headings: set[str]) -> None:
    """Take out the empty cells of raters beside another rater's mark of the same test."""
    for row in rows:
        if any(each.column in headings and not mark.missing_reason for each, mark in row.marks):
            row.marks = [
                (each, mark)
                for each, mark in row.marks
                if each.column not in headings or mark.missing_reason != "unspecified"
            ]


def _settle(rows: list[Row], column: MarkColumn, *, fault: str) -> None:
    """Take an adjudicator's empty cells out, and give the others a fault if there is one."""
    for row in rows:
        row.marks = [
            (each, replace(mark, fault=fault or mark.fault) if each is column else mark)
            for each, mark in row.marks
            if each is not column or mark.missing_reason != "unspecified"
        ]
