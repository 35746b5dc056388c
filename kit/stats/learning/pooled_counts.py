"""Accuracy at each item from counts of right tries, students by items, drawn towards each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import expit, ndtr

from kit.estimate import Estimate, Interval
from kit.stats.complete import Floats, need, upper_tail
from kit.stats.learning.pooled_table import Table, shares
from kit.stats.learning.spread_grid import spread_grid

ONE_SINGER = "All tries are of one student: the share is that student's."
THESE_SINGERS = "The share is that of these students, each counted once, if all had been asked."
METHOD = "partial pooling by a mixed logistic model, the spreads integrated out"
AS_PROBIT = (16 * np.sqrt(3) / (15 * np.pi)) ** 2
"""Squared factor between logistic and normal curve, for the average of a logistic curve over a normal."""


@dataclass(frozen=True, slots=True)
class Pooled:
    """Accuracies that lend each other strength.

    Attributes
    ----------
    items : tuple
        Labels of the items, sorted.
    estimates : tuple of Estimate
        Partially pooled share of each item, in the same order.
    hits, tries, singers : ndarray of int, shape (k,)
        Right first tries, all first tries, and different students behind them: what was counted.
    overall : Estimate
        Share over all items, each counted alike.
    middle, covariance : ndarray, shape (k,) and (k, k)
        Of the logits of the shares.
    spread_students, spread_items : float
        How much students and items differ: standard deviations in log-odds.
    """

    items: tuple
    estimates: tuple[Estimate, ...]
    hits: NDArray[np.int64]
    tries: NDArray[np.int64]
    singers: NDArray[np.int64]
    overall: Estimate
    middle: Floats
    covariance: Floats
    spread_students: float
    spread_items: float


def pooled_counts(
    hits: ArrayLike, tries: ArrayLike, items: Sequence, *, about: str, level: float = 0.95, dropped: int = 0
) -> Pooled:
    """Estimate the share of right first tries at each item from counts; all else as `pooled_accuracy`.

    Parameters
    ----------
    hits, tries : array_like, shape (s, k)
        Right first tries, and all first tries, of each student at each item. Students without a try are left out.
    items : sequence, length k
        Labels of the items.
    about : str
        Whom and what the numbers are about, in words.
    level : float, optional
        Probability of the interval, a proportion in (0, 1).
    dropped : int, optional
        Tries that were left out before they were counted.

    Returns
    -------
    Pooled
        As from `pooled_accuracy`.

    Raises
    ------
    TooFewError
        If there is no try.
    ValueError
        If there are more right tries than tries, or `level` is not between 0 and 1.

    References
    ----------
    .. [1] Key ``rue-2009``.

    Examples
    --------
    >>> pooled_counts([[2, 0], [1, 2]], [[2, 1], [2, 3]], ["do", "fa"], about="the example").tries.tolist()
    [4, 4]
    """
    tail = upper_tail("pooled_counts", level)
    table = _counts(hits, tries)
    need("pooled_counts", about, int(table.tries.sum()), least=1, what="first try")
    points, weights = spread_grid(table)
    middles, spreads = (np.array(part) for part in zip(*map(shares, points), strict=True))
    variances = np.diagonal(spreads, axis1=1, axis2=2)
    value = weights @ expit(middles)
    middles = middles * np.sqrt(1 + AS_PROBIT * variances)
    low, high = _mixed_ends(weights, middles, np.sqrt(variances), tail)
    centre = weights @ middles
    away = middles - centre
    covariance = np.tensordot(weights, spreads, 1) + (away.T * weights) @ away
    asked = table.tries.sum(axis=0).astype(int)
    notes = (THESE_SINGERS,) if len(table.tries) > 1 else (ONE_SINGER,)
    ends = zip(value, low, high, [*asked, asked.sum()], strict=True)
    made = [
        _estimate(f"{about}, {label}", *end, level=level, dropped=dropped, notes=notes)
        for label, end in zip((*items, "all together"), ends, strict=True)
    ]
    return Pooled(
        tuple(items), tuple(made[:-1]), table.hits.sum(axis=0).astype(int), asked, (table.tries > 0).sum(axis=0),
        made[-1], centre[:-1], covariance[:-1, :-1],
        *(float(weights @ [point.sizes[at] for point in points]) for at in (0, 1)),
    )  # fmt: skip


def _counts(hits: ArrayLike, tries: ArrayLike) -> Table:
    """Check counts, and leave out students without a try."""
    right, asked = np.atleast_2d(np.asarray(hits, dtype=float)), np.atleast_2d(np.asarray(tries, dtype=float))
    if right.shape != asked.shape or not ((right >= 0) & (right <= asked)).all():
        raise ValueError("pooled_counts: hits and tries must list the same cells, with no more hits than tries.")
    some = asked.sum(axis=1) > 0
    return Table(right[some], asked[some])


def _mixed_ends(weights: Floats, middles: Floats, errors: Floats, tail: float) -> tuple[Floats, Floats]:
    """Both ends of a mixture of logit-normal distributions, for each column."""
    ends = []
    for below in (1 - tail, tail):
        low, high = (middles - 10 * errors).min(axis=0), (middles + 10 * errors).max(axis=0)
        for _ in range(60):
            half = (low + high) / 2
            under = weights @ ndtr((half - middles) / errors) < below
            low, high = np.where(under, half, low), np.where(under, high, half)
        ends.append(expit((low + high) / 2))
    return ends[0], ends[1]


def _estimate(about: str, value: float, low: float, high: float, asked: int, *, level: float, **told) -> Estimate:  # noqa: ANN003
    """Lay out one share."""
    return Estimate(
        about=about, name="degree_accuracy", value=float(value), unit="share", n=int(asked), counted="first tries",
        source="rue-2009", **told,
        interval=Interval(low=float(low), high=float(high), level=level, method=METHOD, source="rue-2009"),
    )  # fmt: skip
