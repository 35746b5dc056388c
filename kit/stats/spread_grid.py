"""Spreads that are not known: a grid over those that are likely, each with its weight."""

from __future__ import annotations

import itertools

import numpy as np
from scipy.optimize import minimize

from kit.stats.complete import Floats
from kit.stats.pooled_table import Likely, Table, likely

LOWEST, HIGHEST = np.log(0.01), np.log(8.0)
"""Logarithms of the spreads looked at, in log-odds: below, all are alike; beyond, nobody has seen any."""
DROP = 5.0
"""Points whose logarithm of density lies farther below the top are left out; together they hold under 1 %."""


def spread_grid(table: Table) -> tuple[list[Likely], Floats]:
    r"""Find the likely spreads of students and items, with their weights.

    Parameters
    ----------
    table : Table
        The tries; with one student or one item, that spread is 0.

    Returns
    -------
    points : list of Likely
        Modes at the points of the grid.
    weights : ndarray, shape (m,)
        Posterior weights, adding up to 1.

    Notes
    -----
    Density :math:`L(\sigma_s, \sigma_k) e^{-\sigma_s - \sigma_k}`, L by Laplace's approximation, over the logarithms
    of the spreads: from the top outwards in steps of one standard deviation, as far as the density matters.

    References
    ----------
    .. [1] Key ``rue-2009``, section 3.1.
    """
    free = np.array(table.tries.shape) > 1
    seen: dict[tuple[int, ...], tuple[float, Likely]] = {}
    if not free.any():
        return [likely(table, (0.0, 0.0))], np.ones(1)
    climb = _Climb(table, free)
    top, axes = climb.top()
    _spread_from(climb, top, axes, seen)
    heights = np.array([height for height, _ in seen.values()])
    kept = heights > heights.max() - DROP
    weights = np.exp(heights[kept] - heights.max())
    points = [point for keep, (_, point) in zip(kept, seen.values(), strict=True) if keep]
    return points, weights / weights.sum()


class _Climb:
    """The density of the logarithms of the spreads that are free."""

    def __init__(self, table: Table, free: np.ndarray) -> None:
        self.table, self.free, self.last = table, free, None

    def at(self, logs: Floats) -> tuple[float, Likely]:
        """Height of the density, and the mode there."""
        sizes = np.zeros(2)
        sizes[self.free] = np.exp(np.clip(logs, LOWEST, HIGHEST))
        self.last = likely(self.table, (float(sizes[0]), float(sizes[1])), self.last)
        return self.last.height + float((np.log(sizes[self.free]) - sizes[self.free]).sum()), self.last

    def top(self) -> tuple[Floats, Floats]:
        """Find the top, and steps from it that reach one standard deviation."""
        count = int(self.free.sum())
        options = {"xatol": 0.1, "fatol": 0.05}
        found = minimize(lambda logs: -self.at(logs)[0], np.full(count, -0.3), method="Nelder-Mead", options=options).x
        step, height = 0.2, lambda move: self.at(found + move)[0]
        curvature = np.empty((count, count))
        unit = step * np.eye(count)
        middle = height(0 * unit[0])
        for one, two in itertools.product(range(count), repeat=2):
            if one == two:
                curvature[one, one] = 2 * middle - height(unit[one]) - height(-unit[one])
            else:
                plus, minus = height(unit[one] + unit[two]), height(unit[one] - unit[two])
                curvature[one, two] = (
                    minus + height(unit[two] - unit[one]) - plus - height(-unit[one] - unit[two])
                ) / 4
        values, vectors = np.linalg.eigh(curvature / step**2)
        return found, vectors / np.sqrt(np.clip(values, 1.0, None))


def _spread_from(climb: _Climb, top: Floats, axes: Floats, seen: dict[tuple[int, ...], tuple[float, Likely]]) -> None:
    """Visit the points of the grid outwards from the top while the density matters."""
    waiting, best = [(0,) * top.size], -np.inf
    while waiting:
        place = waiting.pop(0)
        logs = top + axes @ np.array(place, dtype=float)
        if place in seen or (logs < LOWEST).any() or (logs > HIGHEST).any():
            continue
        seen[place] = climb.at(logs)
        best = max(best, seen[place][0])
        if seen[place][0] > best - DROP:
            for axis, step in itertools.product(range(top.size), (-1, 1)):
                waiting.append((*place[:axis], place[axis] + step, *place[axis + 1 :]))
