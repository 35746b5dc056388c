"""The exact distribution of Wilcoxon's signed-rank sum, with and without ties, and the interval it gives."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from scipy.special import ndtr, ndtri

from kit.stats.complete import Floats

EXACT_UP_TO = 200
"""Students up to whom the distribution is enumerated (milliseconds); beyond, the normal approximation is used."""


def walsh_averages(values: Floats) -> Floats:
    """Give the averages of every pair of values, each value paired with itself too, in rising order.

    Parameters
    ----------
    values : ndarray, shape (n,)
        Any numbers.

    Returns
    -------
    ndarray, shape (n * (n + 1) / 2,)
        In the unit of `values`.

    Examples
    --------
    >>> walsh_averages(np.array([1.0, 3.0])).tolist()
    [1.0, 2.0, 3.0]
    """
    first, second = np.triu_indices(values.size)
    return np.sort((values[first] + values[second]) / 2)


@lru_cache(maxsize=64)
def order_of_limit(n: int, *, tail: float) -> tuple[int, float]:
    """Say which Walsh average is the lower limit, counted from 1, and the level that is attained.

    Parameters
    ----------
    n : int
        Number of differences.
    tail : float
        Upper cumulative probability, 0.975 for a 95 % interval.

    Returns
    -------
    order : int
        The upper limit is the Walsh average of the same order from the top; 0 where even the
        outermost averages do not reach the level.
    attained : float
        Level of that interval, at least the one asked for; of the outermost interval where `order` is 0.

    References
    ----------
    .. [1] Key ``hollander-wolfe-1999``, section 3.3.

    Examples
    --------
    >>> order_of_limit(9, tail=0.975)
    (6, 0.9609375)
    """
    if n > EXACT_UP_TO:
        deviation = np.sqrt(n * (n + 1) * (2 * n + 1) / 24)
        order = int(np.floor(n * (n + 1) / 4 - ndtri(tail) * deviation))
        return order, float(1 - 2 * ndtr((order - 0.5 - n * (n + 1) / 4) / deviation))
    below = np.cumsum(_sums_of_ranks(np.arange(1, n + 1)))
    order = int(np.searchsorted(below, (1 - tail) * (1 + 1e-12), side="right"))
    return order, float(1 - 2 * below[max(order - 1, 0)])


def signed_rank_p(differences: Floats, dust: float = 0.0) -> float | None:
    """Give the two-sided p-value for no shift: zeros left out, tied sizes given their mean rank.

    Parameters
    ----------
    differences : ndarray, shape (n,)
        Post minus pre.
    dust : float, optional
        Sizes no farther apart than this are tied, and a size no larger is zero: 0.3 - 0.2 and 0.2 - 0.1 are the
        same difference, though rounding leaves them a little apart.

    Returns
    -------
    float or None
        Exact given the ties for up to 200 non-zero differences, otherwise the normal approximation
        with tie and continuity correction; None where every difference is zero.

    References
    ----------
    .. [1] Key ``hollander-wolfe-1999``, section 3.1.

    Examples
    --------
    >>> signed_rank_p(np.array([1.0, 2.0, 3.0, 4.0, 5.0, 6.0]))
    0.03125
    """
    moved = differences[np.abs(differences) > dust]
    if moved.size == 0:
        return None
    ranks = _mean_ranks(np.abs(moved), dust)
    positive, middle = float(ranks[moved > 0].sum()), float(ranks.sum()) / 2
    smaller = min(positive, 2 * middle - positive)
    if moved.size > EXACT_UP_TO:
        deviation = np.sqrt((ranks**2).sum()) / 2
        return float(min(1.0, 2 * ndtr((smaller - middle + 0.5) / deviation)))
    chance = _sums_of_ranks(np.rint(2 * ranks).astype(int))
    return float(min(1.0, 2 * chance[: round(2 * smaller) + 1].sum()))


def signed_rank_method(n: int, attained: float) -> str:
    """Name the signed-rank interval and the level that it attains.

    Parameters
    ----------
    n : int
        Number of differences.
    attained : float
        Level attained, a proportion.

    Returns
    -------
    str
        The method in words.
    """
    kind = "exact signed-rank interval" if n <= EXACT_UP_TO else "signed-rank interval, normal approximation"
    return f"{kind}, attained level {100 * attained:.1f} %"


def ranks_fall_short(n: int, attained: float, level: float) -> str:
    """Say why ranks cannot give an interval.

    Parameters
    ----------
    n : int
        Number of differences.
    attained, level : float
        Level of the widest interval, and the one asked for.

    Returns
    -------
    str
        One sentence.
    """
    reached, asked = f"{100 * attained:.1f} %", f"{100 * level:g} %"
    return f"With {n} students, ranks reach a level of {reached} at most, not the {asked} asked for."


def _mean_ranks(values: Floats, dust: float) -> Floats:
    """Rank from 1, ties given the mean of their ranks."""
    order = np.argsort(values, kind="stable")
    place = np.empty(values.size, dtype=int)
    place[order] = np.cumsum(np.diff(values[order], prepend=values[order[:1]]) > dust)
    times = np.bincount(place)
    return (np.cumsum(times) - (times - 1) / 2)[place]


def _sums_of_ranks(ranks: np.ndarray) -> Floats:
    """Chance of each possible sum when every rank counts with probability one half."""
    chance = np.zeros(int(ranks.sum()) + 1)
    chance[0], top = 1.0, 0
    for rank in ranks:
        chance[rank : top + rank + 1] += chance[: top + 1].copy()
        chance[: top + rank + 1] /= 2
        top += rank
    return chance
