"""Which rating of the federal evidence review a study could be eligible for, step by step, with the reason of each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import pandas as pd

from kit.questions.compared import rows_of
from kit.questions.comparison import schools_of
from kit.questions.comparison.start import attrition, baseline
from kit.questions.design import SERIES_CASES, SERIES_POINTS, SERIES_WHOLE, Design
from kit.questions.lost import Leaving

Result = Literal["without reservations", "with reservations", "none", "not traced"]
Question = Literal[
    "comparison", "single unit", "random", "chances", "loss", "alike", "reliable", "starts", "dates", "agreement"
]  # fmt: skip
RELIABLE = 0.50
"""Reliability that a measure needs (WWC Handbook, from memory: internal consistency .50)."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the path.

    Attributes
    ----------
    question : str
        What was asked: a comparison; a single unit in an approach; assignment at random; what became of schools in
        which choirs' chances of an approach were unlike; loss; alike at the first test; a reliable measure; starting
        dates of their own; test dates around them; agreement of raters around them.
    answer : str
        What was found: ``"yes"``, ``"no"``, ``"unknown"``; ``"held apart"`` or ``"left in"``; the rating of the loss;
        the band of the first test.
    """

    question: Question
    answer: str


@dataclass(frozen=True, slots=True)
class ReviewPath:
    """Where the path leads, and how.

    Attributes
    ----------
    result : str
        The best rating a study of this kind could be eligible for.
    steps : tuple of Step
        In order, as far as they were needed.
    """

    result: Result
    steps: tuple[Step, ...]


def review_path(
    compared: pd.DataFrame, *, design: Design, how: str, leaving: Leaving = "cautious",
    reliability: float | None = None, series: pd.DataFrame | None = None,
) -> ReviewPath:  # fmt: skip
    """Trace the path of the federal review through a comparison, or through cases with starting dates of their own.

    Comparisons: Handbook 4.1, section II. Cases tested many times: Handbook 5.0, chapter VI (three demonstrations at
    three points in time; 3 tests in each phase with reservations, 6 and then 5 without).

    Counted: as in `kit.questions.comparison.start.attrition` and `baseline`. What only a reviewer can judge (other
    differences between the groups, a test too close to what was taught) is not asked here.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.
    design : Design
        From `kit.questions.design.classify` of `compared`.
    how : str
        How choirs or students came to their approach, as declared.
    leaving : {"cautious", "optimistic"}, optional
        Which boundary.
    reliability : float, optional
        Reliability of the test, where known.
    series : DataFrame, optional
        From `kit.questions.series_design.cases`: test dates of each choir around its starting date.

    Returns
    -------
    ReviewPath
    """
    if design.code in ("D1c", "D6") and series is not None:
        return _cases(series)
    if design.code in ("D1c", "D6", "D7"):
        return ReviewPath("not traced", ())
    steps = [Step("comparison", "no" if design.code in ("D0", "D1", "D1b") or compared.empty else "yes")]
    if steps[-1].answer == "no":
        return ReviewPath("none", tuple(steps))
    steps.append(Step("single unit", "yes" if design.code == "D2" else "no"))
    if design.code == "D2":
        return ReviewPath("none", tuple(steps))
    known = "unknown" if reliability is None else "yes" if reliability >= RELIABLE else "no"
    steps.append(Step("reliable", known))
    if known == "no":
        return ReviewPath("none", tuple(steps))
    return _groups(compared, steps, design, how, leaving)


def _groups(compared: pd.DataFrame, steps: list[Step], design: Design, how: str, leaving: Leaving) -> ReviewPath:
    """Ask how the groups were made, whom they lost, and how alike they were."""
    random = how.endswith("at_random")
    steps.append(Step("random", "yes" if random else "no"))
    if random:
        # unlike chances have to be adjusted for (Handbook 4.1, section II, from memory)
        schools = schools_of(rows_of(compared), design)
        steps += [Step("chances", schools)] if schools else []
        rating = attrition(compared, leaving=leaving).rating
        steps.append(Step("loss", rating))
        if rating == "low":
            return ReviewPath("without reservations", tuple(steps))
    band = baseline(compared).band
    steps.append(Step("alike", band or "unknown"))
    return ReviewPath("with reservations" if band in ("close", "adjust") else "none", tuple(steps))


def _cases(series: pd.DataFrame) -> ReviewPath:
    """Ask for three starting dates of their own, and how many test dates lie around them."""
    few = (series["before"] >= SERIES_POINTS) & (series["after"] >= SERIES_POINTS)
    many = (series["before"] >= SERIES_WHOLE[0]) & (series["after"] >= SERIES_WHOLE[1])
    enough, whole = (series.loc[kept, "start"].nunique() >= SERIES_CASES for kept in (few, many))
    if not enough:
        return ReviewPath("none", (Step("starts", "no"),))
    steps = (Step("starts", "yes"), Step("dates", "yes" if whole else "no"), Step("agreement", "unknown"))
    return ReviewPath("without reservations" if whole else "with reservations", steps)
