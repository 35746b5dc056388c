"""Tables with missing numbers filled in by chained equations, and estimates from several of them put together."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from kit.stats.complete import Floats, need

DUST = 1e-10
"""Share of the largest spread in any direction of the columns below which columns repeat each other."""


@dataclass(frozen=True, slots=True)
class Pooled:
    """One estimate from several completed data sets.

    Attributes
    ----------
    value : float
        Mean of the estimates.
    within, between : float
        Mean squared standard error, and variance of the estimates.
    draws : int
        How many completed data sets.
    df : float
        Barnard and Rubin's degrees of freedom; infinite where the complete data's are and nothing varies.
    """

    value: float
    within: float
    between: float
    draws: int
    df: float

    @property
    def error(self) -> float:
        """Standard error of the value."""
        return math.sqrt(self.within + (1 + 1 / self.draws) * self.between)

    @property
    def increase(self) -> float:
        """By how much the missing data raise the squared standard error, as a share of `within`."""
        return (1 + 1 / self.draws) * self.between / self.within


def rubin(values: ArrayLike, errors: ArrayLike, *, complete_df: float = math.inf) -> Pooled:
    r"""Put the estimates from several completed data sets together: Rubin's rules.

    They assume that the sets were filled in with all their uncertainty, as `imputed` does.

    Parameters
    ----------
    values, errors : array_like, shape (m,)
        Estimate and its standard error in each completed data set, none missing.
    complete_df : float, optional
        Degrees of freedom that the estimate would have without missing data.

    Returns
    -------
    Pooled
        In the unit of the estimates.

    Raises
    ------
    ValueError
        If a number is missing or infinite, a standard error is below 0, or `complete_df` is not above 0.
    TooFewError
        If there are fewer than 2 data sets.

    Notes
    -----
    :math:`T = W + (1+1/m)B`, :math:`\lambda = (1+1/m)B/T`, :math:`1/\nu = \lambda^2/(m-1) +
    1/(\frac{\nu_0+1}{\nu_0+3}\nu_0(1-\lambda))`.

    References
    ----------
    .. [1] Keys ``rubin-1987`` and ``barnard-rubin-1999``.

    Examples
    --------
    >>> round(rubin([47.0, 47.2, 47.5], [0.96, 0.94, 1.01], complete_df=30).df, 1)
    23.8
    """
    estimates, spreads = np.asarray(values, dtype=float), np.asarray(errors, dtype=float)
    if not (np.isfinite(estimates).all() and np.isfinite(spreads).all() and (spreads > 0).all()):
        raise ValueError("rubin: values must be finite, and errors finite and above 0. Got others.")
    if not complete_df > 0:
        raise ValueError(f"rubin: complete_df must be above 0. Got {complete_df!r}.")
    need("rubin", "The list", estimates.size, least=2, what="completed data sets")
    m, within, between = estimates.size, float((spreads**2).mean()), float(estimates.var(ddof=1))
    share = (1 + 1 / m) * between / (within + (1 + 1 / m) * between)
    observed = math.inf if math.isinf(complete_df) else (complete_df + 1) / (complete_df + 3) * complete_df
    inverse = share**2 / (m - 1) + 1 / (observed * (1 - share))
    return Pooled(float(estimates.mean()), within, between, m, 1 / inverse if inverse else math.inf)


def completed(table: Floats, rng: np.random.Generator, cycles: int) -> Floats:
    r"""Fill every missing number with a draw from a linear regression on all other columns.

    Parameters
    ----------
    table : ndarray, shape (n, k)
        One row per student, NaN where missing.
    rng : numpy.random.Generator
        Source of the draws.
    cycles : int
        How many times the columns are gone through.

    Returns
    -------
    ndarray, shape (n, k)
        The table without gaps; what was there is untouched.

    Notes
    -----
    Gaps start from numbers drawn out of the same column; columns with fewest gaps come first. With gaps
    in one column only, one cycle is all there is to do.

    References
    ----------
    .. [1] Key ``van-buuren-2018``, algorithms 3.1 and 4.3.
    """
    gaps, filled = np.isnan(table), table.copy()
    wanting = [j for j in np.argsort(gaps.sum(axis=0), kind="stable") if gaps[:, j].any()]
    for j in wanting:
        filled[gaps[:, j], j] = rng.choice(table[~gaps[:, j], j], int(gaps[:, j].sum()))
    for _ in range(cycles if len(wanting) > 1 else 1):
        for j in wanting:
            others = np.delete(filled, j, axis=1)
            filled[gaps[:, j], j] = _drawn(others, table[~gaps[:, j], j], gaps[:, j], rng)
    return filled


def _drawn(others: Floats, there: Floats, gap: np.ndarray, rng: np.random.Generator) -> Floats:
    """Draw the missing numbers of one column, given the other columns and the numbers that are there."""
    spread = others.std(axis=0)
    design = np.column_stack([np.ones(len(others)), (others - others.mean(axis=0)) / np.where(spread, spread, 1.0)])
    known = design[~gap]
    sizes, turns = np.linalg.eigh(known.T @ known)
    keep = sizes > DUST * sizes[-1]
    sizes, turns = sizes[keep], turns[:, keep]
    middle = there.mean()
    fitted = turns @ ((known @ turns).T @ (there - middle) / sizes)
    rest = there - middle - known @ fitted
    sigma = math.sqrt(rest @ rest / rng.chisquare(there.size - sizes.size))
    weights = fitted + turns @ (sigma * rng.standard_normal(sizes.size) / np.sqrt(sizes))
    return middle + design[gap] @ weights + sigma * rng.standard_normal(int(gap.sum()))
