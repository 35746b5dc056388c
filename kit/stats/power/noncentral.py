"""What planning rests on: the power of a t-test, and how far from zero the truth must lie for a given power."""

from __future__ import annotations

import math

from scipy.special import nctdtr, stdtrit

from kit.stats.complete import upper_tail
from kit.stats.noncentral import noncentrality_limits


def power_of_t(noncentrality: float, df: float, *, level: float = 0.95) -> float:
    r"""Give the probability that a t-interval leaves zero out, on either side.

    Parameters
    ----------
    noncentrality : float
        True difference over its true standard error, without unit.
    df : float
        Degrees of freedom; not whole where a sample size is solved for.
    level : float, optional
        Confidence level of the interval, a proportion in (0, 1).

    Returns
    -------
    float
        A proportion.

    Raises
    ------
    ValueError
        If `level` is not between 0 and 1.

    Notes
    -----
    :math:`P(|T| > t_{(1+level)/2,\,df})` with T noncentral t.

    References
    ----------
    .. [1] Key ``cohen-1988``, chapter 2.

    Examples
    --------
    >>> round(power_of_t((20 / 2) ** 0.5, 38), 4)
    0.869
    """
    critical = float(stdtrit(df, upper_tail("power_of_t", level)))
    missed = (float(nctdtr(df, abs(noncentrality), end)) for end in (critical, -critical))
    below, above = (0.0 if math.isnan(share) else share for share in missed)  # scipy has no number below 1e-14
    return 1 - below + above


def noncentrality_needed(function: str, df: float, *, power: float, level: float) -> float:
    r"""Give the noncentrality at which a t-interval lies above zero with the power asked for.

    Parameters
    ----------
    function : str
        Who asks, for messages.
    df : float
        Degrees of freedom, above 0.
    power : float
        How probable it must be, a proportion in (0, 1).
    level : float
        Confidence level of the interval, a proportion in (0, 1).

    Returns
    -------
    float
        In standard errors, above zero. With many degrees of freedom 2.80 for power 0.80 and level 0.95; the sum of
        two quantiles of t that is often used instead is 13 percent too low at 1 degree of freedom, 1 percent at 4.

    Raises
    ------
    ValueError
        If `level` is not between 0 and 1, or `power` not between ``(1 - level) / 2``, what chance alone gives, and 1.

    Notes
    -----
    The :math:`\delta` with :math:`P(T_{df,\delta} \le t_{(1+level)/2,\,df}) = 1 - power`.

    References
    ----------
    .. [1] Key ``cohen-1988``, chapter 2.

    Examples
    --------
    >>> round(noncentrality_needed("plan", 10_000, power=0.80, level=0.95), 2)
    2.8
    """
    tail = upper_tail(function, level)
    if not 1 - tail < power < 1:
        raise ValueError(f"{function}: power must be between {1 - tail:g} and 1. Got {power!r}.")
    return noncentrality_limits(float(stdtrit(df, tail)), df, tail=power)[1]
