"""The restricted likelihood of a linear mixed model, profiled: a function of the spreads of random effects alone."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kit.stats.complete import Floats
from kit.stats.mixed.blocks import Blocks, Taken, take_out, way_back

PLACES = {1: ((0,), (0,)), 2: ((0, 0, 1), (0, 1, 1))}
"""Where the numbers of a symmetric root stand."""
TWICE = {1: np.array([[1]]), 2: np.array([[1, 2], [2, 1]])}
"""In how many places each of them stands."""


@dataclass(frozen=True, slots=True)
class Point:
    """The criterion at given spreads; the leading axis goes through data sets or through spreads.

    Attributes
    ----------
    deviance : ndarray, shape (B,)
        Minus twice the restricted log-likelihood, fixed effects and residual variance at their best.
    slope : ndarray, shape (B, m)
        Its derivative by the parameters.
    coefficients : ndarray, shape (B, p)
        Fixed effects.
    variance : ndarray, shape (B,)
        Residual variance.
    inverse : ndarray, shape (B, p, p)
        Covariance of the fixed effects in units of the residual variance.
    by_spread : list of ndarray, shape (B, q, q)
        Derivative by the covariance of each layer's effects.
    taken : list of Taken
        For further derivatives.
    """

    deviance: Floats
    slope: Floats
    coefficients: Floats
    variance: Floats
    inverse: Floats
    by_spread: list[Floats]
    taken: list[Taken]

    @property
    def first(self) -> Point:
        """That of the first data set or spread alone."""
        return Point(
            self.deviance[:1], self.slope[:1], self.coefficients[:1], self.variance[:1], self.inverse[:1],
            [one[:1] for one in self.by_spread], [one.first for one in self.taken],
        )  # fmt: skip


def roots(blocks: Blocks, parameters: Floats) -> list[Floats]:
    """Lay the parameters out as the symmetric root of each layer's covariance.

    A symmetric root goes smoothly through singular covariances, in whichever direction they are singular.

    Parameters
    ----------
    blocks : Blocks
        The data.
    parameters : ndarray, shape (B, m)
        One number for a layer of intercepts; three for intercepts and slopes, the one off the diagonal in the middle.

    Returns
    -------
    list of ndarray, shape (B, q, q)
        Roots, in units of the residual standard deviation.
    """
    found, at = [], 0
    for layer in blocks.layers:
        rows, columns = PLACES[layer.q]
        root = np.empty((len(parameters), layer.q, layer.q))
        root[:, rows, columns] = root[:, columns, rows] = parameters[:, at : at + len(rows)]
        found.append(root)
        at += len(rows)
    return found


def as_parameters(root: list[Floats]) -> Floats:
    """List the roots of all layers, the reverse of `roots`.

    Parameters
    ----------
    root : list of ndarray, shape (..., q, q)
        Symmetric.

    Returns
    -------
    ndarray, shape (..., m)
    """
    return np.concatenate([one[..., *PLACES[one.shape[-1]]] for one in root], axis=-1)


def evaluate(blocks: Blocks, parameters: Floats) -> Point:
    r"""Compute the criterion and its derivative.

    Parameters
    ----------
    blocks : Blocks
        The data.
    parameters : ndarray, shape (B, m)
        As for `roots`.

    Returns
    -------
    Point

    Notes
    -----
    :math:`\log|V| + \log|X'V^{-1}X| + (n - p)(1 + \log(2\pi r^2/(n - p)))` with V the covariance of the rows in units
    of the residual variance and r the weighted residuals; by the covariances of the effects it is differentiated
    exactly (`way_back`).

    References
    ----------
    .. [1] Key ``bates-2015``.
    """
    root = roots(blocks, parameters)
    left, logs, taken = take_out(blocks, root)
    free, p = blocks.n - blocks.p, blocks.p
    factor = np.linalg.cholesky(left)
    rest = factor[:, p, p] ** 2
    deviance = logs + 2 * np.log(np.diagonal(factor, axis1=1, axis2=2)[:, :p]).sum(axis=1)
    deviance = deviance + free * (1 + np.log(2 * np.pi * rest / free))
    inverse = np.linalg.inv(left[:, :p, :p])
    coefficients = (inverse @ left[:, :p, p:])[..., 0]
    weights = residual_weights(coefficients, rest / free)
    weights[:, :p, :p] += inverse
    by_spread = way_back(taken, weights, determinant=True)
    return Point(deviance, by_parameters(root, by_spread), coefficients, rest / free, inverse, by_spread, taken)


def residual_weights(coefficients: Floats, scale: Floats) -> Floats:
    """Differentiate the residual sum of squares by the cross-products, over a scale.

    Parameters
    ----------
    coefficients : ndarray, shape (B, p)
        Fixed effects.
    scale : ndarray, shape (B,)
        What to divide by.

    Returns
    -------
    ndarray, shape (B, p + 1, p + 1)
    """
    signs = np.concatenate([-coefficients, np.ones((len(coefficients), 1))], axis=1)
    return signs[:, :, None] * (signs / scale[:, None])[:, None]


def by_parameters(root: list[Floats], by_spread: list[Floats]) -> Floats:
    """Turn derivatives by covariances into derivatives by the parameters.

    Parameters
    ----------
    root : list of ndarray, shape (B, q, q)
        From `roots`.
    by_spread : list of ndarray, shape (B, q, q)
        Derivatives by the covariances.

    Returns
    -------
    ndarray, shape (B, m)
    """
    turned = [slope @ part for slope, part in zip(by_spread, root, strict=True)]
    return as_parameters([(one + one.swapaxes(-1, -2)) * TWICE[one.shape[-1]] for one in turned])
