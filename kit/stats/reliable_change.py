"""Which students changed by more than noise, and how many: Jacobson and Truax's reliable change."""

from __future__ import annotations

import math
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtri

from kit.errors import UnknownChoiceError
from kit.estimate import Estimate, Interval
from kit.stats.complete import Floats, gains_of, need_spread, proportion, spread_of, upper_tail
from kit.stats.score_limits import wilson_limits

Direction = Literal["rose", "fell"]

THRESHOLD_TAKEN_AS_GIVEN = (
    "The reliability ({reliability}) is taken as given, and the interval leaves out what is unknown about it. Noise "
    "alone carries {by_noise:g} of 100 unchanged students over the threshold in this direction."
)


def reliable_change(
    pre: ArrayLike, post: ArrayLike, *, reliability: float, about: str, direction: Direction = "rose",
    sure: float = 0.95, level: float = 0.95,
) -> Estimate:  # fmt: skip
    r"""Estimate the share of students who changed by more than noise in the two tests easily explains.

    `change_indices` tells which ones. It assumes noise that is normal and the same at all scores and at both
    tests, and independent students; practice with the test itself counts as change. Wilson's interval.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Scores of the same n students in the same order, in one unit. A student with either score missing
        (NaN) is left out and counted in ``dropped``.
    reliability : float
        Reliability of the score, 0 or more and below 1.
    about : str
        Whom the number is about, in words.
    direction : {"rose", "fell"}, optional
        Which change is counted.
    sure : float, optional
        How sure of one student, a proportion in (0, 1): 0.95 lets noise alone carry 2.5 of 100 unchanged
        students over the threshold in either direction.
    level : float, optional
        Confidence level of the share, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, 0 to 1.

    Raises
    ------
    UnknownChoiceError
        If `direction` is another word.
    ValueError
        If lists differ in length or hold infinite numbers, `reliability` is not from 0 up to below 1, or `sure`
        or `level` is not between 0 and 1.
    TooFewError
        If fewer than 2 students have both scores, or first scores do not differ.

    Notes
    -----
    Students with :math:`(x_2 - x_1) / (s_1\sqrt{2(1 - r)})` above z (1.96), or below -z, over all n.

    References
    ----------
    .. [1] Key ``jacobson-truax-1991``; interval key ``newcombe-1998a``, method 3.

    Examples
    --------
    >>> pre, post = [40, 50, 60, 50], [55, 52, 61, 45]
    >>> reliable_change(pre, post, reliability=0.84, about="Treble 1").value
    0.25
    """
    if direction not in get_args(Direction):
        raise UnknownChoiceError("reliable_change", "direction", direction, get_args(Direction))
    tail = upper_tail("reliable_change", level)
    if not 0 < sure < 1:
        raise ValueError(f"reliable_change: sure must be between 0 and 1. Got {sure!r}.")
    before, after, dropped = gains_of("reliable_change", pre, post, about, least=2)
    spread = spread_of(before)
    need_spread("reliable_change", about, spread, what="first scores")
    up = after - before if direction == "rose" else before - after
    changed = int((up > float(ndtri((1 + sure) / 2)) * _noise("reliable_change", spread, reliability)).sum())
    low, high = wilson_limits(changed, up.size, tail)
    return Estimate(
        about=about, name="reliable_change", value=changed / up.size, unit="share", n=up.size,
        source="jacobson-truax-1991", dropped=dropped,
        interval=Interval(low=low, high=high, level=level, method="Wilson's score interval", source="newcombe-1998a"),
        notes=(THRESHOLD_TAKEN_AS_GIVEN.format(reliability=reliability, by_noise=50 * (1 - sure)),),
    )  # fmt: skip


def change_indices(pre: ArrayLike, post: ArrayLike, *, reliability: float, spread: float) -> Floats:
    r"""Measure each student's change by the noise of a difference of two scores: the reliable change index.

    It assumes noise that is normal and the same at all scores and at both tests.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Scores of the same n students in the same order, in one unit; NaN where missing.
    reliability : float
        Reliability of the score, 0 or more and below 1.
    spread : float
        Standard deviation of first scores that `reliability` belongs to, in the unit of the scores.

    Returns
    -------
    ndarray, shape (n,)
        Without unit, positive where the score rose; NaN where a score is missing. Beyond +-1.96 noise alone
        is an unlikely reason.

    Raises
    ------
    ValueError
        If lists differ in length, hold infinite numbers or are not flat, `reliability` is not from 0 up to
        below 1, or `spread` is not above 0.

    Notes
    -----
    :math:`(x_2 - x_1) / (s_1\sqrt{2(1 - r)})`.

    References
    ----------
    .. [1] Key ``jacobson-truax-1991``.

    Examples
    --------
    >>> change_indices([32.5], [47.5], reliability=0.8, spread=7.5).round(2).tolist()
    [3.16]
    """
    one, two = np.asarray(pre, dtype=float), np.asarray(post, dtype=float)
    if one.ndim != 1 or one.shape != two.shape:
        raise ValueError(f"change_indices: pre and post must list the same students. Got {one.shape} and {two.shape}.")
    if np.isinf(one).any() or np.isinf(two).any():
        raise ValueError(
            "change_indices: pre and post must be finite numbers, or NaN where missing. Got an infinite one."
        )
    if not (spread > 0 and math.isfinite(spread)):
        raise ValueError(f"change_indices: spread must be above 0. Got {spread!r}.")
    return (two - one) / _noise("change_indices", spread, reliability)


def _noise(function: str, spread: float, reliability: float) -> float:
    """Give the standard error of a difference of two scores."""
    proportion(function, "reliability", reliability)
    if reliability == 1:
        raise ValueError(
            f"{function}: reliability must be below 1, or every change is beyond noise. Got {reliability!r}."
        )
    return spread * math.sqrt(2 * (1 - reliability))
