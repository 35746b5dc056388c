"""Mixed logistic regression with crossed spreads of students and items, by maximum likelihood."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import minimize

from kit.stats.complete import Floats
from kit.stats.learning.crossed_blocks import Blocks, eliminate, inverse_parts, log_determinant, solve
from kit.stats.learning.crossed_cells import Cells

Slope = Callable[[Floats], tuple[float, Floats]]

STEP = 1e-3
"""Step of the numerical second derivative, which differentiates an exact gradient."""
MANY = 60_000
"""Cells from which on the climb begins where that of a part of the students ended."""
PART = 20_000
"""Cells of that part, about."""
FARTHEST = 200.0
"""Log-odds beyond which nothing is told apart, so that odds stay finite."""
NOTHING = 1e-3
"""A spread below this many log-odds is taken as none: the likelihood is flat there."""


@dataclass(frozen=True, slots=True)
class CrossedFit:
    """A mixed logistic regression.

    Attributes
    ----------
    coefficients : ndarray, shape (p,)
        Log-odds, in the order of the columns of the design.
    covariance : ndarray, shape (p, p)
        Of the coefficients, with the doubt about the spreads.
    spread_students, spread_items : float
        Standard deviations between students and between items, in log-odds.
    log_likelihood : float
        By Laplace's approximation, of single tries (without binomial coefficients).
    students, items : ndarray, shape (s,) and (k,)
        Most likely deviation of each student and item, in log-odds.
    n : int
        Tries.
    """

    coefficients: Floats
    covariance: Floats
    spread_students: float
    spread_items: float
    log_likelihood: float
    students: Floats
    items: Floats
    n: int


@dataclass(slots=True)
class _Point:
    """The most likely deviations at given coefficients and spreads, in units of the spreads."""

    left: Floats
    right: Floats
    height: float
    chance: Floats
    weight: Floats
    table: Floats
    blocks: Blocks


class _Likelihood:
    """Laplace's log-likelihood and its gradient as functions of coefficients and spreads, per try.

    Cells stand in the order of students and, within a student, of items, so sums run over stretches of them.
    """

    def __init__(self, cells: Cells) -> None:
        self.cells, (self.s, self.k) = cells, cells.shape
        both = cells.students * self.k + cells.items
        self.first = np.flatnonzero(np.diff(both, prepend=-1))
        self.many = np.diff(np.append(self.first, both.size))
        self.pair = both[self.first]
        self.n, self.p = cells.tries.sum(), cells.design.shape[1]
        self.start = np.zeros(self.s), np.zeros(self.k)
        self.hits = self.table(cells.hits)

    def table(self, values: Floats) -> Floats:
        """Add up the cells of each student and item."""
        full = np.zeros(self.s * self.k)
        full[self.pair] = np.add.reduceat(values, self.first)
        return full.reshape(self.s, self.k)

    def spread_out(self, left: Floats, right: Floats, sizes: Floats) -> Floats:
        """Give each cell what its student and its item add to the log-odds."""
        both = (sizes[0] * left)[self.pair // self.k] + (sizes[1] * right)[self.pair % self.k]
        return np.repeat(both, self.many)

    def at(self, fixed: tuple[float, Floats], left: Floats, right: Floats, sizes: Floats) -> _Point:
        """Give the penalised log-likelihood, weigh the cells, and factor the curvature.

        `fixed` are what the coefficients give: right tries times log-odds, added up, and the odds of each cell.
        """
        students, items = (
            np.clip(size * one, -FARTHEST, FARTHEST) for size, one in zip(sizes, (left, right), strict=True)
        )
        both = np.exp(students)[self.pair // self.k] * np.exp(items)[self.pair % self.k]
        chance = fixed[1] * np.repeat(both, self.many)
        more = 1 + chance
        chance /= more
        weight = self.cells.tries * chance / more
        fit = fixed[0] + self.hits.sum(axis=1) @ students + self.hits.sum(axis=0) @ items
        fit -= np.einsum("i,i->", self.cells.tries, np.log(more, out=more))
        table = self.table(weight)
        dense = np.diag(1 + sizes[1] ** 2 * table.sum(axis=0))
        blocks = eliminate(1 + sizes[0] ** 2 * table.sum(axis=1), sizes[0] * sizes[1] * table, dense)
        return _Point(left, right, float(fit - (left @ left + right @ right) / 2), chance, weight, table, blocks)

    def mode(self, fixed: Floats, sizes: Floats) -> _Point:
        """Find the most likely deviations by Newton's method, halving steps that overshoot."""
        fixed = np.clip(fixed, -FARTHEST, FARTHEST)
        fixed = float(np.einsum("i,i->", self.cells.hits, fixed)), np.exp(fixed)
        point = self.at(fixed, *self.start, sizes)
        for _ in range(100):
            off = self.hits - self.table(self.cells.tries * point.chance)
            slope = sizes[0] * off.sum(axis=1) - point.left, sizes[1] * off.sum(axis=0) - point.right
            move = solve(point.blocks, *slope)
            promised, share = float(slope[0] @ move[0] + slope[1] @ move[1]), 1.0
            ahead = self.at(fixed, point.left + move[0], point.right + move[1], sizes)
            while ahead.height < point.height - 1e-9 * abs(point.height) and share > 1e-6:
                share /= 2
                ahead = self.at(fixed, point.left + share * move[0], point.right + share * move[1], sizes)
            point = ahead
            if promised < 1e-10 * self.n:  # so near that the step just made was exact
                break
        self.start = point.left, point.right
        return point

    def value_and_slope(self, parameters: Floats) -> tuple[float, Floats]:
        """Give minus the log-likelihood per try and its gradient."""
        fixed, sizes = self.cells.design @ parameters[: self.p], parameters[self.p :]
        point = self.mode(fixed, sizes)
        value = point.height - log_determinant(point.blocks) / 2
        return -value / self.n, -self._slope(point, sizes) / self.n

    def _slope(self, point: _Point, sizes: Floats) -> Floats:
        """Differentiate: the deviations move along as the parameters do."""
        cells, (inner, between, outer) = self.cells, inverse_parts(point.blocks)
        off = cells.hits - cells.tries * point.chance
        lever = sizes[0] ** 2 * inner[:, None] + sizes[1] ** 2 * np.diagonal(outer)
        lever += 2 * sizes[0] * sizes[1] * between
        pull = point.weight * (0.5 - point.chance) * np.repeat(lever.ravel()[self.pair], self.many)
        pulls, offs = self.table(pull), self.table(off)
        back = solve(point.blocks, sizes[0] * pulls.sum(axis=1), sizes[1] * pulls.sum(axis=0))
        felt = off - pull + point.weight * self.spread_out(*back, sizes)
        felts, shared = self.table(felt), (between * point.table).sum()
        students = point.left @ felts.sum(axis=1) - back[0] @ offs.sum(axis=1)
        students -= sizes[0] * inner @ point.table.sum(axis=1) + sizes[1] * shared
        items = point.right @ felts.sum(axis=0) - back[1] @ offs.sum(axis=0)
        items -= sizes[1] * np.diagonal(outer) @ point.table.sum(axis=0) + sizes[0] * shared
        return np.array([*((column * felt).sum() for column in cells.design.T), students, items])


