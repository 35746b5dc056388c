"""A mixed model drawn anew many times from its own fit, and each drawing fitted: the parametric bootstrap."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from kit.stats.complete import Floats
from kit.stats.mixed.blocks import Blocks
from kit.stats.mixed.descent import descend
from kit.stats.mixed.fit import MixedFit
from kit.stats.mixed.likelihood import as_parameters, evaluate, roots

TOGETHER = 250
"""Drawings that are fitted at once."""
OPEN = 0.3
"""Least spread from which a drawing's search begins, so that none begins at a boundary."""
ENOUGH = 1e-8
"""Promised fall of the deviance at which a drawing's search ends: an error far below that of drawing."""
DUST = 1e-9


@dataclass(frozen=True, slots=True)
class Refits:
    """What drawings of one fit gave.

    Attributes
    ----------
    coefficients : ndarray, shape (B, p)
        Fixed effects in the order of the predictors, the intercept last.
    covariance : ndarray, shape (B, p, p)
        Of the fixed effects, as each drawing's fit has it.
    variance : ndarray, shape (B,)
        Residual variance.
    effects : tuple of ndarray, shape (B, q, q)
        Covariance of the random effects of each layer, in the order of the fit.
    """

    coefficients: Floats
    covariance: Floats
    variance: Floats
    effects: tuple[Floats, ...]


def bootstrap_mixed(fit: MixedFit, *, rng: np.random.Generator, draws: int = 1_000) -> Refits:
    """Draw scores from a fit and fit them again, many times over.

    Parameters
    ----------
    fit : MixedFit
        From `kit.stats.mixed.fit.fit_mixed`.
    rng : numpy.random.Generator
        Source of the draws.
    draws : int, optional
        How many drawings.

    Returns
    -------
    Refits

    Raises
    ------
    NotConvergedError
        If the search of a drawing does not end.

    Notes
    -----
    No row is ever drawn: a unit's scores enter the fit through its cross-products alone, which are as many normal
    numbers as there are predictors, and all rows' squares through one chi-squared number for what predictors leave.

    References
    ----------
    .. [1] Key ``efron-tibshirani-1993``.
    """
    curved = np.linalg.eigh(fit.curved)
    inverse = (curved[1] / np.maximum(np.abs(curved[0]), 1e-3 * np.abs(curved[0]).max())) @ curved[1].T
    start = as_parameters([_opened(root[0]) for root in roots(fit.blocks, fit.parameters[None])])
    found, spreads = [], []
    for first in range(0, draws, TOGETHER):
        drawn = _drawn(fit, rng, min(TOGETHER, draws - first))
        starts = np.repeat(start[None], len(drawn.rows), axis=0)
        found.append(descend(drawn, starts, evaluate(drawn, starts), inverse, near=ENOUGH))
        spreads.append(evaluate(drawn, found[-1].parameters).inverse)
    parameters, variance, coefficients = (
        np.concatenate([getattr(one, name) for one in found]) for name in ("parameters", "variance", "coefficients")
    )
    effects = []
    for root, own in zip(roots(fit.blocks, parameters), fit.own, strict=True):
        side = own @ root
        effects.append(variance[:, None, None] * (side @ side.swapaxes(1, 2)))
    turn = fit.blocks.turn
    covariance = variance[:, None, None] * (turn @ np.concatenate(spreads) @ turn.T)
    return Refits(fit.coefficients + coefficients @ turn.T, covariance, variance, tuple(effects))


def _opened(root: Floats) -> Floats:
    """Widen spreads that are next to nothing."""
    sizes, turns = np.linalg.eigh(root)
    return (turns * np.maximum(np.abs(sizes), OPEN)) @ turns.T


def _drawn(fit: MixedFit, rng: np.random.Generator, draws: int) -> Blocks:
    """Draw the cross-products of many data sets, fixed effects at zero: they only shift."""
    blocks, p = fit.blocks, fit.blocks.p
    sizes, turns = np.linalg.eigh(blocks.products)
    real = sizes > DUST * sizes[:, -1:]
    noise = rng.standard_normal((draws, *sizes.shape)) * real
    along = np.einsum("gij,gj,bgj->bgi", turns, np.sqrt(np.where(real, sizes, 0)), noise)
    effects = _effects(fit, rng, draws)
    planned = np.einsum("gij,bgj->bgi", blocks.products, effects)
    scale = np.sqrt(fit.variance)
    outcome = scale * (planned + along)  # X'y of every unit
    left = rng.chisquare(blocks.n - real.sum(), draws)
    squares = (effects * (planned + 2 * along)).sum(axis=(1, 2)) + (noise**2).sum(axis=(1, 2)) + left
    rows = np.repeat(blocks.rows, draws, axis=0)
    rows[:, :, p] = np.einsum("kq,bgk->bqg", blocks.layers[0].basis[:-1], outcome)
    totals = np.repeat(blocks.totals, draws, axis=0)
    sums = np.add.reduceat(outcome, blocks.layers[0].bounds[:-1], axis=1)
    totals[:, :, :p, p] = totals[:, :, p, :p] = sums
    totals[:, :, p, p] = 0
    totals[:, 0, p, p] = fit.variance * squares
    return replace(blocks, rows=rows, totals=totals)


def _effects(fit: MixedFit, rng: np.random.Generator, draws: int) -> Floats:
    """Draw the effects of every unit and of those above it, as coefficients of the predictors."""
    total: Floats = np.zeros((draws, len(fit.blocks.products), fit.blocks.p))
    belongs = np.arange(len(fit.blocks.products))
    for layer, root in zip(fit.blocks.layers, roots(fit.blocks, fit.parameters[None]), strict=True):
        units = int(layer.bounds[-1])
        own = rng.standard_normal((draws, units, layer.q)) @ (layer.basis[:-1] @ root[0]).T
        total += own[:, belongs]
        above = np.repeat(np.arange(len(layer.bounds) - 1), np.diff(layer.bounds))
        belongs = above[belongs]
    return total
