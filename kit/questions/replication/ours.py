"""Our own study as a size that can stand beside an original: rows of scores in, one Size out."""

from __future__ import annotations

from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import UnknownChoiceError
from kit.estimate import Estimate
from kit.questions.answers import LeftOut, ask
from kit.questions.replication.originals import Direction, size_of_average
from kit.stats.association import correlation
from kit.stats.effects.sizes import d_average
from kit.stats.means import mean_difference, mean_gain
from kit.stats.studies.error_ends import quantile
from kit.stats.studies.one_metric import Size, size_of_correlation, size_of_gains, size_of_groups


def ours_of_groups(program: ArrayLike, comparison: ArrayLike, *, direction: Direction = "higher") -> Size | LeftOut:
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
    turn = _turn(direction)
    difference = ask(mean_difference, program, comparison, about="ours", unit="points")
    if isinstance(difference, LeftOut):
        return difference
    if difference.interval is None:
        return LeftOut("ours", " ".join(difference.notes))
    sizes = [int(np.isfinite(np.asarray(group, dtype=float)).sum()) for group in (program, comparison)]
    return size_of_groups(_t(difference, turn), n_program=sizes[0], n_comparison=sizes[1])


def ours_of_gains(
    pre: ArrayLike, post: ArrayLike, *, metric: Literal["SD", "SD of gains"] = "SD", direction: Direction = "higher"
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
    turn = _turn(direction)
    if metric not in ("SD", "SD of gains"):
        raise UnknownChoiceError("ours", "metric", metric, ("SD", "SD of gains"))
    if metric == "SD":
        before, after = (turn * np.asarray(scores, dtype=float) for scores in (pre, post))
        effect = ask(d_average, before, after, about="ours")
        return effect if isinstance(effect, LeftOut) else size_of_average(effect)
    gain = ask(mean_gain, pre, post, about="ours", unit="points")
    if isinstance(gain, LeftOut):
        return gain
    if gain.interval is None:
        return LeftOut("ours", " ".join(gain.notes))
    return size_of_gains(_t(gain, turn), n=gain.n)


def ours_of_correlation(x: ArrayLike, y: ArrayLike, *, direction: Direction = "higher") -> Size | LeftOut:
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
    turn = _turn(direction)
    found = ask(correlation, x, y, about="ours")
    if isinstance(found, LeftOut):
        return found
    if found.interval is None:
        return LeftOut("ours", " ".join(found.notes))
    return size_of_correlation(turn * found.value, n=found.n)


def _t(estimate: Estimate, turn: int) -> float:
    """Give Student's t of a mean, from its interval."""
    half = (estimate.interval.high - estimate.interval.low) / 2
    return turn * estimate.value * quantile((1 + estimate.interval.level) / 2, estimate.df) / half


def _turn(direction: str) -> int:
    """Turn the sign where lower is better."""
    if direction not in get_args(Direction):
        raise UnknownChoiceError("ours", "direction", direction, get_args(Direction))
    return 1 if direction == "higher" else -1
