"""The share of the possible gain: arrays in, one Estimate out."""

from __future__ import annotations

import math

from numpy.typing import ArrayLike

from kit.estimate import Estimate, Interval
from kit.stats.complete import gains_of, need, upper_tail
from kit.stats.fieller import ratio_limits

NORMALIZED_GAIN_DEPENDS = "The same gain in points is a larger share for a class that started higher: never rank by it."
NO_RATIO_INTERVAL = "The first scores are too close to the maximum, for their spread, to give an interval."


def normalized_gain(pre: ArrayLike, post: ArrayLike, *, maximum: float, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate what share of the gain that was still possible the class as a whole made.

    Hake's class gain, Fieller's interval. It assumes independent students and roughly normal scores.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Scores of the same n students in the same order, in the unit of `maximum`. A student with
        either score missing (NaN) is left out and counted in ``dropped``.
    maximum : float
        Most that can be scored, the same on both tests.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, 1 where everyone reached the maximum, negative where scores fell; the notes
        must be printed. Without an interval where Fieller's set has no ends.

    Raises
    ------
    ValueError
        If a score is above `maximum` or infinite, `pre` and `post` differ in length, or `level` is not in (0, 1).
    TooFewError
        If fewer than 2 students have both scores, or everyone started at the maximum.

    Notes
    -----
    :math:`\langle g\rangle = (\bar y-\bar x)/(M-\bar x)`. With what was missing to the maximum,
    :math:`u = M-x` and :math:`v = M-y`, this is :math:`1-\bar v/\bar u`; the limits for the ratio
    :math:`\theta` are the roots of :math:`(\bar v-\theta\bar u)^2 = t^2\, s^2(v-\theta u)/n`.
    Simulated with skewed scores, 95 % intervals hold the truth 92 % of the time with 5 to 10 students, 94 % with 100.

    References
    ----------
    .. [1] Keys ``hake-1998`` (equation 1) and ``fieller-1954`` (interval).

    Examples
    --------
    >>> round(normalized_gain([40, 45, 50], [70, 73, 73], maximum=100, about="Treble 1").value, 3)
    0.491
    """
    tail = upper_tail("normalized_gain", level)
    before, after, dropped = gains_of("normalized_gain", pre, post, about, least=2)
    highest = float(max(before.max(), after.max()))
    if not highest <= maximum < math.inf:
        raise ValueError(f"normalized_gain: scores must not be above the maximum {maximum!r}. Got {highest!r}.")
    room = maximum - before
    need("normalized_gain", about, int((room > 0).sum()), least=1, what="student below the maximum at the first test")
    limits = ratio_limits(maximum - after, room, tail=tail)
    return Estimate(
        about=about, name="normalized_gain", value=float((after - before).mean() / room.mean()), unit="share",
        n=before.size, source="hake-1998", dropped=dropped,
        interval=limits and Interval(
            low=1 - limits[1], high=1 - limits[0], level=level, method="Fieller's interval", source="fieller-1954"
        ),
        notes=(NORMALIZED_GAIN_DEPENDS,) if limits else (NORMALIZED_GAIN_DEPENDS, NO_RATIO_INTERVAL),
    )  # fmt: skip
