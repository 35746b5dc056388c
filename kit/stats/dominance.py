"""How often one score lies above another: counts over all pairs of two groups without listing the pairs."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from kit.stats.complete import Floats


@dataclass(frozen=True, slots=True)
class Dominance:
    """Every student of one group beside every student of another: +1 above, 0 level, -1 below.

    Attributes
    ----------
    of_one : ndarray, shape (n,)
        For each of the n students of the first group, the mean over the second group.
    of_two : ndarray, shape (k,)
        For each of the k students of the second group, the mean over the first group (-1 where it lies above all).
    level : int
        Pairs that are level.
    """

    of_one: Floats
    of_two: Floats
    level: int

    @property
    def delta(self) -> float:
        """Mean over all pairs, exact for pairs counted in whole numbers."""
        return float(np.rint(self.of_one * self.of_two.size).sum()) / (self.of_one.size * self.of_two.size)

    @property
    def variance(self) -> float:
        r"""Unbiased variance of `delta`, never below the smallest that Cliff allows.

        Notes
        -----
        :math:`(k^2 \sum (d_i-\delta)^2 + n^2 \sum (d_j-\delta)^2 - \sum (d_{ij}-\delta)^2)/(nk(n-1)(k-1))`, at
        least :math:`(1-\delta^2)/(nk-1)`.

        References
        ----------
        .. [1] Key ``cliff-1993``.
        """
        n, k, delta = self.of_one.size, self.of_two.size, self.delta
        of_pairs = n * k - self.level - n * k * delta**2
        rows, columns = ((self.of_one - delta) ** 2).sum(), ((self.of_two - delta) ** 2).sum()
        unbiased = (k**2 * rows + n**2 * columns - of_pairs) / (n * k * (n - 1) * (k - 1))
        return float(max(unbiased, (1 - delta**2) / (n * k - 1)))

    def brunner_munzel(self) -> tuple[float, float | None]:
        """Give the standard error of the probability of superiority and its degrees of freedom.

        Returns
        -------
        error : float
            Without unit; 0 where the groups do not overlap.
        df : float or None
            Satterthwaite's; None where the error is 0.

        References
        ----------
        .. [1] Key ``brunner-munzel-2000``.
        """
        n, k = self.of_one.size, self.of_two.size
        one, two = (float((part / 2).var(ddof=1)) / part.size for part in (self.of_one, self.of_two))
        if one + two <= np.finfo(float).eps ** 2:
            return 0.0, None
        return math.sqrt(one + two), (one + two) ** 2 / (one**2 / (n - 1) + two**2 / (k - 1))


def dominance(one: Floats, two: Floats) -> Dominance:
    """Set every student of one group beside every student of another.

    Parameters
    ----------
    one, two : ndarray, shape (n,) and (k,)
        Scores in one unit, none missing.

    Returns
    -------
    Dominance
        In time that grows like sorting, so a million students are no trouble.

    Examples
    --------
    >>> dominance(np.array([1.0, 3.0]), np.array([2.0, 3.0])).delta
    -0.25
    """
    of_one, level = _balance(one, np.sort(two))
    of_two, _ = _balance(two, np.sort(one))
    return Dominance(of_one, -of_two, level)


def _balance(values: Floats, others: Floats) -> tuple[Floats, int]:
    """For each value, the share of the sorted others below it minus the share above; pairs that are level."""
    below, not_above = (np.searchsorted(others, values, side=side) for side in ("left", "right"))
    return (below + not_above - others.size) / others.size, int((not_above - below).sum())
