"""Distributions of whole points on two forms, the score of one at the rank of the other, and their resamples."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import UnknownChoiceError
from kit.stats.complete import Floats
from kit.stats.equating.designs import Design, TwoForms, two_forms

DESIGNS = ("single group", "random groups", "counterbalanced")

DUST = 1e-12
"""Shares of students that differ by less are equal."""

LONGEST = 10_000
"""Points between the lowest and the highest score beyond which scores are no points of a test."""


@dataclass(frozen=True, slots=True)
class WholeForms:
    """Shares of students at each whole score of form X and form Y.

    Attributes
    ----------
    x, y : ndarray, shape (p,) and (q,)
        Whole scores from the lowest to the highest on each form.
    cells : tuple of ndarray, shape (c, 1) or (c, 2)
        Scores that occur together, group by group.
    counts : tuple of ndarray, shape (c,)
        How many students have them.
    forms : TwoForms
        The scores.
    """

    x: Floats
    y: Floats
    cells: tuple[Floats, ...]
    counts: tuple[np.ndarray, ...]
    forms: TwoForms

    def shares(self, counts: list[np.ndarray]) -> tuple[Floats, Floats]:
        """Turn counts of cells into shares at each score; two groups that took a form count half each.

        Parameters
        ----------
        counts : list of ndarray, shape (..., c)
            Group by group, of the sample or of many resamples.

        Returns
        -------
        of_x, of_y : ndarray, shape (..., p) and (..., q)
            Shares that add up to 1.
        """
        return self._shares("x", self.x, counts), self._shares("y", self.y, counts)

    def _shares(self, form: str, scale: Floats, counts: list[np.ndarray]) -> Floats:
        found = []
        for names, cells, times in zip(self.forms.names, self.cells, counts, strict=True):
            if form in names:
                at = (cells[:, names.index(form)] - scale[0]).astype(int)
                found.append(times / times.sum(axis=-1, keepdims=True) @ np.eye(scale.size)[at])
        return sum(found) / len(found)

    def resampled(self, rng: np.random.Generator, draws: int) -> tuple[Floats, Floats]:
        """Draw students of each group anew, with replacement.

        Parameters
        ----------
        rng : numpy.random.Generator
            Source of the draws.
        draws : int
            How many times.

        Returns
        -------
        of_x, of_y : ndarray, shape (draws, p) and (draws, q)
            Shares at each score.
        """
        return self.shares([rng.multinomial(times.sum(), times / times.sum(), draws) for times in self.counts])

    def equated(self, scores: Floats, of_x: Floats, of_y: Floats) -> Floats:
        r"""Give the score on form Y at the same percentile rank.

        Parameters
        ----------
        scores : ndarray, shape (s,)
            Scores on form X, within its range.
        of_x, of_y : ndarray, shape (p,) and (q,)
            Shares at each score.

        Returns
        -------
        ndarray, shape (s,)
            In points of form Y.

        Notes
        -----
        Each whole score is spread evenly over half a point on either side. Where nobody has the score at that
        rank, the middle of the gap.

        References
        ----------
        .. [1] Key ``kolen-brennan-2004``, section 2.5.
        """
        rank = np.interp(scores, _edges(self.x), _heaped(of_x))
        edges, heap = _edges(self.y), _heaped(of_y)
        above = np.clip(np.searchsorted(heap, rank + DUST, side="right"), 1, heap.size - 1)
        below = np.clip(np.searchsorted(heap, rank - DUST, side="left") - 1, 0, heap.size - 2)
        upper, lower = (_along(rank, edges, heap, at) for at in (above - 1, below))
        upper = np.where(heap[-1] > rank + DUST, upper, lower)
        lower = np.where(heap[0] < rank - DUST, lower, upper)
        return (upper + lower) / 2


def equipercentile_forms(
    function: str, x: ArrayLike, y: ArrayLike, *, design: Design, x_first: ArrayLike | None, about: str, draws: int
) -> WholeForms:
    """Keep the complete scores on two forms, check that they are whole points, and count them.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    x, y, design, x_first
        As in `kit.stats.equating.designs.two_forms`; there is no anchor.
    draws : int
        How many resamples will be wanted.

    Returns
    -------
    WholeForms
        Shares at each score.

    Raises
    ------
    UnknownChoiceError
        If `design` is another word, or ``"anchor"``.
    ValueError
        If a score is not a whole number, the scores of a form lie too far apart for points of a test, or `draws` is
        below 100.
    """
    if design not in DESIGNS:
        raise UnknownChoiceError(function, "design", design, DESIGNS)
    if draws < 100:
        raise ValueError(f"{function}: draws must be at least 100. Got {draws!r}.")
    forms = two_forms(function, x, y, design=design, x_first=x_first, anchors=None, about=about)
    scales = []
    for form in ("x", "y"):
        scores = np.concatenate(forms.scores(form))
        odd = scores[scores != np.rint(scores)]
        if odd.size:
            raise ValueError(
                f"{function}: scores must be whole points. Got {float(odd[0])!r}. Where half points are given, "
                "double all scores."
            )
        if np.ptp(scores) > LONGEST:
            apart = float(np.ptp(scores))
            raise ValueError(f"{function}: scores of a form must lie within {LONGEST} points. Got {apart!r}.")
        scales.append(np.arange(scores.min(), scores.max() + 1))
    cells, counts = zip(*(np.unique(group, axis=0, return_counts=True) for group in forms.groups), strict=True)
    return WholeForms(scales[0], scales[1], cells, counts, forms)


def _edges(scale: Floats) -> Floats:
    """Half a point below the lowest score up to half a point above the highest."""
    return np.append(scale - 0.5, scale[-1] + 0.5)


def _heaped(shares: Floats) -> Floats:
    """Share of students below each edge, exactly 0 and 1 at the ends."""
    heap = np.concatenate([[0.0], np.cumsum(shares)])
    heap[np.abs(heap - 1) <= DUST] = 1.0
    return heap


def _along(rank: Floats, edges: Floats, heap: Floats, at: np.ndarray) -> Floats:
    """Walk along one step of the heap to the rank; an empty step stands still."""
    rise = heap[at + 1] - heap[at]
    return edges[at] + np.clip((rank - heap[at]) / np.where(rise > 0, rise, 1.0), 0.0, 1.0)
