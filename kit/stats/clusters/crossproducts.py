"""One pass over the rows: the cross-products of each cluster, from which every cluster method goes on."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations_with_replacement, pairwise

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from kit.errors import TooFewError
from kit.stats.complete import Floats, need

LARGE = 1_000
"""Rows of a cluster from which one matrix product for each is quicker than sums over all clusters at once."""
DUST = 1e-10
LISTS = "{function}: outcome, clusters and predictors must list the same rows, in finite numbers."
ROUNDING = 8 * float(np.finfo(float).eps)
"""What rounding leaves of a column that does not differ, as a part of it."""


@dataclass(frozen=True, slots=True)
class Crossed:
    """A linear model by cluster, its columns taken from their averages: digits last, however far from zero they lie.

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
    centre : ndarray, shape (p + 1,)
        What was taken off each column, 0 for the intercept, the outcome last.
    total : ndarray, shape (p + 1, p + 1)
        Cross-products of all rows, the outcome last.
    """

    xx: Floats
    xy: Floats
    yy: Floats
    sizes: np.ndarray
    dropped: int
    labels: np.ndarray
    centre: Floats
    total: Floats

    @property
    def inverse(self) -> Floats:
        """Inverse of the predictors' cross-products of all rows, shape (p, p)."""
        return np.linalg.inv(self.total[:-1, :-1])

    @property
    def coefficients(self) -> Floats:
        """Least squares, shape (p,), the intercept being that of the columns as they stand here."""
        return self.inverse @ self.total[:-1, -1]

    def rest(self, coefficients: Floats) -> float:
        """Squares of the outcome that least squares leave, exactly nothing where only rounding does."""
        left = float(self.total[-1, -1] - self.total[:-1, -1] @ coefficients)
        return left if left > DUST * self.total[-1, -1] else 0.0

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
        Labels; a row without one (None or NaN) is left out.
    predictors : array_like, shape (n,) or (n, k)
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
    columns, labels = _columns(function, outcome, clusters, predictors)
    kept, centre = ~pd.isna(labels), columns.sum(axis=1) / max(labels.size, 1)
    if not (np.isfinite(centre).all() and kept.all()):
        if np.isinf(columns).any():
            raise ValueError(LISTS.format(function=function))
        kept &= ~np.isnan(columns).any(axis=0)
        columns, labels = columns[:, kept], labels[kept]
        centre = columns.sum(axis=1) / max(labels.size, 1)
    starts = _starts(labels)
    names, own = np.unique(labels[starts], return_inverse=True)
    need(function, about, len(names), least=2, what=what)
    centre[-2] = 0
    columns -= centre[:, None]
    if weights is not None:
        columns *= np.sqrt(_weights(function, weights, kept))
    products, sizes = _products(columns, starts, own)
    total = products.sum(axis=0)
    flat = np.diag(total) <= total[-2, -2] * (ROUNDING * centre) ** 2
    if flat.any():
        products[:, flat] = products[:, :, flat] = total[flat] = total[:, flat] = 0
    if flat[:-1].any() or np.linalg.eigvalsh(_scaled(total[:-1, :-1]))[0] < DUST:
        raise TooFewError(f"{function}: needs predictors that do not follow from one another. {about} has some.")
    dropped = len(kept) - labels.size
    xx, xy, yy = products[:, :-1, :-1], products[:, :-1, -1], products[:, -1, -1]
    return Crossed(xx, xy, yy, sizes, dropped, names, centre, total)


def numbered(labels: np.ndarray) -> tuple[np.ndarray, int]:
    """Give labels numbers in their order, quickly where equal ones stand together.

    Parameters
    ----------
    labels : ndarray, shape (n,)
        None missing.

    Returns
    -------
    numbers : ndarray of int, shape (n,)
        From 0.
    many : int
        How many different ones.
    """
    starts = _starts(labels)
    names, own = np.unique(labels[starts], return_inverse=True)
    return np.repeat(own, np.diff(starts, append=labels.size)), len(names)


def _columns(
    function: str, outcome: ArrayLike, clusters: ArrayLike, predictors: ArrayLike
) -> tuple[Floats, np.ndarray]:
    """Lay predictors, intercept and outcome out as rows of a table, with the labels."""
    y, x, labels = np.asarray(outcome, dtype=float), np.asarray(predictors, dtype=float), np.asarray(clusters)
    x = x[:, None] if x.ndim == 1 else x
    if y.ndim != 1 or labels.shape != y.shape or x.ndim != 2 or len(x) != len(y):
        raise ValueError(LISTS.format(function=function))
    columns = np.empty((x.shape[1] + 2, len(y)))
    columns[:-2], columns[-2], columns[-1] = x.T, 1, y
    return columns, labels


def _weights(function: str, weights: ArrayLike, kept: np.ndarray) -> Floats:
    """Check the weights of all rows; give those of rows that are kept."""
    given = np.asarray(weights, dtype=float)
    if given.shape != kept.shape or not ((given > 0) & (given < np.inf)).all():
        raise ValueError(f"{function}: weights must be a number above zero for each row.")
    return given[kept]


def _scaled(total: Floats) -> Floats:
    """Bring every predictor to one length."""
    length = np.sqrt(np.diag(total))
    return total / length / length[:, None]


def _starts(labels: np.ndarray) -> np.ndarray:
    """Say where each run of one label begins; rows of one cluster mostly stand together."""
    new = np.empty(labels.size, dtype=bool)
    new[:1] = True
    np.not_equal(labels[1:], labels[:-1], out=new[1:])
    return np.flatnonzero(new)


def _products(columns: Floats, starts: np.ndarray, own: np.ndarray) -> tuple[Floats, np.ndarray]:
    """Sum the products of all pairs of columns in each cluster; `own` is the place of each run's cluster."""
    groups, bounds = int(own.max()) + 1, np.append(starts, columns.shape[1])
    if groups < len(own):  # a cluster in several runs: put its rows together
        codes = np.repeat(own, np.diff(bounds))
        columns = columns[:, np.argsort(codes, kind="stable")]
        own, bounds = np.arange(groups), np.append(0, np.bincount(codes).cumsum())
    products = np.empty((len(columns), len(columns), groups))  # clusters last, so that each pair of columns is one row
    if columns.shape[1] > LARGE * groups:
        for group, (start, stop) in enumerate(pairwise(bounds)):
            rows = columns[:, start:stop]
            products[..., group] = rows @ rows.T
    else:
        product = np.empty(columns.shape[1])
        for one, other in combinations_with_replacement(range(len(columns)), 2):
            np.multiply(columns[one], columns[other], out=product)
            products[one, other] = products[other, one] = np.add.reduceat(product, bounds[:-1])
    order = np.argsort(own)
    return np.moveaxis(products, -1, 0)[order], np.diff(bounds)[order]
