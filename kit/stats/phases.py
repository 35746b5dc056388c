"""Two phases of one series of observations: pairs between them, pairs within, and what their ranks allow."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import brentq
from scipy.special import ndtr, ndtri

from kit.errors import UnknownChoiceError
from kit.stats.complete import Floats, complete_rows, need
from kit.stats.dominance import dominance

Better = Literal["higher", "lower"]

LONGEST_EXACT = 100
"""Observations up to which every split into two phases is counted; beyond, the normal approximation."""


@dataclass(frozen=True, slots=True)
class Phases:
    """Complete observations of two phases, turned so that higher is better.

    Attributes
    ----------
    before, after : ndarray, shape (n,) and (k,)
        Observations in the order of time.
    delta : float
        Pairs better minus pairs worse, as a share of all pairs between the phases.
    dropped : int
        Observations left out because they are missing.
    """

    before: Floats
    after: Floats
    delta: float
    dropped: int

    @property
    def n(self) -> int:
        """Observations of both phases."""
        return self.before.size + self.after.size

    @property
    def trend(self) -> float:
        """Pairs rising minus pairs falling within the first phase, as a share of the pairs between the phases."""
        return _rising(self.before) / (self.before.size * self.after.size)

    @property
    def error_if_nothing_changed(self) -> float:
        """Standard error of ``delta - trend`` when all orders of the observations are equally likely."""
        n, k = self.before.size, self.after.size
        return math.sqrt(n * k * (n + k + 1) / 3 + n * (n - 1) * (2 * n + 5) / 18) / (n * k)

    def newcombe_limits(self, tail: float) -> tuple[float, float]:
        """Give Newcombe's limits of the share of pairs that are better.

        Parameters
        ----------
        tail : float
            Upper cumulative probability, 0.975 for a 95 % interval.

        Returns
        -------
        low, high : float
            Shares, 0 to 1.

        References
        ----------
        .. [1] Key ``newcombe-2006``, method 5.
        """
        share, z = (1 + self.delta) / 2, float(ndtri(tail))
        return self._lower(share, z), 1 - self._lower(1 - share, z)

    def _lower(self, share: float, z: float) -> float:
        """Lower limit for a share; at a share of 1 the root that lies there whatever the data is divided out."""
        pairs, h = self.before.size * self.after.size, self.n / 2 - 1

        def off(x: float) -> float:
            gap, rest = ((share - x) ** 2, 1 - x) if share < 1 else (1 - x, 1)
            return pairs * gap * (2 - x) * (1 + x) - z**2 * x * rest * (2 + h + (1 + 2 * h) * x * (1 - x))

        return float(brentq(off, 0.0, share, xtol=1e-14)) if share > 0 else 0.0

    @property
    def p(self) -> float | None:
        """Two-sided p-value of the rank sum; None where all observations are level."""
        _, place, times = np.unique(np.concatenate([self.after, self.before]), return_inverse=True, return_counts=True)
        if times.size == 1:
            return None
        ranks = (2 * np.cumsum(times) - times + 1)[place]  # twice the mean rank, a whole number
        size, total = self.after.size, self.n
        away = abs(int(ranks[:size].sum()) - size * (total + 1))
        if total <= LONGEST_EXACT:
            sums, ways = _rank_sums(ranks, size)
            return float(min(1.0, ways[np.abs(sums - size * (total + 1)) >= away].sum() / ways.sum()))
        ties = float((times.astype(float) ** 3 - times).sum())
        variance = size * (total - size) / 3 * (total + 1 - ties / (total * (total - 1)))
        return float(2 * ndtr(-away / math.sqrt(variance)))


def _rising(values: Floats) -> int:
    """Pairs that rise in the order given minus pairs that fall, bit by bit of their ranks: no pair is listed."""
    ranks = np.unique(values, return_inverse=True)[1]
    rising = 0
    for bit in range(int(ranks.max()).bit_length()):
        order = np.argsort(ranks >> (bit + 1), kind="stable")
        group, high = (ranks >> (bit + 1))[order], (ranks >> bit & 1)[order]
        start = np.searchsorted(group, group)
        highs_before = np.cumsum(high) - high
        highs_before -= highs_before[start]
        lows_before = np.arange(group.size) - start - highs_before
        rising += int(np.where(high, lows_before, -highs_before).sum())
    return rising


def _rank_sums(ranks: np.ndarray, size: int) -> tuple[np.ndarray, Floats]:
    """Every sum that `size` of the ranks can have, and in how many ways."""
    ways = np.zeros((size + 1, int(ranks.sum()) + 1))
    ways[0, 0] = 1
    for rank in ranks:
        ways[1:, rank:] += ways[:-1, : ways.shape[1] - rank].copy()
    return np.arange(ways.shape[1]), ways[size]


def phases_of(function: str, before: ArrayLike, after: ArrayLike, about: str, better: Better) -> Phases:
    """Keep the observations that are there, at least 2 in each phase.

    Parameters
    ----------
    function, about : str
        Who asks, and about what.
    before, after : array_like, shape (n,) and (k,)
        Observations of the two phases, NaN where missing.
    better : {"higher", "lower"}
        Which direction is better.

    Returns
    -------
    Phases
        Turned so that higher is better.

    Raises
    ------
    UnknownChoiceError
        If `better` is another word.
    TooFewError
        If a phase has fewer than 2 observations.
    """
    if better not in get_args(Better):
        raise UnknownChoiceError(function, "better", better, get_args(Better))
    kept, dropped = {}, 0
    for phase, values in {"before": before, "after": after}.items():
        (there,), left_out = complete_rows(function, **{phase: values})
        need(function, f"{about}, {phase} the change,", there.size, least=2, what="observations in each phase")
        kept[phase] = there if better == "higher" else -there
        dropped += left_out
    delta = dominance(kept["after"], kept["before"]).delta
    return Phases(kept["before"], kept["after"], delta, dropped)
