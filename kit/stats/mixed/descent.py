"""The way down to the nearest minimum of the deviance, for many data sets of one design at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kit.errors import NotConvergedError
from kit.stats.complete import Floats
from kit.stats.mixed.blocks import Blocks
from kit.stats.mixed.likelihood import Point, evaluate

NEAR = 1e-12
"""Fall of the deviance that a further step promises, below which the search ends."""
NOISE, LAST = 1e-7, 5
"""Promised fall from which on a search may take so many steps more; whether it has arrived is proved elsewhere."""
DUST = 1e-12
STEP = 1e-4
"""Step of the numerical second derivative, which differentiates an exact slope."""
LONGEST = 100


@dataclass(frozen=True, slots=True)
class Found:
    """The end of a search.

    Attributes
    ----------
    parameters : ndarray, shape (B, m)
        Roots of the covariances.
    deviance, variance : ndarray, shape (B,)
        Minus twice the restricted log-likelihood; the residual variance.
    coefficients : ndarray, shape (B, p)
        Fixed effects.
    slope : ndarray, shape (B, m)
        Derivative of the deviance.
    """

    parameters: Floats
    deviance: Floats
    variance: Floats
    coefficients: Floats
    slope: Floats


def curvature(blocks: Blocks, parameters: Floats, step: float = STEP) -> tuple[Point, Floats]:
    """Evaluate the criterion of one data set and differentiate its slope numerically, all in one evaluation.

    Parameters
    ----------
    blocks : Blocks
        One data set.
    parameters : ndarray, shape (m,)
        Where.
    step : float, optional
        Step to both sides.

    Returns
    -------
    point : Point
        The criterion there.
    curved : ndarray, shape (m, m)
        Second derivatives of the deviance.
    """
    size = len(parameters)
    moves = step * np.eye(size)
    point = evaluate(blocks, parameters + np.concatenate([np.zeros((1, size)), moves, -moves]))
    rows = (point.slope[1 : size + 1] - point.slope[size + 1 :]) / (2 * step)
    return point.first, (rows + rows.T) / 2


def descend(blocks: Blocks, start: Floats, point: Point, inverse: Floats, *, near: float = NEAR) -> Found:
    """Go down to the nearest minimum of each data set's deviance, by quasi-Newton steps (BFGS).

    Parameters
    ----------
    blocks : Blocks
        B data sets of one design.
    start : ndarray, shape (B, m)
        Where to begin.
    point : Point
        The criterion there.
    inverse : ndarray, shape (m, m)
        Inverse curvature to begin with.
    near : float, optional
        Fall of the deviance that a further step promises, below which the search ends.

    Returns
    -------
    Found

    Raises
    ------
    NotConvergedError
        If a data set's search does not end.

    References
    ----------
    .. [1] Key ``nocedal-wright-2006``.
    """
    live = np.arange(len(start))
    end = Found(*(one.copy() for one in (start, point.deviance, point.variance, point.coefficients, point.slope)))
    inverses, last = np.repeat(inverse[None], len(start), axis=0), np.full(len(start), LAST)
    for _ in range(LONGEST):
        move, promised = _direction(inverses[live], end.slope[live], end.parameters[live])
        on = promised > near
        live, move, promised = live[on], move[on], promised[on]
        if not live.size:
            return end
        before, old = end.parameters[live], end.slope[live]
        _line(blocks, end, live, move)
        inverses[live] = _updated(inverses[live], end.parameters[live] - before, end.slope[live] - old)
        dust = DUST * np.abs(end.deviance[live])
        still = promised < np.maximum(NOISE, 10 * dust)  # so near that rounding moves the deviance more than steps do
        if ((end.parameters[live] == before).all(axis=1) & ~still).any():
            raise NotConvergedError("no step lowers the deviance, and the slope is not zero.")
        last[live] -= still
        live = live[last[live] > 0]
    raise NotConvergedError("the search for the best spreads did not end.")


def _direction(inverses: Floats, slope: Floats, here: Floats) -> tuple[Floats, Floats]:
    """Give each search its step, not too long for where it is, and the fall of the deviance that it promises."""
    move = -(inverses @ slope[..., None])[..., 0]
    promised = -(move * slope).sum(axis=1)
    longest = np.maximum(1, np.abs(here).max(axis=1))
    return move / np.maximum(1, np.abs(move).max(axis=1) / longest)[:, None], promised


def _line(blocks: Blocks, end: Found, live: np.ndarray, move: Floats) -> None:
    """Make each step, or the part of it that lowers the deviance enough, if any does; writes into `end`."""
    falls, start, rest = (move * end.slope[live]).sum(axis=1), end.parameters[live], np.arange(len(live))
    share = 1.0
    for _ in range(20):
        which, tried = live[rest], start[rest] + share * move[rest]
        point = evaluate(blocks.picked(which), tried)
        dust = DUST * np.abs(end.deviance[which])
        good = point.deviance <= end.deviance[which] + 1e-4 * share * falls[rest] + dust
        end.parameters[which[good]] = tried[good]
        for name in ("deviance", "variance", "coefficients", "slope"):
            getattr(end, name)[which[good]] = getattr(point, name)[good]
        rest, share = rest[~good], 0.3 * share
        if not rest.size:
            return


def _updated(inverses: Floats, moved: Floats, turned: Floats) -> Floats:
    """Learn the inverse curvature from one step and the change of slope along it."""
    along = (moved * turned).sum(axis=1)
    scale = 1 / np.where(along > 0, along, 1)[:, None, None]
    left = np.eye(moved.shape[1]) - scale * moved[:, :, None] * turned[:, None]
    new = left @ inverses @ left.swapaxes(-1, -2) + scale * moved[:, :, None] * moved[:, None]
    return np.where((along > 0)[:, None, None], new, inverses)
