"""A table of right tries, students by items: what is likely of both, given how much students and items differ."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import logit

from kit.stats.complete import Floats
from kit.stats.learning.crossed_blocks import Blocks, eliminate, inverse_few, log_determinant, solve, thin_product

MIDDLE_PRIOR = 1.7
"""Standard deviation of the prior for the middle, in log-odds: before any try, every share is about equally likely."""

NEAR, MOST = 1e-6, 100
"""How much log-likelihood the last step may leave behind, and how many steps there are; five or so are made."""
FARTHEST = 300.0
"""Log-odds beyond which nothing is told apart, so that odds stay finite."""
STRETCH = 2**15
"""Cells weighed at a time: few enough to stay in the processor's own memory."""


@dataclass(frozen=True, slots=True)
class Table:
    """Counts of first tries.

    Attributes
    ----------
    hits, tries : ndarray, shape (s, k)
        Right tries and all tries of each student at each item.
    """

    hits: Floats
    tries: Floats


@dataclass(frozen=True, slots=True)
class Likely:
    """The most likely middle and deviations at given spreads.

    Attributes
    ----------
    students, items : ndarray, shape (s,) and (k,)
        Deviations in units of their spread.
    middle : float
        Log-odds of a student and an item in the middle.
    sizes : tuple of float
        The spreads of students and items.
    blocks : Blocks
        Minus the curvature: students, then the middle and the items; the other way round where `turned`.
    height : float
        Logarithm of the likelihood of the spreads, by Laplace's approximation.
    turned : bool
        Whether items stand in the place of students in `blocks`, being more.
    """

    students: Floats
    items: Floats
    middle: float
    sizes: tuple[float, float]
    blocks: Blocks
    height: float
    turned: bool = False

    @property
    def place(self) -> Floats:
        """Where it lies, in log-odds: deviations of students and of items, and the middle."""
        return np.concatenate([self.students * self.sizes[0], self.items * self.sizes[1], [self.middle]])


def likely(table: Table, sizes: tuple[float, float], start: Floats | None = None) -> Likely:
    r"""Find the most likely middle and deviations by Newton's method.

    Parameters
    ----------
    table : Table
        The tries.
    sizes : tuple of float
        Spreads of students and items, in log-odds; 0 for none.
    start : ndarray, shape (s + k + 1,), optional
        Where to start: a place, as that of a mode at other spreads.

    Returns
    -------
    Likely
        The mode and its curvature.

    Notes
    -----
    :math:`\log p(y|\hat x) - \hat x'P\hat x/2 - \log|H|/2` up to a constant, x being the middle with prior
    normal(0, 1.7) and the standardised deviations, H minus the curvature at the mode.
    """
    students, items = table.tries.shape
    if items <= students:
        return _likely(table, sizes, start)
    turned = Table(np.ascontiguousarray(table.hits.T), np.ascontiguousarray(table.tries.T))
    begin = start if start is None else np.concatenate([start[students:-1], start[:students], start[-1:]])
    found = _likely(turned, sizes[::-1], begin)
    return Likely(found.items, found.students, found.middle, sizes, found.blocks, found.height, turned=True)


def _likely(table: Table, sizes: tuple[float, float], start: Floats | None) -> Likely:
    """Find what `likely` does, students in the diagonal block."""
    at = _begin(table, sizes, start)
    now, off, weight = _weighed(table, sizes, *at)
    for _ in range(MOST):
        left, right, middle = at
        blocks = _curvature(sizes, weight)
        few = np.append(off.sum() - middle * MIDDLE_PRIOR**-2, sizes[1] * off.sum(axis=0) - right)
        slope = sizes[0] * off.sum(axis=1) - left, few
        move, share = solve(blocks, *slope), 1.0
        promised = float(slope[0] @ move[0] + slope[1] @ move[1])
        if promised < NEAR:
            break
        then = -np.inf
        while then < now - 1e-9 * abs(now) and share > 1e-6:
            at = left + share * move[0], right + share * move[1][1:], middle + share * move[1][0]
            then, off, weight = _weighed(table, sizes, *at)
            share /= 2
        now = then
    return Likely(left, right, float(middle), sizes, blocks, now - log_determinant(blocks) / 2)


def _begin(table: Table, sizes: tuple[float, float], start: Floats | None) -> tuple[Floats, Floats, float]:
    """Begin at a place given in log-odds."""
    students, items = table.tries.shape
    if start is None:
        return np.zeros(students), np.zeros(items), 0.0
    left, right = (1 / size if size else 0.0 for size in sizes)
    return start[:students] * left, start[students:-1] * right, float(start[-1])


