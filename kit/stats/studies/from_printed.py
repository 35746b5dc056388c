"""Sizes with the intervals of raw scores, from what a text printed: t, means, standard deviations, n, r."""

from __future__ import annotations

import math

from scipy.special import ndtri, stdtr

from kit.errors import TooFewError
from kit.estimate import Estimate, Interval
from kit.stats.complete import need, upper_tail
from kit.stats.effects.sizes import NOT_A_SIZE
from kit.stats.noncentral import noncentral_interval, small_sample_correction
from kit.stats.student import bonett_interval


def hedges_g_from_t(t: float, *, n_program: int, n_comparison: int, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate the difference of two groups in pooled standard deviations from their printed t.

    The same number and interval as `hedges_g` gives from the scores. It assumes independent students, roughly normal
    scores, the same spread in both groups, and that t was the pooled one.

    Parameters
    ----------
    t : float
        Student's t, positive where the program group is higher; NaN where missing, which is refused. Of
        F(1, df) the root, signed by the means.
    n_program, n_comparison : int
        Students in the groups.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"``, positive where the program group is higher; p and df are those of t.

    Raises
    ------
    ValueError
        If `t` is infinite or `level` is not between 0 and 1.
    TooFewError
        If a group has fewer than 2 students, or t is missing.

    Notes
    -----
    :math:`g = J(n+k-2)\, t\sqrt{1/n+1/k}`; limits as in `hedges_g`.

    References
    ----------
    .. [1] Keys ``hedges-1981`` (size) and ``steiger-fouladi-1997`` (interval).

    Examples
    --------
    >>> round(hedges_g_from_t(2.0, n_program=30, n_comparison=30, about="the original").value, 2)
    0.51
    """
    tail = upper_tail("hedges_g_from_t", level)
    _usable("hedges_g_from_t", about, t=t)
    for size in sorted((n_program, n_comparison)):
        need("hedges_g_from_t", about, size, least=2, what="students in each group")
    df, per_t = n_program + n_comparison - 2, math.sqrt(1 / n_program + 1 / n_comparison)
    return Estimate(
        about=about, name="hedges_g_from_t", value=float(small_sample_correction(df) * t * per_t), unit="SD", n=df + 2,
        source="hedges-1981", df=float(df), p=float(2 * stdtr(df, -abs(t))),
        interval=noncentral_interval(t * per_t, df, per_t=per_t, tail=tail, level=level),
    )  # fmt: skip


def d_change_from_t(t: float, *, n: int, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate how consistent a change is, the mean gain in standard deviations of the gains, from its printed t.

    Never a size. The same number and interval as `d_change` gives from the scores. It assumes independent students
    and roughly normal gains.

    Parameters
    ----------
    t : float
        Paired t, positive where scores rose; NaN where missing, which is refused. Of F(1, n - 1) the root, signed
        by the means.
    n : int
        Students tested twice.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD of gains"``, positive where scores rose; p and df are those of t; the note must be printed.

    Raises
    ------
    ValueError
        If `t` is infinite or `level` is not between 0 and 1.
    TooFewError
        If there are fewer than 2 students, or t is missing.

    Notes
    -----
    :math:`d_z = t/\sqrt n`, uncorrected; limits as in `d_change`.

    References
    ----------
    .. [1] Keys ``lakens-2013`` (size) and ``steiger-fouladi-1997`` (interval).

    Examples
    --------
    >>> change = d_change_from_t(4.38, n=67, about="12 weeks")
    >>> round(change.value, 2), round(change.interval.low, 2), round(change.interval.high, 2)
    (0.54, 0.28, 0.79)
    """
    tail = upper_tail("d_change_from_t", level)
    _usable("d_change_from_t", about, t=t)
    need("d_change_from_t", about, n, least=2, what="students tested twice")
    per_t = 1 / math.sqrt(n)
    return Estimate(
        about=about, name="d_change_from_t", value=float(t * per_t), unit="SD of gains", n=n, source="lakens-2013",
        df=float(n - 1), p=float(2 * stdtr(n - 1, -abs(t))), notes=(NOT_A_SIZE,),
        interval=noncentral_interval(t * per_t, n - 1, per_t=per_t, tail=tail, level=level),
    )  # fmt: skip


def d_average_from_summary(
    mean_pre: float, mean_post: float, sd_pre: float, sd_post: float, *, correlation: float, n: int, about: str,
    level: float = 0.95,
) -> Estimate:  # fmt: skip
    r"""Estimate the mean gain in standard deviations averaged over both tests, from printed summaries.

    The same number and interval as `d_average` gives from the scores. It assumes independent students and roughly
    normal scores.

    Parameters
    ----------
    mean_pre, mean_post, sd_pre, sd_post : float
        Printed means and standard deviations; NaN where missing, which is refused.
    correlation : float
        Correlation of the two tests, printed or from `correlation_of_printed`.
    n : int
        Students tested twice.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"``, positive where scores rose.

    Raises
    ------
    ValueError
        If a number is infinite, a spread not above zero, `correlation` not between -1 and 1, or `level` not in
        (0, 1).
    TooFewError
        If there are fewer than 3 students, or a number is missing.

    Notes
    -----
    As in `d_average`, with covariance :math:`r s_1 s_2` and spread of gains from
    :math:`s_g^2 = s_1^2+s_2^2-2 r s_1 s_2`.

    References
    ----------
    .. [1] Key ``bonett-2008``.

    Examples
    --------
    >>> size = d_average_from_summary(10.37, 10.84, 4.23, 3.96, correlation=0.56, n=38, about="with and without signs")
    >>> round(size.value, 2)
    0.11
    """
    tail = upper_tail("d_average_from_summary", level)
    _usable("d_average_from_summary", about, mean_pre=mean_pre, mean_post=mean_post, sd_pre=sd_pre, sd_post=sd_post,
            correlation=correlation)  # fmt: skip
    need("d_average_from_summary", about, n, least=3, what="students tested twice")
    if min(sd_pre, sd_post) <= 0:
        raise ValueError(f"d_average_from_summary: spreads must be above zero. Got {min(sd_pre, sd_post)!r}.")
    if not -1 <= correlation <= 1:
        raise ValueError(f"d_average_from_summary: correlation must be between -1 and 1. Got {correlation!r}.")
    df, square, shared = n - 1, (sd_pre**2 + sd_post**2) / 2, correlation * sd_pre * sd_post
    d = (mean_post - mean_pre) / math.sqrt(square)
    of_spread = d**2 * (sd_pre**4 + sd_post**4 + 2 * shared**2) / (8 * df * square**2)
    error = math.sqrt(of_spread + 2 * (square - shared) / (df * square))
    return Estimate(
        about=about, name="d_average_from_summary", value=float(d * math.sqrt((df - 1) / df)), unit="SD", n=n,
        source="bonett-2008",
        interval=bonett_interval(d, error, tail, level=level, standardiser="average SD of both tests"),
    )  # fmt: skip


def correlation_from_r(r: float, *, n: int, about: str, level: float = 0.95) -> Estimate:
    r"""Give a printed correlation its interval and p-value.

    The same as `correlation` gives from the scores. It assumes independent students and scores that are roughly
    normal together.

    Parameters
    ----------
    r : float
        Pearson's r; NaN where missing, which is refused.
    n : int
        Students, or whatever the correlation is over.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"correlation"``, -1 to 1.

    Raises
    ------
    ValueError
        If `r` is not between -1 and 1, both excluded, or `level` not between 0 and 1.
    TooFewError
        If there are fewer than 4 students, or r is missing.

    Notes
    -----
    :math:`\tanh(\operatorname{artanh} r \pm z/\sqrt{n-3})`; :math:`t_{n-2} = r\sqrt{(n-2)/(1-r^2)}`.

    References
    ----------
    .. [1] Key ``fisher-1925``.

    Examples
    --------
    >>> printed = correlation_from_r(0.56, n=38, about="both conditions")
    >>> round(printed.interval.low, 2), round(printed.interval.high, 2)
    (0.29, 0.75)
    """
    tail = upper_tail("correlation_from_r", level)
    _usable("correlation_from_r", about, r=r)
    need("correlation_from_r", about, n, least=4, what="students")
    if not -1 < r < 1:
        raise ValueError(f"correlation_from_r: r must be between -1 and 1. Got {r!r}.")
    half, df = float(ndtri(tail)) / math.sqrt(n - 3), n - 2
    return Estimate(
        about=about, name="correlation_from_r", value=float(r), unit="correlation", n=n, source="fisher-1925",
        df=float(df), p=float(2 * stdtr(df, -abs(r) * math.sqrt(df / (1 - r**2)))),
        interval=Interval(
            low=math.tanh(math.atanh(r) - half), high=math.tanh(math.atanh(r) + half), level=level,
            method="Fisher's z", source="fisher-1925",
        ),
    )  # fmt: skip


def _usable(function: str, about: str, **numbers: float) -> None:
    """Refuse missing and infinite numbers."""
    missing = [name for name, number in numbers.items() if math.isnan(number)]
    if missing:
        raise TooFewError(
            f"{function}: needs {' and '.join(missing)}. {about} lacks {'it' if len(missing) == 1 else 'them'}."
        )
    for name, number in numbers.items():
        if math.isinf(number):
            raise ValueError(f"{function}: {name} must be finite. Got {number!r}.")
