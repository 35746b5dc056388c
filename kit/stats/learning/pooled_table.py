"""A table of right tries, students by items: what is likely of both, given how much students and items differ."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import expit, logit

from kit.stats.complete import Floats
from kit.stats.learning.crossed_blocks import Blocks, eliminate, inverse_parts, log_determinant, solve, thin_product

MIDDLE_PRIOR = 1.7
"""Standard deviation of the prior for the middle, in log-odds: before any try, every share is about equally likely."""

NEAR, MOST = 1e-6, 100
"""How much log-likelihood the last step may leave behind, and how many steps there are; five or so are made."""


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
        Minus the curvature: students, then the middle and the items.
    height : float
        Logarithm of the likelihood of the spreads, by Laplace's approximation.
    """

    students: Floats
    items: Floats
    middle: float
    sizes: tuple[float, float]
    blocks: Blocks
    height: float


def likely(table: Table, sizes: tuple[float, float], start: Likely | None = None) -> Likely:
    r"""Find the most likely middle and deviations by Newton's method.

    Parameters
    ----------
    table : Table
        The tries.
    sizes : tuple of float
        Spreads of students and items, in log-odds; 0 for none.
    start : Likely, optional
        Where to start.

    Returns
    -------
    Likely
        The mode and its curvature.

    Notes
    -----
    :math:`\log p(y|\hat x) - \hat x'P\hat x/2 - \log|H|/2` up to a constant, x being the middle with prior
    normal(0, 1.7) and the standardised deviations, H minus the curvature at the mode.
    """
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


def _begin(table: Table, sizes: tuple[float, float], start: Likely | None) -> tuple[Floats, Floats, float]:
    """Begin with the deviations found at other spreads, in log-odds the same as there."""
    if start is None:
        return np.zeros(table.tries.shape[0]), np.zeros(table.tries.shape[1]), 0.0
    left, right = (old / new if new else 0.0 for old, new in zip(start.sizes, sizes, strict=True))
    return start.students * left, start.items * right, start.middle


def _log_odds(sizes: tuple[float, float], left: Floats, right: Floats, middle: float) -> Floats:
    """Log-odds of each student at each item."""
    return middle + (sizes[0] * left)[:, None] + sizes[1] * right


def _weighed(
    table: Table, sizes: tuple[float, float], left: Floats, right: Floats, middle: float
) -> tuple[float, Floats, Floats]:
    """Log-likelihood with the priors; right tries beyond those expected; weight of each cell."""
    eta = _log_odds(sizes, left, right, middle)
    small = np.exp(-np.abs(eta))
    fit = float((table.hits * eta - table.tries * (np.maximum(eta, 0) + np.log(1 + small))).sum())
    chance = np.where(eta >= 0, 1.0, small) / (1 + small)
    height = fit - float(left @ left + right @ right + (middle / MIDDLE_PRIOR) ** 2) / 2
    return height, table.hits - table.tries * chance, table.tries * small / (1 + small) ** 2


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
    students = len(found.students)
    unknown = found.sizes[0] ** 2 / found.blocks.diagonal
    chance = expit(_log_odds(found.sizes, found.students, found.items, found.middle))
    share = chance.mean(axis=0)
    steep = chance * (1 - chance) / students / (share * (1 - share))
    few = np.column_stack([steep.sum(axis=0), np.diag(found.sizes[1] * steep.sum(axis=0))])
    few -= found.sizes[0] * thin_product(steep, found.blocks.ratio)
    covariance = few @ inverse_parts(found.blocks)[2] @ few.T + thin_product(steep * unknown[:, None], steep)
    both = float(share.mean())
    total = share * (1 - share) / (share.size * both * (1 - both))
    every = np.vstack([np.eye(share.size), total])
    return logit(np.append(share, both)), every @ covariance @ every.T
