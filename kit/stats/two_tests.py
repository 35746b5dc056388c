"""Two groups tested twice: their complete scores, spreads and what the tests have in common."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from kit.stats.complete import Floats, complete_rows, need, spread_of
from kit.stats.student import pooled_spread


@dataclass(frozen=True, slots=True)
class TwoTests:
    """Complete scores of a program group and a comparison group at two tests.

    Attributes
    ----------
    pre, post : pair of ndarray, shapes (n,) and (k,)
        First and second scores, program group first.
    dropped : int
        Students left out because a score or the group is missing.
    """

    pre: tuple[Floats, Floats]
    post: tuple[Floats, Floats]
    dropped: int

    @property
    def sizes(self) -> tuple[int, int]:
        """Students of the program group, and of the comparison group."""
        return self.pre[0].size, self.pre[1].size

    @property
    def df(self) -> int:
        """Degrees of freedom of a pooled spread."""
        return sum(self.sizes) - 2

    def difference(self, scores: tuple[Floats, Floats]) -> float:
        """Mean of the program group minus that of the comparison group."""
        return float(scores[0].mean() - scores[1].mean())

    def pooled(self, scores: tuple[Floats, Floats]) -> float:
        """Pooled standard deviation, exactly zero where only rounding makes scores differ."""
        one, two = scores
        return pooled_spread(one.size, spread_of(one), two.size, spread_of(two))

    @property
    def correlation(self) -> float:
        """Correlation of the two tests within groups, pooled; needs spread at both tests."""
        within = [np.concatenate([part - part.mean() for part in scores]) for scores in (self.pre, self.post)]
        return float(within[0] @ within[1] / np.sqrt((within[0] @ within[0]) * (within[1] @ within[1])))


def two_tests(function: str, pre: ArrayLike, post: ArrayLike, program: ArrayLike, about: str) -> TwoTests:
    """Keep the students of two groups who have both scores, at least 2 in each group.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    pre, post : array_like, shape (n,)
        Scores of the same n students in the same order, NaN where missing.
    program : array_like of bool, shape (n,)
        True for a student of the program group, False for one of the comparison group.

    Returns
    -------
    TwoTests
        The complete scores by group.

    Raises
    ------
    ValueError
        If `program` holds anything but True and False.
    TooFewError
        If a group has fewer than 2 students with both scores.
    """
    (before, after, marks), dropped = complete_rows(function, pre=pre, post=post, program=program)
    inside = is_program(function, marks)
    for group, members in {"program": inside, "comparison": ~inside}.items():
        what = "students with both scores in each group"
        need(function, f"{about}, {group} group,", int(members.sum()), least=2, what=what)
    return TwoTests((before[inside], before[~inside]), (after[inside], after[~inside]), dropped)


def is_program(function: str, marks: Floats) -> np.ndarray:
    """Read the marks of the program group.

    Parameters
    ----------
    function : str
        Who asks.
    marks : ndarray, shape (n,)
        1 for the program group and 0 for the comparison group.

    Returns
    -------
    ndarray of bool, shape (n,)
        True for the program group.

    Raises
    ------
    ValueError
        If a mark is neither 0 nor 1.
    """
    odd = marks[(marks != 0) & (marks != 1)]
    if odd.size:
        raise ValueError(f"{function}: program must be True or False for each student. Got {float(odd[0])!r}.")
    return marks == 1
