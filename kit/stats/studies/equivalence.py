"""Is a difference too small to matter: two one-sided tests, from raw scores or from an estimate, one Estimate out."""

from __future__ import annotations

import math
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import TooFewError, UnknownChoiceError
from kit.estimate import Estimate
from kit.stats.complete import (
    NO_SPREAD_IN_GROUPS,
    NO_SPREAD_OF_GAINS,
    gains_of,
    need,
    spread_of,
    two_groups,
    upper_tail,
)
from kit.stats.student import pooled_error, welch_error
from kit.stats.studies.error_ends import below, interval_around, need_df

Spreads = Literal["own", "pooled"]


def equivalence(
    value: float, error: float, *, bound: float, about: str, unit: str, n: int, df: float | None = None,
    level: float = 0.90,
) -> Estimate:  # fmt: skip
    r"""Test whether an estimate lies nearer to zero than what would matter (two one-sided tests).

    It assumes that estimate over standard error follows Student's t, or the normal where no `df` is given, and that
    the bound was declared before the data were seen.

    Parameters
    ----------
    value, error : float
        Estimate and its standard error, in `unit`; NaN where missing, which is refused, since nothing is left then.
    bound : float
        Smallest size, in `unit`, that would matter, in either direction; above zero.
    about, unit : str
        What the number is about, in words; its unit.
    n : int
        Students behind the estimate.
    df : float, optional
        Degrees of freedom of the standard error; none for the normal.
    level : float, optional
        Confidence level of the interval, a proportion in (0, 1): 0.90 belongs to tests at 5 % each.

    Returns
    -------
    Estimate
        The estimate itself. ``p`` is the larger of the two one-sided p-values: small where the estimate is nearer to
        zero than the bound. The notes name the bound and must be printed.

    Raises
    ------
    ValueError
        If a number is infinite, `error` or `bound` not above zero, or `level` not between 0 and 1.
    TooFewError
        If `value` or `error` is missing.

    Notes
    -----
    :math:`t_L=(x+b)/e`, :math:`t_U=(x-b)/e`; :math:`p=\max(P(T>t_L),P(T<t_U))`. It is below (1 - level)/2 just
    where the interval :math:`x \pm t e` lies within :math:`\pm b`.

    References
    ----------
    .. [1] Keys ``schuirmann-1987`` and ``lakens-2017``.

    Examples
    --------
    >>> near = equivalence(0.1, 0.2, bound=0.5, about="ours", unit="SD", n=100)
    >>> round(near.p, 3), round(near.interval.high, 3)
    (0.023, 0.429)
    """
    tail = upper_tail("equivalence", level)
    _usable("equivalence", about, value, error)
    return _tested("equivalence", value, error, df, bound=bound, tail=tail, level=level, about=about, unit=unit, n=n)


def equivalence_groups(
    program: ArrayLike, comparison: ArrayLike, *, bound: float, about: str, unit: str, spreads: Spreads = "own",
    level: float = 0.90,
) -> Estimate:  # fmt: skip
    r"""Test whether the means of two groups lie nearer together than what would matter (two one-sided tests).

    It assumes independent students, and with pooled spreads the same spread in both groups.

    Parameters
    ----------
    program, comparison : array_like, shape (n,) and (k,)
        One number per student, in `unit`; NaN where missing, left out and counted in ``dropped``.
    bound : float
        Smallest difference, in `unit`, that would matter, in either direction; above zero.
    about, unit : str
        Whom the number is about, in words; unit of the numbers, such as ``"points"``.
    spreads : {"own", "pooled"}, optional
        Each group's own spread (Welch), or one for both (Student).
    level : float, optional
        Confidence level of the interval, a proportion in (0, 1): 0.90 belongs to tests at 5 % each.

    Returns
    -------
    Estimate
        Difference of means, positive where the program group is higher. ``p`` is the larger of the two one-sided
        p-values. If neither group has any spread: no interval, p or df, and a note says so.

    Raises
    ------
    ValueError
        If a group is not a flat list of finite numbers, `bound` not above zero, or `level` not between 0 and 1.
    UnknownChoiceError
        If `spreads` is another word.
    TooFewError
        If a group has fewer than 2 students with a score.

    Notes
    -----
    As in `equivalence`, with :math:`x = m_1 - m_2`, and with error and degrees of freedom of `mean_difference_welch`,
    :math:`e = \sqrt{s_1^2/n + s_2^2/k}`, or of `mean_difference`, :math:`e = s_p\sqrt{1/n + 1/k}`.

    References
    ----------
    .. [1] Keys ``schuirmann-1987`` and ``lakens-2017``.

    Examples
    --------
    >>> near = equivalence_groups([14, 18, 16, 15], [15, 16, 14, 17], bound=3, about="spring", unit="points")
    >>> near.value, round(near.p, 3)
    (0.25, 0.023)
    """
    tail = upper_tail("equivalence_groups", level)
    if spreads not in get_args(Spreads):
        raise UnknownChoiceError("equivalence_groups", "spreads", spreads, get_args(Spreads))
    one, two, dropped = two_groups("equivalence_groups", program, comparison, about)
    make = welch_error if spreads == "own" else pooled_error
    error, df = make(one.size, spread_of(one), two.size, spread_of(two))
    return _tested(
        "equivalence_groups", float(one.mean() - two.mean()), float(error), df, bound=bound, tail=tail, level=level,
        about=about, unit=unit, n=one.size + two.size, dropped=dropped, still=NO_SPREAD_IN_GROUPS,
    )  # fmt: skip


