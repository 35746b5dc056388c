"""Small telescopes: is an effect too small for the original study to have seen it? Numbers in, one Estimate out."""

from __future__ import annotations

import math

from scipy.optimize import brentq

from kit.estimate import Estimate
from kit.stats.complete import need, upper_tail
from kit.stats.power.noncentral import power_of_t
from kit.stats.studies.error_ends import below, interval_around, need_df, quantile
from kit.stats.studies.replicating import usable

TESTED_BELOW = "The p-value is one-sided, for an effect below the one that the original could just have seen."


def small_telescopes(
    replication: float, replication_error: float, *, small_effect: float, about: str, unit: str, n: int,
    df: float | None = None, level: float = 0.90,
) -> Estimate:  # fmt: skip
    r"""Estimate how far a replication lies above the effect that the original study could just have seen.

    Where the whole interval is below zero, the effect is too small for the original study to have seen it, whatever
    it reported. It assumes that the replication over its standard error follows Student's t, or the normal where
    no `df` is given.

    Parameters
    ----------
    replication, replication_error : float
        Effect of the replication and its standard error, in `unit`, signed so that the original effect is positive;
        NaN where missing, which is refused.
    small_effect : float
        Effect that gave the original study 33 % power, from `effect_at_power`, in `unit`; above zero.
    about, unit : str
        What the number is about, in words; unit of the effects, such as ``"SD"``.
    n : int
        Students of the replication.
    df : float, optional
        Degrees of freedom of the standard error; none for the normal.
    level : float, optional
        Confidence level, a proportion in (0, 1): 0.90 belongs to a one-sided test at 5 %.

    Returns
    -------
    Estimate
        In `unit`: replication minus `small_effect`; ``p`` is one-sided, and the note must be printed.

    Raises
    ------
    ValueError
        If a number is infinite, `replication_error` or `small_effect` not above zero, or `level` not between 0 and 1.
    TooFewError
        If the effect or its standard error is missing.

    Notes
    -----
    :math:`y_r - d_{33} \pm z\, e_r`.

    References
    ----------
    .. [1] Key ``simonsohn-2015``.

    Examples
    --------
    >>> above = small_telescopes(0.2, 0.2242, small_effect=0.399, about="ours", unit="SD", n=80)
    >>> round(above.value, 3), round(above.p, 2)
    (-0.199, 0.19)
    """
    tail = upper_tail("small_telescopes", level)
    usable("small_telescopes", about, effects=(replication,), errors=(replication_error,))
    if not (math.isfinite(small_effect) and small_effect > 0):
        raise ValueError(f"small_telescopes: small_effect must be a number above zero. Got {small_effect!r}.")
    need("small_telescopes", about, n, least=1, what="student")
    need_df("small_telescopes", df)
    value = float(replication - small_effect)
    method = "normal" if df is None else "Student's t"
    return Estimate(
        about=about, name="small_telescopes", value=value, unit=unit, n=n, source="simonsohn-2015",
        df=None if df is None else float(df),
        p=below(value / replication_error, df), notes=(TESTED_BELOW,),
        interval=interval_around(
            value, replication_error, df, tail, level=level, method=method, source="simonsohn-2015"
        ),
    )  # fmt: skip


def effect_at_power(per_t: float, df: float | None, *, power: float = 0.33, level: float = 0.95) -> float:
    r"""Find the effect that a study had a given chance to find different from zero.

    Parameters
    ----------
    per_t : float
        What one unit of t is in units of the effect: ``sqrt(1/n + 1/k)`` for d of two groups, ``1/sqrt(n)`` for the
        mean gain in SD of gains; with no `df`, the standard error.
    df : float or None
        Degrees of freedom of the test; None for the normal.
    power : float, optional
        The chance, a proportion above 1 - level and below 1; 0.33 is the one of small telescopes.
    level : float, optional
        Confidence level of the two-sided test, a proportion in (0, 1).

    Returns
    -------
    float
        In the unit of `per_t`, above zero.

    Raises
    ------
    ValueError
        If `power` is not between 1 - level and 1, or `level` not between 0 and 1.

    Notes
    -----
    The noncentrality :math:`\lambda` with :math:`P(|T_{df,\lambda}| > t) = power`, times `per_t`.

    References
    ----------
    .. [1] Key ``simonsohn-2015``.

    Examples
    --------
    >>> round(effect_at_power((1 / 30 + 1 / 30) ** 0.5, 58), 3)
    0.399
    """
    edge = quantile(upper_tail("effect_at_power", level), df)
    if not 1 - level < power < 1:
        raise ValueError(f"effect_at_power: power must be between {1 - level:g} and 1. Got {power!r}.")
    far = 2 * edge + 2 * quantile((1 + power) / 2, None) + 10
    return float(brentq(lambda ratio: power_at_effect(ratio, 1.0, df, level=level) - power, 0, far, xtol=1e-12) * per_t)


def power_at_effect(effect: float, per_t: float, df: float | None, *, level: float = 0.95) -> float:
    r"""Find the chance that a study would find an effect of this size different from zero, in either direction.

    Parameters
    ----------
    effect : float
        The true effect.
    per_t : float
        What one unit of t is in units of `effect`, as in `effect_at_power`.
    df : float or None
        Degrees of freedom of the test; None for the normal.
    level : float, optional
        Confidence level of the two-sided test, a proportion in (0, 1).

    Returns
    -------
    float
        Between 1 - level and 1.

    Raises
    ------
    ValueError
        If `level` is not between 0 and 1.

    Notes
    -----
    :math:`P(|T_{df,\lambda}| > t)`, :math:`\lambda` the effect over `per_t`.

    References
    ----------
    .. [1] Key ``cohen-1988``.

    Examples
    --------
    >>> round(power_at_effect(0.5, (1 / 64 + 1 / 64) ** 0.5, 126), 3)
    0.801
    """
    ratio, edge = abs(effect / per_t), quantile(upper_tail("power_at_effect", level), df)
    if df is None:
        return below(ratio - edge, None) + below(-ratio - edge, None)
    return power_of_t(ratio, df, level=level)
