"""Marks of the parts of a test -> its total; a part without a mark leaves no total, unless that is declared."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from kit.load.columns import plain
from kit.load.declared import MarkColumn, ScoreSource
from kit.load.marks.mark import Mark
from kit.load.sheets import Row

TOTAL = "total"
_COUNTED = "marks of the parts added up"
_PRORATED = "total estimated from the parts that have a mark"
_LEFT_OUT = "no total, since a part has no mark"


def add_totals(rows: list[Row], source: ScoreSource) -> None:
    """Add to each row the totals of the parts that the study file lists.

    Parameters
    ----------
    rows : list of Row
        Rows with their marks, faulty ones taken out already.
    source : ScoreSource
        ``total_of`` lists the measures; ``prorate_from`` says from how many of them a total may be estimated, as
        the share of points earned in them times the most points of all.
    """
    parts = {plain(measure): at for at, measure in enumerate(source.total_of)}
    columns = [column for column in source.marks if plain(column.measure) in parts]
    for row in rows if parts else ():
        if not row.open:
            continue
        tests: dict[tuple, dict[int, tuple[MarkColumn, Mark]]] = defaultdict(dict)
        for column in columns:
            tests[_test(column)][parts[plain(column.measure)]] = column, Mark(missing_reason="unspecified")
        for column, mark in row.marks:
            if plain(column.measure) in parts:
                tests[_test(column)][parts[plain(column.measure)]] = column, mark
        for taken in tests.values():
            _add(row, [taken[at] for at in sorted(taken)], len(parts), source.prorate_from)


def _test(column: MarkColumn) -> tuple:
    """Tell the tests of a row apart."""
    return column.occasion, column.form, column.rater, column.attempt


def _add(row: Row, taken: list[tuple[MarkColumn, Mark]], number: int, prorate_from: int) -> None:
    """Add one total: the sum, an estimate where that is declared, or the reason of the first part without a mark."""
    given = [mark for _, mark in taken if mark.points is not None]
    most = [mark.max_points or column.max_points for column, mark in taken]
    whole = sum(most) if all(most) and len(taken) == number else None
    column = replace(taken[0][0], column=" + ".join(each.column for each, _ in taken), measure=TOTAL, max_points=whole)
    points = sum(mark.points for mark in given)
    if len(given) == number:
        total, rule = Mark(points=points, max_points=whole, share=points / whole if whole else None), _COUNTED
    elif whole and 0 < prorate_from <= len(given):
        share = points / sum(mark.max_points for mark in given)
        total, rule = Mark(points=share * whole, max_points=whole, share=share), _PRORATED
    else:
        reasons = [mark.missing_reason for _, mark in taken if mark.missing_reason]
        total, rule = Mark(missing_reason=(reasons or ["unspecified"])[0]), _LEFT_OUT
    row.marks.append((column, total))
    row.account.change(rule, row.index, f"{len(given)} of {number} parts", _shown(total))


def _shown(total: Mark) -> str:
    """Write a total as an example for the check page."""
    return f"{total.points:g}" if total.points is not None else total.missing_reason.replace("_", " ")