def fit_crossed(cells: Cells) -> CrossedFit:
    r"""Fit a mixed logistic regression with crossed normal intercepts of students and items.

    It assumes tries that are independent given their student, item and covariates. With one student or one item,
    that spread is left out.

    Parameters
    ----------
    cells : Cells
        Counts of tries with their covariates.

    Returns
    -------
    CrossedFit
        The same as lme4's ``glmer(nAGQ = 1)`` gives.

    Notes
    -----
    Maximises :math:`\ell(\hat b) - \hat b'\hat b/2 - \log|H|/2` over coefficients and spreads together, with b the
    deviations in units of their spreads and H minus the curvature at their mode. The students' block of H is
    diagonal, so a step costs no more than the items need. Standard errors come from the curvature of the whole
    function, differentiated numerically from the exact gradient.

    References
    ----------
    .. [1] Key ``bates-2015``, for the parts; key ``breslow-clayton-1993``.
    """
    if cells.shape[1] > cells.shape[0]:
        # the larger of both stands in the diagonal block
        order = np.lexsort((cells.students, cells.items))
        turned = Cells(
            cells.hits[order], cells.tries[order], cells.design[order], cells.items[order], cells.students[order]
        )
        found = fit_crossed(turned)
        return replace(
            found, spread_students=found.spread_items, spread_items=found.spread_students, students=found.items,
            items=found.students,
        )  # fmt: skip
    centre, scale = cells.design[:, 1:].mean(axis=0), cells.design[:, 1:].std(axis=0)
    design = np.column_stack([cells.design[:, 0], (cells.design[:, 1:] - centre) / scale])
    likelihood = _Likelihood(Cells(cells.hits, cells.tries, design, cells.students, cells.items))
    free = np.array([True] * likelihood.p + [size > 1 for size in cells.shape])
    found, curvature = _maximum(likelihood, free)
    back = np.diag([1.0, *1 / scale])
    back[0, 1:] = -centre / scale
    covariance = np.linalg.inv(curvature)[: likelihood.p, : likelihood.p] / likelihood.n
    sizes, value = found[likelihood.p :], likelihood.value_and_slope(found)[0]
    left, right = likelihood.start
    return CrossedFit(
        back @ found[: likelihood.p], back @ covariance @ back.T, *(float(size) for size in np.abs(sizes)),
        float(-value * likelihood.n), sizes[0] * left, sizes[1] * right, int(likelihood.n),
    )  # fmt: skip


