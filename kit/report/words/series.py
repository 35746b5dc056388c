"""Sentences about choirs that began one after another: how often they were tested around their start, what changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import pandas as pd

from kit.estimate import Estimate
from kit.report.phrases import gain_between, holds_zero, listed, people, signed
from kit.report.said import Said

DAYS, STARTS = 3, 3
"""Test dates on either side of a start, and starts at dates of their own, from which on a change is told."""
TOLD = ("D1c", "D6")
"""Designs whose results around a start are told."""
NEEDED = (
    "What followed a choir's start can be estimated from 3 test dates before it and 3 from it on; the standards of the "
    "federal review for such series ask for three starting dates, and for 6 and 5 test dates around each of them for a "
    "rating without reservations."
)
NONE_DECLARED = "The day on which a choir began is declared of none, so what followed a start is not looked at."
WEAK = (
    "One start, or two, cannot tell the change from whatever else began then; three starts at three dates, each "
    "followed by a change, could."
)
THREE = (
    "A change at each of three starts, and not before them, is what reviews of such series ask for; it tells of these "
    "choirs and of no others."
)


def series(
    cases: pd.DataFrame, changes: Sequence[Estimate] = (), left_out: Iterable[object] = (), *, code: str
) -> Said:
    """Say around which starts there are tests enough, what changed at each of them, or what would be needed.

    Parameters
    ----------
    cases : DataFrame
        From ``kit.questions.series_design.cases``: choirs that may be shown.
    changes : sequence of Estimate, optional
        From ``kit.questions.series_design.changes`` of the same choirs.
    left_out : iterable of LeftOut, optional
        Choirs without an answer, each with ``about`` and ``why``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    hidden = cases.attrs.get("hidden", 0)
    small = [f"Choirs too small to be shown in this copy: {hidden}."] if hidden else []
    if cases.empty:
        return Said(tuple(small) or (NONE_DECLARED,)).passed(code)
    changes = changes if code in TOLD else ()
    enough = cases[(cases["before"] >= DAYS) & (cases["after"] >= DAYS)]
    dates = people(cases["start"].nunique(), "declared date")
    told = [
        f"{people(len(cases), 'choir')} began on {dates}; tested on at least {DAYS} days before that date and on as "
        f"many from it on: {people(len(enough), 'choir')}.",
        *small,
    ]
    told += _changes(changes, list(cases["choir"]))
    if len(changes):
        told.append(THREE if enough["start"].nunique() >= STARTS else WEAK)
    if not len(changes) or any(left_out):
        told.append(NEEDED)
    return Said(tuple(told), tuple(changes), limits=True).passed(code, approaches=())


def _changes(changes: Sequence[Estimate], choirs: Sequence[str]) -> Iterator[str]:
    """Say of each choir how far its results jumped and how its pace changed, and at how many starts that is sure."""
    by_choir: dict[str, list[Estimate]] = {}
    for one in changes:
        # the longest name: a choir called "2" is not the one called "Treble, 2"
        choir = max((name for name in choirs if f", {name}, " in one.about), key=len)
        by_choir.setdefault(choir, []).append(one)
    for choir, found in by_choir.items():
        parts = [
            f"{'its pace' if 'for each week' in one.about else 'the level'} changed by {signed(one.value, one.unit)}"
            f"{' a week' if 'for each week' in one.about else ''}"
            f"{f' (interval {gain_between(one)})' if one.interval else ''}"
            for one in found
        ]
        yield f"{choir}: at its start {listed(parts)}."
    jumps = [one for one in changes if "for each week" not in one.about and one.interval]
    if jumps:
        clear = sum(not holds_zero(one) for one in jumps)
        yield f"Ranges of a changed level that leave out zero: {clear} of {len(jumps)}."
