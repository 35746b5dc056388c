"""The original study and ours: would ours surprise, do they differ, what do both say, what does the declared rule say."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import TooFewError, UnknownChoiceError
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.originals import size_of_average
from kit.stats.complete import upper_tail
from kit.stats.effects import d_average
from kit.stats.equivalence import equivalence
from kit.stats.error_ends import interval_around
from kit.stats.means import mean_difference, mean_gain
from kit.stats.one_metric import Size, size_of_correlation, size_of_gains, size_of_groups
from kit.stats.association import correlation
from kit.stats.pooling import pooled_effect
from kit.stats.replicating import replication_difference, replication_prediction, replication_q
from kit.stats.telescopes import effect_at_power, power_at_effect, small_telescopes

Rule = Literal["same_direction", "prediction", "equivalence", "small_telescopes", "all_three", "none_declared"]
Verdict = Literal[
    "consistent", "inconclusive", "no_meaningful_effect", "too_small_for_the_original", "inconsistent", "none_declared"
]
HALF_POINT = 0.90
"""Level of the intervals that go with one-sided tests at 5 %."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """An original study beside ours, in one metric, positive where better.

    Attributes
    ----------
    original, ours : Size
        Both effects with their standard errors.
    answers : Answers
        Combined, prediction, difference, Q, equivalence (where a bound was declared) and small telescopes.
    same_sign : bool
        Whether both went the same way.
    ratio : float or None
        Ours over original; None where the original is zero.
    small_effect : float
        Effect that gave the original study 33 % power.
    power : float
        Chance that a study like ours finds an effect as large as the original's different from zero.
    rule : Rule
        The rule that was declared beforehand.
    verdict : Verdict
        What that rule says; ``"none_declared"`` without one.
    """

    original: Size
    ours: Size
    answers: Answers
    same_sign: bool
    ratio: float | None
    small_effect: float
    power: float
    rule: Rule
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What the rules look at.

    Attributes
    ----------
    same_way, other_way : bool
        Whether our interval leaves zero out on the original's side, or on the other.
    inside : bool
        Whether ours lies within the prediction interval.
    prediction_tells : bool
        Whether the prediction interval leaves zero out.
    negligible : bool
        Whether our 90 % interval lies within the bound declared as too small to matter.
    too_small : bool
        Whether our 90 % interval lies below what the original could see.
    """

    same_way: bool
    other_way: bool
    inside: bool
    prediction_tells: bool
    negligible: bool
    too_small: bool


def ours_of_groups(program: ArrayLike, comparison: ArrayLike, *, direction: str = "higher") -> Size | LeftOut:
    """Work out our difference of two groups as a size, positive where the program group did better.

    Counted: students with a score.

    Parameters
    ----------
    program, comparison : array_like, shape (n,) and (k,)
        One number per student, NaN where missing.
    direction : {"higher", "lower"}, optional
        Which scores are better.

    Returns
    -------
    Size or LeftOut
        In SD; it treats students as independent, so for a few choirs give a `Size` with a standard error that knows
        them instead.
    """
    difference = ask(mean_difference, program, comparison, about="ours", unit="points")
    if isinstance(difference, LeftOut):
        return difference
    if difference.interval is None:
        return LeftOut("ours", " ".join(difference.notes))
    sizes = [int(np.isfinite(np.asarray(group, dtype=float)).sum()) for group in (program, comparison)]
    return size_of_groups(_t(difference, direction), n_program=sizes[0], n_comparison=sizes[1])


def ours_of_gains(
    pre: ArrayLike, post: ArrayLike, *, metric: Literal["SD", "SD of gains"] = "SD", direction: str = "higher"
) -> Size | LeftOut:
    """Work out our mean gain as a size, positive where scores got better.

    Counted: students tested both times.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Scores of the same students in the same order, NaN where missing.
    metric : {"SD", "SD of gains"}, optional
        The one that the original can be had in.
    direction : {"higher", "lower"}, optional
        Which scores are better.

    Returns
    -------
    Size or LeftOut
        It treats students as independent, so for a few choirs give a `Size` whose standard error knows them instead.
    """
    turn = 1 if _known(direction) == "higher" else -1
    if metric == "SD":
        before, after = (turn * np.asarray(scores, dtype=float) for scores in (pre, post))
        effect = ask(d_average, before, after, about="ours")
        return effect if isinstance(effect, LeftOut) else size_of_average(effect)
    gain = ask(mean_gain, pre, post, about="ours", unit="points")
    if isinstance(gain, LeftOut):
        return gain
    return LeftOut("ours", " ".join(gain.notes)) if gain.interval is None else size_of_gains(_t(gain, direction), n=gain.n)


def ours_of_correlation(x: ArrayLike, y: ArrayLike, *, direction: str = "higher") -> Size | LeftOut:
    """Work out our correlation of two scores as a size, in Fisher's z.

    Counted: students with both numbers.

    Parameters
    ----------
    x, y : array_like, shape (n,)
        Two numbers per student in the same order, NaN where missing.
    direction : {"higher", "lower"}, optional
        Whether a higher correlation is what the original calls better.

    Returns
    -------
    Size or LeftOut
    """
    found = ask(correlation, x, y, about="ours")
    if isinstance(found, LeftOut):
        return found
    if found.interval is None:
        return LeftOut("ours", " ".join(found.notes))
    return size_of_correlation(found.value if _known(direction) == "higher" else -found.value, n=found.n)
