"""A first look at the data of a mixed model: what it can tell of, and where to begin the search."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kit.stats.complete import Floats
from kit.stats.mixed.blocks import Blocks, Layer, take_out
from kit.stats.mixed.likelihood import as_parameters

WIDE = 1e4
"""Against what an average unit tells, so wide a spread leaves every unit its own line."""
LEAST = 0.05
"""Least variance to begin with, in the same units, so that no search begins at a boundary."""
DUST = 1e-10


@dataclass(frozen=True, slots=True)
class Look:
    """A first look.

    Attributes
    ----------
    told : bool
        Whether the data tell of the spreads of every layer: predictors leave something of its units' effects.
    nothing : bool
        Whether units with effects as large as can be leave next to nothing of the spread.
    start : ndarray, shape (m,)
        Roots of the covariances, guessed layer by layer from the spread of the units' sums of residuals (by moments).
    """

    told: bool
    nothing: bool
    start: Floats


def look(blocks: Blocks) -> Look:
    """Look at no spread at all, at wide spreads of the innermost layer, and at wide spreads of all layers.

    Parameters
    ----------
    blocks : Blocks
        One data set.

    Returns
    -------
    Look
    """
    p, steps = blocks.p, np.array([0.0, WIDE, WIDE])[:, None, None]
    wide = [(steps if not depth else steps * [[[0]], [[0]], [[1]]]) * np.eye(layer.q)
            for depth, layer in enumerate(blocks.layers)]  # fmt: skip
    left, _, taken = take_out(blocks, wide)
    tells = [_told(one.rows[0], one.layer, p) for one in taken]  # at no spread
    all_wide, total = left[2], left[0, p, p]
    rest = all_wide[p, p] - all_wide[p, :p] @ np.linalg.lstsq(all_wide[:p, :p], all_wide[:p, p], rcond=DUST)[0]
    # predictors are of length one, so that what wide spreads leave of them counts those that differ inside units
    free = blocks.n - blocks.rows.shape[-1] * blocks.layers[0].q - float(np.trace(left[1, :p, :p]))
    variance = max(left[1, p, p], total / WIDE**2) / max(free, 1.0)
    least = min(float(np.linalg.eigvalsh(told).min()) for told in tells)
    return Look(least > DUST * blocks.n, bool(rest <= total * 10 / WIDE**2), _moments(blocks, variance, tells))


def _told(rows: Floats, layer: Layer, p: int) -> Floats:
    """Give Z'MZ over all units, M what least squares on the predictors leaves."""
    held = rows[:, :p].reshape(len(rows), -1)
    return rows.sum(axis=-1) @ layer.basis - held @ held.T


def _moments(blocks: Blocks, variance: float, tells: list[Floats]) -> Floats:
    """Match the spread of each layer's sums of residuals, the layers below it taken out."""
    found = [np.zeros((1, layer.q, layer.q)) for layer in blocks.layers]
    for depth, layer in enumerate(blocks.layers):
        rows = take_out(blocks, found)[2][depth].rows[0] if depth else blocks.rows[0]
        sums, whole = rows[:, blocks.p], rows.sum(axis=-1) @ layer.basis
        inverse = np.linalg.inv(whole / rows.shape[-1])
        # as many units as predictors leave free; where all units are alike this guess is the best fit itself
        units = max(float(np.trace(inverse @ tells[depth])) / layer.q, 1.0)
        sizes, turns = np.linalg.eigh(inverse @ (sums @ sums.T / units / variance) @ inverse - inverse)
        found[depth] = ((turns * np.sqrt(np.maximum(sizes, LEAST))) @ turns.T)[None]
    return as_parameters(found)[0]
