"""Several tests at once: p-values adjusted for how many there are; tools that return `Adjusted`."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kit.errors import TooFewError
from kit.stats.complete import Floats, upper_tail

TIE = 1e-12
"""Share of the error rate within which an adjusted p-value equals it: on the line counts as found."""


@dataclass(frozen=True, slots=True)
class Adjusted:
    """P-values of several tests, adjusted together.

    Attributes
    ----------
    p : ndarray, shape (k,)
        Adjusted p-values in the order given, at most 1; NaN where none was given.
    found : ndarray of bool, shape (k,)
        True where the adjusted p-value is at most ``1 - level``; False where it is NaN.
    tests : int
        How many p-values were adjusted together, missing ones not counted.
    level : float
        Confidence level, a proportion; 0.95 stands for an error rate of 0.05.
    method : str
        The method in words.
    source : str
        Key in ``kit.sources``.
    """

    p: Floats
    found: NDArray[np.bool_]
    tests: int
    level: float
    method: str
    source: str


def holm(p_values: ArrayLike, *, level: float = 0.95) -> Adjusted:
    r"""Adjust p-values so that any false finding at all is rare: Holm's step-down procedure.

    It assumes nothing about how the tests hang together.

    Parameters
    ----------
    p_values : array_like, shape (k,)
        P-values, 0 to 1; NaN where missing, which does not count as a test.
    level : float, optional
        Confidence level, a proportion in (0, 1); 0.95 keeps the chance of any false finding at 0.05.

    Returns
    -------
    Adjusted
        Without unit.

    Raises
    ------
    ValueError
        If a p-value is not between 0 and 1, or `level` is not.
    TooFewError
        If there is no p-value.

    Notes
    -----
    With :math:`p_{(1)} \le \dots \le p_{(k)}`, adjusted :math:`\max_{j \le i} \min(1, (k-j+1) p_{(j)})`.

    References
    ----------
    .. [1] Key ``holm-1979``.

    Examples
    --------
    >>> holm([0.01, 0.04, 0.03]).p.round(2).tolist()
    [0.03, 0.06, 0.06]
    """
    given, order = _ordered("holm", p_values, level)
    factors = np.arange(order.size, 0, -1)
    steps = np.minimum(np.maximum.accumulate(given[order] * factors), 1.0)
    p, found = _placed(given, order, steps, level)
    return Adjusted(p, found, order.size, level, method="Holm", source="holm-1979")


def benjamini_hochberg(p_values: ArrayLike, *, level: float = 0.95) -> Adjusted:
    r"""Adjust p-values so that few of the findings are false: Benjamini and Hochberg's step-up procedure.

    It assumes tests that are independent or hang together positively, as measures of one class do.

    Parameters
    ----------
    p_values : array_like, shape (k,)
        P-values, 0 to 1; NaN where missing, which does not count as a test.
    level : float, optional
        Confidence level, a proportion in (0, 1); 0.95 keeps the expected share of false findings at 0.05.

    Returns
    -------
    Adjusted
        Without unit. A p-value exactly on the line counts as found (at most, not below).

    Raises
    ------
    ValueError
        If a p-value is not between 0 and 1, or `level` is not.
    TooFewError
        If there is no p-value.

    Notes
    -----
    With :math:`p_{(1)} \le \dots \le p_{(k)}`, adjusted :math:`\min_{j \ge i} k\, p_{(j)} / j`.

    References
    ----------
    .. [1] Key ``benjamini-hochberg-1995``.

    Examples
    --------
    >>> benjamini_hochberg([0.01, 0.04, 0.03]).p.round(2).tolist()
    [0.03, 0.04, 0.04]
    """
    given, order = _ordered("benjamini_hochberg", p_values, level)
    factors = order.size / np.arange(1, order.size + 1)
    steps = np.minimum.accumulate((given[order] * factors)[::-1])[::-1]
    p, found = _placed(given, order, steps, level)
    return Adjusted(p, found, order.size, level, method="Benjamini-Hochberg", source="benjamini-hochberg-1995")


def _ordered(function: str, p_values: ArrayLike, level: float) -> tuple[Floats, NDArray[np.intp]]:
    """Check p-values and give the places of those that are there, smallest first."""
    upper_tail(function, level)
    given = np.asarray(p_values, dtype=float)
    if given.ndim != 1:
        raise ValueError(f"{function}: p_values must be one flat list of numbers. Got {given.ndim} dimensions.")
    odd = given[(given < 0) | (given > 1)]
    if odd.size:
        raise ValueError(f"{function}: p_values must be between 0 and 1, or NaN where missing. Got {float(odd[0])!r}.")
    there = np.flatnonzero(~np.isnan(given))
    if there.size == 0:
        raise TooFewError(f"{function}: needs 1 p-value. There is none.")
    return given, there[np.argsort(given[there], kind="stable")]


def _placed(given: Floats, order: NDArray[np.intp], steps: Floats, level: float) -> tuple[Floats, NDArray[np.bool_]]:
    """Put the adjusted p-values back into the order given and say which are at most the error rate."""
    adjusted = np.full(given.size, np.nan)
    adjusted[order] = steps
    return adjusted, np.nan_to_num(adjusted, nan=np.inf) <= (1 - level) * (1 + TIE)
