"""Random effects of students, and of choirs above them, taken out of cross-products unit by unit, and the way back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from kit.stats.complete import Floats


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of units that have effects of their own: students, or the choirs above them.

    Attributes
    ----------
    basis : ndarray, shape (k, q)
        Columns of the data -> columns that carry the effects; q is 1 (intercepts) or 2 (intercepts and slopes).
    bounds : ndarray, shape (P + 1,)
        Units from ``bounds[g]`` up to ``bounds[g + 1]`` belong to unit g of the layer above.
    """

    basis: Floats
    bounds: np.ndarray

    @property
    def q(self) -> int:
        """Effects of each unit."""
        return self.basis.shape[1]


@dataclass(frozen=True, slots=True)
class Blocks:
    """All that the likelihood needs of the data; a leading axis holds many data sets of one design.

    Predictors are turned to be of length one and unrelated over all rows, and the outcome is what least squares leaves:
    the likelihood is the same but for a constant, and its digits last.

    Attributes
    ----------
    layers : tuple of Layer
        Innermost first.
    inside : ndarray, shape (q, q, G)
        Z'Z of each unit of the innermost layer.
    rows : ndarray, shape (B, q, k, G)
        Z'[X y] of the same units.
    totals : ndarray, shape (B, P, k, k)
        [X y]'[X y] of the units of the layer above.
    n, p : int
        Rows and predictors, the intercept among them.
    turn : ndarray, shape (p, p)
        Predictors as given -> predictors as they stand here.
    ordinary : ndarray, shape (p,)
        Least squares, in the predictors as given.
    products : ndarray, shape (G, p, p)
        X'X of each unit of the innermost layer.
    """

    layers: tuple[Layer, ...]
    inside: Floats
    rows: Floats
    totals: Floats
    n: int
    p: int
    turn: Floats
    ordinary: Floats
    products: Floats

    def picked(self, which: np.ndarray) -> Blocks:
        """Keep some of the data sets; one data set alone stands for any number of equal ones."""
        if len(self.rows) == 1:
            return self
        return replace(self, rows=self.rows[which], totals=self.totals[which])


@dataclass(frozen=True, slots=True)
class Taken:
    """One layer taken out: what the way back needs.

    Attributes
    ----------
    layer : Layer
        Which.
    rows : ndarray, shape (B, q, k, G)
        Z'W[X y] of each unit, W the inverse covariance with this layer taken out.
    shrunk : ndarray, shape (B, q, k, G)
        S Z'[X y] of each unit, with S as in `take_out`.
    share : ndarray, shape (B, q, q, G)
        S of each unit.
    """

    layer: Layer
    rows: Floats
    shrunk: Floats
    share: Floats

    @property
    def first(self) -> Taken:
        """That of the first data set or spread alone."""
        return Taken(self.layer, self.rows[:1], self.shrunk[:1], self.share[:1])


def take_out(blocks: Blocks, roots: list[Floats]) -> tuple[Floats, Floats, list[Taken]]:
    r"""Take all layers out of the cross-products.

    Parameters
    ----------
    blocks : Blocks
        The data.
    roots : list of ndarray, shape (B, q, q)
        A square matrix L of each layer, L L' the covariance of its effects in units of the residual variance.

    Returns
    -------
    left : ndarray, shape (B, k, k)
        [X y]'W[X y] with W the inverse of the rows' covariance.
    log_determinant : ndarray, shape (B,)
        Of that covariance.
    taken : list of Taken
        Layer by layer, for `way_back`.

    Notes
    -----
    For a unit with cross-products C and effects on the columns E: :math:`(C^{-1} + E L L' E')^{-1} = C - C E S E'C`
    with :math:`S = L (I + L'E'CEL)^{-1} L'`; the sums of what is left over students are the cross-products of their
    choir.
    """
    rows, inside, totals, taken = blocks.rows, blocks.inside, blocks.totals, []
    log_determinant: Floats = np.zeros(1)
    for depth, (layer, root) in enumerate(zip(blocks.layers, roots, strict=True)):
        if depth:
            rows = np.moveaxis(layer.basis.T @ totals, 1, -1)
            inside = np.moveaxis(layer.basis.T @ totals @ layer.basis, 1, -1)
            totals = totals.sum(axis=1, keepdims=True)
        share, logs = _share(inside, root)
        shrunk = _times(share, rows)
        totals = totals - _by_parent(rows, shrunk, layer.bounds)
        log_determinant = log_determinant + logs
        taken.append(Taken(layer, rows - _times(inside, shrunk), shrunk, share))
    return totals[:, 0], log_determinant, taken


