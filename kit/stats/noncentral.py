"""What standardised sizes rest on: the noncentral t turned round, and the exact small-sample correction."""

from __future__ import annotations

from functools import cache

import numpy as np
from scipy.optimize import brentq
from scipy.special import gammaincc, gammaln, nctdtr, ndtri

from kit.estimate import Interval
from kit.stats.complete import Floats

LIBRARY_IS_EXACT_TO = 30.0
"""|t| up to which scipy's distribution function keeps its digits.

Its inverse (``nctdtrinc`` of 1.17) does not: at 99 % and t below 0.1 it answers as if t were 0, and at t = 29 it is
0.0003 off.
"""

REACH = 9.0
"""Standard normal deviates beyond +-9 carry less than 1e-18 of the probability."""


def small_sample_correction(df: float) -> float:
    r"""Give Hedges' exact factor J that takes the upward bias out of a standardised mean.

    Parameters
    ----------
    df : float
        Degrees of freedom of the standard deviation, above 1.

    Returns
    -------
    float
        Between 0 and 1, without unit.

    Notes
    -----
    :math:`J(m) = \Gamma(m/2) / (\sqrt{m/2}\, \Gamma((m-1)/2))`.

    References
    ----------
    .. [1] Key ``hedges-1981``, equation 6d.

    Examples
    --------
    >>> round(small_sample_correction(10), 4)
    0.9227
    """
    return float(np.exp(gammaln(df / 2) - gammaln((df - 1) / 2)) / np.sqrt(df / 2))


def noncentrality_limits(t: float, df: float, *, tail: float) -> tuple[float, float]:
    """Give the noncentralities under which the observed t lies just at either end.

    Parameters
    ----------
    t : float
        Observed t, without unit.
    df : float
        Its degrees of freedom.
    tail : float
        Upper cumulative probability, 0.975 for a 95 % interval.

    Returns
    -------
    low, high : float
        Noncentralities with ``P(T <= t)`` equal to `tail` and to ``1 - tail``.

    References
    ----------
    .. [1] Key ``steiger-fouladi-1997``.

    Examples
    --------
    >>> low, high = noncentrality_limits(2.83, 126, tail=0.975)
    >>> round(low, 4), round(high, 4)
    (0.8338, 4.8154)
    """
    if t < 0:
        low, high = noncentrality_limits(-t, df, tail=tail)
        return -high, -low
    if t <= LIBRARY_IS_EXACT_TO:
        return _limit(t, df, tail), _limit(t, df, 1 - tail)
    return _limit_of_large_t(t, df, tail), _limit_of_large_t(t, df, 1 - tail)


def noncentral_interval(d: float, df: float, *, per_t: float, tail: float, level: float) -> Interval:
    """Make the noncentral-t interval of a standardised mean or difference.

    Parameters
    ----------
    d : float
        The uncorrected size.
    df : float
        Degrees of freedom of its standard deviation.
    per_t : float
        What one unit of t is in units of `d`: ``1/sqrt(n)``, or ``sqrt(1/n + 1/k)`` for two groups.
    tail : float
        Upper cumulative probability, 0.975 for a 95 % interval.
    level : float
        Confidence level, a proportion.

    Returns
    -------
    Interval
        In the unit of `d`.
    """
    low, high = noncentrality_limits(d / per_t, df, tail=tail)
    return Interval(
        low=float(low * per_t), high=float(high * per_t), level=level, method="noncentral t",
        source="steiger-fouladi-1997",
    )  # fmt: skip


def _limit(t: float, df: float, probability: float) -> float:
    """Noncentrality at which t, not below 0, has this probability: steps from the normal approximation, then halving.

    It is nowhere below that of t = 0, where the probability is the normal one of what lies below zero.
    """

    def off(noncentrality: float) -> float:
        return float(nctdtr(df, noncentrality, t)) - probability

    spread, least = float(np.sqrt(1 + t**2 / (2 * df))), -float(ndtri(probability))
    if t == 0:
        return least
    near = max(t + least * spread, least)
    step = spread / 4 if off(near) > 0 else -spread / 4  # the probability falls as the noncentrality rises
    far = max(near + step, least)
    while off(far) * step > 0 and far != near:
        near, far, step = far, max(far + 2 * step, least), 2 * step
    return far if far == near else float(brentq(off, near, far, xtol=1e-11))


@cache
def _nodes() -> tuple[Floats, Floats]:
    """Make normal deviates and their weights times density when first needed (a tenth of a second)."""
    nodes, weights = np.polynomial.legendre.leggauss(1000)
    deviates = REACH * nodes
    return deviates, REACH * weights * np.exp(-(deviates**2) / 2) / np.sqrt(2 * np.pi)


def _probability_below(t: float, df: float, noncentrality: float) -> float:
    """P(T <= t) for large t: the chi distribution's upper tail, averaged over the normal deviate (smooth in it)."""
    deviates, weights = _nodes()
    at_least = np.clip((deviates + noncentrality) / t, 0, None)
    return float(gammaincc(df / 2, df / 2 * at_least**2) @ weights)


def _limit_of_large_t(t: float, df: float, probability: float) -> float:
    """Noncentrality at which the observed large t has this cumulative probability."""
    reach = 4 * (1 + np.sqrt(10 / df))
    return float(
        brentq(lambda d: _probability_below(t, df, d) - probability, -reach, reach * t, xtol=1e-10, rtol=1e-12)
    )
