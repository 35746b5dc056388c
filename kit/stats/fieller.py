"""Fieller's interval for the ratio of two means of the same students."""

from __future__ import annotations

import numpy as np
from scipy.special import stdtrit

from kit.stats.complete import Floats


def ratio_limits(top: Floats, bottom: Floats, *, tail: float) -> tuple[float, float] | None:
    r"""Give the ratios of means that a paired t test just fails to reject.

    Parameters
    ----------
    top, bottom : ndarray, shape (n,)
        Numbers of the same n students, in one unit; n at least 2.
    tail : float
        Upper cumulative probability, 0.975 for a 95 % interval.

    Returns
    -------
    low, high : float, or None
        Limits of ``mean(top) / mean(bottom)``; None where the set has no ends because the mean of
        `bottom` itself is not clearly different from zero.

    Notes
    -----
    Roots of :math:`(\bar v-\theta\bar u)^2 = t_{n-1}^2\, s^2(v-\theta u)/n`, a quadratic in :math:`\theta`.

    References
    ----------
    .. [1] Key ``fieller-1954``.

    Examples
    --------
    >>> low, high = ratio_limits(np.array([1.0, 2.0, 3.0]), np.array([4.0, 5.0, 7.0]), tail=0.975)
    >>> round(low, 3), round(high, 3)
    (-0.305, 0.506)
    """
    if bottom.size < 2:
        return None
    factor = float(stdtrit(bottom.size - 1, tail)) ** 2 / bottom.size
    (of_bottom, shared), (_, of_top) = np.cov(bottom, top)
    squared = bottom.mean() ** 2 - factor * of_bottom
    crossed = bottom.mean() * top.mean() - factor * shared
    constant = top.mean() ** 2 - factor * of_top
    inside = crossed**2 - squared * constant
    if squared <= 0 or inside < 0:
        return None
    return float((crossed - np.sqrt(inside)) / squared), float((crossed + np.sqrt(inside)) / squared)
