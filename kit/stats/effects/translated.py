"""Sizes translated: two shares into standard deviations, standard deviations into percentiles."""

from __future__ import annotations

import math

from numpy.typing import ArrayLike
from scipy.special import ndtr, ndtri

from kit.errors import TooFewError
from kit.estimate import Estimate, Interval
from kit.stats.complete import need_counts, upper_tail
from kit.stats.effects.sizes import hedges_g

LOGITS_PER_SD = 1.65
"""Logits in one standard deviation; Cox's round number, not the logistic curve's 1.81."""

PERCENTILE_ASSUMES = "It supposes that scores are spread like a normal curve, equally in both groups."


def cox_index(
    hits: int, n: int, comparison_hits: int, comparison_n: int, *, about: str, level: float = 0.95, dropped: int = 0
) -> Estimate:
    r"""Estimate the difference of two shares in standard deviations, as if a mark had been cut from a score.

    The interval is Woolf's for the odds ratio, and p that of the same normal deviate. It assumes
    independent students.

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
        In ``"SD"``, positive where the program group has the larger share; ``n`` counts both groups.

    Raises
    ------
    ValueError
        If hits are not whole numbers from 0 to the size of their group, or `level` is not between 0 and 1.
    TooFewError
        If a group is empty, or it holds for nobody or for everybody in a group: the size is infinite.

    Notes
    -----
    :math:`\ln(\text{odds ratio})/1.65`, without small-sample factor; limits :math:`(\ln OR \pm z
    \sqrt{1/a+1/b+1/c+1/d})/1.65` with the four counts.

    References
    ----------
    .. [1] Keys ``cox-1970`` and ``sanchez-meca-2003`` (size), ``wwc-2022`` (no factor), ``woolf-1955`` (interval).

    Examples
    --------
    >>> round(cox_index(80, 100, 65, 100, about="all notes right").value, 4)
    0.465
    """
    tail = upper_tail("cox_index", level)
    need_counts("cox_index", about, n, hits=hits)
    need_counts("cox_index", about, comparison_n, comparison_hits=comparison_hits)
    cells = (hits, n - hits, comparison_hits, comparison_n - comparison_hits)
    if 0 in cells:
        raise TooFewError(f"cox_index: needs a share between 0 and 1 in each group. {about} has one of 0 or 1.")
    value = math.log(cells[0] / cells[1] / (cells[2] / cells[3])) / LOGITS_PER_SD
    error = math.sqrt(sum(1 / cell for cell in cells)) / LOGITS_PER_SD
    half = float(ndtri(tail)) * error
    return Estimate(
        about=about, name="cox_index", value=value, unit="SD", n=n + comparison_n, source="sanchez-meca-2003",
        interval=Interval(low=value - half, high=value + half, level=level, method="Woolf", source="woolf-1955"),
        p=float(2 * ndtr(-abs(value / error))), dropped=dropped,
    )  # fmt: skip


def percentile_gain(program: ArrayLike, comparison: ArrayLike, *, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate how many percentiles an average comparison student would climb to the program group's average.

    The improvement index: Hedges' g and its interval read off a normal curve. It assumes independent
    students and normal scores with one spread.

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
        In ``"percentiles"``, -50 to 50, positive where the program group is higher; ``n`` counts both
        groups; the note must be printed.

    Raises
    ------
    ValueError
        If a group is not a flat list of finite numbers, or `level` is not between 0 and 1.
    TooFewError
        If a group has fewer than 2 students with a score, or neither has any spread.

    Notes
    -----
    :math:`100\,(\Phi(g) - 1/2)`, and the same of both limits of `hedges_g`.

    References
    ----------
    .. [1] Key ``wwc-2022``.

    Examples
    --------
    >>> round(percentile_gain([14, 18, 16, 17], [11, 16, 12, 15], about="spring").value, 1)
    37.6
    """
    upper_tail("percentile_gain", level)
    try:
        g = hedges_g(program, comparison, about=about, level=level)
    except ValueError as refused:
        raise type(refused)(str(refused).replace("hedges_g", "percentile_gain", 1)) from None
    value, low, high = (100 * (float(ndtr(size)) - 0.5) for size in (g.value, g.interval.low, g.interval.high))
    return Estimate(
        about=about, name="percentile_gain", value=value, unit="percentiles", n=g.n, source="wwc-2022",
        interval=Interval(low=low, high=high, level=level, method="from noncentral t", source="steiger-fouladi-1997"),
        dropped=g.dropped, notes=(PERCENTILE_ASSUMES,),
    )  # fmt: skip
