"""From rows to the cross-products of units in clusters, and what a mixed model refuses."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from kit.errors import TooFewError
from kit.stats.clusters.crossproducts import Crossed, crossed, numbered
from kit.stats.complete import Floats, need
from kit.stats.mixed.blocks import Blocks, Layer
from kit.stats.mixed.start import look

DUST = 1e-10
NOTHING_LEFT = "{function}: needs scores that do not all follow from the model exactly. {about} has such scores only."


@dataclass(frozen=True, slots=True)
class Laid:
    """Data of a mixed model, laid out.

    Attributes
    ----------
    blocks : Blocks
        The data.
    start : ndarray, shape (m,)
        Where to begin the search.
    sizes : tuple of int
        Units, and clusters.
    dropped : int
        Rows left out.
    """

    blocks: Blocks
    start: Floats
    sizes: tuple[int, ...]
    dropped: int


def nested_blocks(
    function: str, outcome: ArrayLike, units: ArrayLike, predictors: ArrayLike, about: str, *,
    slopes: tuple[int | None, ...], clusters: ArrayLike | None = None, what: str = "choirs",
) -> Laid:  # fmt: skip
    """Gather complete rows by units, and units by clusters where these are given.

    Parameters
    ----------
    function, about, outcome, units, predictors, slopes, clusters, what
        As for `kit.stats.mixed.fit.fit_mixed`.

    Returns
    -------
    Laid

    Raises
    ------
    ValueError
        If rows differ in number, a number is infinite, or a unit is in two clusters.
    TooFewError
        If the rows cannot tell of the spreads of all layers.
    """
    labels, many = _nested(function, units, clusters)
    products = crossed(function, outcome, labels, predictors, about, what=what)
    of_unit = None if clusters is None else products.labels // many
    blocks = _blocks(products, of_unit, slopes)
    sizes = len(products.sizes), *(len(layer.bounds) - 1 for layer in blocks.layers[:-1])
    _enough(function, about, blocks, sizes, what=what, squares=float(products.total[-1, -1]))
    seen = look(blocks)
    if not seen.told:
        who = " or ".join(dict.fromkeys((what, "choirs")[: len(sizes)]))
        raise TooFewError(f"{function}: needs more {who} than predictors alike inside them. {about} has too few.")
    if seen.nothing:
        raise TooFewError(NOTHING_LEFT.format(function=function, about=about))
    return Laid(blocks, seen.start, sizes, products.dropped)


def _nested(function: str, units: ArrayLike, clusters: ArrayLike | None) -> tuple[np.ndarray, int]:
    """Give units labels, those of one cluster together, and say how many each cluster may have; NaN where unknown."""
    inside = np.asarray(units)
    if clusters is None:
        return inside, 1
    outside = np.asarray(clusters)
    if inside.shape != outside.shape:
        raise ValueError(f"{function}: students and clusters must list the same rows.")
    known = ~(pd.isna(inside) | pd.isna(outside))
    (inside, many), (outside, _) = numbered(inside[known]), numbered(outside[known])
    labels = np.full(known.shape, np.nan)
    labels[known] = outside * many + inside
    if numbered(labels[known])[1] > many:
        raise ValueError(f"{function}: each student must be in one choir.")
    return labels, many


def _blocks(products: Crossed, of_unit: np.ndarray | None, slopes: tuple[int | None, ...]) -> Blocks:
    """Lay the cross-products out by layers, on columns of random effects that are alike in size and unrelated."""
    p, whole = products.xy.shape[1], _whole(products)
    length, ordinary = np.linalg.cholesky(products.total[:-1, :-1]).T, products.coefficients
    turn = np.linalg.inv(length)
    clear = np.vstack([np.column_stack([turn, -ordinary]), np.eye(p + 1)[-1]])
    whole = clear.T @ whole @ clear
    layers, parts = [], whole
    # the columns were taken from their averages: back to columns as they were given
    back = np.eye(p)
    back[-1] -= products.centre[:-1]
    given = back @ ordinary
    given[-1] += products.centre[-1]
    starts = [] if of_unit is None else [np.unique(of_unit, return_index=True)[1]]
    for slope, first in zip(slopes, [*starts, np.zeros(1, dtype=int)], strict=True):
        basis = np.zeros((p + 1, 1 if slope is None else 2))
        basis[p - 1, 0] = 1
        if slope is not None:
            basis[slope, 1] = 1
        basis[:p] = length @ basis[:p]
        size = np.linalg.cholesky(basis.T @ parts.mean(axis=0) @ basis)
        layers.append(Layer(basis @ np.linalg.inv(size).T, np.append(first, len(parts))))
        parts = np.add.reduceat(parts, first)
        if len(layers) == 1:
            totals = parts[None]
    own = layers[0].basis
    rows = np.ascontiguousarray(np.moveaxis(own.T @ whole, 0, -1))
    inside = np.ascontiguousarray(np.moveaxis(own.T @ whole @ own, 0, -1))
    return Blocks(
        tuple(layers), inside, rows[None], totals, int(products.sizes.sum()), p, back @ turn, given, whole[:, :p, :p]
    )


def _whole(products: Crossed) -> Floats:
    """Put the cross-products of predictors and outcome together, [X y]'[X y] of each unit."""
    above = np.concatenate([products.xx, products.xy[..., None]], axis=2)
    below = np.concatenate([products.xy, products.yy[:, None]], axis=1)
    return np.concatenate([above, below[:, None]], axis=1)


def _enough(function: str, about: str, blocks: Blocks, sizes: tuple[int, ...], *, what: str, squares: float) -> None:
    """Refuse fewer rows than the layers have effects, and scores without a residual."""
    if len(sizes) > 1:
        need(function, about, sizes[1], least=2, what="choirs")
        need(function, about, sizes[0], least=sizes[1] + 1, what=what)
    effects = blocks.layers[0].q * sizes[0]
    need(function, about, blocks.n, least=effects + 1, what=f"rows for {effects} effects of {what}")
    if blocks.layers[0].q == 2:
        inside = blocks.inside
        spread = inside[0, 0] * inside[1, 1] - inside[0, 1] ** 2
        if not (spread > DUST * inside[0, 0] * inside[1, 1]).any():
            raise TooFewError(f"{function}: needs {what} inside whom the slope's predictor differs. {about} has none.")
    if blocks.totals[0, :, -1, -1].sum() <= DUST * squares:
        raise TooFewError(NOTHING_LEFT.format(function=function, about=about))
