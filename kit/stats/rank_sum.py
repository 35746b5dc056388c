"""The exact distribution of Wilcoxon's rank sum, with and without ties, and the interval it gives."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from scipy.special import ndtr, ndtri

from kit.stats.complete import Floats

EXACT_UP_TO = 100
"""Students of both groups up to whom the distribution is enumerated; beyond, the normal approximation is used."""


@lru_cache(maxsize=64)
def order_of_difference(n: int, k: int, *, tail: float) -> tuple[int, float]:
    """Say which pairwise difference is the lower limit, counted from 1, and the level that is attained.

    Parameters
    ----------
    n, k : int
        Students of the two groups.
    tail : float
        Upper cumulative probability, 0.975 for a 95 % interval.

    Returns
    -------
    order : int
        The upper limit is the difference of the same order from the top; 0 where even the outermost
        differences do not reach the level.
    attained : float
        Level of that interval, at least the one asked for; of the outermost interval where `order` is 0.

    References
    ----------
    .. [1] Key ``hollander-wolfe-1999``, section 4.3.

    Examples
    --------
    >>> order_of_difference(10, 5, tail=0.975)[0]
    9
    """
    if n + k > EXACT_UP_TO:
        middle, deviation = n * k / 2, np.sqrt(n * k * (n + k + 1) / 12)
        order = int(np.floor(middle - ndtri(tail) * deviation))
        return order, float(1 - 2 * ndtr((order - 0.5 - middle) / deviation))
    below = np.cumsum(_sums(np.arange(1, n + k + 1), n)[n * (n + 1) // 2 :])
    order = int(np.searchsorted(below, (1 - tail) * (1 + 1e-12), side="right"))
    return order, float(1 - 2 * below[max(order - 1, 0)])


def rank_sum_p(one: Floats, two: Floats) -> float | None:
    """Give the two-sided p-value for no shift, tied scores given their mean rank.

    Parameters
    ----------
    one, two : ndarray, shape (n,) and (k,)
        Scores of the groups.

    Returns
    -------
    float or None
        Exact given the ties for up to 100 students, otherwise the normal approximation with tie and
        continuity correction; None where every score is the same.

    References
    ----------
    .. [1] Key ``hollander-wolfe-1999``, section 4.1.

    Examples
    --------
    >>> round(rank_sum_p(np.array([1.0, 2.0, 3.0]), np.array([4.0, 5.0, 6.0])), 3)
    0.1
    """
    n, k = one.size, two.size
    _, position, times = np.unique(np.concatenate([one, two]), return_inverse=True, return_counts=True)
    if times.size == 1:
        return None
    doubled = (2 * np.cumsum(times) - times + 1)[position]  # twice the mean rank: whole even with ties
    found, middle = int(doubled[:n].sum()), n * (n + k + 1)
    if n + k > EXACT_UP_TO:
        whole = n + k
        tied = 1 - float((times.astype(float) ** 3 - times).sum()) / (float(whole) ** 3 - whole)
        deviation = np.sqrt(n * k * (whole + 1) / 12 * tied)
        return float(min(1.0, 2 * ndtr((0.5 - abs(found - middle) / 2) / deviation)))
    chance = _sums(doubled, n)  # with ties not symmetric, so both sides are counted
    as_far = np.abs(np.arange(chance.size) - middle) >= abs(found - middle)
    return float(min(1.0, chance[as_far].sum()))


def _sums(ranks: np.ndarray, n: int) -> Floats:
    """Chance of each possible sum of n of the ranks."""
    ways = np.zeros((n + 1, int(np.sort(ranks)[-n:].sum()) + 1))
    ways[0, 0] = 1.0
    for met, rank in enumerate(ranks, start=1):
        for chosen in range(min(met, n), 0, -1):
            ways[chosen, rank:] += ways[chosen - 1, : ways.shape[1] - rank]
    return ways[n] / ways[n].sum()
