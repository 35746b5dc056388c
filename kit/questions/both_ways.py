"""Students who had both approaches: they moved between the tests, or sing in two choirs."""

from __future__ import annotations

import pandas as pd

from kit.estimate import Estimate
from kit.questions.scale import tested_both
from kit.stats.counts import count


def by_meetings(students: pd.DataFrame, attendance: pd.DataFrame) -> pd.DataFrame:
    """Let members of two choirs count in the one whose meetings they came to more often.

    Counted: days noted as present, with the choir named; where both choirs have as many, the first one listed stays.

    Parameters
    ----------
    students : DataFrame
        The students table, with ``attrs["second_choirs"]`` where there are any.
    attendance : DataFrame
        The attendance table.

    Returns
    -------
    DataFrame
        `students` with choir, school and approach of the other choir where that one counts, as far as all of its other
        members have one school and one approach; ``attrs["second_choirs"]`` then has the choir listed first.
    """
    second = students.attrs.get("second_choirs", {})
    there = attendance[(attendance["present"] == "present") & (attendance["choir"] != "")]
    came = there.groupby(["student", "choir"]).size().to_dict()
    first = dict(zip(students["student"], students["choir"], strict=True))
    moved = {
        student: choir for student, choir in second.items()
        if student in first and came.get((student, choir), 0) > came.get((student, first[student]), 0)
    }  # fmt: skip
    moving = students["student"].isin(moved)
    found, choir = students.copy(), students["student"].map(moved)
    for column in ("school", "approach"):
        known = _one_of_each(students[~moving], column)
        found[column] = choir.map(known).where(moving, students[column]).fillna(students[column])
    found["choir"] = choir.where(moving, students["choir"])
    found.attrs = dict(students.attrs)
    if moved:
        found.attrs["second_choirs"] = {**second, **{student: first[student] for student in moved}}
    return found.astype(students.dtypes)


def _one_of_each(students: pd.DataFrame, column: str) -> pd.Series:
    """Give each choir the one value that all its members have; choirs with several values are not in it."""
    each = students.drop_duplicates(["choir", column])
    return each[~each["choir"].duplicated(keep=False)].set_index("choir")[column]


def in_two_choirs(compared: pd.DataFrame) -> tuple[Estimate, Estimate]:
    """Count students listed in two choirs, and those of them in choirs of both approaches.

    Counted: students tested both times, with those who were left out for that reason.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.

    Returns
    -------
    tuple of Estimate
        Counts about ``"in two choirs"`` and ``"in choirs of both approaches"``.
    """
    known = compared.attrs
    twice, both_ways = known.get("twice", 0), known.get("both_ways", 0)
    everyone = int(tested_both(compared).sum()) + (twice if known.get("two_choirs") == "left_out" else 0)
    return (
        count(twice, about="in two choirs", of=everyone),
        count(both_ways, about="in choirs of both approaches", of=everyone),
    )


def listed_twice(pairs: pd.DataFrame, chosen: pd.DataFrame) -> tuple[pd.Series, int]:
    """Tell who is listed in two choirs, and how many of them in choirs of both approaches.

    Counted: for the number, students tested both times.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    chosen : DataFrame
        Those of the two approaches that are compared.

    Returns
    -------
    twice : Series of bool
        For each of `chosen`.
    both_ways : int
        How many.
    """
    second = chosen["student"].map(pairs.attrs.get("second_choirs", {})).astype(object).fillna("")
    there = _taught(pairs, second)
    other = (there != "") & (there != chosen["approach"]) & there.isin(set(chosen["approach"]))
    return second != "", int((other & tested_both(chosen)).sum())


def crossed_over(pairs: pd.DataFrame) -> pd.Series:
    """Tell whose second mark stands in a choir of another approach than the student's.

    Counted: students tested both times.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    Series of bool
        For each of `pairs`.
    """
    there = _taught(pairs, pairs["post_choir"])
    return (there != "") & (pairs["approach"] != "") & (there != pairs["approach"]) & tested_both(pairs)


def _taught(pairs: pd.DataFrame, choir: pd.Series) -> pd.Series:
    """Say how each of these choirs is taught; empty where it is not known or there are several ways."""
    given = pairs[(pairs["approach"] != "") & (pairs["choir"] != "")]
    ways = given.drop_duplicates(["choir", "approach"])
    taught = ways[~ways["choir"].duplicated(keep=False)].set_index("choir")["approach"]
    return choir.map(taught).astype(object).fillna("")
