"""Spreads that are not known: a grid over those that are likely, each with its weight."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.polynomial.hermite_e import hermegauss
from scipy.optimize import minimize

from kit.stats.complete import Floats
from kit.stats.learning.pooled_table import Likely, Table, likely

LOWEST, HIGHEST = np.log(0.01), np.log(8.0)
"""Logarithms of the spreads looked at, in log-odds: below, all are alike; beyond, nobody has seen any."""
DROP = 5.0
"""Points whose logarithm of density lies farther below the top are left out; together they hold under 1 %."""
MANY = 10_000
"""Cells from which on few points are visited: the spreads are known so well there that the rest adds nothing."""
MOST_MOVES = 4
SOME = 300
"""Students whose table says where to begin with a large one."""
NODES = {3: hermegauss(3), 5: hermegauss(5)}
FEW_ITEMS = 15
"""Items below which five points an axis are visited, not three: the spread of few items is skewed."""


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
    of the spreads: from the top outwards in steps of one standard deviation, as far as the density matters. Of large
    tables the points are those of Gauss-Hermite quadrature, three along each axis (five for few items), their weights
    times density over that of the normal.

    References
    ----------
    .. [1] Key ``rue-2009``, section 3.1.
    """
    free = np.array(table.tries.shape) > 1
    seen: dict[tuple[int, ...], tuple[float, Likely]] = {}
    if not free.any():
        return [likely(table, (0.0, 0.0))], np.ones(1)
    climb = _Climb(table, free)
    if table.tries.size > MANY and len(table.tries) > 2 * SOME:
        return _few_points(climb)
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

    def at(self, logs: Floats, start: Floats | None = None) -> tuple[float, Likely]:
        """Height of the density, and the mode there, looked for from a place, or else from the mode before."""
        sizes = np.zeros(2)
        sizes[self.free] = np.exp(np.clip(logs, LOWEST, HIGHEST))
        found = likely(self.table, (float(sizes[0]), float(sizes[1])), self.last if start is None else start)
        self.last = found.place
        return found.height + float((np.log(sizes[self.free]) - sizes[self.free]).sum()), found

    def top(self) -> tuple[Floats, Floats]:
        """Find the top, and steps from it that reach one standard deviation."""
        count = int(self.free.sum())
        options = {"xatol": 0.1, "fatol": 0.05}
        bounds, start = [(LOWEST, HIGHEST)] * count, np.full(count, -0.3)
        found = minimize(lambda logs: -self.at(logs)[0], start, method="Nelder-Mead", options=options, bounds=bounds).x
        return found, _axes(self.bent(found, np.full(count, 0.2))[1])

    def refined(self, logs: Floats) -> tuple[Floats, Floats, _Nearby]:
        """Go from a place near the top to the top by Newton's method; as `top`, with the modes seen last."""
        steps = 1 / np.sqrt(2.0 * np.array(self.table.tries.shape)[self.free])
        for _ in range(MOST_MOVES):
            slope, curvature, near = self.bent(logs, steps)
            axes = _axes(curvature)
            move = np.clip(axes @ (axes.T @ slope), -0.7, 0.7)
            logs = np.clip(logs + move, LOWEST, HIGHEST)
            if (np.abs(np.linalg.solve(axes, move)) < 2).all():  # from so near, one step lands on the top
                break
            self.last = near.at(logs)
        return logs, axes, near

    def bent(self, logs: Floats, steps: Floats) -> tuple[Floats, Floats, _Nearby]:
        """Give slope and minus the curvature of the density by differences, and the modes on the way."""
        unit, (middle, centre) = np.diag(steps), self.at(logs)
        centre, seen = centre.place, []
        ahead, behind = np.zeros(len(steps)), np.zeros(len(steps))
        for at, one in enumerate(unit):
            ahead[at], mode = self.at(logs + one, centre)
            seen.append(mode.place - centre)
            behind[at], mode = self.at(logs - one, centre - seen[-1])
            seen[-1] = (seen[-1], mode.place - centre)
        near = _Nearby(logs, centre, steps, seen)
        slope = (ahead - behind) / (2 * steps)
        curvature = np.diag((2 * middle - ahead - behind) / steps**2)
        for one, two in itertools.combinations(range(len(steps)), 2):
            corners = [logs + way * (unit[one] + unit[two]) for way in (1, -1)]
            corner = sum(self.at(place, near.at(place))[0] for place in corners)
            both = (corner - ahead[one] - behind[one] - ahead[two] - behind[two] + 2 * middle) / 2
            curvature[one, two] = curvature[two, one] = -both / (steps[one] * steps[two])
        return slope, curvature, near


@dataclass(frozen=True, slots=True)
class _Nearby:
    """Modes one step away on each axis, from which those elsewhere are foretold."""

    logs: Floats
    centre: Floats
    steps: Floats
    seen: list[tuple[Floats, Floats]]

    def at(self, logs: Floats) -> Floats:
        """Foretell the mode at other spreads: a parabola along each axis."""
        found = self.centre.copy()
        for away, (ahead, behind) in zip((logs - self.logs) / self.steps, self.seen, strict=True):
            found += away / 2 * (ahead - behind) + away**2 / 2 * (ahead + behind)
        return found


def _axes(curvature: Floats) -> Floats:
    """Give steps that reach one standard deviation along the main axes, in columns; one unit where it is flat."""
    values, vectors = np.linalg.eigh(curvature)
    return vectors / np.sqrt(np.clip(values, 1.0, None))


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


def _few_points(climb: _Climb) -> tuple[list[Likely], Floats]:
    """Visit three or five points along each axis around the top of a large table."""
    step = len(climb.table.tries) // SOME
    part = Table(climb.table.hits[::step], climb.table.tries[::step])
    top, axes, near = climb.refined(_Climb(part, climb.free).top()[0])
    nodes, sizes = NODES[5 if part.tries.shape[1] < FEW_ITEMS else 3]
    places = np.array(list(itertools.product(nodes, repeat=top.size)))
    weights = np.array(list(itertools.product(sizes, repeat=top.size))).prod(axis=1)
    heights, points = zip(*(climb.at(place, near.at(place)) for place in top + places @ axes.T), strict=True)
    logs = np.log(weights) + np.array(heights) + (places**2).sum(axis=1) / 2
    weights = np.exp(logs - logs.max())
    return list(points), weights / weights.sum()
