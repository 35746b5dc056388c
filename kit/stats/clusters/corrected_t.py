"""What a federal evidence review makes of an analysis that took students of a choir as independent."""

from __future__ import annotations

import math
from typing import Literal, get_args

from scipy.special import stdtr, stdtrit

from kit.errors import TooFewError, UnknownChoiceError
from kit.estimate import Estimate, Interval
from kit.stats.complete import upper_tail

Version = Literal["3.0", "4.0", "4.1", "5.0"]
STUDENTS_COUNTED = (
    "This correction counts students in its degrees of freedom, so with four to six choirs its p-value is still too "
    "small: the review's own number, and not the kit's answer."
)


def clustered_t(
    g: float, *, n_program: int, n_comparison: int, clusters: int, icc: float, about: str, version: Version = "4.1"
) -> Estimate:
    r"""Correct the t of a size between groups for students who come in choirs, as the federal evidence review does.

    It assumes choirs of one size and a known intraclass correlation. Nothing can be missing: it takes a summary.

    Parameters
    ----------
    g : float
        Hedges' g of the students, taken as independent.
    n_program, n_comparison : int
        Students.
    clusters : int
        Choirs of both groups together.
    icc : float
        Share of the variance between choirs, 0 to below 1; the review takes 0.20 for achievement, 0.10 for others.
    about : str
        Whom and what the number is about, in words.
    version : {"3.0", "4.0", "4.1", "5.0"}, optional
        Version of the review's handbook; up to 4.1 it decides the t that is corrected, in 5.0 the corrected size is
        divided by its own standard error.

    Returns
    -------
    Estimate
        The corrected t, with df and p and without an interval.

    Raises
    ------
    UnknownChoiceError
        If there is no such version.
    ValueError
        If `icc` is not from 0 to below 1, or a count is not above zero.
    TooFewError
        If students are too few for these choirs and this correlation.

    Notes
    -----
    With N students in M choirs, m = N/M: :math:`a = N - 2 - 2(m-1)\rho`,
    :math:`t_c = t \sqrt{a / ((N-2)(1 + (m-1)\rho))}`,
    :math:`h = a^2 / ((N-2)(1-\rho)^2 + m(N-2m)\rho^2 + 2(N-2m)\rho(1-\rho))`. In 3.0
    :math:`t = g\sqrt{n_1 n_2 / N}`; in 4.0 and 4.1 :math:`t = g / \sqrt{N/(n_1 n_2) + g^2/(2N)}`. In 5.0
    :math:`t_c = g_T / \sqrt{V}` with the size and variance of `hedges_g_clusters` and the same h (there equation E.21),
    as the supplement to 4.1 gives them that 5.0 took in; that 5.0 takes h for this t is from memory.

    References
    ----------
    .. [1] Key ``hedges-2007``.
    .. [2] Key ``wwc-2022``.

    Examples
    --------
    >>> found = clustered_t(0.30, n_program=200, n_comparison=200, clusters=20, icc=0.20, about="g")
    >>> round(found.value, 4), round(found.df, 2), round(found.p, 4)
    (1.3486, 231.66, 0.1788)
    """
    if version not in get_args(Version):
        raise UnknownChoiceError("clustered_t", "version", version, get_args(Version))
    n = n_program + n_comparison
    a, effect, h = _correction("clustered_t", n_program, n_comparison, clusters=clusters, icc=icc, about=about)
    if version == "5.0":
        value, error = _size(g, a, effect, h, n_program, n_comparison)
        t = value / error
    else:
        error = math.sqrt(n / (n_program * n_comparison) + (0.0 if version == "3.0" else g**2 / (2 * n)))
        t = g / error * math.sqrt(a / ((n - 2) * effect))
    return Estimate(
        about=about, name="clustered_t", value=t, unit="t", n=n, clusters=clusters, df=h,
        p=float(2 * stdtr(h, -abs(t))), source="hedges-2007", notes=(STUDENTS_COUNTED,),
    )  # fmt: skip


def hedges_g_clusters(
    g: float, *, n_program: int, n_comparison: int, clusters: int, icc: float, about: str, level: float = 0.95
) -> Estimate:
    r"""Correct a size between groups, and its interval, for students who come in choirs.

    It assumes choirs of one size and a known intraclass correlation. Nothing can be missing: it takes a summary.

    Parameters
    ----------
    g : float
        Hedges' g of the students, taken as independent.
    n_program, n_comparison, clusters, icc, about
        As for `clustered_t`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"`` of all students; the interval goes by Student's t with h degrees of freedom, or the number of choirs
        less 2 where that is fewer.

    Raises
    ------
    ValueError
        If `icc` is not from 0 to below 1, or a count is not above zero.
    TooFewError
        If students are too few for these choirs and this correlation.

    Notes
    -----
    :math:`g_T = g \sqrt{\gamma}` with :math:`\gamma = 1 - 2(m-1)\rho/(N-2)`, and
    :math:`V = (1 + (m-1)\rho)(1/n_1 + 1/n_2) + g_T^2 / (2h)`; h as in `clustered_t`. Taking no more degrees of freedom
    than there are choirs less 2 is ours: h counts students.

    References
    ----------
    .. [1] Key ``hedges-2007``.

    Examples
    --------
    >>> found = hedges_g_clusters(0.30, n_program=200, n_comparison=200, clusters=20, icc=0.20, about="g")
    >>> round(found.value, 4), found.df
    (0.2971, 18.0)
    """
    tail = upper_tail("hedges_g_clusters", level)
    n = n_program + n_comparison
    a, effect, h = _correction("hedges_g_clusters", n_program, n_comparison, clusters=clusters, icc=icc, about=about)
    if clusters < 3:
        raise TooFewError(f"hedges_g_clusters: needs 3 choirs. {about} has {clusters}.")
    value, error = _size(g, a, effect, h, n_program, n_comparison)
    df = min(h, clusters - 2.0)
    reach = float(stdtrit(df, tail)) * error
    return Estimate(
        about=about, name="hedges_g_clusters", value=value, unit="SD", n=n, clusters=clusters, df=df,
        p=float(2 * stdtr(df, -abs(value) / error)), source="hedges-2007",
        interval=Interval(low=value - reach, high=value + reach, level=level,
                          method="Hedges', corrected for choirs", source="hedges-2007"),
    )  # fmt: skip


def _size(g: float, a: float, effect: float, h: float, *sides: int) -> tuple[float, float]:
    """Give the corrected size and its standard error."""
    value = g * math.sqrt(a / (sum(sides) - 2))
    return value, math.sqrt(effect * sum(1 / side for side in sides) + value**2 / (2 * h))


def _correction(
    function: str, n_program: int, n_comparison: int, *, clusters: int, icc: float, about: str
) -> tuple[float, float, float]:
    """Give a, the design effect and the degrees of freedom h."""
    if not 0 <= icc < 1:
        raise ValueError(f"{function}: icc must be from 0 to below 1. Got {icc!r}.")
    counts = (n_program, n_comparison, clusters)
    if not all(math.isfinite(number) for number in counts) or min(counts) < 1:
        raise ValueError(f"{function}: numbers of students and choirs must be above zero.")
    n = n_program + n_comparison
    size = n / clusters
    a = n - 2 - 2 * (size - 1) * icc
    if a <= 0 or clusters < 2:
        raise TooFewError(f"{function}: needs 2 choirs and more students. {about} has {clusters} and {n}.")
    spread = (n - 2) * (1 - icc) ** 2 + size * (n - 2 * size) * icc**2 + 2 * (n - 2 * size) * icc * (1 - icc)
    return a, 1 + (size - 1) * icc, a**2 / spread
