"""The share of right tries after so much practice, for a figure."""

from __future__ import annotations

import numpy as np
from numpy.polynomial.hermite_e import hermegauss
from numpy.typing import ArrayLike
from scipy.special import expit, ndtri

from kit.stats.complete import Floats, upper_tail
from kit.stats.learning.practice import PracticeRates

_NODES, _WEIGHTS = hermegauss(31)


def practice_curve(
    rates: PracticeRates, times: ArrayLike, days: ArrayLike = 0.0, *, level: float = 0.95
) -> tuple[Floats, Floats, Floats]:
    r"""Give the share of right tries after so much practice, for a figure.

    Parameters
    ----------
    rates : PracticeRates
        A fit.
    times, days : array_like, shape (m,) or a number
        Practice done, and days since.
    level : float, optional
        Confidence level of the band at each place, a proportion in (0, 1).

    Returns
    -------
    low, share, high : ndarray, shape (m,)
        Shares, 0 to 1, averaged over students and items as different as those of the fit.

    Raises
    ------
    ValueError
        If `level` is not between 0 and 1.

    Notes
    -----
    :math:`\int \mathrm{expit}(x\beta + \sigma z)\phi(z)dz` with :math:`\sigma^2` both variances together, at
    :math:`x\beta` and its Wald limits; the spreads are taken as known.

    References
    ----------
    .. [1] Key ``bates-2015``.
    """
    tail, fit = upper_tail("practice_curve", level), rates.fit
    done, since = np.broadcast_arrays(np.atleast_1d(np.asarray(times, float)), np.asarray(days, float))
    columns = np.column_stack([np.ones(done.size), np.log1p(done), np.log1p(since)])[:, : fit.coefficients.size]
    middle = columns @ fit.coefficients
    half = ndtri(tail) * np.sqrt(((columns @ fit.covariance) * columns).sum(axis=1))
    spread = np.hypot(fit.spread_students, fit.spread_items)
    low, share, high = (
        expit(line[:, None] + spread * _NODES) @ _WEIGHTS / _WEIGHTS.sum()
        for line in (middle - half, middle, middle + half)
    )
    return low, share, high
