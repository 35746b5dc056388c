"""What pooling rests on: studies with a standard error each, their weights, and how far true effects lie apart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import brentq
from scipy.special import chdtri

from kit.errors import UnknownChoiceError
from kit.stats.complete import Floats, complete_rows, need

Estimator = Literal["reml", "paule_mandel", "dersimonian_laird", "none"]


@dataclass(frozen=True, slots=True)
class Studies:
    """Effects of k studies in one unit, scaled so that searches know no unit.

    Attributes
    ----------
    effects, variances : ndarray, shape (k,)
        Effects and squared standard errors, in units of `scale` and of its square.
    scale : float
        The median standard error, in the unit of the effects.
    dropped : int
        Studies left out for a missing effect or standard error.
    """

    effects: Floats
    variances: Floats
    scale: float
    dropped: int

    @property
    def k(self) -> int:
        """How many studies."""
        return self.effects.size


def studies_of(function: str, effects: ArrayLike, errors: ArrayLike, about: str, *, least: int) -> Studies:
    """Keep the studies that have an effect and a standard error.

    Parameters
    ----------
    function, about : str
        Who asks, and about what.
    effects, errors : array_like, shape (n,)
        Effects and their standard errors, in one unit, NaN where missing.
    least : int
        How many studies are needed.

    Returns
    -------
    Studies
        The complete ones.

    Raises
    ------
    ValueError
        If a standard error is not above zero, or the lists do not fit.
    TooFewError
        If fewer than `least` studies have both.
    """
    (kept, spread), dropped = complete_rows(function, effects=effects, errors=errors)
    if (spread <= 0).any():
        raise ValueError(f"{function}: errors must be above zero. Got {float(spread.min())!r}.")
    need(function, about, kept.size, least=least, what="studies with an effect and its standard error")
    scale = float(np.median(spread))
    return Studies(kept / scale, (spread / scale) ** 2, scale, dropped)


def weighted_mean(studies: Studies, between: float) -> tuple[float, float]:
    """Average the effects, each weighted by its precision.

    Parameters
    ----------
    studies : Studies
        From `studies_of`.
    between : float
        Variance of the true effects, scaled like ``studies.variances``.

    Returns
    -------
    mean, error : float
        Weighted mean and its standard error, scaled like ``studies.effects``.
    """
    weights = 1 / (studies.variances + between)
    return float(weights @ studies.effects / weights.sum()), float(1 / np.sqrt(weights.sum()))


def weighted_squares(studies: Studies, between: float = 0.0) -> float:
    """Sum the weighted squared distances of the effects from their weighted mean: Cochran's Q where `between` is zero.

    Parameters
    ----------
    studies : Studies
        From `studies_of`.
    between : float, optional
        Variance of the true effects, scaled like ``studies.variances``.

    Returns
    -------
    float
        Without unit.
    """
    weights = 1 / (studies.variances + between)
    return float(weights @ (studies.effects - weights @ studies.effects / weights.sum()) ** 2)


def between_variance(function: str, studies: Studies, estimator: Estimator) -> float:
    r"""Estimate the variance of the true effects, never below zero.

    Parameters
    ----------
    function : str
        Who asks, for messages.
    studies : Studies
        At least 2, from `studies_of`.
    estimator : {"reml", "paule_mandel", "dersimonian_laird", "none"}
        How; ``"none"`` takes all studies to have one true effect.

    Returns
    -------
    float
        Scaled like ``studies.variances``.

    Raises
    ------
    UnknownChoiceError
        If `estimator` is another word.

    Notes
    -----
    With :math:`w_i = 1/(v_i+\tau^2)`: Paule-Mandel solves :math:`\sum w_i (y_i-\bar y_w)^2 = k-1`; REML maximizes
    the restricted likelihood; DerSimonian-Laird is the first step, from :math:`\tau^2=0`.

    References
    ----------
    .. [1] Keys ``dersimonian-laird-1986``, ``paule-mandel-1982`` and ``viechtbauer-2005``.
    """
    if estimator not in get_args(Estimator):
        raise UnknownChoiceError(function, "estimator", estimator, get_args(Estimator))
    if estimator == "none":
        return 0.0
    if estimator == "paule_mandel":
        return variance_where_squares_are(studies, studies.k - 1)
    if estimator == "reml":
        return _restricted_likelihood(studies)
    weights = 1 / studies.variances
    excess = weighted_squares(studies) - (studies.k - 1)
    return max(0.0, float(excess / (weights.sum() - (weights**2).sum() / weights.sum())))


def variance_where_squares_are(studies: Studies, target: float) -> float:
    """Find the variance of the true effects under which the weighted squares are as large as given.

    Parameters
    ----------
    studies : Studies
        At least 2, from `studies_of`.
    target : float
        What the weighted squares shall be, above zero.

    Returns
    -------
    float
        Scaled like ``studies.variances``; zero where even that gives smaller squares.
    """
    if weighted_squares(studies) <= target:
        return 0.0
    most = studies.k * float(np.ptp(studies.effects)) ** 2 / target
    return _root(lambda between: weighted_squares(studies, between) - target, 0.0, most)


def profile_limits(studies: Studies, *, tail: float) -> tuple[float, float]:
    """Give the Q-profile limits of the variance of the true effects.

    Parameters
    ----------
    studies : Studies
        At least 2, from `studies_of`.
    tail : float
        Upper cumulative probability, 0.975 for a 95 % interval.

    Returns
    -------
    low, high : float
        Scaled like ``studies.variances``.

    References
    ----------
    .. [1] Key ``viechtbauer-2007``.
    """
    ends = [variance_where_squares_are(studies, float(chdtri(studies.k - 1, area))) for area in (1 - tail, tail)]
    return ends[0], ends[1]


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    """Where the function changes sign."""
    return float(brentq(function, low, high, xtol=1e-14, rtol=1e-13, maxiter=500))


def _restricted_likelihood(studies: Studies) -> float:
    """Variance of the true effects that maximizes the restricted likelihood: best of a grid, then the slope's root."""
    most = max(4 * float(np.ptp(studies.effects)) ** 2, float(studies.variances.max()))
    grid = np.concatenate([[0.0], np.geomspace(1e-6 * most, most, 80)])
    best = int(np.argmax([_log_likelihood(studies, between) for between in grid]))
    low, high = grid[max(best - 1, 0)], grid[min(best + 1, grid.size - 1)]
    if _slope(studies, low) <= 0:  # falling from zero on
        return float(grid[best])
    return _root(lambda between: _slope(studies, between), low, high)


def _log_likelihood(studies: Studies, between: float) -> float:
    """Restricted log likelihood but for a constant."""
    weights = 1 / (studies.variances + between)
    return float((np.log(weights).sum() - np.log(weights.sum()) - weighted_squares(studies, between)) / 2)


def _slope(studies: Studies, between: float) -> float:
    """Twice the derivative of the restricted log likelihood."""
    weights = 1 / (studies.variances + between)
    rest = studies.effects - weights @ studies.effects / weights.sum()
    return float((weights**2) @ rest**2 - weights.sum() + (weights**2).sum() / weights.sum())
