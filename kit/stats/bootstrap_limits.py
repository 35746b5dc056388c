"""From resampled values to the ends of an interval."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtr, ndtri

from kit.errors import TooFewError
from kit.stats.complete import Floats

TIE = 1e-9
"""Share of the resamples' range within which a resample ties with the observed value (whole points tie often)."""


def bca_limits(
    function: str, drawn: Floats, observed: float, *, acceleration: float, tail: float
) -> tuple[float, float]:
    r"""Give the bias-corrected and accelerated limits.

    Parameters
    ----------
    function : str
        Who asks, for messages.
    drawn : ndarray, shape (draws,)
        Statistic of each resample, in rising order.
    observed : float
        Statistic of the sample.
    acceleration : float
        See `Resamples.acceleration`.
    tail : float
        Upper cumulative probability, 0.975 for a 95 % interval.

    Returns
    -------
    low, high : float
        In the unit of the statistic.

    Raises
    ------
    TooFewError
        If the observed statistic lies outside the resampled ones.

    References
    ----------
    .. [1] Key ``efron-1987``.
    """
    dust = TIE * (drawn[-1] - drawn[0])
    below = np.searchsorted(drawn, [observed - dust, observed + dust]).sum() / (2 * drawn.size)
    if not 0 < below < 1:
        raise TooFewError(f"{function}: needs a statistic that lies among its resampled values. It lies outside.")
    shift = float(ndtri(below))
    either = shift + ndtri(np.array([1 - tail, tail]))
    low, high = quantiles(drawn, ndtr(shift + either / (1 - acceleration * either)))
    return float(low), float(high)


def quantiles(ordered: Floats, probabilities: Floats) -> Floats:
    """Read quantiles off numbers that are already in order, straight between neighbours.

    Parameters
    ----------
    ordered : ndarray, shape (b,)
        Numbers in rising order.
    probabilities : ndarray, shape (q,)
        Each between 0 and 1.

    Returns
    -------
    ndarray, shape (q,)
        In the unit of the numbers.

    Examples
    --------
    >>> quantiles(np.array([1.0, 2.0, 4.0]), np.array([0.25, 0.75])).tolist()
    [1.5, 3.0]
    """
    return np.interp(probabilities * (ordered.size - 1), np.arange(ordered.size), ordered)