def way_back(taken: list[Taken], weights: Floats, *, determinant: bool) -> list[Floats]:
    r"""Differentiate a function of what is left by the covariances of the effects of every layer.

    Parameters
    ----------
    taken : list of Taken
        From `take_out`.
    weights : ndarray, shape (B, k, k)
        Derivative of the function by what is left.
    determinant : bool
        Whether the log-determinant is a part of the function.

    Returns
    -------
    list of ndarray, shape (B, q, q)
        Derivatives by each layer's covariance, innermost first.

    Notes
    -----
    With W what is left of a unit's cross-products C, the derivative is :math:`E'WE - E'W A WE`, A being `weights`; for
    the layer below A turns into :math:`(I - ESE'C) A (I - ESE'C)' + ESE'`.
    """
    slopes, weights = [], weights[:, None]
    for depth in range(len(taken) - 1, -1, -1):
        layer, rows = taken[depth].layer, taken[depth].rows
        slope = -_squared(rows, weights, layer.bounds)
        if determinant:
            slope = slope + np.einsum("bqkg,kr->bqr", rows, layer.basis)
        slopes.append((slope + slope.swapaxes(-1, -2)) / 2)
        if depth:
            weights = _weights_below(taken[depth], weights, determinant=determinant)
    return slopes[::-1]


def _share(inside: Floats, root: Floats) -> tuple[Floats, Floats]:
    """Give S of every unit, and the sum of the log-determinants of I + L'Z'ZL."""
    spread = root @ root.swapaxes(-1, -2)
    if spread.shape[-1] == 1:
        grown = 1 + spread[:, 0] * inside[..., 0, 0, :]
        return spread[..., None] / grown[:, None, None], np.log(grown).sum(axis=-1)
    one_one, one_two, two_two = inside[..., 0, 0, :], inside[..., 0, 1, :], inside[..., 1, 1, :]
    first, both, second = spread[:, 0, 0, None], spread[:, 0, 1, None], spread[:, 1, 1, None]
    square = (root[:, 0, 0, None] * root[:, 1, 1, None] - root[:, 0, 1, None] * root[:, 1, 0, None]) ** 2
    # nothing is subtracted from what is almost the same, so digits last however wide the spreads
    grown = 1 + first * one_one + 2 * both * one_two + second * two_two + square * (one_one * two_two - one_two**2)
    share = np.empty((len(spread), 2, 2, inside.shape[-1]))
    share[:, 0, 0] = (first + square * two_two) / grown
    share[:, 0, 1] = share[:, 1, 0] = (both - square * one_two) / grown
    share[:, 1, 1] = (second + square * one_one) / grown
    return share, np.log(grown).sum(axis=-1)


def _times(matrices: Floats, rows: Floats) -> Floats:
    """Multiply the rows of each unit by its matrix, units last."""
    if rows.shape[1] == 1:
        return matrices[..., 0, :, None, :] * rows
    return matrices[..., :, 0, None, :] * rows[:, None, 0] + matrices[..., :, 1, None, :] * rows[:, None, 1]


def _by_parent(one: Floats, other: Floats, bounds: np.ndarray) -> Floats:
    """Sum the products of two sets of rows over effects and units, for each unit of the layer above."""
    found = np.empty((max(len(one), len(other)), len(bounds) - 1, one.shape[2], one.shape[2]))
    for parent, (start, stop) in enumerate(pairwise(bounds)):
        found[:, parent] = (one[..., start:stop] @ other[..., start:stop].swapaxes(-1, -2)).sum(axis=1)
    return found


def _squared(rows: Floats, weights: Floats, bounds: np.ndarray) -> Floats:
    """Sum rows' weighted squares R A R' over units, A that of the unit above."""
    b, q, k, _ = rows.shape
    flat = rows.reshape(b, q * k, -1)
    total = np.zeros((b, q, q))
    for parent, (start, stop) in enumerate(pairwise(bounds)):
        part = flat[..., start:stop]
        pairs = (part @ part.swapaxes(-1, -2)).reshape(b, q, k, q, k)
        total += np.einsum("bukvl,bkl->buv", pairs, weights[:, parent])
    return total


def _weights_below(taken: Taken, weights: Floats, *, determinant: bool) -> Floats:
    """Carry the derivative by what is left to the cross-products of each unit of this layer."""
    basis = taken.layer.basis
    shrinking = np.eye(len(basis)) - basis @ np.moveaxis(taken.shrunk, -1, 1)
    of_unit = np.repeat(weights, np.diff(taken.layer.bounds), axis=1)
    below = shrinking @ of_unit @ shrinking.swapaxes(-1, -2)
    if not determinant:
        return below
    return below + basis @ np.moveaxis(taken.share, -1, 1) @ basis.T
