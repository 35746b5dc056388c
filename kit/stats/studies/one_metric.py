"""Sizes with their standard errors, from whatever was printed, turned into one another: numbers in, a Size out."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from scipy.special import ndtri, stdtrit

from kit.stats.noncentral import small_sample_correction
from kit.stats.student import pooled_spread

Metric = Literal["SD", "SD of gains", "Fisher's z", "log odds"]

COX = 1.65
"""Log odds per standard deviation in Cox's index."""
LOGISTIC = math.pi / math.sqrt(3)
"""Log odds per standard deviation of a logistic distribution."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """An effect that can be pooled and compared.

    Attributes
    ----------
    value : float
        The effect, in `metric`.
    error : float
        Its standard error.
    metric : {"SD", "SD of gains", "Fisher's z", "log odds"}
        Its unit.
    n : int
        Students behind it.
    df : float or None
        Degrees of freedom of its test against zero; None for the normal.
    per_t : float
        What one unit of that test's t is in `metric`.
    """

    value: float
    error: float
    metric: Metric
    n: int
    df: float | None
    per_t: float


def size_of_groups(t: float, *, n_program: int, n_comparison: int) -> Size:
    r"""Turn the pooled t of two groups into Hedges' g with its standard error.

    Parameters
    ----------
    t : float
        Student's t, positive where the program group is higher.
    n_program, n_comparison : int
        Students.

    Returns
    -------
    Size
        In ``"SD"``, exactly corrected.

    Notes
    -----
    :math:`d = t\sqrt{1/n+1/k}`, :math:`g = J d`, :math:`e^2 = J^2 (1/n + 1/k + d^2/(2(n+k)))`.

    References
    ----------
    .. [1] Key ``borenstein-2009``, equations 4.18 to 4.24.

    Examples
    --------
    >>> size = size_of_groups(2.0, n_program=30, n_comparison=30)
    >>> round(size.value, 3), round(size.error, 3)
    (0.51, 0.259)
    """
    per_t, df = math.sqrt(1 / n_program + 1 / n_comparison), n_program + n_comparison - 2
    correct, d = small_sample_correction(df), t * per_t
    error = correct * math.sqrt(per_t**2 + d**2 / (2 * (df + 2)))
    return Size(value=correct * d, error=error, metric="SD", n=df + 2, df=float(df), per_t=per_t)


def size_of_gains(t: float, *, n: int, correlation: float | None = None) -> Size:
    r"""Turn the paired t of one group into the mean gain in SD, or, with no correlation, in SD of gains.

    Parameters
    ----------
    t : float
        Paired t, positive where scores rose.
    n : int
        Students tested twice.
    correlation : float, optional
        Correlation of the two tests. Without it only ``"SD of gains"`` can be had, which is no size.

    Returns
    -------
    Size
        Exactly corrected.

    Notes
    -----
    :math:`d_z = t/\sqrt n`, :math:`e^2 = J^2(1/n + d_z^2/(2n))`; :math:`d = d_z\sqrt{2(1-r)}`,
    :math:`e^2 = J^2\, 2(1-r)(1/n + d^2/(2n))`, which takes both tests to have one spread.

    References
    ----------
    .. [1] Key ``borenstein-2009``, equations 4.26 to 4.29.

    Examples
    --------
    >>> round(size_of_gains(3.0, n=36).value, 3), round(size_of_gains(3.0, n=36, correlation=0.5).value, 3)
    (0.489, 0.489)
    >>> size_of_gains(3.0, n=36).metric
    'SD of gains'
    """
    per_t, correct = 1 / math.sqrt(n), small_sample_correction(n - 1)
    stretch = 1.0 if correlation is None else math.sqrt(2 * (1 - correlation))
    d = t * per_t * stretch
    error = correct * stretch * math.sqrt(1 / n + d**2 / (2 * n))
    metric: Metric = "SD of gains" if correlation is None else "SD"
    return Size(value=correct * d, error=error, metric=metric, n=n, df=float(n - 1), per_t=per_t * stretch)


def size_of_correlation(r: float, *, n: int) -> Size:
    r"""Turn a correlation into Fisher's z with its standard error.

    Parameters
    ----------
    r : float
        Pearson's r, between -1 and 1, both excluded.
    n : int
        Students, at least 4.

    Returns
    -------
    Size
        In ``"Fisher's z"``: :math:`\operatorname{artanh} r \pm 1/\sqrt{n-3}`.

    References
    ----------
    .. [1] Key ``fisher-1925``.

    Examples
    --------
    >>> round(size_of_correlation(0.5, n=103).value, 3), size_of_correlation(0.5, n=103).error
    (0.549, 0.1)
    """
    error = 1 / math.sqrt(n - 3)
    return Size(value=math.atanh(r), error=error, metric="Fisher's z", n=n, df=None, per_t=error)


def in_standard_deviations(size: Size, *, index: Literal["cox", "logistic"] = "cox") -> Size:
    r"""Turn a correlation or log odds into standard deviations between two equal groups.

    Parameters
    ----------
    size : Size
        In ``"Fisher's z"`` or ``"log odds"``; ``"SD"`` is given back as it is.
    index : {"cox", "logistic"}, optional
        Log odds per SD: 1.65, or pi / sqrt(3).

    Returns
    -------
    Size
        In ``"SD"``. A correlation becomes what it would be between two halves of a normal group, so it may stand
        beside differences of groups in a table but answers another question.

    Raises
    ------
    ValueError
        If `size` is in SD of gains: without the correlation of the tests there is no way.

    Notes
    -----
    :math:`d = 2r/\sqrt{1-r^2} = 2\sinh z`, error :math:`2\cosh(z)\, e_z`; :math:`d = \log(OR)/1.65`.

    References
    ----------
    .. [1] Key ``borenstein-2009``, chapter 7; key ``cox-snell-1989`` for 1.65.

    Examples
    --------
    >>> round(in_standard_deviations(size_of_correlation(0.5, n=103)).value, 3)
    1.155
    """
    if size.metric == "SD of gains":
        raise ValueError("in_standard_deviations: size must not be in SD of gains. Give the correlation of the tests.")
    if size.metric == "SD":
        return size
    if size.metric == "log odds":
        by = 1 / (COX if index == "cox" else LOGISTIC)
        return replace(size, value=size.value * by, error=size.error * by, per_t=size.per_t * by, metric="SD")
    return replace(
        size, value=2 * math.sinh(size.value), error=2 * math.cosh(size.value) * size.error, per_t=2 * size.per_t,
        metric="SD",
    )  # fmt: skip


def t_of_means(
    mean_program: float, mean_comparison: float, sd_program: float, sd_comparison: float, *, n_program: int,
    n_comparison: int,
) -> float:  # fmt: skip
    """Give the pooled t of two printed means.

    Parameters
    ----------
    mean_program, mean_comparison, sd_program, sd_comparison : float
        Printed means and standard deviations.
    n_program, n_comparison : int
        Students.

    Returns
    -------
    float
        Positive where the program group is higher.

    Examples
    --------
    >>> round(t_of_means(103, 100, 5.5, 4.5, n_program=50, n_comparison=50), 3)
    2.985
    """
    spread = pooled_spread(n_program, sd_program, n_comparison, sd_comparison)
    return (mean_program - mean_comparison) / (spread * math.sqrt(1 / n_program + 1 / n_comparison))


def t_of_p(p: float, df: float | None) -> float:
    """Give the size of t, or of z where no df is given, that has this two-sided p.

    Parameters
    ----------
    p : float
        Two-sided p-value, above 0 and at most 1, as exact as it was printed.
    df : float or None
        Degrees of freedom; None for z.

    Returns
    -------
    float
        From zero on; its direction has to come from the text.

    Raises
    ------
    ValueError
        If `p` is not above 0 and at most 1.

    Examples
    --------
    >>> round(t_of_p(0.05, 20), 3)
    2.086
    """
    if not 0 < p <= 1:
        raise ValueError(f"t_of_p: p must be above 0 and at most 1. Got {p!r}.")
    return float(-ndtri(p / 2) if df is None else -stdtrit(df, p / 2))


def correlation_of_printed(gain: float, sd_pre: float, sd_post: float, t: float, *, n: int) -> float:
    r"""Work out the correlation of two tests from printed means, standard deviations and paired t.

    Parameters
    ----------
    gain : float
        Difference of the printed means.
    sd_pre, sd_post : float
        Printed standard deviations.
    t : float
        Printed paired t (root of F with one degree of freedom between), not zero; its sign does not matter.
    n : int
        Students tested twice.

    Returns
    -------
    float
        Outside -1 to 1 where the printed numbers contradict one another.

    Notes
    -----
    :math:`r = (s_1^2+s_2^2-n(\bar d/t)^2)/(2 s_1 s_2)`.

    References
    ----------
    .. [1] Key ``borenstein-2009``, chapter 4.

    Examples
    --------
    >>> round(correlation_of_printed(10.84 - 10.37, 4.23, 3.96, 0.573**0.5, n=38), 2)
    0.56
    """
    return (sd_pre**2 + sd_post**2 - n * (gain / t) ** 2) / (2 * sd_pre * sd_post)
