"""Bootstrap intervals for statistics made of means, spreads and covariances: tools that return an Interval."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtr, ndtri

from kit.errors import TooFewError
from kit.estimate import Interval
from kit.stats.complete import Floats, need, upper_tail

BLOCK = 1 << 16
"""Resampled cases per block: small enough to stay in the processor's cache."""

DUST = 1e-12
"""Share of a column's spread below which a resampled spread is rounding dust, and set to zero."""

TIE = 1e-9
"""Share of the resamples' range within which a resample ties with the observed value (whole points tie often)."""


@dataclass(frozen=True, slots=True)
class Moments:
    """Means and covariances of one sample, or of many resamples at once.

    Attributes
    ----------
    n : int
        Rows in each sample.
    mean : ndarray, shape (..., k)
        Means of the k columns.
    covariance : ndarray, shape (..., k, k)
        Covariances with n in the denominator; for n - 1 multiply by ``n / (n - 1)``.
    """

    n: int
    mean: Floats
    covariance: Floats


Statistic = Callable[[Moments], Floats]


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
    the observed value, a from the leave-one-out values.

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
    sample = _Sample.of("bootstrap_bca", columns, draws)
    drawn, observed = _drawn("bootstrap_bca", sample, statistic, rng, draws)
    dust = TIE * (drawn[-1] - drawn[0])
    below = np.searchsorted(drawn, [observed - dust, observed + dust]).sum() / (2 * draws)
    if not 0 < below < 1:
        raise TooFewError("bootstrap_bca: needs a statistic that lies among its resampled values. It lies outside.")
    shift, bend = float(ndtri(below)), _acceleration(sample, statistic)
    either = shift + ndtri(np.array([1 - tail, tail]))
    low, high = np.quantile(drawn, ndtr(shift + either / (1 - bend * either)))
    return Interval(
        low=float(low), high=float(high), level=level, method=f"BCa bootstrap, {draws} resamples", source="efron-1987"
    )


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
    The :math:`(1 \mp level)/2` quantiles of the resampled values.

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
    sample = _Sample.of("bootstrap_percentile", columns, draws)
    drawn, _ = _drawn("bootstrap_percentile", sample, statistic, rng, draws)
    low, high = np.quantile(drawn, [1 - tail, tail])
    method = f"percentile bootstrap, {draws} resamples"
    return Interval(low=float(low), high=float(high), level=level, method=method, source="efron-tibshirani-1993")


@dataclass(frozen=True, slots=True)
class _Sample:
    """Centred columns and their products, shape (n, k + k(k+1)/2); their means are all that a statistic needs."""

    centre: Floats
    features: Floats

    @classmethod
    def of(cls, function: str, columns: ArrayLike, draws: int) -> _Sample:
        """Check the columns and lay out their products."""
        values = np.asarray(columns, dtype=float)
        values = values.reshape(len(values), -1)
        if not np.isfinite(values).all():
            found = int((~np.isfinite(values)).any(axis=1).sum())
            raise ValueError(f"{function}: columns must have no missing or infinite number. Got {found} rows with one.")
        if draws < 100:
            raise ValueError(f"{function}: draws must be at least 100. Got {draws!r}.")
        need(function, "The sample", len(values), least=3, what="rows")
        centre = values.mean(axis=0)
        away = values - centre
        first, second = np.triu_indices(values.shape[1])
        return cls(centre, np.hstack([away, away[:, first] * away[:, second]]))

    def moments(self, means: Floats, n: int) -> Moments:
        """Turn mean features into means and covariances."""
        k = self.centre.size
        first, second = np.triu_indices(k)
        shared = means[..., k:] - means[..., first] * means[..., second]
        scale = np.sqrt(np.abs(self.features[:, k:]).mean(axis=0))
        shared = np.where(np.abs(shared) <= DUST * scale**2, 0.0, shared)
        covariance = np.empty((*means.shape[:-1], k, k))
        covariance[..., first, second] = covariance[..., second, first] = shared
        return Moments(n, means[..., :k] + self.centre, covariance)


def _resampled_means(features: Floats, rng: np.random.Generator, draws: int) -> Floats:
    """Mean features of every resample: counts of each row, block by block, times the features."""
    n = len(features)
    step = max(1, BLOCK // n)
    offsets = (np.arange(step) * n)[:, None]
    means = np.empty((draws, features.shape[1]))
    for start in range(0, draws, step):
        rows = min(step, draws - start)
        picked = rng.integers(0, n, (rows, n), dtype=np.uint16 if n <= 65536 else np.uint32) + offsets[:rows]
        counts = np.bincount(picked.ravel(), minlength=rows * n).reshape(rows, n)
        np.matmul(counts.astype(float), features, out=means[start : start + rows])
    return means / n


def _drawn(
    function: str, sample: _Sample, statistic: Statistic, rng: np.random.Generator, draws: int
) -> tuple[Floats, float]:
    """Sorted statistics of the resamples, and the observed one."""
    n = len(sample.features)
    means = _resampled_means(sample.features, rng, draws)
    with np.errstate(divide="ignore", invalid="ignore"):
        drawn = np.sort(statistic(sample.moments(means, n)))
        observed = float(statistic(sample.moments(sample.features.mean(axis=0), n)))
    undefined = int((~np.isfinite(drawn)).sum())
    if undefined or not np.isfinite(observed):
        raise TooFewError(f"{function}: needs a statistic defined in every resample. It is not in {undefined}.")
    if drawn[0] == drawn[-1]:
        raise TooFewError(f"{function}: needs a statistic that differs between resamples. It is the same in all.")
    return drawn, observed


def _acceleration(sample: _Sample, statistic: Statistic) -> float:
    """Skewness of the leave-one-out values, all of them at once from the sums."""
    n = len(sample.features)
    without = (sample.features.sum(axis=0) - sample.features) / (n - 1)
    values = statistic(sample.moments(without, n - 1))
    away = values.mean() - values
    return float((away**3).sum() / (6 * (away**2).sum() ** 1.5))
