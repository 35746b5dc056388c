"""Simulated studies of an invented town: who is drawn, what a way of making an interval is asked, and what is true."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from kit.estimate import Estimate, Interval
from kit.questions.coverage.worlds import Floats, World
from kit.stats.resampling import Statistic

Counts = Literal["students", "students in each group", "choirs"]
"""What the size of a simulated study counts."""
Answer = Estimate | Interval
RESAMPLES = 1_000
"""Of a bootstrap here; reports take 10,000."""


@dataclass(frozen=True, slots=True)
class Draw:
    """How one study is drawn.

    Attributes
    ----------
    students : int
        Students of the group, of each group where there are two, or of each choir.
    choirs : int
        Choirs, where whole choirs are drawn.
    level : float
        Confidence level of the interval.
    rng : numpy.random.Generator
        Source of the draws.
    """

    students: int
    choirs: int
    level: float
    rng: np.random.Generator

    def places(self, size: int) -> np.ndarray:
        """Pick students by their place, each as often as chance has it."""
        return self.rng.integers(0, size, self.students)

    def of(self, scores: Floats) -> Floats:
        """Pick scores of students of one group."""
        return scores.ravel()[self.places(scores.size)]

    def rows_of(self, table: Floats) -> Floats:
        """Pick rows of a table."""
        return table[self.places(len(table))]

    def pairs_of(self, first: Floats, second: Floats) -> tuple[Floats, Floats]:
        """Pick students of one group, with both of their scores."""
        places = self.places(first.size)
        return first.ravel()[places], second.ravel()[places]

    def choirs_of(self, town: World) -> tuple[np.ndarray, np.ndarray]:
        """Pick choirs and students of each: places, shape (choirs, 1) and (choirs, students)."""
        choirs, singers = town.pre.shape
        places = self.rng.integers(0, singers, (self.choirs, self.students))
        return self.rng.integers(0, choirs, (self.choirs, 1)), places


@dataclass(frozen=True, slots=True)
class Way:
    """One way of making an interval.

    Attributes
    ----------
    statistic : str
        The function in ``kit.stats``.
    counts : str
        One of `Counts`.
    ask : callable
        Takes a town and a `Draw`; gives the answer of one simulated study.
    truth : callable
        Takes a town; gives the true value, worked out for everybody in it.
    """

    statistic: str
    counts: Counts
    ask: Callable[[World, Draw], Answer]
    truth: Callable[[World], float]


def one_group(statistic: Callable[..., Estimate], truth: Callable[[World], float], **given: str) -> Way:
    """Try a statistic of one group tested twice.

    Counted: simulated students.

    Parameters
    ----------
    statistic : callable
        A function of ``kit.stats`` that takes first and second scores.
    truth : callable
        See `Way`.
    **given
        What else the statistic takes.

    Returns
    -------
    Way
    """
    return Way(
        statistic.__name__, "students",
        lambda town, draw: statistic(*draw.pairs_of(town.pre, town.post), about="draw", level=draw.level, **given),
        truth,
    )  # fmt: skip


def two_groups(statistic: Callable[..., Estimate], truth: Callable[[World], float], **given: str) -> Way:
    """Try a statistic of two groups at the second test, only one of which gained on average.

    Counted: simulated students.

    Parameters
    ----------
    statistic : callable
        A function of ``kit.stats`` that takes scores of the program and of the comparison group.
    truth : callable
        See `Way`.
    **given
        What else the statistic takes.

    Returns
    -------
    Way
    """
    return Way(
        statistic.__name__, "students in each group",
        lambda town, draw: statistic(
            draw.of(town.post), draw.of(town.without), about="draw", level=draw.level, **given
        ),
        truth,
    )  # fmt: skip


def two_groups_twice(statistic: Callable[..., Estimate], truth: Callable[[World], float]) -> Way:
    """Try a statistic of two groups tested twice, only one of which gained on average.

    Counted: simulated students.

    Parameters
    ----------
    statistic : callable
        A function of ``kit.stats`` that takes first scores, second scores and who has the program.
    truth : callable
        See `Way`.

    Returns
    -------
    Way
    """

    def ask(town: World, draw: Draw) -> Estimate:
        groups = draw.pairs_of(town.pre, town.post), draw.pairs_of(town.pre, town.without)
        pre, post = (np.concatenate(scores) for scores in zip(*groups, strict=True))
        return statistic(pre, post, np.arange(pre.size) < draw.students, about="draw", level=draw.level)

    return Way(statistic.__name__, "students in each group", ask, truth)


def counted(
    statistic: Callable[..., Estimate], count: Callable[[World, Draw], tuple[int, ...]],
    truth: Callable[[World], float], *, counts: Counts = "students",
) -> Way:  # fmt: skip
    """Try a statistic of counts of students.

    Counted: simulated students.

    Parameters
    ----------
    statistic : callable
        A function of ``kit.stats`` that takes counts.
    count : callable
        Takes a town and a `Draw`; gives the counts of one simulated study.
    truth, counts : callable, str
        See `Way`.

    Returns
    -------
    Way
    """
    return Way(
        statistic.__name__, counts,
        lambda town, draw: statistic(*count(town, draw), about="draw", level=draw.level), truth,
    )  # fmt: skip


def redrawn(method: Callable[..., Interval], statistic: Statistic, truth: Callable[[World], float]) -> Way:
    """Try a bootstrap of a statistic of one group tested twice.

    Counted: simulated students.

    Parameters
    ----------
    method : callable
        A bootstrap of ``kit.stats.resampling``.
    statistic : callable
        What it takes.
    truth : callable
        See `Way`.

    Returns
    -------
    Way
    """
    return Way(
        method.__name__, "students",
        lambda town, draw: method(
            np.column_stack(draw.pairs_of(town.pre, town.post)), statistic, rng=draw.rng, level=draw.level,
            draws=RESAMPLES,
        ),
        truth,
    )  # fmt: skip
