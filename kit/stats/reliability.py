"""How far one student's score can be off by scoring and test noise alone: arrays in, one Estimate out."""

from __future__ import annotations

import math

from numpy.typing import ArrayLike
from scipy.special import ndtri

from kit.estimate import Estimate
from kit.stats.complete import complete_rows, need, proportion, spread_of, upper_tail

RELIABILITY_TAKEN_AS_GIVEN = (
    "The reliability ({reliability}) is taken as given; the number is as good as that figure, so it has no interval."
)


def standard_error_of_measurement(scores: ArrayLike, *, reliability: float, about: str, unit: str) -> Estimate:
    r"""Estimate how far a student's score typically lies from what the student would score on average.

    It assumes that the noise is the same at all scores and that `reliability` holds for these students.

    Parameters
    ----------
    scores : array_like, shape (n,)
        One score per student, in `unit`; NaN where missing, left out and counted in ``dropped``.
    reliability : float
        Reliability of the score, 0 to 1.
    about, unit : str
        Whom the number is about, in words; unit of the scores, such as ``"points"``.

    Returns
    -------
    Estimate
        In `unit`, 0 or more; without an interval.

    Raises
    ------
    ValueError
        If `scores` is not a flat list of finite numbers, or `reliability` is not between 0 and 1.
    TooFewError
        If fewer than 2 students have a score.

    Notes
    -----
    :math:`s\sqrt{1 - r_{xx}}`.

    References
    ----------
    .. [1] Key ``aera-2014``, standards 2.13 and 2.14.

    Examples
    --------
    >>> round(standard_error_of_measurement([40, 50, 60], reliability=0.84, about="Treble 1", unit="points").value, 6)
    4.0
    """
    spread, n, dropped = _spread("standard_error_of_measurement", scores, reliability, about)
    return Estimate(
        about=about, name="standard_error_of_measurement", value=spread * math.sqrt(1 - reliability), unit=unit, n=n,
        source="aera-2014", dropped=dropped, notes=(RELIABILITY_TAKEN_AS_GIVEN.format(reliability=reliability),),
    )  # fmt: skip


def detectable_change(scores: ArrayLike, *, reliability: float, about: str, unit: str, level: float = 0.95) -> Estimate:
    r"""Estimate how much one student must change before noise alone is an unlikely reason.

    It assumes that the noise is normal, the same at all scores and at both tests, and that
    `reliability` holds for these students. It is about single students; a mean gain is far surer.

    Parameters
    ----------
    scores : array_like, shape (n,)
        One score per student, in `unit`; NaN where missing, left out and counted in ``dropped``.
    reliability : float
        Reliability of the score, 0 to 1.
    about, unit : str
        Whom the number is about, in words; unit of the scores, such as ``"points"``.
    level : float, optional
        How sure, a proportion in (0, 1): 0.95 lets noise alone exceed it in 5 % of unchanged students.

    Returns
    -------
    Estimate
        In `unit`, 0 or more, for changes in either direction; without an interval.

    Raises
    ------
    ValueError
        If `scores` is not a flat list of finite numbers, `reliability` is not between 0 and 1, or `level` is
        not between 0 and 1.
    TooFewError
        If fewer than 2 students have a score.

    Notes
    -----
    :math:`z_{(1+level)/2}\, s\sqrt{2(1 - r_{xx})}`, 1.96 for 0.95.

    References
    ----------
    .. [1] Key ``jacobson-truax-1991``.

    Examples
    --------
    >>> round(detectable_change([40, 50, 60], reliability=0.84, about="Treble 1", unit="points").value, 2)
    11.09
    """
    tail = upper_tail("detectable_change", level)
    spread, n, dropped = _spread("detectable_change", scores, reliability, about)
    return Estimate(
        about=about, name="detectable_change", value=float(ndtri(tail)) * spread * math.sqrt(2 * (1 - reliability)),
        unit=unit, n=n, source="jacobson-truax-1991", dropped=dropped,
        notes=(RELIABILITY_TAKEN_AS_GIVEN.format(reliability=reliability),),
    )  # fmt: skip


def _spread(function: str, scores: ArrayLike, reliability: float, about: str) -> tuple[float, int, int]:
    """Give the standard deviation, n and how many were left out."""
    proportion(function, "reliability", reliability)
    (kept,), dropped = complete_rows(function, scores=scores)
    need(function, about, kept.size, least=2, what="students with a score")
    return spread_of(kept), kept.size, dropped
