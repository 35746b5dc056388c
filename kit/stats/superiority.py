"""How often a score lies above another, whatever the unit: arrays in, one Estimate out."""

from __future__ import annotations

import math

from numpy.typing import ArrayLike
from scipy.special import ndtr, stdtrit

from kit.estimate import Estimate, Interval
from kit.stats.complete import gains_of, two_groups, upper_tail
from kit.stats.dominance import Dominance, dominance
from kit.stats.score_limits import tango_limits
from kit.stats.student import t_interval, t_p

NO_OVERLAP = "Every score of one group lies above every score of the other, so there is no spread to make this from."
NOBODY_MOVED = "No student's score changed, so there is nothing to test."


def probability_of_superiority(
    program: ArrayLike, comparison: ArrayLike, *, about: str, level: float = 0.95
) -> Estimate:
    r"""Estimate how often a student of the program group scores higher than one of the comparison group.

    Level pairs count half. Brunner and Munzel's interval and p-value (for one half) let the groups
    differ in spread; they assume independent students and are rough below 10 students in a group.

    Parameters
    ----------
    program, comparison : array_like, shape (n,) and (k,)
        One number per student, in one unit; NaN where missing, left out and counted in ``dropped``.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, above one half where the program group is higher; ``n`` counts both groups. Limits
        are cut at 0 and 1. If the groups do not overlap: no interval, p or df, and a note says so.

    Raises
    ------
    ValueError
        If a group is not a flat list of finite numbers, or `level` is not between 0 and 1.
    TooFewError
        If a group has fewer than 2 students with a score.

    Notes
    -----
    :math:`A = P(X>Y) + P(X=Y)/2` over all pairs; :math:`A \pm t_\nu \sqrt{v_1/n + v_2/k}`, :math:`v_i` the
    variance, within a group, of each student's own share of wins, :math:`\nu` as in Welch's t.

    References
    ----------
    .. [1] Keys ``vargha-delaney-2000`` (size) and ``brunner-munzel-2000`` (interval, p).

    Examples
    --------
    >>> round(probability_of_superiority([14, 18, 16], [11, 16, 12], about="spring").value, 4)
    0.8333
    """
    tail = upper_tail("probability_of_superiority", level)
    one, two, dropped = two_groups("probability_of_superiority", program, comparison, about)
    pairs = dominance(one, two)
    (error, df), delta = pairs.brunner_munzel(), pairs.delta
    interval = t_interval(
        (1 + delta) / 2, error, df, tail, level=level, method="Brunner-Munzel", source="brunner-munzel-2000"
    )
    return Estimate(
        about=about, name="probability_of_superiority", value=(1 + delta) / 2, unit="share", n=one.size + two.size,
        source="vargha-delaney-2000", interval=interval and _cut(interval), p=t_p(delta / 2, error, df), df=df,
        dropped=dropped, notes=() if error else (NO_OVERLAP,),
    )  # fmt: skip


