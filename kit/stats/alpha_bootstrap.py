"""Bootstrap interval of Cronbach's alpha and KR-20: a tool that returns an Interval."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import TooFewError
from kit.estimate import Interval
from kit.stats.bootstrap_limits import TIE, bca_limits
from kit.stats.complete import Floats, upper_tail
from kit.stats.moment_bootstrap import DUST, resampled_totals
from kit.stats.score_tables import complete_table

EXACT = 1 << 24
"""Up to which every whole number is exact in four bytes."""


def bootstrap_alpha(
    scores: ArrayLike, *, rng: np.random.Generator, level: float = 0.95, draws: int = 10_000
) -> Interval:
    r"""Make the bias-corrected and accelerated bootstrap interval of Cronbach's alpha or KR-20.

    For items that are far from normal, where Feldt's interval cannot be trusted. Students are drawn with
    replacement; they are assumed independent. A resample is one row of counts times k + 2 columns,
    because alpha needs no covariances of items: only their means, their summed squares and the total.

    Parameters
    ----------
    scores : array_like, shape (n, k)
        One row per student, one column per item, none missing.
    rng : numpy.random.Generator
        Source of the draws; its seed is printed in the report.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    draws : int, optional
        How many resamples.

    Returns
    -------
    Interval
        In the unit of alpha.

    Raises
    ------
    ValueError
        If a number is missing or infinite, `draws` is below 100, or `level` is not between 0 and 1.
    TooFewError
        If there are fewer than 2 items or 3 students, all totals are the same in a resample, or alpha is
        the same in all.

    Notes
    -----
    As in `kit.stats.resampling.bootstrap_bca`. Simulated, 95 % intervals of KR-20 of 6 notes hold the truth 92 to 95 %
    of the time from 10 students up. Those of alpha over 6 melodies are too narrow with few students, 84 to 86 % with 5
    and 87 to 91 % with 20; with skewed scores they reach 91 % with 100. Reports take the jackknife of
    `kit.stats.consistency`, which is better at all sizes and needs no draws.

    References
    ----------
    .. [1] Key ``efron-1987``.

    Examples
    --------
    >>> scores = np.add.outer(np.arange(12.0), np.zeros(3)) + np.random.default_rng(2).normal(size=(12, 3))
    >>> interval = bootstrap_alpha(scores, rng=np.random.default_rng(1))
    >>> 0.9 < interval.low < interval.high < 1
    True
    """
    tail = upper_tail("bootstrap_alpha", level)
    if draws < 100:
        raise ValueError(f"bootstrap_alpha: draws must be at least 100. Got {draws!r}.")
    table, dropped = complete_table("bootstrap_alpha", "The sample", columns="items", least=3, scores=scores)
    if dropped:
        raise ValueError(f"bootstrap_alpha: scores must have no missing number. Got {dropped} rows with one.")
    features = _features(table)
    observed = float(_alpha(features.mean(axis=1)))
    totals = np.empty((len(features), draws))
    resampled_totals(_compact(features), rng, out=totals)
    totals /= len(table)
    drawn = np.sort(_alpha(totals))
    without = _without(features)
    _need_defined(drawn, observed, without)
    away = without.mean() - without
    low, high = bca_limits(
        "bootstrap_alpha", drawn, observed, tail=tail, acceleration=(away**3).sum() / (6 * (away**2).sum() ** 1.5)
    )
    return Interval(low=low, high=high, level=level, method=f"BCa bootstrap, {draws} resamples", source="efron-1987")


def alpha_without_each(table: Floats) -> Floats:
    """Give alpha without each student in turn.

    Parameters
    ----------
    table : ndarray, shape (n, k)
        One row per student, one column per item, none missing; at least 3 students.

    Returns
    -------
    ndarray, shape (n,)
        NaN where all totals of the others are the same.

    Examples
    --------
    >>> table = np.array([[3.0, 4, 4], [1, 2, 1], [4, 4, 3], [2, 3, 2]])
    >>> alpha_without_each(table).round(3).tolist()
    [0.973, 0.844, 0.973, 0.949]
    """
    return _without(_features(table))


def _without(features: Floats) -> Floats:
    """Alpha without each student, from the features of all."""
    return _alpha((features.sum(axis=1, keepdims=True) - features) / (features.shape[1] - 1))


def _features(table: Floats) -> Floats:
    """Centred items, their summed squares and the squared total, shape (k + 2, n); their means are all alpha needs.

    Whole numbers are centred on whole numbers, and stay whole.
    """
    centre = table.mean(axis=0)
    away = (table - (np.rint(centre) if (table == np.rint(table)).all() else centre)).T
    return np.vstack([away, (away**2).sum(axis=0), away.sum(axis=0) ** 2])


def _compact(features: Floats) -> Floats:
    """Write whole numbers in four bytes where the total of any resample is exact so."""
    most = features.shape[1] * np.abs(features).max()
    return features.astype(np.float32) if most <= EXACT and (features == np.rint(features)).all() else features


def _alpha(means: Floats) -> Floats:
    """Alpha from mean features, shape (k + 2, ...); NaN where all totals are the same."""
    by_item, squares, total = means[:-2], means[-2], means[-1]
    spread, items = total - by_item.sum(axis=0) ** 2, squares - np.einsum("i...,i...->...", by_item, by_item)
    left = np.divide(items, spread, out=np.full_like(spread, np.nan), where=spread > DUST * total)
    return len(by_item) / (len(by_item) - 1) * (1 - left)


def _need_defined(drawn: Floats, observed: float, without: Floats) -> None:
    """Refuse resamples in which alpha has no value, and an alpha that never differs."""
    undefined = int(np.isnan(drawn).sum() + np.isnan(without).sum() + np.isnan(observed))
    if undefined:
        raise TooFewError(f"bootstrap_alpha: needs totals that differ in every resample. They do not in {undefined}.")
    if drawn[-1] - drawn[0] <= TIE:
        raise TooFewError("bootstrap_alpha: needs an alpha that differs between resamples. It is the same in all.")