def equivalence_gain(
    pre: ArrayLike, post: ArrayLike, *, bound: float, about: str, unit: str, level: float = 0.90
) -> Estimate:
    r"""Test whether a mean gain lies nearer to zero than what would matter (two one-sided tests, paired).

    It assumes independent students and roughly normal gains.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Scores of the same n students in the same order, in `unit`. A student with either score missing (NaN) is
        left out and counted in ``dropped``.
    bound : float
        Smallest mean gain, in `unit`, that would matter, in either direction; above zero.
    about, unit : str
        Whom the number is about, in words; unit of the scores, such as ``"points"``.
    level : float, optional
        Confidence level of the interval, a proportion in (0, 1): 0.90 belongs to tests at 5 % each.

    Returns
    -------
    Estimate
        Mean gain, positive where scores rose. ``p`` is the larger of the two one-sided p-values. If every gain is
        the same: no interval and no p, and a note says so.

    Raises
    ------
    ValueError
        If `pre` and `post` differ in length or hold infinite numbers, `bound` is not above zero, or `level` not
        between 0 and 1.
    TooFewError
        If fewer than 2 students have both scores.

    Notes
    -----
    As in `equivalence`, with error :math:`s/\sqrt n` of the gains and n - 1 degrees of freedom.

    References
    ----------
    .. [1] Keys ``schuirmann-1987`` and ``lakens-2017``.

    Examples
    --------
    >>> near = equivalence_gain([10, 12, 15, 11], [11, 12, 14, 12], bound=2, about="Treble 1", unit="points")
    >>> near.value, near.df
    (0.25, 3.0)
    """
    tail = upper_tail("equivalence_gain", level)
    before, after, dropped = gains_of("equivalence_gain", pre, post, about, least=2)
    gains = after - before
    error = spread_of(gains, before, after) / np.sqrt(gains.size)
    return _tested(
        "equivalence_gain", float(gains.mean()), float(error), float(gains.size - 1), bound=bound, tail=tail,
        level=level, about=about, unit=unit, n=gains.size, dropped=dropped, still=NO_SPREAD_OF_GAINS,
    )  # fmt: skip


def one_sided_ps(value: float, error: float, df: float | None, *, bound: float) -> tuple[float, float]:
    """Give the p-values of both one-sided tests.

    Parameters
    ----------
    value, error : float
        Estimate and its standard error, in one unit.
    df : float or None
        Degrees of freedom; None for the normal.
    bound : float
        Smallest size that would matter, in the same unit.

    Returns
    -------
    above_low, below_high : float
        For lying above minus `bound`, and for lying below plus `bound`.
    """
    return below(-(value + bound) / error, df), below((value - bound) / error, df)


def _usable(function: str, about: str, value: float, error: float) -> None:
    """Refuse an estimate without a usable standard error."""
    if math.isnan(value) or math.isnan(error):
        raise TooFewError(f"{function}: needs an estimate with its standard error. {about} lacks one.")
    if math.isinf(value) or math.isinf(error):
        raise ValueError(f"{function}: value and error must be finite. Got {value!r} and {error!r}.")
    if error <= 0:
        raise ValueError(f"{function}: error must be above zero. Got {error!r}.")


def _tested(
    name: str, value: float, error: float, df: float | None, *, bound: float, tail: float, still: str = "",
    **rest: object,
) -> Estimate:  # fmt: skip
    """Make the estimate with the larger of both p-values."""
    if not (math.isfinite(bound) and bound > 0):
        raise ValueError(f"{name}: bound must be a number above zero. Got {bound!r}.")
    need(name, str(rest["about"]), rest["n"], least=1, what="student")
    need_df(name, df)
    level = float(rest.pop("level"))
    method = "two one-sided tests, normal" if df is None else "two one-sided tests, Student's t"
    bounds = f"Too small to matter was set at less than {bound:g} {rest['unit']} in either direction."
    return Estimate(
        name=name, value=float(value), source="schuirmann-1987",
        df=float(df) if error and df is not None else None,
        p=max(one_sided_ps(value, error, df, bound=bound)) if error else None,
        interval=interval_around(value, error, df, tail, level=level, method=method, source="lakens-2017"),
        notes=(bounds,) if error else (bounds, still), **rest,
    )  # fmt: skip
