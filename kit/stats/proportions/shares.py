"""Shares of students and changes of a share: counts in, one Estimate out."""

from __future__ import annotations

import math

from scipy.special import bdtr, betaincinv

from kit.estimate import Estimate, Interval
from kit.stats.complete import need_counts, upper_tail
from kit.stats.score_limits import corrected_phi, newcombe_limits, wilson_limits

TEST_ONLY = "A test of whether as many students rose over the mark as fell below it; it does not say how many."
NOBODY_CROSSED = "No student crossed the mark in either direction, so there is nothing to test."


def share_wilson(hits: int, n: int, *, about: str, level: float = 0.95, dropped: int = 0) -> Estimate:
    r"""Estimate a share of students, with Wilson's score interval.

    It assumes independent students. The usual interval for a share: it holds near 0 and 1 too.

    Parameters
    ----------
    hits, n : int
        Students for whom it holds, of n students.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    dropped : int, optional
        Students the caller left out for missing values.

    Returns
    -------
    Estimate
        In ``"share"``, 0 to 1.

    Raises
    ------
    ValueError
        If `hits` is not a whole number from 0 to `n`, or `level` is not between 0 and 1.
    TooFewError
        If `n` is 0.

    Notes
    -----
    :math:`(2np + z^2 \pm z\sqrt{z^2 + 4np(1-p)}) / (2(n + z^2))`, without continuity correction.

    References
    ----------
    .. [1] Key ``newcombe-1998a``, method 3.

    Examples
    --------
    >>> share = share_wilson(15, 148, about="all notes right")
    >>> round(share.interval.low, 4), round(share.interval.high, 4)
    (0.0624, 0.1605)
    """
    tail = upper_tail("share_wilson", level)
    need_counts("share_wilson", about, n, hits=hits)
    low, high = wilson_limits(hits, n, tail)
    return Estimate(
        about=about, name="share_wilson", value=hits / n, unit="share", n=n, source="newcombe-1998a",
        interval=Interval(low=low, high=high, level=level, method="Wilson's score interval", source="newcombe-1998a"),
        dropped=dropped,
    )  # fmt: skip


def share_exact(hits: int, n: int, *, about: str, level: float = 0.95, dropped: int = 0) -> Estimate:
    r"""Estimate a share of students, with the exact interval of Clopper and Pearson.

    It assumes independent students. It covers at least as often as `level` says, so it is wider
    than Wilson's.

    Parameters
    ----------
    hits, n : int
        Students for whom it holds, of n students.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    dropped : int, optional
        Students the caller left out for missing values.

    Returns
    -------
    Estimate
        In ``"share"``, 0 to 1.

    Raises
    ------
    ValueError
        If `hits` is not a whole number from 0 to `n`, or `level` is not between 0 and 1.
    TooFewError
        If `n` is 0.

    Notes
    -----
    :math:`h/n`; limits :math:`B_{(1-level)/2}(h, n-h+1)` and :math:`B_{(1+level)/2}(h+1, n-h)`, quantiles of the beta
    distribution; 0 for no hit and 1 for all.

    References
    ----------
    .. [1] Key ``newcombe-1998a``, method 5.

    Examples
    --------
    >>> round(share_exact(0, 20, about="all notes right").interval.high, 4)
    0.1684
    """
    tail = upper_tail("share_exact", level)
    need_counts("share_exact", about, n, hits=hits)
    low = float(betaincinv(hits, n - hits + 1, 1 - tail)) if hits else 0.0
    high = float(betaincinv(hits + 1, n - hits, tail)) if hits < n else 1.0
    return Estimate(
        about=about, name="share_exact", value=hits / n, unit="share", n=n, source="newcombe-1998a",
        interval=Interval(low=low, high=high, level=level, method="Clopper-Pearson, exact", source="newcombe-1998a"),
        dropped=dropped,
    )  # fmt: skip


def share_difference_newcombe(
    hits: int, n: int, comparison_hits: int, comparison_n: int, *, about: str, level: float = 0.95, dropped: int = 0
) -> Estimate:
    r"""Estimate by how much a share in the program group lies above that in the comparison group.

    Newcombe's interval for different students in the two groups. It assumes independent students.

    Parameters
    ----------
    hits, n : int
        Students of the program group for whom it holds, of n.
    comparison_hits, comparison_n : int
        The same for the comparison group.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    dropped : int, optional
        Students the caller left out for missing values, both groups together.

    Returns
    -------
    Estimate
        In ``"share"``, -1 to 1, positive where the program group is higher; ``n`` counts both groups.

    Raises
    ------
    ValueError
        If hits are not whole numbers from 0 to the size of their group, or `level` is not between 0 and 1.
    TooFewError
        If a group is empty.

    Notes
    -----
    With Wilson's limits l and u of each share, low is
    :math:`p_1-p_2-\sqrt{(p_1-l_1)^2+(u_2-p_2)^2}`, high
    :math:`p_1-p_2+\sqrt{(u_1-p_1)^2+(p_2-l_2)^2}`.

    References
    ----------
    .. [1] Key ``newcombe-1998b``, method 10.

    Examples
    --------
    >>> change = share_difference_newcombe(7, 34, 1, 34, about="all notes right")
    >>> round(change.interval.low, 4), round(change.interval.high, 4)
    (0.0189, 0.3404)
    """
    tail = upper_tail("share_difference_newcombe", level)
    need_counts("share_difference_newcombe", about, n, hits=hits)
    need_counts("share_difference_newcombe", about, comparison_n, comparison_hits=comparison_hits)
    low, high = newcombe_limits(hits, n, comparison_hits, comparison_n, tail=tail, phi=0.0)
    return Estimate(
        about=about, name="share_difference_newcombe", value=hits / n - comparison_hits / comparison_n, unit="share",
        n=n + comparison_n, source="newcombe-1998b", dropped=dropped,
        interval=Interval(low=low, high=high, level=level, method="Newcombe, method 10", source="newcombe-1998b"),
    )  # fmt: skip


