"""The typical difference of two groups, whatever the extremes: arrays in, one Estimate out."""

from __future__ import annotations

from numpy.typing import ArrayLike

from kit.estimate import Estimate, Interval
from kit.stats.complete import two_groups, upper_tail
from kit.stats.pair_order import typical_difference
from kit.stats.rank_sum import EXACT_UP_TO, order_of_difference, rank_sum_p
from kit.stats.signed_rank import ranks_fall_short


def median_difference(
    program: ArrayLike, comparison: ArrayLike, *, about: str, unit: str, level: float = 0.95
) -> Estimate:
    r"""Estimate by how much a score of the program group typically lies above one of the comparison group.

    Hodges and Lehmann's shift with the rank-sum interval and p-value. They assume independent students and
    scores of one shape in both groups, moved up or down; ties widen the interval a little, never narrow it.

    Parameters
    ----------
    program, comparison : array_like, shape (n,) and (k,)
        One number per student, in `unit`; NaN where missing, left out and counted in ``dropped``.
    about, unit : str
        Whom the number is about, in words; unit of the numbers, such as ``"points"``.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In `unit`, positive where the program group is higher; ``n`` counts both groups. Ranks reach only
        certain levels: the interval is the narrowest that reaches `level`, and its method names the level
        attained. With too few students for any there is no interval, and a note says so. No p if all
        scores are the same.

    Raises
    ------
    ValueError
        If a group is not a flat list of finite numbers, or `level` is not between 0 and 1.
    TooFewError
        If a group has fewer than 2 students with a score.

    Notes
    -----
    The median of all :math:`x_i - y_j`; limits are the q-th of them from either end, with
    :math:`P(W \le q-1) \le (1-level)/2` for the rank-sum count W: enumerated up to 100 students, the
    normal approximation beyond.

    References
    ----------
    .. [1] Key ``hollander-wolfe-1999``, sections 4.1 to 4.3.

    Examples
    --------
    >>> found = median_difference([14, 18, 16, 17, 15], [11, 13, 12, 14, 10], about="spring", unit="points")
    >>> found.value, found.interval.low, found.interval.high
    (4.0, 1.0, 7.0)
    """
    tail = upper_tail("median_difference", level)
    one, two, dropped = two_groups("median_difference", program, comparison, about)
    n = one.size + two.size
    order, attained = order_of_difference(one.size, two.size, tail=tail)
    middle, ends = typical_difference(one, two, order)
    kind = "exact rank-sum interval" if n <= EXACT_UP_TO else "rank-sum interval, normal approximation"
    return Estimate(
        about=about, name="median_difference", value=middle, unit=unit, n=n, source="hollander-wolfe-1999",
        interval=ends and Interval(
            low=ends[0], high=ends[1], level=level, method=f"{kind}, attained level {100 * attained:.1f} %",
            source="hollander-wolfe-1999",
        ),
        p=rank_sum_p(one, two), dropped=dropped,
        notes=() if order else (ranks_fall_short(n, attained, level),),
    )  # fmt: skip
