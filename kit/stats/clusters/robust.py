"""A linear model of students who come in choirs: standard errors and degrees of freedom that hold with few choirs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import stdtr, stdtrit

from kit.errors import TooFewError
from kit.estimate import Estimate, Interval
from kit.stats.clusters.choirs import NO_SPREAD_OF_CHOIRS
from kit.stats.clusters.crossproducts import Crossed, crossed
from kit.stats.complete import Floats, upper_tail

FEWEST_DF = 4
"""Degrees of freedom below which the p-value of this method is not to be relied on (Tipton 2015, from memory)."""
FEW_DF = "It has {df:.1f} degrees of freedom; below 4 this method makes no reliable test, so none is made."
NO_RESIDUALS = "Every score follows from the model exactly, so there is no spread to make an interval from."
ALONE = "{function}: needs 2 choirs that tell of what is asked about. {about} has one alone that does on a side."
SEEN = 1e-6
"""Part of the variance that may stay unseen, as rounding."""
DUST = 1e-10


@dataclass(frozen=True, slots=True)
class Robust:
    """What a linear contrast rests on.

    Attributes
    ----------
    value, variance, df : float
        The contrast, its CR2 variance and Satterthwaite degrees of freedom.
    naive, seen : float
        The variance where rows are independent with variance 1, and what of it CR2 is expected to find then: less where
        a choir alone decides.
    rest : float
        Squares that least squares leave.
    """

    value: float
    variance: float
    df: float
    naive: float
    seen: float
    rest: float

    @property
    def alone(self) -> bool:
        """Whether a choir alone decides, so that nothing tells how far it lies from others of its kind."""
        return self.seen < (1 - SEEN) * self.naive


def cluster_robust(
    outcome: ArrayLike,
    clusters: ArrayLike,
    predictors: ArrayLike,
    *,
    about: str,
    unit: str,
    contrast: ArrayLike | None = None,
    weights: ArrayLike | None = None,
    level: float = 0.95,
) -> Estimate:
    r"""Estimate a linear contrast of a regression, with CR2 standard errors and Satterthwaite degrees of freedom.

    It assumes choirs that are independent of each other; students of one choir may be alike in any way.

    Parameters
    ----------
    outcome : array_like, shape (n,)
        One number for each student; rows with a missing number (NaN) are left out and counted.
    clusters : array_like, shape (n,)
        Each student's choir; a student without one (None or NaN) is left out and counted.
    predictors : array_like, shape (n,) or (n, k)
        Predictors without the intercept, which is added; the first is the one asked about unless `contrast` is given.
    about, unit : str
        Whom and what the number is about, and its unit.
    contrast : array_like, shape (k,), optional
        Weight of each predictor in the contrast.
    weights : array_like, shape (n,), optional
        Inverse variances.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        With p withheld below 4 degrees of freedom.

    Raises
    ------
    ValueError
        If rows differ in number, a number is infinite, or `contrast` does not fit.
    TooFewError
        If there are fewer than 2 choirs, a predictor follows from the others, or one choir alone tells of what is asked
        about, as where it is the only one with the program.

    Notes
    -----
    :math:`V = M \sum_g X_g' A_g e_g e_g' A_g X_g M` with :math:`M = (X'X)^{-1}` and
    :math:`A_g = (I - X_g M X_g')^{-1/2}` (Moore-Penrose where singular), for a working model of independent rows;
    degrees of freedom by Satterthwaite, from the expected variance of the contrast and its spread under that model.

    References
    ----------
    .. [1] Key ``pustejovsky-tipton-2018``.

    Examples
    --------
    >>> post, program = [15, 18, 13, 15, 12, 13, 17, 14], [1, 1, 0, 0, 1, 1, 0, 0]
    >>> found = cluster_robust(post, [1, 1, 2, 2, 3, 3, 4, 4], program, about="the example", unit="points")
    >>> round(found.value, 2), found.p is None
    (-0.25, True)
    """
    tail = upper_tail("cluster_robust", level)
    model = crossed("cluster_robust", outcome, clusters, predictors, about, weights=weights)
    found = robust(model, _contrast(contrast, model.xy.shape[1] - 1))
    n, groups = int(model.sizes.sum()), len(model.sizes)
    options = {
        "about": about, "name": "cluster_robust", "value": found.value, "unit": unit, "n": n, "clusters": groups,
        "source": "pustejovsky-tipton-2018", "dropped": model.dropped,
    }  # fmt: skip
    if found.alone:
        raise TooFewError(ALONE.format(function="cluster_robust", about=about))
    if found.variance <= DUST**2 * found.rest * found.naive / n:
        return Estimate(**options, notes=(NO_SPREAD_OF_CHOIRS if found.rest else NO_RESIDUALS,))
    error = float(np.sqrt(found.variance))
    reach = float(stdtrit(found.df, tail)) * error
    ends = Interval(
        low=found.value - reach, high=found.value + reach, level=level, source="pustejovsky-tipton-2018",
        method="CR2 standard errors, Satterthwaite degrees of freedom",
    )  # fmt: skip
    few = found.df < FEWEST_DF
    p = None if few else float(2 * stdtr(found.df, -abs(found.value) / error))
    notes = (FEW_DF.format(df=found.df),) if few else ()
    return Estimate(**options, interval=ends, p=p, df=found.df, notes=notes)


def _contrast(contrast: ArrayLike | None, predictors: int) -> Floats:
    """Give the weights of all coefficients, the intercept's last."""
    given = np.eye(1, predictors)[0] if contrast is None else np.asarray(contrast, dtype=float)
    if given.shape != (predictors,) or not np.isfinite(given).all() or not given.any():
        raise ValueError(
            f"cluster_robust: contrast must have a weight for each of {predictors} predictors, not all zero."
        )
    return np.append(given, 0.0)


def robust(model: Crossed, contrast: Floats) -> Robust:
    """Work out a contrast with CR2 variance and Satterthwaite degrees of freedom, from cross-products alone.

    Parameters
    ----------
    model : Crossed
        From `crossed`.
    contrast : ndarray, shape (p,)
        Weights of the coefficients.

    Returns
    -------
    Robust
    """
    inverse = model.inverse
    root = np.linalg.cholesky(inverse)
    # the eigenvalues of a cluster's hat matrix are those of Z'Z, Z = X_g root, and Z'Z is only p x p
    hats, turns = np.linalg.eigh(root.T @ model.xx @ root)
    free = 1 - hats
    shrunk = np.where(free > DUST, free, np.inf) ** -0.5
    coefficients = inverse @ model.total[:-1, -1]
    scores = (model.scores(coefficients)[:, None] @ root @ turns)[:, 0]
    target = (contrast @ root @ turns) * shrunk
    rest, variance = model.rest(coefficients), float(((scores * target).sum(axis=1) ** 2).sum())
    seen, df = _satterthwaite(turns, hats, target)
    return Robust(
        value=float(contrast @ coefficients), variance=variance if rest else 0.0, df=df,
        naive=float(contrast @ inverse @ contrast), seen=seen, rest=rest,
    )  # fmt: skip


def _satterthwaite(turns: Floats, hats: Floats, target: Floats) -> tuple[float, float]:
    """Give the mean of the CR2 variance for independent rows of variance 1, and match its spread."""
    kept = hats * target
    own, each = (kept * target).sum(axis=1), (kept**2).sum(axis=1)
    shared = (turns @ kept[..., None])[..., 0]
    mean = float((own - each).sum())
    spread = float((own**2).sum() - 2 * (own * each).sum() + ((shared.T @ shared) ** 2).sum())
    return mean, mean**2 / spread if spread > 0 else 0.0
