"""From an estimate and its standard error to ends and p-values, by Student's t or, where no df is given, the normal."""

from __future__ import annotations

from scipy.special import ndtr, ndtri, stdtr, stdtrit

from kit.estimate import Interval


def quantile(probability: float, df: float | None) -> float:
    """Give the value below which a share of Student's t, or of the normal, lies.

    Parameters
    ----------
    probability : float
        The share, between 0 and 1.
    df : float or None
        Degrees of freedom; None for the normal.

    Returns
    -------
    float
        Without unit.

    Examples
    --------
    >>> round(quantile(0.975, None), 2), round(quantile(0.975, 9), 2)
    (1.96, 2.26)
    """
    return float(ndtri(probability) if df is None else stdtrit(df, probability))


def need_df(function: str, df: float | None) -> None:
    """Refuse degrees of freedom that cannot be.

    Parameters
    ----------
    function : str
        Who asks.
    df : float or None
        Degrees of freedom; None for the normal.

    Raises
    ------
    ValueError
        If `df` is missing (NaN) or not above zero.
    """
    if df is not None and not df > 0:
        raise ValueError(f"{function}: df must be above zero, or None for the normal. Got {df!r}.")


def below(ratio: float, df: float | None) -> float:
    """Give the probability of a smaller ratio of estimate to standard error.

    Parameters
    ----------
    ratio : float
        Estimate over its standard error.
    df : float or None
        Degrees of freedom; None for the normal.

    Returns
    -------
    float
        Between 0 and 1.
    """
    return float(ndtr(ratio) if df is None else stdtr(df, ratio))


def interval_around(
    value: float, error: float, df: float | None, tail: float, *, level: float, method: str, source: str
) -> Interval | None:
    """Make the interval ``value +- quantile * error``, or none where the error is zero.

    Parameters
    ----------
    value, error : float
        Estimate and its standard error, in one unit.
    df : float or None
        Degrees of freedom; None for the normal.
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
    half = quantile(tail, df) * error
    return Interval(low=float(value - half), high=float(value + half), level=level, method=method, source=source)


def two_sided_p(value: float, error: float, df: float | None) -> float | None:
    """Give the two-sided p-value for zero, or none where the error is zero.

    Parameters
    ----------
    value, error : float
        Estimate and its standard error, in one unit.
    df : float or None
        Degrees of freedom; None for the normal.

    Returns
    -------
    float or None
        None where `error` is zero.
    """
    return None if error == 0 else 2 * below(-abs(value / error), df)
