"""Who was lost on the way from the roster to both tests, approach by approach: whole choirs first, then students."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Literal

import pandas as pd

from kit.questions.scale import tested_both

if TYPE_CHECKING:
    from kit.stats.attrition import Attrition

Unit = Literal["choirs", "schools", "students"]
Leaving = Literal["cautious", "optimistic"]


@dataclass(frozen=True, slots=True)
class Lost:
    """Loss of one kind of unit from two approaches.

    Attributes
    ----------
    what : {"choirs", "schools", "students"}
        What is counted; students are those of choirs (or schools) that were not lost.
    began, kept : tuple of int
        How many stood on the roster, and how many of them have both tests; the first approach first.
    approaches : tuple of str
        Names of the two approaches.
    loss : Attrition
        Shares, limit and rating.
    """

    what: Unit
    began: tuple[int, int]
    kept: tuple[int, int]
    approaches: tuple[str, str]
    loss: Attrition


def losses(pairs: pd.DataFrame, *, leaving: Leaving = "cautious", units: str = "choir") -> list[Lost]:
    """Count whom each two approaches lost, and rate the losses against the published boundary.

    Counted: everyone on the roster who has an approach; students count as kept with both tests, choirs with one such
    student. Students of lost choirs are not counted a second time.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up` or `kit.questions.compared.between`.
    leaving : {"cautious", "optimistic"}, optional
        Which boundary: cautious if the program could influence who leaves.
    units : {"choir", "school", ""}, optional
        Column of what was assigned; empty where students were, one by one.

    Returns
    -------
    list of Lost
        For each two approaches the units (where there are any), then the students.
    """
    listed = pairs[pairs["enrolled"].astype(bool) & (pairs["approach"] != "")]
    both = tested_both(listed)
    found = []
    for names in combinations(sorted(set(listed["approach"]), reverse=True), 2):
        ordered = names if names[0] == pairs.attrs.get("program", names[0]) else names[::-1]
        found += _of_two(listed, both, ordered, units, leaving)
    return found


def _of_two(
    listed: pd.DataFrame,
    both: pd.Series,
    names: tuple[str, str],
    units: str,
    leaving: Literal["cautious", "optimistic"],
) -> Iterator[Lost]:
    """Count the units and then the students of two approaches."""
    # imported here: the check command imports this module, and only a comparison needs scipy
    from kit.stats.attrition import attrition  # noqa: PLC0415

    sides = [listed[listed["approach"] == name] for name in names]
    if units and not any((side[units] == "").any() for side in sides):
        stayed = [set(side.loc[both[side.index], units]) for side in sides]
        began = [set(side[units]) for side in sides]
        counts = [tuple(map(len, sets)) for sets in (began, stayed)]
        what = "schools" if units == "school" else "choirs"
        yield Lost(what, *counts, names, attrition(*counts, about=" and ".join(names), assumption=leaving))
        sides = [side[side[units].isin(kept)] for side, kept in zip(sides, stayed, strict=True)]
    counts = [tuple(map(len, sides)), tuple(int(both[side.index].sum()) for side in sides)]
    if min(counts[0]):
        yield Lost("students", *counts, names, attrition(*counts, about=" and ".join(names), assumption=leaving))
