"""What a planned study could see, how many choirs it needs, what a first test buys, and what shuffling can show."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from kit.errors import TooFewError
from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.plans import Plan, plan
from kit.stats.power.clusters import choirs_needed, detectable_difference_clusters
from kit.stats.power.detectable import detectable_difference, detectable_gain
from kit.stats.power.permutation import smallest_permutation_p
from kit.stats.power.simulation import power_simulated
from kit.stats.power.staggered import detectable_difference_staggered

__all__ = [
    "Grid", "Plan", "by_number_of_choirs", "by_students", "needed", "noticed", "plan", "shuffled", "sizes", "staggered",
]  # fmt: skip

NUMBERS = (4, 6, 8, 12, 16, 20, 30, 40)
"""Choirs at which a plan is looked at."""
TOO_FEW_CHOIRS = "Each approach needs at least 2 choirs: a single one cannot be told from its teacher and its singers."
TOO_FEW_TO_SHUFFLE = "At least {least} choirs are needed to assign them so."
TOO_FEW_TO_STAGGER = "At least {least} choirs are needed to begin so."
TOO_FEW_FOR_A_FIRST_TEST = (
    "With fewer than 7 choirs results cannot be adjusted for a first test of the choirs: too little would be left to "
    "judge by."
)


@dataclass(frozen=True, slots=True)
class Grid:
    """Answers for several shares between choirs, numbers of choirs, and with and without a first test.

    Attributes
    ----------
    rows : DataFrame
        Columns choirs, alike, first_test (bool), value (NaN where it cannot be told), why (then the reason).
    estimates : Answers
        The numbers of the rows, in their order.
    """

    rows: pd.DataFrame
    estimates: Answers


def sizes(planned: Plan) -> Grid:
    """Find the smallest difference that the planned choirs would probably show, with and without a first test.

    Counted: nobody; a plan has no rows.

    Parameters
    ----------
    planned : Plan
        From `plan`.

    Returns
    -------
    Grid
        In SD of all students' scores, two rows for each share between choirs.
    """
    return _grid(
        _size(planned, planned.choirs, alike, first_test) for alike in planned.alike for first_test in (False, True)
    )


def by_number_of_choirs(planned: Plan, *, numbers: Sequence[int] = NUMBERS) -> Grid:
    """Find the smallest difference for several numbers of choirs, each with a first test where that can be used.

    Counted: nobody; a plan has no rows.

    Parameters
    ----------
    planned : Plan
        From `plan`; its own number of choirs is added.
    numbers : sequence of int, optional
        Choirs of both groups together.

    Returns
    -------
    Grid
        In SD of all students' scores, without rows that cannot be told at all.
    """
    cells = []
    for alike in planned.alike:
        for choirs in sorted({*numbers, planned.choirs}):
            either = [_size(planned, choirs, alike, first_test) for first_test in (True, False)]
            cells += [cell for cell in either if isinstance(cell[1], Estimate)][:1]
    return _grid(cells)


def needed(planned: Plan) -> Grid:
    """Find how many choirs would show the difference of the plan, with and without a first test.

    Counted: nobody; a plan has no rows.

    Parameters
    ----------
    planned : Plan
        From `plan`.

    Returns
    -------
    Grid
        In choirs, two rows for each share between choirs.
    """
    return _grid(_needed(planned, alike, first_test) for alike in planned.alike for first_test in (False, True))


def by_students(planned: Plan) -> Answers:
    """Find what could be seen without comparing whole choirs: in one choir, and with students assigned one by one.

    Counted: nobody; a plan has no rows.

    Parameters
    ----------
    planned : Plan
        From `plan`.

    Returns
    -------
    Answers
        ``detectable_gain`` of one choir, and ``detectable_difference`` of all students assigned one by one, without
        and with a first test; in SD.
    """
    each, options = planned.students, {"power": planned.power, "level": planned.level}
    everybody = planned.choirs * each
    groups = {"program": everybody - everybody // 2, "comparison": everybody // 2}
    about = f"{everybody} students assigned one by one"
    r = planned.correlation
    return Answers([
        ask(detectable_gain, n=each, correlation=r, about=f"one choir of {each} tested twice", **options),
        ask(detectable_difference, about=f"{about}, {_tests(first_test=False)}", **groups, **options),
        ask(detectable_difference, about=f"{about}, {_tests(first_test=True)}", correlation=r, **groups, **options),
    ])  # fmt: skip


def shuffled(planned: Plan, *, starts: int = 3) -> Answers:
    """Give the smallest chance that shuffling the choirs of the plan can show, for three ways to assign them.

    Counted: nobody; a plan has no rows.

    Parameters
    ----------
    planned : Plan
        From `plan`.
    starts : int, optional
        Starting dates of a staggered start, over which the choirs are parted as evenly as can be.

    Returns
    -------
    Answers
        ``smallest_permutation_p`` about: choirs assigned all together; in pairs; to starting dates.

    Raises
    ------
    ValueError
        If there are fewer than 2 starting dates.
    """
    pairs, choirs, dates = planned.choirs // 2, planned.choirs, planned.dates(starts)
    ways = {
        f"{choirs} choirs assigned all together": ([planned.halves], 2),
        f"{2 * pairs} choirs assigned within pairs": ([(1, 1)] * pairs, 2),
        f"{choirs} choirs assigned to {starts} starting dates": ([dates], starts),
    }
    return Answers([
        ask(smallest_permutation_p, schools, about=about) if choirs >= least
        else LeftOut(about, TOO_FEW_TO_SHUFFLE.format(least=least))
        for about, (schools, least) in ways.items()
    ])  # fmt: skip


def staggered(planned: Plan, *, starts: int = 3) -> Answers:
    """Find the smallest difference that choirs would probably show which begin at staggered dates.

    Counted: nobody; a plan has no rows.

    Parameters
    ----------
    planned : Plan
        From `plan`.
    starts : int, optional
        Starting dates, over which the choirs are parted as evenly as can be.

    Returns
    -------
    Answers
        ``detectable_difference_staggered`` for each share between choirs.

    Raises
    ------
    ValueError
        If there are fewer than 2 starting dates.
    """
    few = max(starts, 4)
    about = f"{planned.choirs} choirs of {planned.students} students with {starts} starting dates"
    if planned.choirs < few:
        return Answers([LeftOut(about, TOO_FEW_TO_STAGGER.format(least=few))])
    return Answers([
        ask(detectable_difference_staggered, starts=planned.dates(starts), students=planned.students, icc=alike,
            correlation=planned.correlation, power=planned.power, level=planned.level,
            about=f"{about}, {100 * alike:g} % between choirs")
        for alike in planned.alike
    ])  # fmt: skip


def noticed(planned: Plan, *, rng: np.random.Generator, draws: int = 5_000) -> Grid:
    """Simulate how often the planned choirs would show the difference of the plan.

    Counted: nobody; a plan has no rows.

    Parameters
    ----------
    planned : Plan
        From `plan`.
    rng : numpy.random.Generator
        Source of the draws.
    draws : int, optional
        Studies simulated for each row.

    Returns
    -------
    Grid
        Shares of simulated studies, two rows for each share between choirs.
    """
    return _grid(
        _noticed(planned, alike, first_test, rng=rng, draws=draws)
        for alike in planned.alike for first_test in (False, True)
    )  # fmt: skip


Cell = tuple[dict[str, object], Estimate | LeftOut]


def _size(planned: Plan, choirs: int, alike: float, first_test: bool) -> Cell:
    """Find one detectable difference."""
    return _cell(
        detectable_difference_clusters, replace(planned, choirs=choirs), alike, first_test, power=planned.power,
        choirs=(choirs - choirs // 2, choirs // 2), students=planned.students, icc=alike,
        **_explained(planned, first_test),
    )  # fmt: skip


def _needed(planned: Plan, alike: float, first_test: bool) -> Cell:
    """Find one number of choirs."""
    return _cell(
        choirs_needed, planned, alike, first_test, power=planned.power, difference=planned.difference,
        students=planned.students, icc=alike, **_explained(planned, first_test),
    )  # fmt: skip


def _noticed(planned: Plan, alike: float, first_test: bool, **options: object) -> Cell:
    """Simulate one power."""
    both = (planned.correlation, planned.correlation)
    return _cell(
        power_simulated, planned, alike, first_test, choirs=planned.halves, students=planned.students, icc=alike,
        difference=planned.difference, correlations=both if first_test else None, **options,
    )  # fmt: skip


def _cell(statistic: Callable[..., Estimate], planned: Plan, alike: float, first_test: bool, **options: object) -> Cell:
    """Ask one statistic about one row, and say in plain words why it cannot be told."""
    whose = f"{planned.students} students" if statistic is choirs_needed else (
        f"{planned.choirs} choirs of {planned.students} students"
    )  # fmt: skip
    sized = f", {planned.difference:g} SD apart" if statistic is not detectable_difference_clusters else ""
    about = f"{whose}{sized}, {100 * alike:g} % between choirs, {_tests(first_test=first_test)}"
    answer: Estimate | LeftOut
    # not by `ask`, whose own `choirs` means something else
    try:
        answer = statistic(about=about, level=planned.level, **options)
    except TooFewError:
        answer = LeftOut(about, TOO_FEW_CHOIRS if planned.choirs // 2 < 2 else TOO_FEW_FOR_A_FIRST_TEST)
    return {"choirs": planned.choirs, "alike": alike, "first_test": first_test}, answer


def _tests(*, first_test: bool) -> str:
    """Say whether results are adjusted for a first test."""
    return "with a first test" if first_test else "without a first test"


def _explained(planned: Plan, first_test: bool) -> dict[str, float]:
    """Say what a first test explains: the square of the correlation, between choirs and inside them."""
    share = planned.correlation**2
    return {"explained_between": share, "explained_within": share, "covariates": 1} if first_test else {}


def _grid(cells: Iterable[Cell]) -> Grid:
    """Lay answers out in rows."""
    rows, answers = [], []
    for row, answer in cells:
        told = isinstance(answer, Estimate)
        rows.append(row | {"value": answer.value if told else np.nan, "why": "" if told else answer.why})
        answers.append(answer)
    return Grid(pd.DataFrame(rows, columns=["choirs", "alike", "first_test", "value", "why"]), Answers(answers))
