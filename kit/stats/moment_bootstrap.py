"""One set of resamples for any number of statistics: each resample is kept as its means, squares and products."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import TooFewError
from kit.stats.complete import Floats, need

BLOCK = 1 << 16
"""Draws per block: small enough to stay in the processor's cache."""

PRODUCT = (1 << 19) - 1
"""Multiplications per matrix product: the most for which the library stays on one processor, quicker on a busy one."""

DUST = 1e-12
"""Share of a column's spread below which a resampled spread is rounding dust, and set to zero."""


@dataclass(frozen=True, slots=True)
class Moments:
    """Means and covariances of one sample, or of many resamples at once.

    Attributes
    ----------
    n : int or ndarray, shape (...)
        Rows in each sample; they differ where whole clusters were drawn.
    mean : ndarray, shape (..., k)
        Means of the k columns.
    covariance : ndarray, shape (..., k, k)
        Covariances with n in the denominator; for n - 1 multiply by ``n / (n - 1)``.
    """

    n: int | Floats
    mean: Floats
    covariance: Floats


Statistic = Callable[[Moments], Floats]


@dataclass(frozen=True, slots=True)
class Resamples:
    """Moments of the sample, of every resample, and of the sample without each unit in turn.

    Attributes
    ----------
    sample, resampled, without : Moments
        Shapes (), (draws,) and (units,).
    """

    sample: Moments
    resampled: Moments
    without: Moments

    @classmethod
    def of(cls, centre: Floats, units: Floats, totals: Floats) -> Resamples:
        """Make the moments from totals.

        Parameters
        ----------
        centre : ndarray, shape (k,)
            Means of the columns, taken off before squaring so that no digits are lost.
        units : ndarray, shape (1 + k + k(k+1)/2, u)
            For each of u units: its rows, and its totals of the centred columns and of their products.
        totals : ndarray, shape (1 + k + k(k+1)/2, draws)
            The same of every resample.
        """
        everyone = units.sum(axis=1)
        dust = DUST * np.abs(units[1 + centre.size :]).sum(axis=1) / everyone[0]
        parts = (everyone, totals, everyone[:, None] - units)
        return cls(*(_moments(part, centre, dust) for part in parts))

    def drawn(self, function: str, statistic: Statistic) -> tuple[Floats, float]:
        """Compute a statistic in every resample, in rising order, and in the sample itself.

        Parameters
        ----------
        function : str
            Who asks, for messages.
        statistic : callable
            Takes `Moments`, gives one number per sample.

        Returns
        -------
        drawn : ndarray, shape (draws,)
            In the unit of the statistic.
        observed : float
            The same of the sample.

        Raises
        ------
        TooFewError
            If the statistic is undefined in a resample, or the same in all.
        """
        with np.errstate(divide="ignore", invalid="ignore"):
            drawn, observed = np.sort(statistic(self.resampled)), float(statistic(self.sample))
        if not (np.isfinite(drawn[[0, -1]]).all() and np.isfinite(observed)):  # sorted: what is not finite is at an end
            undefined = int((~np.isfinite(drawn)).sum())
            raise TooFewError(f"{function}: needs a statistic defined in every resample. It is not in {undefined}.")
        if drawn[0] == drawn[-1]:
            raise TooFewError(f"{function}: needs a statistic that differs between resamples. It is the same in all.")
        return drawn, observed

    def acceleration(self, statistic: Statistic) -> float:
        """Compute the skewness of the statistic's values without each unit in turn."""
        with np.errstate(divide="ignore", invalid="ignore"):
            values = statistic(self.without)
        away = values.mean() - values
        return float((away**3).sum() / (6 * (away**2).sum() ** 1.5))


def _moments(totals: Floats, centre: Floats, dust: Floats) -> Moments:
    """Turn totals into means and covariances; the numbers of one column lie together in memory."""
    k = centre.size
    first, second = np.triu_indices(k)
    rows, means = totals[0], totals[1:] / totals[0]
    shape = (-1, *(1,) * rows.ndim)
    shared = means[k:] - means[first] * means[second]
    shared[np.abs(shared) <= dust.reshape(shape)] = 0.0
    covariance = np.empty((k, k, *rows.shape))
    covariance[first, second] = covariance[second, first] = shared
    return Moments(
        rows, np.moveaxis(means[:k] + centre.reshape(shape), 0, -1), np.moveaxis(covariance, (0, 1), (-2, -1))
    )


