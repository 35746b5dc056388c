"""Intervals from leaving out each student in turn, for numbers whose usual interval needs normal scores."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
from scipy.special import stdtrit

from kit.estimate import Interval
from kit.stats.complete import Floats
from kit.stats.moment_bootstrap import Moments, Statistic

Scale = Literal["plain", "fisher"]
"""Where the interval is symmetric: on the scale of the number, or on Fisher's z."""
SCALES = {"plain": (lambda values: values, lambda ends: ends), "fisher": (np.arctanh, np.tanh)}
DUST = 1e-12
"""Values that differ by less differ by rounding only."""
STRAIGHT = 1e-9
"""A correlation nearer to 1 than this is 1."""
METHODS = {"plain": "jackknife, Student's t", "fisher": "jackknife of Fisher's z, Student's t"}


def jackknife_interval(
    value: float, without: Floats, *, tail: float, level: float, scale: Scale = "plain", most: float = np.inf,
    times: Floats | None = None,
) -> Interval | None:  # fmt: skip
    r"""Make the interval that the values without each student in turn give, none where they give none.

    Students are assumed independent. Nothing is assumed of the shape of their scores: how far the number moves when
    one of them is left out says how much it hangs on a few.

    Parameters
    ----------
    value : float
        The number itself.
    without : ndarray, shape (u,)
        The number without each student in turn, or without one of each kind of student.
    tail, level : float
        Upper cumulative probability, 0.975 for a 95 % interval, and its level.
    scale : {"plain", "fisher"}, optional
        Fisher's z suits correlations and the like, between -1 and 1.
    most : float, optional
        The highest value that there can be; a higher end is cut off there.
    times : ndarray, shape (u,), optional
        Students of each kind, where `without` has one value a kind.

    Returns
    -------
    Interval or None
        In the unit of `value`. None where a value does not exist, or is the same whoever is left out.

    Notes
    -----
    :math:`f(t) \pm t_{n-1} \sqrt{\frac{n-1}{n} \sum_i (f(t_{(i)}) - \bar f)^2}`, turned back by the inverse of
    :math:`f`, the identity or :math:`\operatorname{artanh}`.

    References
    ----------
    .. [1] Keys ``efron-tibshirani-1993``, chapter 11, and ``miller-1974``; on Fisher's z
       ``hall-martin-schucany-1989``.

    Examples
    --------
    >>> scores = np.array([1.0, 2.0, 6.0])
    >>> found = jackknife_interval(3.0, (9 - scores) / 2, tail=0.975, level=0.95)  # of a mean it is Student's t
    >>> round(found.low, 3), round(found.high, 3)
    (-3.572, 9.572)
    """
    there, back = SCALES[scale]
    times = np.ones(without.size) if times is None else times
    n = float(times.sum())
    if scale == "fisher":  # points on a line, but for rounding
        without = np.where(np.abs(without) > 1 - STRAIGHT, np.sign(without), without)
    with np.errstate(divide="ignore", invalid="ignore"):
        middle, moved = there(value), there(without)
    if not (np.isfinite(middle) and np.isfinite(moved).all()) or np.ptp(moved) <= DUST * max(1.0, abs(middle)):
        return None
    error = np.sqrt((n - 1) / n * (times * (moved - (times * moved).sum() / n) ** 2).sum())
    half = float(stdtrit(n - 1, tail)) * error
    low, high = float(back(middle - half)), float(min(back(middle + half), most))
    return Interval(low=low, high=high, level=level, method=METHODS[scale], source="efron-tibshirani-1993")


def jackknife_of(
    columns: Sequence[Floats], statistic: Statistic, value: float, *, tail: float, level: float, scale: Scale = "plain"
) -> Interval | None:
    """Make `jackknife_interval` of a statistic that is made of means, spreads and covariances.

    Parameters
    ----------
    columns : sequence of ndarray, shape (n,)
        Numbers of the same n students, none missing.
    statistic : callable
        Takes `Moments`, gives one number per sample: ``lambda m: m.mean[..., 1] - m.mean[..., 0]``.
    value : float
        The number itself, of all students.
    tail, level, scale
        As in `jackknife_interval`.

    Returns
    -------
    Interval or None
        In the unit of the statistic.

    Examples
    --------
    >>> found = jackknife_of([np.array([1.0, 2.0, 6.0])], lambda m: m.mean[..., 0], 3.0, tail=0.975, level=0.95)
    >>> round(found.low, 3), round(found.high, 3)
    (-3.572, 9.572)
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        without = statistic(_without_each(np.column_stack(columns)))
    return jackknife_interval(value, without, tail=tail, level=level, scale=scale)


def _without_each(rows: Floats) -> Moments:
    """Means and covariances of the n samples of n - 1 students; spreads that are rounding dust are zero."""
    n, middle = len(rows), rows.mean(axis=0)
    away = rows - middle
    squares = away.T @ away
    products = n / (n - 1) * away[:, :, None] * away[:, None, :]
    left = squares - products
    left[np.abs(left) <= DUST * np.sqrt(np.multiply.outer(np.diag(squares), np.diag(squares)))] = 0.0
    return Moments(n - 1, middle - away / (n - 1), left / (n - 1))
