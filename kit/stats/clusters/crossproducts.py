"""One pass over the rows: the cross-products of each cluster, from which every cluster method goes on."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations_with_replacement

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import TooFewError
from kit.stats.complete import Floats, need

LARGE = 200
"""Rows of a cluster from which one matrix product for each is quicker than sums over all clusters at once."""
DUST = 1e-10


@dataclass(frozen=True, slots=True)
class Crossed:
    """A linear model by cluster.

    Attributes
    ----------
    xx : ndarray, shape (G, p, p)
        Cross-products of the predictors; the intercept is the last of them.
    xy : ndarray, shape (G, p)
        Cross-products with the outcome.
    yy : ndarray, shape (G,)
        Sums of squares of the outcome.
    sizes : ndarray, shape (G,)
        Rows of each cluster.
    dropped : int
        Rows left out.
    labels : ndarray, shape (G,)
        Label of each cluster, in order.
    """

    xx: Floats
    xy: Floats
    yy: Floats
    sizes: np.ndarray
    dropped: int
    labels: np.ndarray

    @property
    def inverse(self) -> Floats:
        """Inverse of the cross-products of all rows, shape (p, p)."""
        return np.linalg.inv(self.xx.sum(axis=0))

    @property
    def coefficients(self) -> Floats:
        """Least squares, shape (p,)."""
        return self.inverse @ self.xy.sum(axis=0)

    def scores(self, coefficients: Floats) -> Floats:
        """Cross-products of predictors and residuals for these coefficients, shape (G, p)."""
        return self.xy - self.xx @ coefficients


def crossed(
    function: str, outcome: ArrayLike, clusters: ArrayLike, predictors: ArrayLike, about: str,
    *, weights: ArrayLike | None = None, what: str = "choirs",
) -> Crossed:  # fmt: skip
    """Gather the cross-products of complete rows, an intercept added.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    outcome : array_like, shape (n,)
        Numbers, NaN where missing.
    clusters : array_like, shape (n,)
        Label of each row's cluster.
    predictors : array_like, shape (n, k)
        Without the intercept; NaN where missing.
    weights : array_like, shape (n,), optional
        Above zero, inverse variances.
    what : str, optional
        What the clusters are, for the message.

    Returns
    -------
    Crossed
        Of rows without a missing value.

    Raises
    ------
    ValueError
        If lengths differ or a number is infinite, or a weight is not above zero.
    TooFewError
        If there are fewer than 2 clusters, or predictors repeat one another.
    """
    x, y = np.asarray(predictors, dtype=float), np.asarray(outcome, dtype=float)
    columns = np.vstack([x.reshape(len(y), -1).T if x.size else np.empty((0, len(y))), np.ones(len(y)), y])
    labels, finite = np.asarray(clusters), bool(np.isfinite(columns).all())
    if labels.shape != y.shape or (not finite and np.isinf(columns).any()):
        raise ValueError(f"{function}: outcome, clusters and predictors must list the same rows, in finite numbers.")
    if weights is not None:
        given = np.asarray(weights, dtype=float)
        if given.shape != y.shape or not (given > 0).all():
            raise ValueError(f"{function}: weights must be a number above zero for each row.")
        columns = columns * np.sqrt(given)
    if not finite:
        whole = ~np.isnan(columns).any(axis=0)
        columns, labels = columns[:, whole], labels[whole]
    names, codes = _coded(labels)
    need(function, about, len(names), least=2, what=what)
    products, sizes = _products(columns, codes)
    xx, xy, yy = products[:, :-1, :-1], products[:, :-1, -1], products[:, -1, -1]
    found = Crossed(xx, xy, yy, sizes, len(y) - len(labels), names)
    if np.linalg.matrix_rank(_scaled(found.xx.sum(axis=0)), tol=DUST) < found.xy.shape[1]:
        raise TooFewError(f"{function}: needs predictors that do not follow from one another. {about} has some.")
    return found


def _scaled(total: Floats) -> Floats:
    """Bring every predictor to one length."""
    length = np.sqrt(np.diag(total))
    length[length == 0] = 1
    return total / np.outer(length, length)


def _coded(labels: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Give the names in order, and the place of each row's own; rows of one cluster mostly stand together."""
    starts = np.flatnonzero(np.append(labels.size > 0, labels[1:] != labels[:-1]))
    names, codes = np.unique(labels[starts], return_inverse=True)
    return names, np.repeat(codes, np.diff(starts, append=labels.size))


def _products(columns: Floats, codes: np.ndarray) -> tuple[Floats, np.ndarray]:
    """Sum the products of all pairs of columns in each cluster."""
    if (codes[1:] < codes[:-1]).any():
        order = np.argsort(codes, kind="stable")
        columns, codes = columns[:, order], codes[order]
    groups = int(codes[-1]) + 1
    starts = np.searchsorted(codes, np.arange(groups + 1))
    products = np.empty((groups, len(columns), len(columns)))
    if codes.size > LARGE * groups:
        for group in range(groups):
            rows = columns[:, starts[group] : starts[group + 1]]
            products[group] = rows @ rows.T
        return products, np.diff(starts)
    product = np.empty(codes.size)
    for one, other in combinations_with_replacement(range(len(columns)), 2):
        np.multiply(columns[one], columns[other], out=product)
        products[:, one, other] = products[:, other, one] = np.add.reduceat(product, starts[:-1])
    return products, np.diff(starts)
