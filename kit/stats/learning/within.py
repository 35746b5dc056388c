"""How an outcome goes with a dose inside choirs, whatever choirs differ in taken out."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kit.errors import TooFewError
from kit.estimate import Estimate
from kit.stats.clusters.robust import cluster_robust
from kit.stats.complete import Floats, complete_rows, need

DESCRIBES = "This describes what went together inside choirs; it does not show that one is the reason for the other."


@dataclass(frozen=True, slots=True)
class Slopes:
    """A least-squares line inside each choir.

    Attributes
    ----------
    labels : ndarray, shape (g,)
        Choirs, sorted; those with fewer than 3 students or one dose only are left out.
    slope : ndarray, shape (g,)
        Outcome for each unit of dose.
    spread : ndarray, shape (g,)
        Standard deviation of the dose.
    students : ndarray of int, shape (g,)
        How many.
    """

    labels: np.ndarray
    slope: Floats
    spread: Floats
    students: NDArray[np.int64]


def within_slope(
    outcome: ArrayLike, dose: ArrayLike, clusters: ArrayLike, *, about: str, unit: str, level: float = 0.95
) -> Estimate:
    r"""Estimate how much the outcome differs between students of one choir for each unit of dose.

    It assumes choirs that are independent of each other, and one slope in all of them.

    Parameters
    ----------
    outcome, dose : array_like, shape (n,)
        One number for each student; rows with a missing number (NaN) are left out and counted.
    clusters : array_like, shape (n,)
        Each student's choir.
    about, unit : str
        Whom and what the number is about, and the unit of the outcome.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        Outcome for each unit of dose, with p withheld below 4 degrees of freedom.

    Raises
    ------
    TooFewError
        If fewer than 2 choirs have students with different doses.
    ValueError
        If lists differ in length, or a number is infinite.

    Notes
    -----
    :math:`y_{ij} = \alpha_j + \beta x_{ij}`, an :math:`\alpha_j` for each choir; CR2 standard errors by choir with
    Satterthwaite's degrees of freedom, see `kit.stats.clusters.robust.cluster_robust`.

    References
    ----------
    .. [1] Key ``pustejovsky-tipton-2018``.

    Examples
    --------
    >>> gain, days = [1, 3, 2, 5, 6, 9, 4, 4, 6], [0, 1, 1, 4, 5, 7, 2, 3, 3]
    >>> slope = within_slope(gain, days, list("aaabbbccc"), about="the example", unit="points")
    >>> round(slope.value, 3), slope.clusters
    (1.333, 3)
    """
    (gained, given), dropped = complete_rows("within_slope", outcome=outcome, dose=dose)
    whole = ~np.isnan(np.asarray(outcome, dtype=float) + np.asarray(dose, dtype=float))
    choir = np.asarray(clusters)[whole] if np.shape(clusters) == whole.shape else np.asarray(clusters)
    found = _lines(gained, given, choir, fewest=2)
    need("within_slope", about, found.labels.size, least=2, what="choirs with students of different doses")
    kept = np.isin(choir, found.labels)
    dummies = (choir[kept, None] == found.labels[1:]).astype(float)
    try:
        made = cluster_robust(
            gained[kept], choir[kept], np.column_stack([given[kept], dummies]), about=about, unit=unit, level=level
        )
    except TooFewError as error:
        raise TooFewError(str(error).replace("cluster_robust", "within_slope")) from None
    left_out = dropped + int((~kept).sum())
    return replace(made, name="within_slope", dropped=left_out, notes=(DESCRIBES, *made.notes))


def slopes_within(outcome: ArrayLike, dose: ArrayLike, clusters: ArrayLike) -> Slopes:
    """Lay a least-squares line through the students of each choir, for a figure.

    Parameters
    ----------
    outcome, dose : array_like, shape (n,)
        One number for each student, none missing.
    clusters : array_like, shape (n,)
        Each student's choir.

    Returns
    -------
    Slopes
        Plain slopes, without a range: single choirs are too few to read them one by one.
    """
    return _lines(np.asarray(outcome, dtype=float), np.asarray(dose, dtype=float), np.asarray(clusters))


def _lines(outcome: Floats, dose: Floats, clusters: np.ndarray, fewest: int = 3) -> Slopes:
    """Take sums choir by choir; see `slopes_within`."""
    if clusters.shape != outcome.shape or dose.shape != outcome.shape:
        raise ValueError(
            "within_slope: outcome, dose and clusters must list the same students. "
            f"Got {outcome.size}, {dose.size} and {clusters.size}."
        )
    labels, at = np.unique(clusters, return_inverse=True)
    students = np.bincount(at, minlength=labels.size)
    away, grown = (values - (np.bincount(at, weights=values) / students)[at] for values in (dose, outcome))
    squares = np.bincount(at, weights=away**2, minlength=labels.size)
    products = np.bincount(at, weights=away * grown, minlength=labels.size)
    kept = (students >= fewest) & (squares > 1e-12 * max(1.0, float((dose**2).sum())))
    return Slopes(
        labels[kept], products[kept] / squares[kept], np.sqrt(squares[kept] / students[kept]), students[kept],
    )  # fmt: skip