def share_change_newcombe(
    both: int, lost: int, gained: int, neither: int, *, about: str, level: float = 0.95, dropped: int = 0
) -> Estimate:
    r"""Estimate by how much a share of the same students changed between two tests.

    Newcombe's interval for pairs. It assumes independent students.

    Parameters
    ----------
    both, lost, gained, neither : int
        Students for whom it held at both tests, at the first only, at the second only, at neither.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    dropped : int, optional
        Students the caller left out for missing values.

    Returns
    -------
    Estimate
        In ``"share"``, -1 to 1, positive where more students gained than lost.

    Raises
    ------
    ValueError
        If a count is not a whole number of 0 or more, or `level` is not between 0 and 1.
    TooFewError
        If there are no students.

    Notes
    -----
    With Wilson's limits of both shares and distances :math:`\delta` to them, low is
    :math:`\hat\theta - \sqrt{\delta_1^2 - 2\phi\,\delta_1\delta_2 + \delta_2^2}` and high likewise;
    :math:`\phi` has the continuity-corrected numerator :math:`\max(ad-bc-n/2, 0)` where
    :math:`ad > bc`, and is 0 where a margin is empty.

    References
    ----------
    .. [1] Key ``newcombe-1998c``, method 10.

    Examples
    --------
    >>> change = share_change_newcombe(20, 2, 12, 16, about="all notes right")
    >>> round(change.value, 2), round(change.interval.low, 4), round(change.interval.high, 4)
    (0.2, 0.0562, 0.3292)
    """
    tail = upper_tail("share_change_newcombe", level)
    n = both + lost + gained + neither
    need_counts("share_change_newcombe", about, n, both=both, lost=lost, gained=gained, neither=neither)
    low, high = newcombe_limits(
        both + gained, n, both + lost, n, tail=tail, phi=corrected_phi(both, lost, gained, neither)
    )
    return Estimate(
        about=about, name="share_change_newcombe", value=(gained - lost) / n, unit="share", n=n,
        source="newcombe-1998c", dropped=dropped,
        interval=Interval(low=low, high=high, level=level, method="Newcombe, method 10", source="newcombe-1998c"),
    )  # fmt: skip


def share_change_midp(both: int, lost: int, gained: int, neither: int, *, about: str, dropped: int = 0) -> Estimate:
    r"""Test whether a share of the same students changed: McNemar's test with the mid-p-value.

    It assumes independent students. For how far the share moved, with an interval, use
    `share_change_newcombe`.

    Parameters
    ----------
    both, lost, gained, neither : int
        Students for whom it held at both tests, at the first only, at the second only, at neither.
    about : str
        Whom and what the number is about, in words.
    dropped : int, optional
        Students the caller left out for missing values.

    Returns
    -------
    Estimate
        In ``"share"``, -1 to 1, with p and without an interval; no p if no student crossed the mark.

    Raises
    ------
    ValueError
        If a count is not a whole number of 0 or more.
    TooFewError
        If there are no students.

    Notes
    -----
    With :math:`X \sim` binomial(b + c, 1/2) and b, c the students who lost and gained,
    :math:`p = 2 P(X \le \min(b, c)) - P(X = \min(b, c))`; where b = c, :math:`p = 1 - P(X = b)/2`.

    References
    ----------
    .. [1] Key ``fagerland-2013``.

    Examples
    --------
    >>> share_change_midp(1, 1, 7, 12, about="all notes right").p
    0.0390625
    """
    n = both + lost + gained + neither
    need_counts("share_change_midp", about, n, both=both, lost=lost, gained=gained, neither=neither)
    return Estimate(
        about=about, name="share_change_midp", value=(gained - lost) / n, unit="share", n=n, source="fagerland-2013",
        p=_mid_p(lost, gained), dropped=dropped, notes=(TEST_ONLY,) if lost + gained else (TEST_ONLY, NOBODY_CROSSED),
    )  # fmt: skip


def _mid_p(lost: int, gained: int) -> float | None:
    """Two-sided mid-p-value of McNemar's test."""
    crossed, fewer = lost + gained, min(lost, gained)
    if crossed == 0:
        return None
    point = math.comb(crossed, fewer) / 2**crossed
    return 1 - point / 2 if lost == gained else float(2 * bdtr(fewer, crossed, 0.5)) - point
