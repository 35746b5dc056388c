"""What is left after a break: the same students at the same items, before and after."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import stdtr, stdtrit

from kit.estimate import Estimate, Interval
from kit.stats.complete import Floats, complete_rows, need, spread_of, upper_tail
from kit.stats.learning.crossed_cells import coded

METHOD = "students as the units, variance CR2 with Satterthwaite's degrees of freedom"
ALL_ALIKE = "Every student changed by the same amount, so there is no spread to make an interval from."
FEW_DEGREES = 4.0
FEW_STUDENTS = "So few students carry the weight that the interval may be too narrow."


@dataclass(frozen=True, slots=True)
class Around:
    """One line for each student and item that were heard on both sides of a break.

    Attributes
    ----------
    before : ndarray, shape (m,)
        Share of right tries on the last day before the break.
    after : ndarray, shape (m,)
        1 where the first try after it was right, 0 where wrong.
    students, items : ndarray, shape (m,)
        Labels.
    gap : ndarray, shape (m,)
        Days between both.
    """

    before: Floats
    after: Floats
    students: np.ndarray
    items: np.ndarray
    gap: Floats


def around_break(
    right: ArrayLike, students: ArrayLike, items: ArrayLike, days: ArrayLike, *, last: float, first: float,
    within: float = float("inf"),
) -> Around:  # fmt: skip
    """Pick the last day before a break and the first try after it, for each student and item.

    Parameters
    ----------
    right : array_like, shape (n,)
        1 where a try was right, 0 where wrong, in the order of time; NaN is left out.
    students, items : array_like, shape (n,)
        Of whom, and at what.
    days : array_like, shape (n,)
        Day of each try, a number; NaN is left out.
    last, first : float
        Last day before the break and first day after it.
    within : float, optional
        How many days after `first` a try still counts: practice has begun again by then.

    Returns
    -------
    Around
        Pairs that were heard on both sides.

    Raises
    ------
    ValueError
        If `first` is not after `last`, or lists differ in length.

    Notes
    -----
    The share of the last day, not the best: picking good days would make any break look bad.

    Examples
    --------
    >>> pairs = around_break([1, 1, 0], list("aaa"), ["do"] * 3, [1, 5, 20], last=6, first=18)
    >>> pairs.before.tolist(), pairs.after.tolist(), pairs.gap.tolist()
    ([1.0], [0.0], [15.0])
    """
    if not first > last:
        raise ValueError(f"around_break: first must be after last. Got {first!r} and {last!r}.")
    tries = coded("around_break", right, students, items, days=days)
    day = np.asarray(days, dtype=float)[tries.rows]
    width = max(len(tries.item_labels), 1)
    pair, size = tries.students * width + tries.items, len(tries.student_labels) * width
    latest, earliest = np.full(size, -np.inf), np.full(size, np.inf)
    early, late = day <= last, (day >= first) & (day <= first + within)
    np.maximum.at(latest, pair[early], day[early])
    np.minimum.at(earliest, pair[late], day[late])
    on_last = early & (day == latest[pair])
    asked = np.bincount(pair[on_last], minlength=size)
    hits = np.bincount(pair[on_last], weights=tries.right[on_last], minlength=size)
    on_first = np.flatnonzero(late & (day == earliest[pair]))
    after = np.full(size, np.nan)
    after[pair[on_first][::-1]] = tries.right[on_first][::-1]
    both = np.flatnonzero((asked > 0) & ~np.isnan(after))
    return Around(
        hits[both] / asked[both], after[both], tries.student_labels[both // width], tries.item_labels[both % width],
        earliest[both] - latest[both],
    )  # fmt: skip


def retention_change(
    before: ArrayLike, after: ArrayLike, students: ArrayLike, *, about: str, level: float = 0.95
) -> Estimate:
    r"""Estimate how the share of right tries changed over a break, same student and item.

    It assumes independent students; several items of one student may go together.

    Parameters
    ----------
    before, after : array_like, shape (n,)
        Share right before and after, one pair for each student and item; NaN where missing, which is left
        out with its pair.
    students : array_like, shape (n,)
        Student of each pair.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, -1 to 1, negative where right tries were lost; ``n`` counts pairs, ``clusters`` students.

    Raises
    ------
    TooFewError
        If there are fewer than 2 students.
    ValueError
        If lists differ in length, or `level` is not between 0 and 1.

    Notes
    -----
    With change d of n pairs and :math:`e_g = \sum (d - \bar d)` over the :math:`n_g` pairs of student g, the variance
    is :math:`\sum_g e_g^2 / (1 - n_g/n) / n^2` and the degrees of freedom
    :math:`n^2 / (\sum_g n_g^2 + \sum_{g \ne h} n_g^2 n_h^2 / (n^2 (1 - n_g/n)(1 - n_h/n)))`. Before is often a better
    day than usual, so some loss is to be expected without any forgetting.

    References
    ----------
    .. [1] Key ``pustejovsky-tipton-2018``.

    Examples
    --------
    >>> change = retention_change([1, 1, 0, 1], [0, 1, 0, 0], ["a", "a", "b", "c"], about="the winter break")
    >>> change.value, change.clusters
    (-0.5, 3)
    """
    tail = upper_tail("retention_change", level)
    (early, late), dropped = complete_rows("retention_change", before=before, after=after)
    if np.shape(students) != np.shape(before):
        raise ValueError(
            "retention_change: before and students must list the same pairs. "
            f"Got {np.size(before)} and {np.size(students)}."
        )
    whole = ~np.isnan(np.asarray(before, dtype=float) + np.asarray(after, dtype=float))
    who = np.unique(np.asarray(students)[whole], return_inverse=True)[1]
    sizes = np.bincount(who).astype(float)
    need("retention_change", about, sizes.size, least=2, what="students heard before and after")
    change = late - early
    value, n = float(change.mean()), change.size
    error, df = _error(change - value, who, sizes)
    told = {
        "about": about, "name": "retention_change", "value": value, "unit": "share", "n": n, "counted": "pairs",
        "source": "pustejovsky-tipton-2018", "clusters": int(sizes.size), "dropped": dropped,
    }  # fmt: skip
    if error == 0 or spread_of(change, early, late) == 0:
        return Estimate(**told, notes=(ALL_ALIKE,))
    half = float(stdtrit(df, tail)) * error
    interval = Interval(
        low=value - half, high=value + half, level=level, method=METHOD, source="pustejovsky-tipton-2018"
    )
    p = float(2 * stdtr(df, -abs(value) / error))
    return Estimate(**told, interval=interval, p=p, df=df, notes=(FEW_STUDENTS,) if df < FEW_DEGREES else ())


def _error(off: Floats, who: np.ndarray, sizes: Floats) -> tuple[float, float]:
    """Cluster-robust standard error CR2 of a mean, and its degrees of freedom."""
    n = sizes.sum()
    free = 1 - sizes / n
    sums = np.bincount(who, weights=off)
    part = sizes**2 / free
    crossed = (part.sum() ** 2 - (part**2).sum()) / n**2
    return float(np.sqrt((sums**2 / free).sum()) / n), float(n**2 / ((sizes**2).sum() + crossed))