def probability_of_superiority_paired(pre: ArrayLike, post: ArrayLike, *, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate how often a student scores higher at the second test than at the first.

    Students who did not change count half. Tango's score interval and p-value (for one half) assume
    independent students; how much a student rose plays no part.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Scores of the same n students in the same order, in one unit. A student with either score
        missing (NaN) is left out and counted in ``dropped``.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, above one half where more students rose than fell. If nobody changed: no p, and a
        note says so.

    Raises
    ------
    ValueError
        If `pre` and `post` differ in length or hold infinite numbers, or `level` is not between 0 and 1.
    TooFewError
        If no student has both scores.

    Notes
    -----
    With b students up and c down of n, :math:`(1 + \theta)/2`, :math:`\theta = (b-c)/n`. Limits of
    :math:`\theta` are where :math:`(b-c-n\theta)^2 = z^2 n(2\tilde q + \theta(1-\theta))`, :math:`\tilde q` the
    likeliest share down given :math:`\theta`; p from :math:`z = (b-c)/\sqrt{b+c}`.

    References
    ----------
    .. [1] Keys ``grissom-kim-2012`` (size) and ``tango-1998`` (interval, p).

    Examples
    --------
    >>> probability_of_superiority_paired([10, 12, 15, 9], [13, 14, 15, 12], about="Treble 1").value
    0.875
    """
    tail = upper_tail("probability_of_superiority_paired", level)
    before, after, dropped = gains_of("probability_of_superiority_paired", pre, post, about, least=1)
    n, up, down = before.size, int((after > before).sum()), int((after < before).sum())
    low, high = tango_limits(up, down, n, tail=tail)
    return Estimate(
        about=about, name="probability_of_superiority_paired", value=(1 + (up - down) / n) / 2, unit="share", n=n,
        source="grissom-kim-2012", dropped=dropped,
        interval=Interval(
            low=(1 + low) / 2, high=(1 + high) / 2, level=level, method="Tango's score interval", source="tango-1998"
        ),
        p=float(2 * ndtr(-abs(up - down) / math.sqrt(up + down))) if up + down else None,
        notes=() if up + down else (NOBODY_MOVED,),
    )  # fmt: skip


def cliffs_delta(program: ArrayLike, comparison: ArrayLike, *, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate how much more often the program group is higher than lower, pair by pair.

    Cliff's delta, twice `probability_of_superiority` minus 1. The asymmetric interval stays between -1 and
    1 and assumes independent students.

    Parameters
    ----------
    program, comparison : array_like, shape (n,) and (k,)
        One number per student, in one unit; NaN where missing, left out and counted in ``dropped``.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, -1 to 1, positive where the program group is higher; ``n`` counts both groups.

    Raises
    ------
    ValueError
        If a group is not a flat list of finite numbers, or `level` is not between 0 and 1.
    TooFewError
        If a group has fewer than 2 students with a score.

    Notes
    -----
    :math:`\delta = P(X>Y) - P(X<Y)` over all pairs; limits :math:`(\delta - \delta^3 \pm t\, s
    \sqrt{(1-\delta^2)^2 + t^2 s^2}) / (1 - \delta^2 + t^2 s^2)` with the unbiased variance :math:`s^2` and t on
    n + k - 2 degrees of freedom. If the groups do not overlap, the far limit is :math:`\pm(m-t^2)/(m+t^2)`, m
    the size of the smaller group.

    References
    ----------
    .. [1] Keys ``cliff-1993`` (size) and ``feng-cliff-2004`` (interval).

    Examples
    --------
    >>> round(cliffs_delta([14, 18, 16], [11, 16, 12], about="spring").value, 4)
    0.6667
    """
    tail = upper_tail("cliffs_delta", level)
    one, two, dropped = two_groups("cliffs_delta", program, comparison, about)
    pairs = dominance(one, two)
    low, high = _delta_limits(pairs, t=float(stdtrit(one.size + two.size - 2, tail)))
    return Estimate(
        about=about, name="cliffs_delta", value=pairs.delta, unit="share", n=one.size + two.size, source="cliff-1993",
        interval=Interval(
            low=low, high=high, level=level, method="asymmetric interval of Feng and Cliff", source="feng-cliff-2004"
        ),
        dropped=dropped,
    )  # fmt: skip


def _delta_limits(pairs: Dominance, t: float) -> tuple[float, float]:
    """Limits of Cliff's delta."""
    delta = pairs.delta
    if abs(delta) == 1:
        smaller = min(pairs.of_one.size, pairs.of_two.size)
        near, far = delta, delta * (smaller - t**2) / (smaller + t**2)
        return min(near, far), max(near, far)
    spread = t**2 * pairs.variance
    half = math.sqrt(spread) * math.sqrt((1 - delta**2) ** 2 + spread)
    middle, share = delta - delta**3, 1 - delta**2 + spread
    return (middle - half) / share, (middle + half) / share


def _cut(interval: Interval) -> Interval:
    """Cut an interval of a share at 0 and 1."""
    return Interval(
        low=max(interval.low, 0.0), high=min(interval.high, 1.0), level=interval.level, method=interval.method,
        source=interval.source,
    )  # fmt: skip
