"""A study that is planned: from plain numbers, or from a study like it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import ask
from kit.questions.scale import paired_marks
from kit.stats.association import correlation as correlation_of

FEWEST_CHOIRS = 4
"""Choirs from which a study's own number of them is taken for the plan: fewer cannot be parted into two groups."""
NEARLY_ONE = 1 - 1e-6
"""A correlation beyond this leaves nothing to plan for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A study that is planned.

    Attributes
    ----------
    choirs : int
        Choirs of both groups together, parted as evenly as can be.
    students : int
        Students tested in each choir.
    correlation : float
        Correlation of the two tests, taken to be the same between choirs and inside them.
    alike : tuple of float
        Shares of the variance of scores between choirs (ICC) that are looked at.
    difference : float
        The difference to be noticed, in SD of all students' scores.
    power, level : float
        How often it is to be noticed, and the level of the interval that must leave zero out.
    from_study : tuple of str
        Which of choirs, students and correlation were found in a study; the others are assumed.
    """

    choirs: int
    students: int
    correlation: float
    alike: tuple[float, ...]
    difference: float
    power: float = 0.80
    level: float = 0.95
    from_study: tuple[str, ...] = ()

    @property
    def halves(self) -> tuple[int, int]:
        """Choirs in the program and in the comparison group."""
        return self.choirs - self.choirs // 2, self.choirs // 2

    def dates(self, starts: int) -> tuple[int, ...]:
        """Give the choirs that begin at each of so many starting dates, parted as evenly as can be.

        Parameters
        ----------
        starts : int
            Starting dates, at least 2.

        Returns
        -------
        tuple of int

        Raises
        ------
        ValueError
            If there are fewer than 2 starting dates.
        """
        if starts < 2:
            raise ValueError(f"dates: starts must be at least 2. Got {starts!r}.")
        return tuple(self.choirs // starts + (at < self.choirs % starts) for at in range(starts))


def plan(
    pairs: pd.DataFrame | None = None,
    *,
    choirs: int,
    students: int,
    correlation: float,
    alike: Sequence[float],
    difference: float,
    power: float = 0.80,
    level: float = 0.95,
) -> Plan:
    """Plan a study from plain numbers, or from a study like the one that is planned.

    Counted: in a study, students tested both times whose choir is named; for the correlation also those who name
    none, as if they were one choir more.

    Parameters
    ----------
    pairs : DataFrame or None, optional
        From `kit.questions.whom.line_up`. Its number of choirs, the harmonic mean of their students tested both
        times and the correlation of its tests inside choirs replace the numbers given, where they are known (the
        number of choirs only if there are at least 4).
    choirs, students : int
        Choirs of both groups together, and students tested in each.
    correlation : float
        Correlation of the two tests, between -1 and 1.
    alike : sequence of float
        Shares of the variance of scores between choirs that are looked at, each 0 to 1.
    difference : float
        The difference to be noticed, in SD of all students' scores, above 0.
    power, level : float, optional
        How often it is to be noticed, and the level of the interval, proportions in (0, 1).

    Returns
    -------
    Plan

    Raises
    ------
    ValueError
        If there is no choir, no student, or nothing to look at, or the correlation lies outside of -1 to 1.
    """
    found = _found(pairs) if pairs is not None else {}
    numbers = {"choirs": choirs, "students": students, "correlation": correlation} | found
    if min(numbers["choirs"], numbers["students"]) < 1 or not len(alike):
        raise ValueError(
            f"plan: choirs, students and the length of alike must be at least 1. Got {choirs}, {students} and "
            f"{len(alike)}."
        )
    if not abs(numbers["correlation"]) < NEARLY_ONE:
        raise ValueError(f"plan: correlation must lie between -1 and 1. Got {correlation!r}.")
    return Plan(
        **numbers, alike=tuple(sorted(set(alike))), difference=difference, power=power, level=level,
        from_study=tuple(found),
    )  # fmt: skip


def _found(pairs: pd.DataFrame) -> dict[str, float]:
    """Find in a study how many choirs and students it has, and how far its tests agree inside choirs."""
    _, pre, post = paired_marks(pairs)
    named = pairs["choir"].where(pairs["choir"] != "")
    sizes = pre.groupby(named).count()
    sizes = sizes[sizes > 0]
    found: dict[str, float] = {}
    if len(sizes) >= FEWEST_CHOIRS:
        found["choirs"] = len(sizes)
    if len(sizes):
        # whole students, and no dust from 1 / (1 / 7)
        found["students"] = int(np.floor(len(sizes) / (1 / sizes).sum() + 1e-9))
    inside = [marks - marks.groupby(named.fillna("")).transform("mean") for marks in (pre, post)]
    r = ask(correlation_of, *inside, about="inside choirs")
    if isinstance(r, Estimate) and abs(r.value) < NEARLY_ONE:
        found["correlation"] = r.value
    return found