def _log_odds(sizes: tuple[float, float], left: Floats, right: Floats, middle: float) -> tuple[Floats, Floats]:
    """Log-odds of each student at an item in the middle, and what each item adds; odds stay finite."""
    return np.clip(sizes[0] * left, -FARTHEST, FARTHEST), np.clip(sizes[1] * right + middle, -FARTHEST, FARTHEST)


def _weighed(
    table: Table, sizes: tuple[float, float], left: Floats, right: Floats, middle: float
) -> tuple[float, Floats, Floats]:
    """Log-likelihood with the priors; right tries beyond those expected; weight of each cell."""
    students, items = _log_odds(sizes, left, right, middle)
    odds, steep, below = np.exp(students), np.exp(items), 0.0
    off, weight = np.empty_like(table.tries), np.empty_like(table.tries)
    step = max(1, STRETCH // items.size)
    for at in (slice(start, start + step) for start in range(0, students.size, step)):
        expected, tries = odds[at, None] * steep, table.tries[at]
        more = 1 + expected
        expected /= more
        expected *= tries
        np.subtract(table.hits[at], expected, out=off[at])
        np.divide(expected, more, out=weight[at])
        below += np.einsum("ij,ij->", tries, np.log(more, out=more))
    fit = float(table.hits.sum(axis=1) @ students + table.hits.sum(axis=0) @ items - below)
    return fit - float(left @ left + right @ right + (middle / MIDDLE_PRIOR) ** 2) / 2, off, weight


def _curvature(sizes: tuple[float, float], weight: Floats) -> Blocks:
    """Minus the second derivative, factored."""
    each, item = weight.sum(axis=1), np.append(weight.sum(), sizes[1] * weight.sum(axis=0))
    dense = np.diag(np.append(item[0] + MIDDLE_PRIOR**-2, 1 + sizes[1] * item[1:]))
    dense[0, 1:] = dense[1:, 0] = item[1:]
    cross = sizes[0] * np.column_stack([each, sizes[1] * weight])
    return eliminate(1 + sizes[0] ** 2 * each, cross, dense)


def shares(found: Likely) -> tuple[Floats, Floats]:
    r"""Give the share of right tries at each item, and at all, if every student had been asked everything.

    Parameters
    ----------
    found : Likely
        A mode.

    Returns
    -------
    middle : ndarray, shape (k + 1,)
        Logit of the share of each item and, last, of all items counted alike.
    covariance : ndarray, shape (k + 1, k + 1)
        Of these.

    Notes
    -----
    Share of item k: :math:`\frac1S\sum_s \mathrm{expit}(\beta + v_k + u_s)` at the mode, where the fitted shares of
    the tries that were made add up to the right ones but for the shrinkage of :math:`v_k`, as the posterior means
    do; the covariance is carried over by first derivatives.
    """
    each, item = _log_odds(found.sizes, found.students, found.items, found.middle)
    odds = np.exp(each)[:, None] * np.exp(item)
    chance = odds / (1 + odds)
    share = chance.mean(axis=0)
    steep = chance * (1 - chance) / len(each) / (share * (1 - share))
    covariance = (_carried_turned if found.turned else _carried)(found, steep)
    both = float(share.mean())
    total = share * (1 - share) / (share.size * both * (1 - both))
    whole, last = np.empty((share.size + 1, share.size + 1)), (covariance * total).sum(axis=1)
    whole[:-1, :-1], whole[-1, :-1], whole[:-1, -1], whole[-1, -1] = covariance, last, last, (last * total).sum()
    return logit(np.append(share, both)), whole


def _carried(found: Likely, steep: Floats) -> Floats:
    """Give the covariance of the logits of the shares, students in the diagonal block."""
    few = np.column_stack([steep.sum(axis=0), np.diag(found.sizes[1] * steep.sum(axis=0))])
    few -= found.sizes[0] * thin_product(steep, found.blocks.ratio)
    unknown = found.sizes[0] ** 2 / found.blocks.diagonal
    return few @ inverse_few(found.blocks) @ few.T + thin_product(steep * unknown[:, None], steep)


def _carried_turned(found: Likely, steep: Floats) -> Floats:
    """Give the same with items in the diagonal block: each share moves with its own item alone."""
    own = found.sizes[1] * steep.sum(axis=0)
    few = np.column_stack([steep.sum(axis=0), found.sizes[0] * steep.T]) - own[:, None] * found.blocks.ratio
    covariance = few @ inverse_few(found.blocks) @ few.T
    covariance[np.diag_indices_from(covariance)] += own**2 / found.blocks.diagonal
    return covariance
