"""Shares near nothing and near all are told as a range beyond the school: they tell about every student of a group."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from statistics import NormalDist

from kit.estimate import Estimate

ENDS = ((9, 0.50), (20, 0.20), (40, 0.10), (100, 0.05), (300, 0.03))
"""Students of a group up to which a share at most this far from nothing or all is told as a range: after the rules
that the US National Center for Education Statistics recommends (2011-603, from memory; 3 percent up to 300 students,
where it gives 2 to 3). Below ten students, which it does not tell at all, only the half is told."""
LEAST_END = 0.01
"""The same for still more students. Each is at least three students of the group, but for groups below ten."""
SHARES_OF_STUDENTS = (
    "share_wilson",
    "share_exact",
    "share_clusters",
    "percent_agreement",
    "reliable_change",
    "item_difficulty",
)
"""Statistics that are a share of students, so that 0 or 100 percent tells about each of them."""
CODED = "Told as a range, since shares near nothing or all would tell about single students."


MEANS = ("mean_score", "mean_gain")
"""Statistics whose interval, of students, tells how far apart the students lie."""
SAME = {"points": 1.0, "share": 0.05}
"""Unit -> how near to the average every student must not be known to be."""


class AtMost(float):
    """A share that is told as this or less; arithmetic takes it for this."""

    words = "or less"


class AtLeast(float):
    """A share that is told as this or more; arithmetic takes it for this."""

    words = "or more"


def end_of(n: int) -> float:
    """Give how far from nothing or all a share is told as a range, for the number of students it is of.

    Parameters
    ----------
    n : int
        Students.

    Returns
    -------
    float
        A share.
    """
    return next((end for most, end in ENDS if n <= most), LEAST_END)


def must_code(estimate: Estimate) -> bool:
    """Say whether a number is a share of students near an end, and not yet told as a range."""
    if estimate.name not in SHARES_OF_STUDENTS or estimate.unit != "share" or _is_coded(estimate):
        return False
    return min(estimate.value, 1 - estimate.value) <= end_of(estimate.n)


def is_flat(estimate: Estimate) -> bool:
    """Say whether an average tells what each student has, since its interval leaves no room for differences.

    Parameters
    ----------
    estimate : Estimate
        Any number; only averages of students with an interval can tell.

    Returns
    -------
    bool
        True if everybody lies nearer to the average than `SAME`: no value lies more than ``(n - 1) / sqrt(n)`` standard
        deviations from it (Samuelson 1968), and an interval is at least that of the normal distribution.
    """
    if estimate.name not in MEANS or estimate.counted != "students" or estimate.interval is None:
        return False
    half = (estimate.interval.high - estimate.interval.low) / 2
    return half * (estimate.n - 1) / NormalDist().inv_cdf((1 + estimate.interval.level) / 2) < SAME.get(
        estimate.unit, 0
    )


def holds_nearly_all(counts: Sequence[int]) -> bool:
    """Say whether one of the parts of a whole holds all students, or all but so few that it tells about each."""
    whole = sum(counts)
    return whole > 0 and 1 - max(counts) / whole <= end_of(whole)


def code(estimate: Estimate) -> Estimate:
    """Tell a share near an end as a range.

    Parameters
    ----------
    estimate : Estimate
        Any number.

    Returns
    -------
    Estimate
        The same one if it is no share near an end; else with the end of the range as its value, and without
        interval and p, from which it would follow.
    """
    if not must_code(estimate):
        return estimate
    end = end_of(estimate.n)
    value = AtMost(end) if estimate.value <= 0.5 else AtLeast(1 - end)
    return replace(estimate, value=value, interval=None, p=None, df=None, notes=(*estimate.notes, CODED))


def code_parts(estimates: Sequence[Estimate]) -> list[Estimate]:
    """Tell shares that are the parts of one whole, so that none near an end follows from the others.

    Parameters
    ----------
    estimates : sequence of Estimate
        Shares of the same students that add up to all of them, among other numbers.

    Returns
    -------
    list of Estimate
        All of them where no share is near an end; else only the largest share, as `code` tells it: of the others
        only the sum is known then.
    """
    parts = [one for one in estimates if one.name in SHARES_OF_STUDENTS and one.unit == "share"]
    if not any(must_code(one) for one in parts):
        return list(estimates)
    largest = max(parts, key=lambda one: one.value)
    return [code(one) for one in estimates if one is largest or one not in parts]


def _is_coded(estimate: Estimate) -> bool:
    """Say whether a number is told as a range already."""
    return isinstance(estimate.value, AtMost | AtLeast)
