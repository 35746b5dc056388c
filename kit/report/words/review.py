"""Sentences about the federal review path, a size in standard deviations, and students who changed approach."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from kit.estimate import Estimate
from kit.report.numbers import show, show_interval
from kit.report.phrases import people
from kit.report.said import Said
from kit.report.words.comparison_start import COMPARED

TOLD_FROM = 10
"""Students from which on a part of those in two choirs is told by number."""


class ReviewPath(Protocol):
    """Where the path leads; see ``kit.questions.review_path.ReviewPath``."""

    result: str
    steps: Sequence[object]


ANSWERS = {
    ("comparison", "yes"): "There is a comparison group.",
    ("comparison", "no"): "There is no comparison group, so a review of group designs would not begin.",
    ("single unit", "no"): "Each approach has more than one choir or school.",
    ("single unit", "yes"): "An approach has a single choir or school, which cannot be told from the approach; that "
    "ends the path.",
    ("reliable", "yes"): "The test is as reliable as is asked for.",
    ("reliable", "no"): "The test is less reliable than is asked for; that ends the path.",
    ("reliable", "unknown"): "How reliable the test is was not given; a reviewer would ask.",
    ("random", "yes"): "Approaches were assigned at random, as declared.",
    ("random", "no"): "Approaches were not assigned at random, so how alike the groups started decides.",
    ("chances", "held apart"): "Choirs' chances of an approach differed from school to school, which has to be "
    "adjusted for; the main answer holds schools apart.",
    ("chances", "left in"): "Choirs' chances of an approach differed from school to school, which has to be "
    "adjusted for; with so few choirs the main answer does not hold schools apart, and a reviewer would ask.",
    ("loss", "low"): "Few enough were lost, and evenly enough, that the groups count as assigned at random.",
    ("loss", "borderline"): "So many were lost that the rating of the loss hangs on rounding; the stricter reading is "
    "taken, and how alike the groups started decides.",
    ("loss", "high"): "So many, or so unevenly many, were lost that how alike the groups started decides.",
    ("starts", "yes"): "At least three choirs began on dates of their own, with three tests or more on either side.",
    ("starts", "no"): "Fewer than three starting dates have three tests or more on either side; that ends the path.",
    ("dates", "yes"): "Three of them were tested at least 6 times before and 5 times from then on.",
    ("dates", "no"): "Fewer than three of them were tested 6 times before and 5 times after, as is asked for without "
    "reservations.",
    ("agreement", "unknown"): "How far raters agree in each of these stretches was not asked; a reviewer would ask.",
    ("alike", "close"): "They started within 0.05 SD of each other.",
    ("alike", "adjust"): "They started between 0.05 and 0.25 SD apart, which asks for adjusting by the first test.",
    ("alike", "apart"): "They started more than 0.25 SD apart; that ends the path.",
    ("alike", "unknown"): "How alike they started cannot be told; that ends the path.",
}
RESULTS = {
    "without reservations": "A study of this kind could be eligible for review without reservations.",
    "with reservations": "A study of this kind could be eligible for review with reservations.",
    "none": "A study of this kind would not be eligible for either rating.",
    "not traced": "The path for studies of this kind is not traced here.",
}
REVIEWERS = "Only trained reviewers rate studies; this traces the published path and is not a rating."


def review_path(found: ReviewPath, *, code: str) -> Said:
    """Say which rating a study of this kind could be eligible for, with the reason of every step.

    Parameters
    ----------
    found : ReviewPath
        From ``kit.questions.review_path.review_path``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    steps = [ANSWERS[step.question, step.answer] for step in found.steps]
    return Said((*steps, RESULTS[found.result], REVIEWERS)).passed(code)


def standardised(estimates: Sequence[Estimate], *, names: tuple[str, str], code: str) -> Said:
    """Say the difference in SD, with what such a number may and may not be held against.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.comparison.models.effect_size``.
    names : tuple of str
        The two approaches.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if code not in COMPARED or code == "D2" or not estimates:
        return Said(("No size in SD is given.",) if code in COMPARED and code != "D2" else ())
    one = estimates[0]
    sure = f", interval {show_interval(one)}" if one.interval else ""
    return Said(
        (
            f'In standard deviations of students\' second scores ("{names[0]}" minus "{names[1]}"): '
            f"{show(one.value, 'SD')}{sure}.",
            "Tests made by teachers or by a program's own makers usually show larger numbers than standardized tests, "
            "so this one cannot be held against those of other tests.",
        ),
        tuple(estimates), limits=True,
    ).passed(code, approaches=names)  # fmt: skip


def changed_approach(estimate: Estimate, *, movers: str, code: str) -> Said:
    """Say how many students had their second test in a choir of the other approach, and how they are counted.

    Parameters
    ----------
    estimate : Estimate
        From ``kit.questions.compared.crossed``.
    movers : {"as_assigned", "left_out"}
        As declared.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if code not in COMPARED:
        return Said(())
    if not estimate.value:
        return Said(("Nobody moved to a choir of the other approach between the tests.",), (estimate,)).passed(code)
    how = "they are left out, as declared" if movers == "left_out" else "they count where they began"
    told = f"{people(estimate.value)} of {estimate.n} moved to a choir of the other approach between the tests; {how}."
    return Said((told,), (estimate,)).passed(code)


def two_choirs(estimate: Estimate, both_ways: Estimate | None = None, *, declared: str = "first", code: str) -> Said:
    """Say how many students sing in two choirs, how many of them under both approaches, and where they count.

    Parameters
    ----------
    estimate, both_ways : Estimate
        From ``kit.questions.both_ways.in_two_choirs``.
    declared : {"first", "most_meetings", "left_out"}, optional
        What becomes of them, as declared.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if code not in COMPARED:
        return Said(())
    if not estimate.value:
        return Said(("Nobody is listed in a second choir.",), (estimate,)).passed(code)
    one = estimate.value == 1
    shown, told = [estimate], f"{people(estimate.value)} also {'sings' if one else 'sing'} in a second choir"
    if both_ways is not None:
        # a small part of them is told without its number, so that copies for others need not leave the sentence out
        shown += [both_ways] if both_ways.value >= TOLD_FROM else []
        told += f"; {_under_both(int(both_ways.value), one=one)}"
    if declared == "left_out":
        told += f". {'This student is' if one else 'They are'} left out of the comparison, as declared."
    else:
        where = "that is declared or listed first"
        if declared == "most_meetings":
            where = f"whose meetings {'the student' if one else 'they'} came to more often, as declared"
        told += f". {'This student counts' if one else 'They count'} once, in the choir {where}"
        told += "; the teaching in the other comes along."
    return Said((told,), tuple(shown)).passed(code)


def _under_both(number: int, *, one: bool) -> str:
    """Say how many of those in two choirs are taught in both ways."""
    if not number:
        return "both are taught alike"
    if one:
        return "the two are taught in different ways"
    some = f"{number} of them" if number >= TOLD_FROM else "some of them"
    return f"{some} in one that is taught the other way"
