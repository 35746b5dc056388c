"""Bootstrap intervals for statistics made of means, spreads and covariances: tools that return an Interval."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike

from kit.estimate import Interval
from kit.stats.bootstrap_limits import bca_limits, quantiles
from kit.stats.complete import upper_tail
from kit.stats.moment_bootstrap import Moments, Resamples, Statistic, resamples

__all__ = ["Moments", "Statistic", "bootstrap_bca", "bootstrap_bca_each", "bootstrap_percentile"]


def bootstrap_bca(
    columns: ArrayLike, statistic: Statistic, *, rng: np.random.Generator, level: float = 0.95, draws: int = 10_000
) -> Interval:
    r"""Make the bias-corrected and accelerated bootstrap interval of a statistic.

    Rows (students) are drawn with replacement; they are assumed independent. Much faster than drawing
    and recomputing, because every resample is one row of counts multiplied into the columns.

    Parameters
    ----------
    columns : array_like, shape (n,) or (n, k)
        One row per student, k numbers each, in any units, none missing.
    statistic : callable
        Takes `Moments`, gives one number per sample: ``lambda m: m.mean[..., 1] - m.mean[..., 0]``.
    rng : numpy.random.Generator
        Source of the draws; its seed is printed in the report.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    draws : int, optional
        How many resamples.

    Returns
    -------
    Interval
        In the unit of the statistic.

    Raises
    ------
    ValueError
        If a number is missing or infinite, `draws` is below 100, or `level` is not between 0 and 1.
    TooFewError
        If there are fewer than 3 rows, or the statistic is undefined in a resample, or is the same in
        all, or lies outside them.

    Notes
    -----
    Quantiles at :math:`\Phi(z_0 + (z_0+z)/(1-a(z_0+z)))`; :math:`z_0` from the share of resamples below
    the observed value, a from the leave-one-out values. Simulated, 95 % intervals of a mean gain hold the truth 85, 90,
    92, 94 and 95 % of the time with 5, 10, 20, 40 and 100 normal gains, and 81, 87, 91, 92 and 94 % with skewed ones:
    with fewer than 40 students take Student's t of `kit.stats.means.mean_gain`, as all reports do.

    References
    ----------
    .. [1] Key ``efron-1987``.

    Examples
    --------
    >>> scores = [[10, 13], [12, 14], [15, 21], [9, 9], [14, 18]]
    >>> gain = lambda m: m.mean[..., 1] - m.mean[..., 0]
    >>> interval = bootstrap_bca(scores, gain, rng=np.random.default_rng(1))
    >>> interval.low < 2.8 < interval.high
    True
    """
    tail = upper_tail("bootstrap_bca", level)
    drawn = resamples("bootstrap_bca", columns, rng=rng, draws=draws)
    return _bca("bootstrap_bca", drawn, statistic, tail=tail, level=level)


def bootstrap_bca_each(
    columns: ArrayLike,
    statistics: Mapping[str, Statistic],
    *,
    rng: np.random.Generator,
    level: float = 0.95,
    draws: int = 10_000,
) -> dict[str, Interval]:
    r"""Make the intervals of `bootstrap_bca` for several statistics from one set of resamples.

    Rows (students) are drawn with replacement; they are assumed independent. Each further statistic costs
    next to nothing, and all are read off the same resamples.

    Parameters
    ----------
    columns : array_like, shape (n,) or (n, k)
        One row per student, k numbers each, in any units, none missing.
    statistics : mapping of str to callable
        What to call each, and what takes `Moments` and gives one number per sample.
    rng : numpy.random.Generator
        Source of the draws; its seed is printed in the report.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    draws : int, optional
        How many resamples.

    Returns
    -------
    dict of str to Interval
        Under the same names, each in the unit of its statistic.

    Raises
    ------
    ValueError
        If a number is missing or infinite, `draws` is below 100, or `level` is not between 0 and 1.
    TooFewError
        If there are fewer than 3 rows, or a statistic is undefined in a resample, or is the same in all,
        or lies outside them.

    Notes
    -----
    As `bootstrap_bca`.

    References
    ----------
    .. [1] Key ``efron-1987``.

    Examples
    --------
    >>> scores = [[10, 13], [12, 14], [15, 21], [9, 9], [14, 18]]
    >>> found = bootstrap_bca_each(
    ...     scores,
    ...     {"first": lambda m: m.mean[..., 0], "gain": lambda m: m.mean[..., 1] - m.mean[..., 0]},
    ...     rng=np.random.default_rng(1),
    ... )
    >>> found["first"].low < 12 < found["first"].high, found["gain"].low < 3 < found["gain"].high
    (True, True)
    """
    tail = upper_tail("bootstrap_bca_each", level)
    drawn = resamples("bootstrap_bca_each", columns, rng=rng, draws=draws)
    return {
        name: _bca("bootstrap_bca_each", drawn, statistic, tail=tail, level=level)
        for name, statistic in statistics.items()
    }


def bootstrap_percentile(
    columns: ArrayLike, statistic: Statistic, *, rng: np.random.Generator, level: float = 0.95, draws: int = 10_000
) -> Interval:
    r"""Make the percentile bootstrap interval of a statistic.

    Rows (students) are drawn with replacement; they are assumed independent. It ignores bias and
    skewness; `bootstrap_bca` corrects for both.

    Parameters
    ----------
    columns : array_like, shape (n,) or (n, k)
        One row per student, k numbers each, in any units, none missing.
    statistic : callable
        Takes `Moments`, gives one number per sample: ``lambda m: m.mean[..., 1] - m.mean[..., 0]``.
    rng : numpy.random.Generator
        Source of the draws; its seed is printed in the report.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    draws : int, optional
        How many resamples.

    Returns
    -------
    Interval
        In the unit of the statistic.

    Raises
    ------
    ValueError
        If a number is missing or infinite, `draws` is below 100, or `level` is not between 0 and 1.
    TooFewError
        If there are fewer than 3 rows, or the statistic is undefined in a resample, or is the same in all.

    Notes
    -----
    The :math:`(1 \mp level)/2` quantiles of the resampled values. Simulated, 95 % intervals of a mean gain hold the
    truth 84 to 90 % of the time with 5 to 10 normal gains, and 81, 87, 90, 92 and 94 % with 5, 10, 20, 40 and 100
    skewed ones, so no report takes it for gains; of a correlation of skewed scores 93 % with 100 students, Fisher's
    79 %.

    References
    ----------
    .. [1] Key ``efron-tibshirani-1993``, chapter 13.

    Examples
    --------
    >>> interval = bootstrap_percentile([3, 2, 6, 0, 4], lambda m: m.mean[..., 0], rng=np.random.default_rng(1))
    >>> interval.low < 3 < interval.high
    True
    """
    tail = upper_tail("bootstrap_percentile", level)
    sample = resamples("bootstrap_percentile", columns, rng=rng, draws=draws)
    drawn, _ = sample.drawn("bootstrap_percentile", statistic)
    low, high = quantiles(drawn, np.array([1 - tail, tail]))
    method = f"percentile bootstrap, {draws} resamples"
    return Interval(low=float(low), high=float(high), level=level, method=method, source="efron-tibshirani-1993")


def _bca(function: str, sample: Resamples, statistic: Statistic, *, tail: float, level: float) -> Interval:
    """BCa interval of one statistic."""
    drawn, observed = sample.drawn(function, statistic)
    low, high = bca_limits(function, drawn, observed, acceleration=sample.acceleration(statistic), tail=tail)
    return Interval(
        low=low, high=high, level=level, method=f"BCa bootstrap, {drawn.size} resamples", source="efron-1987"
    )
