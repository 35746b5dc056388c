"""Accuracy at each degree, approach or pattern, where some were tried often and some hardly at all."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import logit, ndtr

from kit.errors import TooFewError
from kit.estimate import Estimate
from kit.stats.complete import Floats, need, proportion, upper_tail
from kit.stats.learning.crossed_cells import Tries, coded
from kit.stats.learning.pooled_counts import Pooled, pooled_counts
from kit.stats.learning.pooled_table import Table

RANK_DRAWS = 20_000


def pooled_accuracy(
    right: ArrayLike, students: ArrayLike, items: ArrayLike, *, about: str, level: float = 0.95
) -> Pooled:
    r"""Estimate the share of right first tries at each item, partially pooled.

    An item with few tries is drawn towards the others, and a student with few tries towards the other students; a
    student with many tries weighs no more than the others. It assumes that students and items differ by normal
    amounts in log-odds, and that tries are independent given both.

    Parameters
    ----------
    right : array_like, shape (n,)
        1 where a first try was right, 0 where wrong; NaN where missing, which is left out.
    students, items : array_like, shape (n,)
        Of whom, and at what: scale degree, way of approach, pattern.
    about : str
        Whom and what the numbers are about, in words.
    level : float, optional
        Probability of the interval, a proportion in (0, 1).

    Returns
    -------
    Pooled
        Estimates in ``"share"``, 0 to 1, with the raw counts beside them.

    Raises
    ------
    TooFewError
        If there is no try.
    ValueError
        If lists differ in length, `right` is not 0 or 1, or `level` is not between 0 and 1.

    Notes
    -----
    :math:`\mathrm{logit}\,p_{sk} = \beta + u_s + v_k` with normal :math:`u_s`, :math:`v_k`. Priors: normal(0, 1.7)
    for :math:`\beta` (every share about equally likely), exponential(1) for both spreads. Deviations by Laplace's
    approximation, spreads over a grid (nested Laplace). The share of an item is the average over the students seen.
    All right or all wrong, one student or one item need no exception: the interval is wide.

    References
    ----------
    .. [1] Key ``rue-2009``; key ``efron-morris-1975`` for what pooling is good for.

    Examples
    --------
    >>> right = [1, 1, 1, 0, 1, 0, 0, 0, 1]
    >>> who, what = list("abcabcabc"), ["do"] * 4 + ["fa"] * 5
    >>> found = pooled_accuracy(right, who, what, about="the example")
    >>> [estimate.about for estimate in found.estimates]
    ['the example, do', 'the example, fa']
    >>> found.hits.tolist(), found.tries.tolist()
    ([3, 2], [4, 5])
    >>> 0.4 < found.estimates[1].value < found.estimates[0].value < 0.75
    True
    """
    upper_tail("pooled_accuracy", level)
    tries = coded("pooled_accuracy", right, students, items)
    need("pooled_accuracy", about, tries.right.size, least=1, what="first try")
    table = _table(tries)
    labels = tries.item_labels.tolist()
    return pooled_counts(table.hits, table.tries, labels, about=about, level=level, dropped=tries.dropped)


def degree_accuracy(
    right: ArrayLike, students: ArrayLike, items: ArrayLike, *, item: object, about: str, level: float = 0.95
) -> Estimate:
    r"""Estimate the share of right first tries at one item, partially pooled with the others.

    It assumes that students and items differ by normal amounts in log-odds, and that tries are independent given
    both, as `pooled_accuracy` does, which gives all items at once.

    Parameters
    ----------
    right, students, items : array_like, shape (n,)
        First tries, as for `pooled_accuracy`; missing ones are left out.
    item : object
        Label of the item.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Probability of the interval, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, 0 to 1.

    Raises
    ------
    TooFewError
        If there is no try at the item.
    ValueError
        As for `pooled_accuracy`.

    Notes
    -----
    The average over students s of :math:`p_{sk}`, :math:`\mathrm{logit}\,p_{sk} = \beta + u_s + v_k` with normal
    :math:`u_s`, :math:`v_k`; priors and approximation as in `pooled_accuracy`.

    References
    ----------
    .. [1] Key ``rue-2009``.

    Examples
    --------
    >>> right, what = [1, 1, 1, 0, 1, 0, 0, 0, 1], ["do"] * 4 + ["fa"] * 5
    >>> degree_accuracy(right, list("abcabcabc"), what, item="fa", about="fa").n
    5
    """
    found = pooled_accuracy(right, students, items, about=about, level=level)
    if item not in found.items:
        raise TooFewError(f"degree_accuracy: needs 1 first try at {item}. {about} has 0.")
    return replace(found.estimates[found.items.index(item)], name="degree_accuracy", about=about)


def chance_below(pooled: Pooled, mark: float) -> Floats:
    """Give the chance that each item's share lies below a mark.

    Parameters
    ----------
    pooled : Pooled
        Accuracies.
    mark : float
        A share, 0 to 1.

    Returns
    -------
    ndarray, shape (k,)
        Chances, 0 to 1.

    Raises
    ------
    ValueError
        If `mark` is not between 0 and 1.

    Notes
    -----
    From the normal distribution of the logit of the share.
    """
    at = logit(proportion("chance_below", "mark", mark))
    return ndtr((at - pooled.middle) / np.sqrt(np.diagonal(pooled.covariance)))


def chance_among_weakest(pooled: Pooled, *, lowest: int, rng: np.random.Generator) -> Floats:
    """Give the chance that each item is among the so many weakest.

    Parameters
    ----------
    pooled : Pooled
        Accuracies.
    lowest : int
        How many are called the weakest.
    rng : Generator
        Source of the 20,000 draws.

    Returns
    -------
    ndarray, shape (k,)
        Chances, adding up to `lowest`.

    Raises
    ------
    ValueError
        If `lowest` is not a whole number from 1 to the number of items.

    Notes
    -----
    Draws from the joint normal distribution of the logits, ranked.
    """
    size = pooled.middle.size
    if lowest != int(lowest) or not 1 <= lowest <= size:
        raise ValueError(f"chance_among_weakest: lowest must be a whole number from 1 to {size}. Got {lowest!r}.")
    draws = rng.multivariate_normal(pooled.middle, pooled.covariance, RANK_DRAWS, method="eigh")
    ranks = draws.argsort(axis=1).argsort(axis=1)
    return (ranks < lowest).mean(axis=0)


def _table(tries: Tries) -> Table:
    """Count students by items."""
    shape = len(tries.student_labels), len(tries.item_labels)
    both, cells = tries.students * shape[1] + tries.items, shape[0] * shape[1]
    hits = np.bincount(both, weights=tries.right, minlength=cells)
    return Table(hits.reshape(shape), np.bincount(both, minlength=cells).reshape(shape).astype(float))
