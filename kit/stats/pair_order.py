"""The middle and the limits among the averages or differences of every pair, without listing too many pairs."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from kit.stats.complete import Floats
from kit.stats.signed_rank import walsh_averages

LISTED_UP_TO = 4_000_000
"""Pairs up to which all are listed and sorted; beyond, values are found by halving, to the last digits."""

HALVINGS = 64
"""Halvings that bring the range of any numbers below their rounding."""

Ends = tuple[float, float] | None


def typical_average(values: Floats, order: int) -> tuple[float, Ends]:
    """Give the median of the averages of every pair, each value paired with itself too, and two limits.

    Parameters
    ----------
    values : ndarray, shape (n,)
        Any numbers.
    order : int
        Which average from either end is a limit, counted from 1; 0 for no limits.

    Returns
    -------
    middle : float
        In the unit of `values`.
    ends : tuple of float or None
        Lower and upper limit; None where `order` is 0.

    Examples
    --------
    >>> typical_average(np.array([1.0, 3.0, 4.0]), 1)
    (2.75, (1.0, 4.0))
    """
    count = values.size * (values.size + 1) // 2
    if count <= LISTED_UP_TO:
        return _typical(count, order, lambda places: walsh_averages(values)[places])
    ordered = np.sort(values)

    def at_most(limit: float) -> int:
        pairs = int(np.searchsorted(ordered, 2 * limit - ordered, side="right").sum())
        return (pairs + int(np.searchsorted(ordered, limit, side="right"))) // 2

    found = lambda place: _nearest(2 * _halved(at_most, ordered[0], ordered[-1], place), ordered, -ordered) / 2  # noqa: E731
    return _typical(count, order, lambda places: [found(place) for place in places])


def typical_difference(one: Floats, two: Floats, order: int) -> tuple[float, Ends]:
    """Give the median of the differences of every pair from two groups, and two limits.

    Parameters
    ----------
    one, two : ndarray, shape (n,) and (k,)
        Any numbers.
    order : int
        Which difference from either end is a limit, counted from 1; 0 for no limits.

    Returns
    -------
    middle : float
        First minus second, in the unit of the numbers.
    ends : tuple of float or None
        Lower and upper limit; None where `order` is 0.

    Examples
    --------
    >>> typical_difference(np.array([3.0, 5.0]), np.array([1.0, 4.0]), 1)
    (1.5, (-1.0, 4.0))
    """
    count = one.size * two.size
    if count <= LISTED_UP_TO:
        return _typical(count, order, lambda places: np.sort((one[:, None] - two).ravel())[places])
    ordered, others = np.sort(one), np.sort(two)

    def at_most(limit: float) -> int:
        return int(np.searchsorted(ordered, others + limit, side="right").sum())

    lowest, highest = ordered[0] - others[-1], ordered[-1] - others[0]
    found = lambda place: _nearest(_halved(at_most, lowest, highest, place), ordered, others)  # noqa: E731
    return _typical(count, order, lambda places: [found(place) for place in places])


def _typical(count: int, order: int, values_at: Callable[[list[int]], Sequence[float]]) -> tuple[float, Ends]:
    """Median and limits among so many values in rising order, read at their places."""
    limits = [order - 1, count - order] if order else []
    below, above, *ends = (float(value) for value in values_at([(count - 1) // 2, count // 2, *limits]))
    return (below + above) / 2, (ends[0], ends[1]) if order else None


def _halved(at_most: Callable[[float], int], lowest: float, highest: float, place: int) -> float:
    """Find the value at this place, up to rounding, by halving the range that holds it."""
    low, high = float(lowest), float(highest)
    if at_most(low) > place:
        return low
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if not low < middle < high:
            break
        low, high = (low, middle) if at_most(middle) > place else (middle, high)
    return high


def _nearest(value: float, ordered: Floats, others: Floats) -> float:
    """Give the difference of a pair that lies nearest, so that no rounding of the search is left."""
    above = np.clip(np.searchsorted(ordered, others + value), 1, ordered.size - 1)
    differences = np.concatenate([ordered[above] - others, ordered[above - 1] - others])
    return float(differences[np.abs(differences - value).argmin()])
