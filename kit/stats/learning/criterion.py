"""How long until a pattern is sung right so many times in a row."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kit.errors import TooFewError
from kit.estimate import Estimate
from kit.stats.complete import Floats
from kit.stats.learning.crossed_cells import coded, in_order
from kit.stats.learning.kaplan_meier import median_time


@dataclass(frozen=True, slots=True)
class Criterion:
    """One line for each student and item that were tried.

    Attributes
    ----------
    students, items : ndarray, shape (m,)
        Labels.
    trials : ndarray, shape (m,)
        Tries up to the one that completed the first run, or all tries where there was none.
    days : ndarray, shape (m,), or None
        Days from the first try to that one.
    reached : ndarray of bool, shape (m,)
        Whether there was a run.
    in_a_row : int
        How many right tries in a row were asked.
    dropped : int
        Tries left out for missing values.
    """

    students: np.ndarray
    items: np.ndarray
    trials: Floats
    days: Floats | None
    reached: NDArray[np.bool_]
    in_a_row: int
    dropped: int


def to_criterion(
    right: ArrayLike, students: ArrayLike, items: ArrayLike, days: ArrayLike | None = None, *, in_a_row: int
) -> Criterion:
    """Count the tries and days that each student needed at each item.

    Parameters
    ----------
    right : array_like, shape (n,)
        1 where a try was right, 0 where wrong, in the order of time; NaN is left out, and a run goes on across it.
    students, items : array_like, shape (n,)
        Of whom, and at what.
    days : array_like, shape (n,), optional
        Day of each try, a number; NaN is left out.
    in_a_row : int
        How many right tries in a row are the criterion.

    Returns
    -------
    Criterion
        One line for each student and item.

    Raises
    ------
    ValueError
        If `in_a_row` is not a whole number of 1 or more, lists differ in length, or days go back.

    Notes
    -----
    Who has not reached it is kept, with the tries made so far.

    Examples
    --------
    >>> to_criterion([0, 1, 1, 1, 0], list("aaabb"), ["do"] * 5, in_a_row=2).trials.tolist()
    [3.0, 2.0]
    """
    return _criterion("to_criterion", (right, students, items), days, in_a_row)


def trials_to_criterion(
    right: ArrayLike, students: ArrayLike, items: ArrayLike, *, in_a_row: int, about: str, level: float = 0.95
) -> Estimate:
    r"""Estimate how many tries half of the students need until so many in a row are right.

    It assumes that students heard less often would have gone on like the others. Students who have not reached it
    are kept, as not yet there. Where a student was heard at several items, each item counts once, and the interval
    allows for items of one student going together.

    Parameters
    ----------
    right, students, items : array_like, shape (n,)
        Tries in the order of time, as for `to_criterion`; missing ones are left out.
    in_a_row : int
        How many right tries in a row are the criterion.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        Median, in ``"tries"``.

    Raises
    ------
    TooFewError
        If there are no tries, or fewer than half get there.
    ValueError
        As for `to_criterion`.

    Notes
    -----
    The first number of tries t with :math:`\hat S(t) \le 1/2`, :math:`\hat S(t) = \prod_{j \le t} (1 - d_j/Y_j)` with d
    students who get there at their j-th try, of Y heard so often; limits as in `median_time`.

    References
    ----------
    .. [1] Key ``brookmeyer-crowley-1982``.

    Examples
    --------
    >>> right = [1, 1, 0, 1, 1, 0, 1, 0, 1, 1]
    >>> trials_to_criterion(right, list("aabbbccccc"), ["do"] * 10, in_a_row=2, about="the example").value
    3.0
    """
    found = _criterion("trials_to_criterion", (right, students, items), None, in_a_row)
    return _median("trials_to_criterion", found, unit="tries", about=about, level=level)


def days_to_criterion(
    right: ArrayLike, students: ArrayLike, items: ArrayLike, days: ArrayLike, *, in_a_row: int, about: str,
    level: float = 0.95,
) -> Estimate:  # fmt: skip
    r"""Estimate how many days half of the students need until so many tries in a row are right.

    It assumes that students heard less often would have gone on like the others, as `trials_to_criterion` does.

    Parameters
    ----------
    right, students, items, days : array_like, shape (n,)
        Tries in the order of time, as for `to_criterion`; missing ones are left out.
    in_a_row : int
        How many right tries in a row are the criterion.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        Median, in ``"days"`` from the first try.

    Raises
    ------
    TooFewError
        If there are no tries, or fewer than half get there.
    ValueError
        As for `to_criterion`.

    Notes
    -----
    The first day t with :math:`\hat S(t) \le 1/2`, :math:`\hat S(t) = \prod_{t_j \le t} (1 - d_j/Y_j)` with d students
    who get there on day :math:`t_j` after their first try, of Y still heard; limits as in `median_time`. Students who
    are seldom heard seem slow by days: see the tries too.

    References
    ----------
    .. [1] Key ``brookmeyer-crowley-1982``.

    Examples
    --------
    >>> days = [1, 4, 1, 4, 9]
    >>> days_to_criterion([1, 1, 0, 1, 1], list("aabbb"), ["do"] * 5, days, in_a_row=2, about="the example").value
    5.5
    """
    found = _criterion("days_to_criterion", (right, students, items), days, in_a_row)
    return _median("days_to_criterion", found, unit="days", about=about, level=level)


def _criterion(
    function: str, columns: tuple[ArrayLike, ArrayLike, ArrayLike], days: ArrayLike | None, in_a_row: int
) -> Criterion:
    """Sort the tries by student and item, and find the first run of each."""
    if in_a_row != int(in_a_row) or in_a_row < 1:
        raise ValueError(f"{function}: in_a_row must be a whole number of 1 or more. Got {in_a_row!r}.")
    tries = coded(function, *columns, **({} if days is None else {"days": days}))
    pair = tries.students * max(len(tries.item_labels), 1) + tries.items
    order = in_order(pair, len(tries.student_labels) * len(tries.item_labels))
    right = tries.right[order]
    start = np.flatnonzero(np.append(True, np.diff(pair[order]) != 0)) if right.size else np.zeros(0, int)
    size = np.diff(np.append(start, right.size))
    number = np.arange(right.size) - np.repeat(start, size)
    wrong = np.where(right == 0, np.arange(right.size), -1)
    last_wrong = np.maximum(np.maximum.accumulate(wrong), np.repeat(start, size) - 1) if right.size else wrong
    done = np.flatnonzero(np.arange(right.size) - last_wrong == in_a_row)
    which = np.searchsorted(start, done, side="right") - 1
    end, reached = start + size - 1, np.zeros(start.size, dtype=bool)
    end[which[::-1]], reached[which] = done[::-1], True
    taken = None if days is None else _days(function, np.asarray(days, dtype=float)[tries.rows][order], start, end)
    return Criterion(
        tries.student_labels[tries.students[order][start]], tries.item_labels[tries.items[order][start]],
        number[end] + 1.0, taken, reached, int(in_a_row), tries.dropped,
    )  # fmt: skip


def _days(function: str, day: Floats, start: np.ndarray, end: np.ndarray) -> Floats:
    """Days from the first try of each student and item to the last that counts."""
    inside = np.ones(day.size, dtype=bool)
    inside[start] = False
    if (np.diff(day, prepend=0)[inside] < 0).any():
        raise ValueError(f"{function}: tries must stand in the order of time. Days go back.")
    return day[end] - day[start]


def _median(function: str, found: Criterion, *, unit: str, about: str, level: float) -> Estimate:
    """Name the median after who asks."""
    durations = found.days if unit == "days" else found.trials
    if durations.size == 0:
        raise TooFewError(f"{function}: needs 1 try. {about} has 0.")
    try:
        made = median_time(durations, found.reached, clusters=found.students, about=about, unit=unit, level=level)
    except TooFewError as error:
        raise TooFewError(str(error).replace("median_time", function)) from None
    counted = "students" if len(set(found.items.tolist())) == 1 else "students at an item"
    return replace(made, name=function, counted=counted, dropped=found.dropped)
