"""Which rating of the federal evidence review a study could be eligible for, step by step, with the reason of each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import pandas as pd

from kit.questions.comparison.start import attrition, baseline
from kit.questions.design import Design
from kit.questions.lost import Leaving

Result = Literal["without reservations", "with reservations", "none", "not traced"]
Question = Literal["comparison", "single unit", "random", "loss", "alike", "reliable"]
RELIABLE = 0.50
"""Reliability that a measure needs (WWC Handbook, from memory: internal consistency .50)."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the path.

    Attributes
    ----------
    question : str
        What was asked: a comparison; a single unit in an approach; assignment at random; loss; alike at the first
        test; a reliable measure.
    answer : str
        What was found: ``"yes"``, ``"no"``, ``"unknown"``; the rating of the loss; the band of the first test.
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
    compared: pd.DataFrame, *, design: Design, how: str, leaving: Leaving = "cautious", reliability: float | None = None
) -> ReviewPath:
    """Trace the path of the federal review through a comparison (Handbook 4.1, section II).

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

    Returns
    -------
    ReviewPath
    """
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
    return _groups(compared, steps, how, leaving)


def _groups(compared: pd.DataFrame, steps: list[Step], how: str, leaving: Leaving) -> ReviewPath:
    """Ask how the groups were made, whom they lost, and how alike they were."""
    random = how.endswith("at_random")
    steps.append(Step("random", "yes" if random else "no"))
    if random:
        rating = attrition(compared, leaving=leaving).rating
        steps.append(Step("loss", rating))
        if rating == "low":
            return ReviewPath("without reservations", tuple(steps))
    band = baseline(compared).band
    steps.append(Step("alike", band or "unknown"))
    return ReviewPath("with reservations" if band in ("close", "adjust") else "none", tuple(steps))
