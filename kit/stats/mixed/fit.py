"""A linear mixed model fitted by restricted maximum likelihood."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import NotConvergedError
from kit.stats.complete import Floats
from kit.stats.mixed.blocks import Blocks
from kit.stats.mixed.likelihood import Point, roots
from kit.stats.mixed.rows import nested_blocks
from kit.stats.mixed.search import best, singular


@dataclass(frozen=True, slots=True, kw_only=True)
class MixedFit:
    """A linear mixed model.

    Attributes
    ----------
    coefficients : ndarray, shape (p,)
        Fixed effects in the order of the predictors, the intercept last.
    covariance : ndarray, shape (p, p)
        Of the fixed effects.
    effects : tuple of ndarray, shape (q, q)
        Covariance of the random effects of each layer, innermost first; intercept before slope.
    variance : float
        Of what is left.
    log_likelihood : float
        Restricted.
    boundary : tuple of bool
        For each layer, whether its covariance is singular: a spread of zero or a correlation of one fits best.
    n : int
        Rows.
    units : tuple of int
        Units of each layer.
    dropped : int
        Rows left out.
    blocks, point : Blocks, Point
        The data, and the criterion at its minimum.
    own : tuple of ndarray, shape (q, q)
        Effects as the search has them -> intercept and slope, layer by layer.
    parameters, curved : ndarray, shape (m,) and (m, m)
        Roots of the covariances, and the curvature of the deviance there.
    """

    coefficients: Floats
    covariance: Floats
    effects: tuple[Floats, ...]
    variance: float
    log_likelihood: float
    boundary: tuple[bool, ...]
    n: int
    units: tuple[int, ...]
    dropped: int
    blocks: Blocks
    point: Point
    own: tuple[Floats, ...]
    parameters: Floats
    curved: Floats


def fit_mixed(
    function: str, outcome: ArrayLike, units: ArrayLike, predictors: ArrayLike, about: str, *,
    slopes: tuple[int | None, ...], clusters: ArrayLike | None = None, what: str = "choirs",
) -> MixedFit:  # fmt: skip
    """Fit a linear mixed model with an intercept of each unit, and of each cluster of units.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    outcome : array_like, shape (n,)
        Numbers, NaN where missing.
    units : array_like, shape (n,)
        Label of each row's unit.
    predictors : array_like, shape (n,) or (n, k)
        Without the intercept, which is added; NaN where missing.
    slopes : tuple of int or None
        For units, and for clusters where given: the predictor whose slope differs from one to the next; None for
        intercepts alone.
    clusters : array_like, shape (n,), optional
        Label of each row's cluster.
    what : str, optional
        What the units are, for messages.

    Returns
    -------
    MixedFit

    Raises
    ------
    ValueError
        If rows differ in number, a number is infinite, or a unit is in two clusters.
    TooFewError
        If there are fewer than 2 units or clusters, no more rows than random effects, predictors that follow from
        one another, or nothing left to spread.
    NotConvergedError
        If the search does not end at a minimum.

    References
    ----------
    .. [1] Key ``bates-2015``.
    """
    laid = nested_blocks(function, outcome, units, predictors, about, slopes=slopes, clusters=clusters, what=what)
    blocks = laid.blocks
    try:
        end = best(blocks, laid.start)
    except (NotConvergedError, np.linalg.LinAlgError) as error:
        raise NotConvergedError(f"{function}: has no best fit. {about}: {error}") from error
    point, variance = end.point, float(end.point.variance[0])
    parts = [part[0] for part in roots(blocks, end.parameters[None])]
    turn = blocks.turn
    places = [[blocks.p - 1, *([] if slope is None else [slope])] for slope in slopes]
    own = [(turn @ layer.basis[:-1])[at] for layer, at in zip(blocks.layers, places, strict=True)]
    return MixedFit(
        coefficients=blocks.ordinary + turn @ point.coefficients[0], variance=variance,
        covariance=variance * turn @ point.inverse[0] @ turn.T,
        effects=tuple(variance * (at @ part) @ (at @ part).T for at, part in zip(own, parts, strict=True)),
        log_likelihood=float(np.linalg.slogdet(turn)[1] - point.deviance[0] / 2), n=blocks.n, units=laid.sizes,
        dropped=laid.dropped,
        boundary=tuple(map(singular, parts)),
        blocks=blocks, point=point, own=tuple(own), parameters=end.parameters, curved=end.curved,
    )  # fmt: skip
