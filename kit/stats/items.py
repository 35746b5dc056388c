"""How hard one item is, and how far it tells strong from weak readers: marks in, one Estimate out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from kit.estimate import Estimate, Interval
from kit.stats.association import correlation
from kit.stats.complete import complete_rows, need, need_spread, spread_of, upper_tail
from kit.stats.score_limits import wilson_limits
from kit.stats.score_tables import complete_table


def item_difficulty(item: ArrayLike, *, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate the share of students who get an item right.

    By custom called difficulty although it is high for easy items. Wilson's interval; it assumes
    independent students.

    Parameters
    ----------
    item : array_like, shape (n,)
        1 where the student was right, 0 where wrong; NaN where missing, left out and counted in ``dropped``.
    about : str
        Which item, of whom, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, 0 to 1.

    Raises
    ------
    ValueError
        If a mark is neither 0 nor 1, or `level` is not between 0 and 1.
    TooFewError
        If no student has a mark.

    Notes
    -----
    :math:`\sum x_i / n`; Wilson's limits as in `share_wilson`.

    References
    ----------
    .. [1] Key ``crocker-algina-1986``, chapter 14; interval key ``newcombe-1998a``, method 3.

    Examples
    --------
    >>> item_difficulty([1, 1, 0, 1], about="first note").value
    0.75
    """
    tail = upper_tail("item_difficulty", level)
    (marks,), dropped = complete_rows("item_difficulty", item=item)
    need("item_difficulty", about, marks.size, least=1, what="student with a mark")
    strange = marks[~np.isin(marks, (0, 1))]
    if strange.size:
        raise ValueError(f"item_difficulty: item must be 0 or 1, or NaN where missing. Got {float(strange[0])!r}.")
    right, n = int(marks.sum()), marks.size
    low, high = wilson_limits(right, n, tail)
    return Estimate(
        about=about, name="item_difficulty", value=right / n, unit="share", n=n, source="crocker-algina-1986",
        interval=Interval(low=low, high=high, level=level, method="Wilson's score interval", source="newcombe-1998a"),
        dropped=dropped,
    )  # fmt: skip


def item_discrimination(scores: ArrayLike, *, item: int, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate how closely an item goes together with the total of all other items.

    The corrected item-total correlation: the item itself is not in the total. Fisher's z interval and
    the t test of no correlation. They assume independent students and roughly normal scores, which right
    or wrong marks are not: take the interval as a guide there.

    Parameters
    ----------
    scores : array_like, shape (n, k)
        One row per student, one column per item, in any unit. A student with a missing item (NaN) is left
        out and counted in ``dropped``.
    item : int
        Which column, counted from 0.
    about : str
        Which item, of whom, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"correlation"``, -1 to 1; near 0 or below where the item does not measure what the others do. On
        a perfect line: no interval and no p, and a note says so.

    Raises
    ------
    ValueError
        If `scores` is not a table of finite numbers, `item` is no column of it, or `level` is not between 0
        and 1.
    TooFewError
        If there are fewer than 2 items or 4 complete students, or the item or the total of the others never
        differs.

    Notes
    -----
    Pearson's r of :math:`x_j` and :math:`\sum_{i \ne j} x_i`.

    References
    ----------
    .. [1] Key ``crocker-algina-1986``, chapter 14; interval key ``fisher-1925``.

    Examples
    --------
    >>> scores = [[1, 1, 1], [0, 0, 1], [1, 0, 1], [0, 0, 0], [1, 1, 1]]
    >>> round(item_discrimination(scores, item=0, about="first note").value, 3)
    0.764
    """
    upper_tail("item_discrimination", level)
    table, dropped = complete_table("item_discrimination", about, columns="items", least=4, scores=scores)
    if item not in range(table.shape[1]):
        raise ValueError(f"item_discrimination: item must be a column from 0 to {table.shape[1] - 1}. Got {item!r}.")
    rest = np.delete(table, item, axis=1).sum(axis=1)
    need_spread("item_discrimination", about, spread_of(table[:, item]), what="scores on the item")
    need_spread("item_discrimination", about, spread_of(rest), what="totals of the other items")
    found = correlation(table[:, item], rest, about=about, level=level)
    return replace(found, name="item_discrimination", source="crocker-algina-1986", dropped=dropped)
