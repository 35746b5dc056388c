"""What every statistic does first: leave out incomplete rows, check numbers and options, see whether scores differ."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kit.errors import TooFewError

Floats = NDArray[np.float64]

NO_SPREAD_OF_GAINS = "Everyone changed by the same amount, so there is no spread to make an interval or a test from."
NO_SPREAD_OF_SCORES = "All scores are the same, so there is no spread to make an interval from."
NO_SPREAD_IN_GROUPS = "Within each group all scores are the same, so there is no spread to make an interval from."


def complete_rows(function: str, **columns: ArrayLike) -> tuple[list[Floats], int]:
    """Keep the rows without a missing value.

    Parameters
    ----------
    function : str
        Who asks, for messages.
    **columns : array_like, shape (n,)
        Numbers in the same order of students, NaN where missing.

    Returns
    -------
    kept : list of ndarray, shape (m,)
        The columns, complete rows only.
    dropped : int
        Rows left out, ``n - m``.

    Raises
    ------
    ValueError
        If a column is not flat, holds an infinite number, or columns differ in length.
    """
    arrays = {name: np.asarray(values, dtype=float) for name, values in columns.items()}
    for name, values in arrays.items():
        if values.ndim != 1:
            raise ValueError(f"{function}: {name} must be one flat list of numbers. Got {values.ndim} dimensions.")
        if np.isinf(values).any():
            raise ValueError(f"{function}: {name} must be finite numbers, or NaN where missing. Got an infinite one.")
    sizes = [values.size for values in arrays.values()]
    if len(set(sizes)) > 1:
        names, got = " and ".join(arrays), " and ".join(map(str, sizes))
        raise ValueError(f"{function}: {names} must list the same students. Got {got} numbers.")
    whole = ~np.isnan(np.column_stack(list(arrays.values()))).any(axis=1)
    return [values[whole] for values in arrays.values()], int((~whole).sum())


def gains_of(function: str, pre: ArrayLike, post: ArrayLike, about: str, *, least: int) -> tuple[Floats, Floats, int]:
    """Keep students with both scores.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    pre, post : array_like, shape (n,)
        Scores of the same students in the same order, NaN where missing.
    least : int
        How many students are needed.

    Returns
    -------
    before, after : ndarray, shape (m,)
        Scores of the m students with both.
    dropped : int
        Students left out, ``n - m``.

    Raises
    ------
    TooFewError
        If fewer than `least` students have both scores.
    """
    (before, after), dropped = complete_rows(function, pre=pre, post=post)
    need(function, about, before.size, least=least, what="students with both scores")
    return before, after, dropped


def two_groups(function: str, program: ArrayLike, comparison: ArrayLike, about: str) -> tuple[Floats, Floats, int]:
    """Keep the students of either group who have a score, at least 2 in each.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    program, comparison : array_like, shape (n,) and (k,)
        Numbers, NaN where missing.

    Returns
    -------
    program, comparison : ndarray
        Without the missing ones.
    dropped : int
        Students left out of both groups together.

    Raises
    ------
    TooFewError
        If a group has fewer than 2 students with a score.
    """
    kept, dropped = {}, 0
    for group, values in {"program": program, "comparison": comparison}.items():
        (kept[group],), left_out = complete_rows(function, **{group: values})
        need(
            function, f"{about}, {group} group,", kept[group].size, least=2, what="students with a score in each group"
        )
        dropped += left_out
    return kept["program"], kept["comparison"], dropped


def need(function: str, about: str, found: int, *, least: int, what: str) -> None:
    """Refuse too few students.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    found, least : int
        How many there are, and how many are needed.
    what : str
        Of what, such as ``"students with both scores"``.

    Raises
    ------
    ValueError
        If `found` is not a whole number.
    TooFewError
        If it is below `least`.
    """
    if not (math.isfinite(found) and found == int(found)):
        raise ValueError(f"{function}: counts must be whole numbers. Got {found!r}.")
    if found < least:
        raise TooFewError(f"{function}: needs {least} {what}. {about} has {found}.")


def need_counts(function: str, about: str, n: int, **counts: int) -> None:
    """Refuse counts that cannot be, and an empty group.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    n : int
        Students in the group.
    **counts : int
        How many of them, by the name of the option.

    Raises
    ------
    ValueError
        If a count is not a whole number from 0 to `n`.
    TooFewError
        If `n` is 0.
    """
    for name, found in counts.items():
        if not 0 <= found <= n or not math.isfinite(found) or found != int(found):
            raise ValueError(f"{function}: {name} must be a whole number from 0 to {n}. Got {found!r}.")
    need(function, about, n, least=1, what="student")


def need_spread(function: str, about: str, spread: float, *, what: str) -> None:
    """Refuse scores that do not differ, where the statistic divides by their spread.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    spread : float
        Standard deviation, exactly zero where there is none (see `spread_of`).
    what : str
        What must differ, such as ``"first scores"``.

    Raises
    ------
    TooFewError
        If `spread` is zero.
    """
    if spread == 0:
        raise TooFewError(f"{function}: needs {what} that differ. {about} has none that do.")


def spread_of(values: Floats, *made_from: Floats) -> float:
    """Give the standard deviation, and exactly zero where only rounding makes values differ.

    Parameters
    ----------
    values : ndarray, shape (n,)
        At least 2 numbers.
    *made_from : ndarray
        What `values` was computed from; its size sets how large rounding dust can be.

    Returns
    -------
    float
        Standard deviation with n - 1 in the denominator, in the unit of `values`.
    """
    spread = float(values.std(ddof=1))
    return 0.0 if spread <= rounding_dust(values, *made_from) else spread


def rounding_dust(*made_from: Floats) -> float:
    """Give how far apart equal numbers can come out by rounding, when they are sums or differences.

    Parameters
    ----------
    *made_from : ndarray
        The numbers, and what they were computed from; the largest sets the size.

    Returns
    -------
    float
        In their unit.
    """
    return 8 * np.finfo(float).eps * max(float(np.abs(part).max()) for part in made_from)


def upper_tail(function: str, level: float) -> float:
    """Give the upper cumulative probability of a two-sided interval, 0.975 for level 0.95.

    Parameters
    ----------
    function : str
        Who asks, for the message.
    level : float
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    float
        ``(1 + level) / 2``.

    Raises
    ------
    ValueError
        If `level` is not between 0 and 1.
    """
    if not 0 < level < 1:
        raise ValueError(f"{function}: level must be between 0 and 1. Got {level!r}.")
    return (1 + level) / 2


def proportion(function: str, option: str, value: float) -> float:
    """Check that an option is a proportion, ends included.

    Parameters
    ----------
    function, option : str
        Who asks, and for what.
    value : float
        What was given.

    Returns
    -------
    float
        The same number.

    Raises
    ------
    ValueError
        If it is not between 0 and 1.
    """
    if not 0 <= value <= 1:
        raise ValueError(f"{function}: {option} must be between 0 and 1. Got {value!r}.")
    return float(value)