def _maximum(likelihood: _Likelihood, free: np.ndarray) -> tuple[Floats, Floats]:
    """Climb to the maximum; give the parameters and the curvature in those that are free."""
    flat = np.array([5.0] * likelihood.p + [likelihood.n / (2 * size) for size in likelihood.cells.shape]) ** 0.5
    start, bent = _start(likelihood, free)

    def slope(part: Floats) -> tuple[float, Floats]:
        whole = np.zeros(free.size)
        whole[free] = flat[free] * part
        value, down = likelihood.value_and_slope(whole)
        return value, (flat * down)[free]

    options = {"gtol": np.sqrt(1e-8 / likelihood.n)}
    if bent is not None:
        options["gtol"] *= 10  # the step by the curvature does the rest
        inverse = np.linalg.inv(bent * np.outer(flat, flat)[np.ix_(free, free)])
        options["hess_inv0"] = (inverse + inverse.T) / 2
    part = minimize(slope, (start / flat)[free], jac=True, method="BFGS", options=options).x
    spreads = np.flatnonzero(free) >= likelihood.p
    gone = spreads & (np.abs(flat[free] * part) < NOTHING)
    if gone.any():
        free[np.flatnonzero(free)[gone]] = False
        part = part[~gone]
    here = slope(part)[1]
    curvature = _curvature(slope, part, STEP / flat[free], here if bent is not None else None)
    part = part - np.linalg.solve(curvature, here)
    whole = np.zeros(free.size)
    whole[free] = flat[free] * part
    return whole, curvature / np.outer(flat[free], flat[free])


def _start(likelihood: _Likelihood, free: np.ndarray) -> tuple[Floats, Floats | None]:
    """Say where the climb begins: of many cells where that of a part of the students ends, with its curvature."""
    cells, share = likelihood.cells, likelihood.cells.hits.sum() / likelihood.n
    plain = np.array([np.log(share / (1 - share)), *np.zeros(likelihood.p - 1), 1.0, 1.0])
    step = cells.tries.size // PART
    if cells.tries.size < MANY or step < 2 or likelihood.s < 20 * step:
        return plain, None
    few = cells.students % step == 0
    part = _Likelihood(Cells(
        cells.hits[few], cells.tries[few], cells.design[few], cells.students[few] // step, cells.items[few],
    ))  # fmt: skip
    if part.k != likelihood.k or not 0 < part.cells.hits.sum() < part.n:
        return plain, None
    mine = free.copy()
    start, curvature = _maximum(part, mine)
    if (mine != free).any() or not (np.linalg.eigvalsh(curvature) > 0).all():
        return plain, None
    # items stay as many: what is known of their spread does not grow with tries
    if free[-1]:
        curvature[-1, :-1] = curvature[:-1, -1] = 0.0
        curvature[-1, -1] *= part.n / likelihood.n
    return start, curvature


def _curvature(slope: Slope, part: Floats, steps: Floats, here: Floats | None) -> Floats:
    """Second derivatives by central differences of the gradient, or from that at the place itself where it is given."""
    rows = []
    for move, step in zip(np.diag(steps), steps, strict=True):
        ahead = slope(part + move)[1]
        rows.append((ahead - here) / step if here is not None else (ahead - slope(part - move)[1]) / (2 * step))
    return (np.array(rows) + np.array(rows).T) / 2
