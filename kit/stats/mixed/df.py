"""Degrees of freedom of a contrast of fixed effects in a linear mixed model, by Satterthwaite's method."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kit.stats.complete import Floats
from kit.stats.mixed.blocks import way_back
from kit.stats.mixed.fit import MixedFit
from kit.stats.mixed.likelihood import by_parameters, residual_weights, roots

FLAT = 1e-8
"""Curvature, as a part of the steepest one, below which a direction tells nothing."""


@dataclass(frozen=True, slots=True)
class Contrast:
    """A contrast of fixed effects.

    Attributes
    ----------
    value, error, df : float
        Its estimate, standard error and Satterthwaite degrees of freedom.
    """

    value: float
    error: float
    df: float


def satterthwaite(fit: MixedFit, weights: Floats) -> Contrast:
    r"""Give a contrast of fixed effects with the degrees of freedom of its variance.

    A spread that lies on its boundary is taken as known to be there.

    Parameters
    ----------
    fit : MixedFit
        From `kit.stats.mixed.fit.fit_mixed`.
    weights : ndarray, shape (p,)
        Of the fixed effects, the intercept's last.

    Returns
    -------
    Contrast

    Notes
    -----
    :math:`2 V^2 / \operatorname{var}(V)`, V the estimated variance of the contrast. With :math:`\theta` the roots of
    the spreads, H the curvature of the profiled deviance there, and the residual variance at its best throughout,
    this is :math:`1 / (\gamma' H^{-1} \gamma + 1/(n - p))`, :math:`\gamma = \partial \log V / \partial \theta`.

    References
    ----------
    .. [1] Key ``kuznetsova-2017``.
    """
    inverse, p, free = fit.point.inverse[0], fit.blocks.p, fit.blocks.n - fit.blocks.p
    turned = fit.blocks.turn.T @ weights
    aimed = inverse @ turned
    variance = float(turned @ aimed)
    by_left = residual_weights(fit.point.coefficients, free * fit.point.variance)
    by_left[0, :p, :p] -= np.outer(aimed, aimed) / variance
    by_spread = way_back(fit.point.taken, by_left, determinant=False)
    turn = by_parameters(roots(fit.blocks, fit.parameters[None]), by_spread)[0]
    sizes, axes = np.linalg.eigh(fit.curved)
    told = sizes > FLAT * max(float(sizes.max()), 1.0)
    doubt = float((((axes.T @ turn)[told]) ** 2 / sizes[told]).sum())
    return Contrast(
        value=float(weights @ fit.coefficients), error=float(np.sqrt(fit.variance * variance)),
        df=1 / (doubt + 1 / free),
    )  # fmt: skip
