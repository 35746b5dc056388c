"""The best spreads of random effects: the way down, what to do at a boundary, and a proof of having arrived."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kit.errors import NotConvergedError
from kit.stats.complete import Floats
from kit.stats.mixed.blocks import Blocks
from kit.stats.mixed.descent import NEAR, curvature, descend
from kit.stats.mixed.likelihood import Point, as_parameters, evaluate, roots

CLOSE, SURE = 0.5, 1e-4
"""Promised falls of the deviance: from here on exact steps are tried, and from here on they are safe."""
STEPS = 12
CERTAIN = 1e-6
"""Fall of the deviance that a step from the end may still promise."""
NOTHING = 1e-3
"""A spread this small, in units of what an average unit tells, is taken as none: the deviance cannot tell."""
TINY = float(np.finfo(float).tiny)
BOTH_WAYS = (0.01, 0.03, 0.1, 0.3, 1.0)
"""Spreads that are tried where none fits, to see whether it is the best or only level."""


@dataclass(frozen=True, slots=True)
class End:
    """Where a search of one data set ended.

    Attributes
    ----------
    parameters : ndarray, shape (m,)
        Roots of the covariances.
    curved : ndarray, shape (m, m)
        Curvature of the deviance there.
    point : Point
        The criterion there.
    sizes, turns : ndarray, shape (m,) and (m, m)
        The curvature's eigenvalues and eigenvectors.
    """

    parameters: Floats
    curved: Floats
    point: Point
    sizes: Floats
    turns: Floats


def best(blocks: Blocks, start: Floats) -> End:
    """Find the minimum of the deviance of one data set, on the boundary where it lies there, and prove it.

    Parameters
    ----------
    blocks : Blocks
        One data set.
    start : ndarray, shape (m,)
        Where to begin, from `kit.stats.mixed.start.look`.

    Returns
    -------
    End
        Exactly singular where the boundary fits no worse.

    Raises
    ------
    NotConvergedError
        If the search does not end, or its end is no minimum.
    """
    parameters: Floats | None = start
    for _ in range(5):
        end = _settled(blocks, _downhill(blocks, parameters))
        parameters = _away(blocks, end)
        if parameters is None:
            return _proved(end)
    raise NotConvergedError("the search for the best spreads keeps coming back to a boundary that is not the best.")


def _downhill(blocks: Blocks, parameters: Floats) -> End:
    """Go down from here by exact steps where these are safe, else by steps that learn the curvature."""
    end = _end(blocks, parameters)
    for _ in range(STEPS):
        step, promised, inverse = _newton(end)
        if promised < NEAR:
            break
        if promised < CLOSE:
            ahead = _end(blocks, end.parameters - step)
            if ahead.point.deviance[0] <= end.point.deviance[0] + CERTAIN:
                end = ahead
                continue
        found = descend(blocks, end.parameters[None], end.point, inverse, near=min(SURE, promised / 100))
        end = _end(blocks, found.parameters[0])
    return end


def _end(blocks: Blocks, parameters: Floats) -> End:
    """Evaluate criterion and curvature."""
    point, curved = curvature(blocks, parameters)
    return End(parameters, curved, point, *np.linalg.eigh(curved))


def _newton(end: End) -> tuple[Floats, float, Floats]:
    """Give the exact step to where the slope is nothing, the fall that it promises, and a safe inverse curvature."""
    turns, size = end.turns, np.abs(end.sizes)
    steep, along = max(float(size.max()), TINY), turns.T @ end.point.slope[0]
    strict, safe = (np.maximum(size, least * steep) for least in (1e-6, 1e-3))
    return turns @ (along / strict), float((along**2 / strict).sum()), (turns / safe) @ turns.T


def singular(root: Floats) -> bool:
    """Say whether a covariance lies on the boundary: a spread of zero, or effects that all lie on one line.

    Parameters
    ----------
    root : ndarray, shape (q, q)
        Its symmetric root.

    Returns
    -------
    bool
    """
    return bool(np.abs(np.linalg.eigvalsh(root)).min() < NOTHING)


def _settled(blocks: Blocks, end: End) -> End:
    """Put spreads that are next to nothing to nothing, none below it, and go down along the boundary."""
    parts = [np.linalg.eigh(root[0]) for root in roots(blocks, end.parameters[None])]
    if min(sizes.min() for sizes, _ in parts) >= NOTHING:
        return end
    exact = [(turns * np.where(np.abs(sizes) < NOTHING, 0.0, np.abs(sizes))) @ turns.T for sizes, turns in parts]
    return _downhill(blocks, as_parameters(exact))


def _away(blocks: Blocks, end: End) -> Floats | None:
    """Look from a boundary into the inside: where the deviance falls there, give the lowest place tried."""
    root, tried = [part[0] for part in roots(blocks, end.parameters[None])], []
    if not any(map(singular, root)):
        return None
    for layer, (part, slope) in enumerate(zip(root, end.point.by_spread, strict=True)):
        sizes, turns = np.linalg.eigh(part)
        empty = turns[:, np.abs(sizes) < NOTHING]
        if not empty.size:
            continue
        steepest = empty @ np.linalg.eigh(empty.T @ slope[0] @ empty)[1][:, :1]
        wider = [part + width * steepest @ steepest.T for width in BOTH_WAYS]
        tried += [as_parameters([*root[:layer], one, *root[layer + 1 :]]) for one in wider]
    deviance = evaluate(blocks, np.stack(tried)).deviance
    lowest = int(deviance.argmin())
    return tried[lowest] if deviance[lowest] < end.point.deviance[0] - CERTAIN else None


def _proved(end: End) -> End:
    """Check that the slope is nothing and that the deviance rises on all sides."""
    if not _newton(end)[1] < CERTAIN or end.sizes.min() < -1e-3 * np.abs(end.sizes).max():
        raise NotConvergedError("the search for the best spreads ended where the deviance still falls.")
    return end
