"""How far the items or melodies of one test measure the same: a table of students by items in, one Estimate out."""

from __future__ import annotations

from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import fdtri

from kit.errors import UnknownChoiceError
from kit.estimate import Estimate, Interval
from kit.stats.alpha_bootstrap import alpha_without_each
from kit.stats.complete import Floats, upper_tail
from kit.stats.jackknife import jackknife_interval
from kit.stats.score_tables import MeanSquares, complete_table, mean_squares, need_table_spread

Method = Literal["feldt", "jackknife"]

ITEMS_RANK_ALIKE = "All items tell students apart in exactly the same way, so there is no scatter to use."


def cronbach_alpha(scores: ArrayLike, *, about: str, method: Method = "feldt", level: float = 0.95) -> Estimate:
    r"""Estimate how reliable a total over items or melodies is, from how far they agree: Cronbach's alpha.

    Columns may be items, whole melodies or raters. It assumes independent students and items that
    measure one thing equally well; where they do not, alpha is too low. Feldt's interval is exact for
    normal scores, the jackknife's asks for none. Neither says whether students would score the same on another day.

    Parameters
    ----------
    scores : array_like, shape (n, k)
        One row per student, one column per item, in any unit. A student with a missing item (NaN) is left
        out and counted in ``dropped``.
    about : str
        Whom and what the number is about, in words.
    method : {"feldt", "jackknife"}, optional
        How the interval is made; see Notes. Where the jackknife gives none, because the number does not exist without
        one of the students, it is the other's; ``Interval.method`` says which it is.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"reliability"``, 1 at most; below 0 where items contradict one another. At exactly 1: no
        interval, and a note says so.

    Raises
    ------
    UnknownChoiceError
        If `method` is another word.
    ValueError
        If `scores` is not a table of finite numbers, or `level` is not between 0 and 1.
    TooFewError
        If there are fewer than 2 items or 2 complete students, or all totals are the same.

    Notes
    -----
    :math:`\alpha = \frac{k}{k-1}(1 - \sum s_j^2 / s_T^2)`, ends :math:`1 - (1-\alpha) F` with the quantiles of
    F on n - 1 and (n - 1)(k - 1) degrees of freedom. Simulated, Feldt's 95 % intervals hold the truth 95 % of the time
    with normal scores, 93 to 94 % with many at the ceiling, but 90, 87, 84, 81 and 79 % with 5, 10, 20, 40 and 100
    students whose scores are skewed; the jackknife's (`kit.stats.jackknife`), cut off at 1, hold it 94 to 96 % of
    the time with all of them. They are the default of reports.

    References
    ----------
    .. [1] Key ``cronbach-1951``; interval key ``feldt-1965``.

    Examples
    --------
    >>> scores = [[3, 4, 4], [1, 2, 1], [4, 4, 3], [2, 3, 2], [3, 2, 3]]
    >>> round(cronbach_alpha(scores, about="three melodies").value, 3)
    0.879
    """
    tail = _checked("cronbach_alpha", method, level)
    table, dropped = complete_table("cronbach_alpha", about, columns="items", scores=scores)
    parts = mean_squares(table)
    need_table_spread("cronbach_alpha", about, parts.rows, what="students whose totals differ")
    return Estimate(
        about=about, name="cronbach_alpha", value=1 - parts.error / parts.rows, unit="reliability", n=parts.n,
        source="cronbach-1951", interval=_ends(table, parts, method, tail=tail, level=level), dropped=dropped,
        notes=() if parts.error else (ITEMS_RANK_ALIKE,),
    )  # fmt: skip


def kr20(scores: ArrayLike, *, about: str, method: Method = "feldt", level: float = 0.95) -> Estimate:
    r"""Estimate how reliable a count of right answers is: formula 20 of Kuder and Richardson.

    It is `cronbach_alpha` for items that are right (1) or wrong (0), with the same assumptions: it assumes
    independent students and items that measure one thing. Feldt's interval is close, not exact, for such items.

    Parameters
    ----------
    scores : array_like, shape (n, k)
        One row per student, one column per item, each 0, 1, or NaN where missing. A student with a
        missing item is left out and counted in ``dropped``.
    about : str
        Whom and what the number is about, in words.
    method : {"feldt", "jackknife"}, optional
        How the interval is made, as in `cronbach_alpha`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"reliability"``, 1 at most. At exactly 1: no interval, and a note says so.

    Raises
    ------
    UnknownChoiceError
        If `method` is another word.
    ValueError
        If a score is neither 0 nor 1, or `level` is not between 0 and 1.
    TooFewError
        If there are fewer than 2 items or 2 complete students, or all totals are the same.

    Notes
    -----
    :math:`\frac{k}{k-1}(1 - \sum p_j(1-p_j) / \sigma_T^2)`, both variances with n in the denominator.
    Simulated with 6 notes, Feldt's 95 % intervals hold the truth 92 to 95 % of the time, 91 % with 5 to 10 students of
    skewed ability; the jackknife's 94 to 96 %. They are the default of reports.

    References
    ----------
    .. [1] Key ``kuder-richardson-1937``; interval key ``feldt-1965``.

    Examples
    --------
    >>> scores = [[1, 1, 1], [0, 0, 1], [1, 0, 1], [0, 0, 0], [1, 1, 1]]
    >>> round(kr20(scores, about="three notes").value, 3)
    0.794
    """
    tail = _checked("kr20", method, level)
    table, dropped = complete_table("kr20", about, columns="items", scores=scores)
    if not np.isin(table, (0, 1)).all():
        strange = float(table[~np.isin(table, (0, 1))][0])
        raise ValueError(f"kr20: scores must be 0 or 1, or NaN where missing. Got {strange!r}. Use cronbach_alpha.")
    parts = mean_squares(table)
    need_table_spread("kr20", about, parts.rows, what="students whose totals differ")
    return Estimate(
        about=about, name="kr20", value=1 - parts.error / parts.rows, unit="reliability", n=parts.n,
        source="kuder-richardson-1937", interval=_ends(table, parts, method, tail=tail, level=level), dropped=dropped,
        notes=() if parts.error else (ITEMS_RANK_ALIKE,),
    )  # fmt: skip


def _checked(function: str, method: Method, level: float) -> float:
    """Check the options; give the upper tail."""
    if method not in get_args(Method):
        raise UnknownChoiceError(function, "method", method, get_args(Method))
    return upper_tail(function, level)


def _ends(table: Floats, parts: MeanSquares, method: Method, *, tail: float, level: float) -> Interval | None:
    """Make the interval that was asked for, Feldt's where the jackknife gives none; none at exactly 1."""
    if method == "feldt" or parts.error == 0 or parts.n < 3:
        return _feldt(parts, tail, level)
    found = jackknife_interval(
        1 - parts.error / parts.rows, alpha_without_each(table), tail=tail, level=level, most=1.0
    )  # fmt: skip
    return found or _feldt(parts, tail, level)


def _feldt(parts: MeanSquares, tail: float, level: float) -> Interval | None:
    """Feldt's exact limits; none at exactly 1."""
    if parts.error == 0:
        return None
    df, rest = parts.n - 1, (parts.n - 1) * (parts.k - 1)
    left = parts.error / parts.rows
    low, high = 1 - left * float(fdtri(df, rest, tail)), 1 - left / float(fdtri(rest, df, tail))
    return Interval(low=low, high=high, level=level, method="Feldt's interval", source="feldt-1965")
