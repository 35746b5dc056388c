"""Score limits: Wilson's of a share, Newcombe's of a difference made from them, Tango's of a difference of pairs."""

from __future__ import annotations

import math

from scipy.optimize import brentq
from scipy.special import ndtri

_EDGE = 1e-12
"""How near to -1 and 1 the search for Tango's limits begins: at the ends themselves the statistic is infinite."""


def wilson_limits(hits: int, n: int, tail: float) -> tuple[float, float]:
    """Give Wilson's limits of a share, exactly 0 for no hit and 1 for all.

    Parameters
    ----------
    hits, n : int
        Hits among n, n above 0.
    tail : float
        Upper cumulative probability, 0.975 for a 95 % interval.

    Returns
    -------
    low, high : float
        Shares.

    References
    ----------
    .. [1] Key ``newcombe-1998a``, method 3.

    Examples
    --------
    >>> round(wilson_limits(0, 20, 0.975)[1], 4)
    0.1611
    """
    z = float(ndtri(tail))
    middle, half = 2 * hits + z**2, z * math.sqrt(z**2 + 4 * hits * (1 - hits / n))
    low, high = (middle - half) / (2 * (n + z**2)), (middle + half) / (2 * (n + z**2))
    return (low if hits else 0.0), (high if hits < n else 1.0)


def newcombe_limits(
    hits: int, n: int, other_hits: int, other_n: int, *, tail: float, phi: float
) -> tuple[float, float]:
    """Give Newcombe's limits of a difference of two shares from Wilson's of each.

    Parameters
    ----------
    hits, n, other_hits, other_n : int
        Hits among n, twice.
    tail : float
        Upper cumulative probability, 0.975 for a 95 % interval.
    phi : float
        Correlation of the two; 0 for different students.

    Returns
    -------
    low, high : float
        Differences of shares.

    References
    ----------
    .. [1] Keys ``newcombe-1998b`` and ``newcombe-1998c``, method 10 of each.

    Examples
    --------
    >>> round(newcombe_limits(7, 34, 1, 34, tail=0.975, phi=0.0)[0], 4)
    0.0189
    """
    low, high = wilson_limits(hits, n, tail)
    other_low, other_high = wilson_limits(other_hits, other_n, tail)
    share, other = hits / n, other_hits / other_n
    down, up = (share - low, other_high - other), (high - share, other - other_low)
    below, above = (math.sqrt(max(0.0, a**2 - 2 * phi * a * b + b**2)) for a, b in (down, up))
    return share - other - below, share - other + above


def corrected_phi(both: int, first_only: int, second_only: int, neither: int) -> float:
    """Give the correlation of two marks, its numerator drawn towards zero by n/2 where positive.

    Parameters
    ----------
    both, first_only, second_only, neither : int
        Students by which of the two marks they have.

    Returns
    -------
    float
        -1 to 1; 0 where a margin is empty.

    References
    ----------
    .. [1] Key ``newcombe-1998c``, method 10.

    Examples
    --------
    >>> round(corrected_phi(20, 2, 12, 16), 4)
    0.455
    """
    margins = (both + first_only) * (second_only + neither) * (both + second_only) * (first_only + neither)
    if margins == 0:
        return 0.0
    top = both * neither - first_only * second_only
    shrunk = max(top - (both + first_only + second_only + neither) / 2, 0.0) if top > 0 else top
    return shrunk / math.sqrt(margins)


def tango_limits(gained: int, lost: int, n: int, *, tail: float) -> tuple[float, float]:
    """Give Tango's score limits of the share who gained minus the share who lost.

    Parameters
    ----------
    gained, lost : int
        Students who went up and who went down; the others stayed.
    n : int
        All students, above 0.
    tail : float
        Upper cumulative probability, 0.975 for a 95 % interval.

    Returns
    -------
    low, high : float
        Differences of shares, -1 to 1.

    References
    ----------
    .. [1] Key ``tango-1998``.

    Examples
    --------
    >>> low, high = tango_limits(6, 16, 161, tail=0.975)
    >>> round(low, 4), round(high, 4)
    (-0.124, -0.0054)
    """
    z, share = float(ndtri(tail)), (gained - lost) / n
    below, above = (
        (lambda theta: _tango(theta, gained, lost, n) - z),
        (lambda theta: _tango(theta, gained, lost, n) + z),
    )
    low = -1.0 if share == -1 else float(brentq(below, -1 + _EDGE, share, xtol=1e-14))
    high = 1.0 if share == 1 else float(brentq(above, share, 1 - _EDGE, xtol=1e-14))
    return low, high


def _tango(theta: float, gained: int, lost: int, n: int) -> float:
    """Score statistic for a difference `theta` of the shares, the share of losses at its likeliest."""
    half = (gained + lost - (2 * n - gained + lost) * theta) / 2
    losing = (half + math.sqrt(max(half**2 + 2 * n * lost * theta * (1 - theta), 0.0))) / (2 * n)
    variance = n * (2 * losing + theta * (1 - theta))
    away = gained - lost - n * theta
    return away / math.sqrt(variance) if variance > 0 else math.copysign(math.inf, away) if away else 0.0
