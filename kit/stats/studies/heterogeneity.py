"""How far the true effects of several studies lie apart: effects with standard errors in, one Estimate out."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import chdtrc

from kit.estimate import Estimate, Interval
from kit.stats.complete import upper_tail
from kit.stats.studies.between_studies import (
    Estimator,
    Studies,
    between_variance,
    profile_limits,
    studies_of,
    weighted_squares,
)

A_TEST_NUMBER = "A test number, not a size, so it has no interval."
OUTSIDE_ITS_INTERVAL = (
    "Estimate and interval come from different equations, and here the estimate lies outside its interval."
)
CLOSER_THAN_CHANCE = "The studies lie closer together than chance alone would have them, so both ends are zero."


def heterogeneity(
    effects: ArrayLike, errors: ArrayLike, *, about: str, unit: str, estimator: Estimator = "reml", level: float = 0.95
) -> Estimate:
    r"""Estimate how far the true effects of several studies lie apart: their standard deviation, tau.

    It assumes independent studies whose true effects scatter normally, and standard errors as good as known.

    Parameters
    ----------
    effects, errors : array_like, shape (k,)
        Effect of each study and its standard error, in `unit`. A study with either missing (NaN) is left out and
        counted in ``dropped``.
    about, unit : str
        What the number is about, in words; unit of the effects, such as ``"SD"``.
    estimator : {"reml", "paule_mandel", "dersimonian_laird", "none"}, optional
        How the scatter of the true effects is estimated.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In `unit`, never below zero; ``n`` counts studies, ``p`` and ``df`` are those of `heterogeneity_q`.

    Raises
    ------
    ValueError
        If a number is infinite, a standard error not above zero, the lists differ in length, or `level` is not
        between 0 and 1.
    UnknownChoiceError
        If `estimator` is another word.
    TooFewError
        If fewer than 2 studies have an effect and its standard error.

    Notes
    -----
    :math:`\hat\tau`; limits are the :math:`\tau` at which
    :math:`\sum (y_i-\bar y_w)^2/(v_i+\tau^2)` meets the quantiles of :math:`\chi^2_{k-1}` (Q-profile).

    References
    ----------
    .. [1] Keys ``viechtbauer-2005`` (estimators), ``viechtbauer-2007`` (interval), ``cochran-1954`` (test).

    Examples
    --------
    >>> apart = heterogeneity([0.1, 0.5, 0.3, 0.8], [0.1, 0.2, 0.1, 0.2], about="four studies", unit="SD")
    >>> round(apart.value, 2), apart.interval.low < apart.value < apart.interval.high
    (0.25, True)
    """
    tail = upper_tail("heterogeneity", level)
    studies = studies_of("heterogeneity", effects, errors, about, least=2)
    value = float(np.sqrt(between_variance("heterogeneity", studies, estimator)))
    low, high = (float(np.sqrt(end)) for end in profile_limits(studies, tail=tail))
    return Estimate(
        about=about, name="heterogeneity", value=value * studies.scale, unit=unit, n=studies.k, counted="studies",
        source="viechtbauer-2005", dropped=studies.dropped, df=float(studies.k - 1), p=_p(studies),
        interval=_profile(low * studies.scale, high * studies.scale, level), notes=_notes(value, low, high),
    )  # fmt: skip


def heterogeneity_share(
    effects: ArrayLike, errors: ArrayLike, *, about: str, estimator: Estimator = "reml", level: float = 0.95
) -> Estimate:
    r"""Estimate what share of the scatter of several results is more than chance: I squared.

    A share, not a size: with large studies it nears 1 however little their true effects differ. It assumes
    independent studies whose true effects scatter normally, and standard errors as good as known.

    Parameters
    ----------
    effects, errors : array_like, shape (k,)
        Effect of each study and its standard error, in one unit. A study with either missing (NaN) is left out and
        counted in ``dropped``.
    about : str
        What the number is about, in words.
    estimator : {"reml", "paule_mandel", "dersimonian_laird", "none"}, optional
        How the scatter of the true effects is estimated; DerSimonian-Laird gives (Q - df)/Q.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, 0 to 1; ``n`` counts studies, ``p`` and ``df`` are those of `heterogeneity_q`.

    Raises
    ------
    ValueError
        If a number is infinite, a standard error not above zero, the lists differ in length, or `level` is not
        between 0 and 1.
    UnknownChoiceError
        If `estimator` is another word.
    TooFewError
        If fewer than 2 studies have an effect and its standard error.

    Notes
    -----
    :math:`\hat\tau^2/(\hat\tau^2+s^2)`, :math:`s^2 = (k-1)\sum w_i/((\sum w_i)^2-\sum w_i^2)`, :math:`w_i=1/v_i`;
    limits from the Q-profile limits of :math:`\tau^2`.

    References
    ----------
    .. [1] Keys ``higgins-thompson-2002`` (equation 9) and ``viechtbauer-2007`` (interval).

    Examples
    --------
    >>> share = heterogeneity_share([0.1, 0.5, 0.3, 0.8], [0.1, 0.2, 0.1, 0.2], about="four studies")
    >>> round(share.value, 2), share.unit
    (0.77, 'share')
    """
    tail = upper_tail("heterogeneity_share", level)
    studies = studies_of("heterogeneity_share", effects, errors, about, least=2)
    between = between_variance("heterogeneity_share", studies, estimator)
    value, low, high = (_share(studies, variance) for variance in (between, *profile_limits(studies, tail=tail)))
    return Estimate(
        about=about, name="heterogeneity_share", value=value, unit="share", n=studies.k, counted="studies",
        source="higgins-thompson-2002", dropped=studies.dropped, df=float(studies.k - 1), p=_p(studies),
        interval=_profile(low, high, level), notes=_notes(value, low, high),
    )  # fmt: skip


def heterogeneity_q(effects: ArrayLike, errors: ArrayLike, *, about: str) -> Estimate:
    r"""Test whether the results of several studies differ by more than chance: Cochran's Q.

    It assumes independent studies with normal results and standard errors as good as known. With few studies it
    misses much, so a large p is no evidence that studies agree.

    Parameters
    ----------
    effects, errors : array_like, shape (k,)
        Effect of each study and its standard error, in one unit. A study with either missing (NaN) is left out and
        counted in ``dropped``.
    about : str
        What the number is about, in words.

    Returns
    -------
    Estimate
        Q, without unit and interval, with p and ``df`` = k - 1; ``n`` counts studies.

    Raises
    ------
    ValueError
        If a number is infinite, a standard error not above zero, or the lists differ in length.
    TooFewError
        If fewer than 2 studies have an effect and its standard error.

    Notes
    -----
    :math:`Q = \sum w_i (y_i-\bar y_w)^2`, :math:`w_i = 1/v_i`, against :math:`\chi^2_{k-1}`.

    References
    ----------
    .. [1] Key ``cochran-1954``.

    Examples
    --------
    >>> test = heterogeneity_q([0.1, 0.5, 0.3, 0.8], [0.1, 0.2, 0.1, 0.2], about="four studies")
    >>> round(test.value, 2), test.df, round(test.p, 3)
    (11.22, 3.0, 0.011)
    """
    studies = studies_of("heterogeneity_q", effects, errors, about, least=2)
    return Estimate(
        about=about, name="heterogeneity_q", value=weighted_squares(studies), unit="Q", n=studies.k,
        counted="studies", source="cochran-1954", dropped=studies.dropped, df=float(studies.k - 1), p=_p(studies),
        notes=(A_TEST_NUMBER,),
    )  # fmt: skip


def _p(studies: Studies) -> float:
    """P-value of Cochran's Q."""
    return float(chdtrc(studies.k - 1, weighted_squares(studies)))


def _share(studies: Studies, between: float) -> float:
    """Give the share of the typical total variance that lies between studies."""
    weights = 1 / studies.variances
    typical = (studies.k - 1) * weights.sum() / (weights.sum() ** 2 - (weights**2).sum())
    return float(between / (between + typical))


def _profile(low: float, high: float, level: float) -> Interval:
    """Make the Q-profile interval."""
    return Interval(low=low, high=high, level=level, method="Q-profile", source="viechtbauer-2007")


def _notes(value: float, low: float, high: float) -> tuple[str, ...]:
    """Say what an interval that surprises needs."""
    if high == 0:
        return (CLOSER_THAN_CHANCE,)
    return () if low <= value <= high else (OUTSIDE_ITS_INTERVAL,)
