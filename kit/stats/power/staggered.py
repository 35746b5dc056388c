"""What a staggered start could have seen, where choirs begin one after another: a plan in, one Estimate out."""

from __future__ import annotations

import math

import numpy as np

from kit.estimate import Estimate
from kit.stats.complete import need, proportion
from kit.stats.power.clusters import FOLLOWS_FROM_PLAN
from kit.stats.power.noncentral import noncentrality_needed

SHOWS_AT_ONCE = (
    "The formula takes the approach to show in full at the next test and to stay; where it grows slowly, a study "
    "notices less often than asked for."
)


def detectable_difference_staggered(
    *,
    starts: tuple[int, ...],
    students: int,
    icc: float,
    correlation: float,
    about: str,
    choir_correlation: float | None = None,
    power: float = 0.80,
    level: float = 0.95,
) -> Estimate:
    r"""Find the smallest difference that choirs which begin at staggered dates would probably show.

    Every choir is tested once before the first date and once after each, the same students each time. It assumes
    dates dealt out at random to whole choirs of one size, normal scores, and an approach that shows in full at the
    next test and stays.

    Parameters
    ----------
    starts : tuple of int
        Choirs that begin at each date, in the order of the dates.
    students : int
        Students tested in each choir each time; there are no missing values here.
    icc : float
        Share of the variance of scores at one test that lies between choirs, 0 to 1.
    correlation : float
        Correlation of two tests of the same students inside a choir, 0 to 1.
    about : str
        Whom the number is about, in words.
    choir_correlation : float, optional
        Correlation of a choir's true means at two tests, 0 to 1; left out, it is `correlation`.
    power : float, optional
        How probable it must be to notice the difference, a proportion in (0, 1).
    level : float, optional
        Confidence level of the interval that must lie on one side of zero, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"`` of all students' scores at one test; without an interval.

    Raises
    ------
    ValueError
        If a share or a count cannot be.
    TooFewError
        If there are fewer than 2 dates or 4 choirs, or no student.

    Notes
    -----
    With choirs I, tests T, x = 1 where a choir has begun, :math:`U = \sum_{ij} x_{ij}`,
    :math:`W = \sum_j (\sum_i x_{ij})^2`, :math:`V = \sum_i (\sum_j x_{ij})^2`, the variance of a choir's mean that
    lasts :math:`\tau^2 = \rho c + (1 - \rho) r / n` and that comes and goes
    :math:`\sigma^2 = \rho (1 - c) + (1 - \rho)(1 - r) / n`, the difference's variance is
    :math:`I \sigma^2 (\sigma^2 + T \tau^2) / ((IU - W) \sigma^2 + (U^2 + ITU - TW - IV) \tau^2)`. The size is
    :math:`\delta` of `detectable_gain` standard errors, with I - 2 degrees of freedom: cautious, and
    common in planning (from memory).

    References
    ----------
    .. [1] Keys ``hussey-hughes-2007`` (variance of a staggered start), ``hooper-2016`` (the same students each time).

    Examples
    --------
    >>> found = detectable_difference_staggered(starts=(3, 3, 2), students=25, icc=0.2, correlation=0.7, about="plan")
    >>> round(found.value, 3), found.df
    (0.589, 6.0)
    """
    name = "detectable_difference_staggered"
    lasting = correlation if choir_correlation is None else choir_correlation
    for option, share in (("icc", icc), ("correlation", correlation), ("choir_correlation", lasting)):
        proportion(name, option, share)
    if min(starts, default=0) < 1:
        raise ValueError(f"{name}: starts must have a choir for every date. Got {starts!r}.")
    need(name, about, len(starts), least=2, what="starting dates")
    need(name, about, sum(starts), least=4, what="choirs")
    need(name, "Each choir", students, least=1, what="student in each choir")
    stays = icc * lasting + (1 - icc) * correlation / students
    goes = icc * (1 - lasting) + (1 - icc) * (1 - correlation) / students
    df = float(sum(starts) - 2)
    away = noncentrality_needed(name, df, power=power, level=level)
    return Estimate(
        about=about, name="detectable_difference_staggered", value=away * math.sqrt(_variance(starts, stays, goes)),
        unit="SD", n=sum(starts), counted="choirs", clusters=sum(starts), df=df, source="hussey-hughes-2007",
        notes=(FOLLOWS_FROM_PLAN, SHOWS_AT_ONCE),
    )  # fmt: skip


def _variance(starts: tuple[int, ...], stays: float, goes: float) -> float:
    """Variance of the difference, from the variances of choir means that stay and that come and go."""
    choirs, tests = sum(starts), len(starts) + 1
    first = np.repeat(np.arange(1, tests), starts)
    begun = (np.arange(tests) >= first[:, None]).astype(float)
    u, w, v = begun.sum(), (begun.sum(axis=0) ** 2).sum(), (begun.sum(axis=1) ** 2).sum()
    information = (choirs * u - w) * goes + (u**2 + choirs * tests * u - tests * w - choirs * v) * stays
    return float(choirs * goes * (goes + tests * stays) / information)