def resamples(function: str, columns: ArrayLike, *, rng: np.random.Generator, draws: int) -> Resamples:
    """Draw rows with replacement, many times.

    Parameters
    ----------
    function : str
        Who asks, for messages.
    columns : array_like, shape (n,) or (n, k)
        One row per student, none missing.
    rng : numpy.random.Generator
        Source of the draws.
    draws : int
        How many resamples, at least 100.

    Returns
    -------
    Resamples
        With one unit per row.

    Raises
    ------
    ValueError
        If a number is missing or infinite, or `draws` is below 100.
    TooFewError
        If there are fewer than 3 rows.
    """
    values = checked(function, columns, draws)
    need(function, "The sample", len(values), least=3, what="rows")
    centre, units = features(values)
    totals = np.empty((len(units), draws))
    totals[0] = len(values)
    resampled_totals(units[1:], rng, out=totals[1:])
    return Resamples.of(centre, units, totals)


def checked(function: str, columns: ArrayLike, draws: int) -> Floats:
    """Give the columns as a table without missing numbers.

    Parameters
    ----------
    function : str
        Who asks, for messages.
    columns : array_like, shape (n,) or (n, k)
        One row per student.
    draws : int
        How many resamples.

    Returns
    -------
    ndarray, shape (n, k)
        The same numbers.

    Raises
    ------
    ValueError
        If a number is missing or infinite, or `draws` is below 100.
    """
    values = np.asarray(columns, dtype=float)
    values = values.reshape(len(values), -1) if values.size else values.reshape(0, 1)
    if not np.isfinite(values).all():
        found = int((~np.isfinite(values)).any(axis=1).sum())
        raise ValueError(f"{function}: columns must have no missing or infinite number. Got {found} rows with one.")
    if draws < 100:
        raise ValueError(f"{function}: draws must be at least 100. Got {draws!r}.")
    return values


def features(values: Floats) -> tuple[Floats, Floats]:
    """Lay out what every statistic of means and covariances is made of.

    Parameters
    ----------
    values : ndarray, shape (n, k)
        One row per student.

    Returns
    -------
    centre : ndarray, shape (k,)
        Means of the columns.
    units : ndarray, shape (1 + k + k(k+1)/2, n)
        For each row a 1, the centred columns, and their products.
    """
    centre = values.mean(axis=0)
    away = (values - centre).T
    first, second = np.triu_indices(values.shape[1])
    return centre, np.vstack([np.ones(len(values)), away, away[first] * away[second]])


def resampled_totals(units: Floats, rng: np.random.Generator, *, out: Floats) -> None:
    """Total the units of every resample: how often each was drawn, block by block, times the units.

    Parameters
    ----------
    units : ndarray, shape (f, u)
        Numbers of each of u units; of four bytes where their totals are exact so, which takes half the time.
    rng : numpy.random.Generator
        Source of the draws.
    out : ndarray, shape (f, draws)
        Where the totals are put, one column for each resample of u units.
    """
    u, draws = units.shape[1], out.shape[1]
    step, part = min(max(1, BLOCK // u), draws), max(1, PRODUCT // units.size)
    small = np.uint16 if u <= 65536 else np.uint32  # holds every place of a block, and is the cheapest to draw
    first_place = (np.arange(step) * u).astype(small)[:, None]
    places, counts, one = np.empty((step, u), dtype=np.intp), np.empty((step, u), units.dtype), units.dtype.type(1)
    for start in range(0, draws, step):
        rows = min(step, draws - start)
        np.add(rng.integers(0, u, (rows, u), dtype=small), first_place[:rows], out=places[:rows])
        counts.fill(0)
        np.add.at(counts.reshape(-1), places[:rows].reshape(-1), one)  # three times as fast as bincount
        for first in range(0, rows, part):
            last = min(first + part, rows)
            out[:, start + first : start + last] = units @ counts[first:last].T
