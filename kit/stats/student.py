"""From an estimate and its standard error to interval and p-value, and the errors of a difference of means."""

from __future__ import annotations

import math

from scipy.special import ndtri, stdtr, stdtrit

from kit.estimate import Interval


def t_interval(
    value: float, error: float, df: float | None, tail: float, *, level: float, method: str, source: str
) -> Interval | None:
    """Make the interval ``value +- t * error``, or none where there is no spread.

    Parameters
    ----------
    value, error : float
        Estimate and its standard error, in one unit.
    df : float or None
        Degrees of freedom; None only where `error` is zero.
    tail : float
        Upper cumulative probability, 0.975 for a 95 % interval.
    level, method, source
        As in `kit.estimate.Interval`.

    Returns
    -------
    Interval or None
        None where `error` is zero.
    """
    if error == 0:
        return None
    half = float(stdtrit(df, tail)) * error
    return Interval(low=float(value - half), high=float(value + half), level=level, method=method, source=source)


def bonett_interval(d: float, error: float, tail: float, *, level: float, standardiser: str) -> Interval:
    """Make the interval ``d +- z * error`` of a standardised mean gain.

    Parameters
    ----------
    d, error : float
        Uncorrected size and its standard error.
    tail : float
        Upper cumulative probability, 0.975 for a 95 % interval.
    level : float
        Confidence level, a proportion.
    standardiser : str
        Whose standard deviation `d` is in, in words.

    Returns
    -------
    Interval
        In the unit of `d`.

    References
    ----------
    .. [1] Key ``bonett-2008``.
    """
    half = float(ndtri(tail)) * error
    method = f"Bonett's interval, {standardiser}"
    return Interval(low=float(d - half), high=float(d + half), level=level, method=method, source="bonett-2008")


def t_p(value: float, error: float, df: float | None) -> float | None:
    """Give the two-sided p-value for zero, or none where there is no spread.

    Parameters
    ----------
    value, error : float
        Estimate and its standard error, in one unit.
    df : float or None
        Degrees of freedom; None only where `error` is zero.

    Returns
    -------
    float or None
        None where `error` is zero: t is undefined, not infinite.
    """
    return None if error == 0 else float(2 * stdtr(df, -abs(value / error)))


def pooled_spread(n: int, spread: float, k: int, spread_two: float) -> float:
    """Pool the spreads of two groups.

    Parameters
    ----------
    n, k : int
        Sizes of the groups.
    spread, spread_two : float
        Their standard deviations.

    Returns
    -------
    float
        In the unit of the spreads.
    """
    return math.sqrt(((n - 1) * spread**2 + (k - 1) * spread_two**2) / (n + k - 2))


def pooled_error(n: int, spread: float, k: int, spread_two: float) -> tuple[float, float]:
    """Give the standard error of a difference of means, one spread for both groups.

    Parameters
    ----------
    n, k : int
        Sizes of the groups.
    spread, spread_two : float
        Their standard deviations.

    Returns
    -------
    error, df : float
        Standard error in the unit of the spreads, and its degrees of freedom.
    """
    return pooled_spread(n, spread, k, spread_two) * math.sqrt(1 / n + 1 / k), float(n + k - 2)


def welch_error(n: int, spread: float, k: int, spread_two: float) -> tuple[float, float | None]:
    """Give the standard error of a difference of means, a spread for each group.

    Parameters
    ----------
    n, k : int
        Sizes of the groups.
    spread, spread_two : float
        Their standard deviations.

    Returns
    -------
    error : float
        Standard error in the unit of the spreads.
    df : float or None
        Welch's degrees of freedom; None where neither group has any spread.
    """
    one, two = spread**2 / n, spread_two**2 / k
    if one + two == 0:
        return 0.0, None
    return math.sqrt(one + two), (one + two) ** 2 / (one**2 / (n - 1) + two**2 / (k - 1))
