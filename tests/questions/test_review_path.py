"""The path of the federal review, step by step."""

from datetime import date, timedelta

import numpy as np
import pandas as pd
import pytest

from kit.questions.compared import Comparison
from kit.questions.design import Design, classify
from kit.questions.review_path import review_path
from kit.questions.series_design import cases
from tests.questions.comparisons import compared, drawn
from tests.questions.test_series_design import probes
from tests.questions.worlds import pairs_of

UP = [float(mark) for mark in range(5, 15)]


def walk(table, how, **options):
    """Trace a path and give where it leads and the answers on the way."""
    found = review_path(table, design=classify(table, how=how), how=how, **options)
    return found.result, [step.answer for step in found.steps]


def four(shift=0.0, lost=0):
    """Make two choirs for each approach, one approach shifted at the first test, the other losing students."""
    moved = [mark + shift for mark in UP]
    gone = [None if at < lost else mark for at, mark in enumerate(UP)]
    return compared(
        (("A", "ear", UP, UP), ("B", "ear", UP, UP), ("C", "page", moved, gone), ("D", "page", moved, gone))
    )


@pytest.mark.parametrize(
    ("table", "how", "result", "answers"),
    [
        (four(), "choirs_at_random", "without reservations", ["yes", "no", "unknown", "yes", "low"]),
        (four(), "schools_chose", "with reservations", ["yes", "no", "unknown", "no", "close"]),
        (four(0.5), "schools_chose", "with reservations", ["yes", "no", "unknown", "no", "adjust"]),
        (four(2), "schools_chose", "none", ["yes", "no", "unknown", "no", "apart"]),
        (four(0.5, 2), "choirs_at_random", "none", ["yes", "no", "unknown", "yes", "high", "apart"]),
    ],
)
def test_the_path_of_group_designs(table, how, result, answers):
    """Random and few lost; not random and close; adjusted; apart; random and many lost (Handbook 4.1, section II)."""
    assert walk(table, how) == (result, answers)


@pytest.mark.parametrize(("number", "schools"), [(3, "left in"), (5, "held apart")])
def test_unlike_chances_are_a_step_of_their_own(number, schools):
    """One of each school's choirs, then two: with 6 choirs schools are left in, with 10 held apart; else not asked."""
    rng = np.random.default_rng(1)
    ones = [
        (f"C{school}{at}", "ear" if at <= school else "page", *rng.integers(5, 15, (2, 6)).astype(float).tolist())
        for school in (0, 1) for at in range(number)
    ]  # fmt: skip
    declared = Comparison(program="ear", comparison="page", within="school", how="choirs_at_random")
    named = ["North"] * number + ["South"] * number
    result, answers = walk(compared(ones, declared=declared, schools=named), "choirs_at_random")
    assert (result, answers) == ("without reservations", ["yes", "no", "unknown", "yes", schools, "low"])
    assert len(walk(compared(ones), "choirs_at_random")[1]) == 5


@pytest.mark.parametrize(
    ("dates", "starts", "result", "answers"),
    [
        (14, (6, 7, 8), "without reservations", ["yes", "yes", "unknown"]),
        (13, (6, 7, 9), "with reservations", ["yes", "no", "unknown"]),
        (12, (3, 6, 9), "with reservations", ["yes", "no", "unknown"]),
        (12, (2, 6, 9), "none", ["no"]),
        (14, (6, 6, 8), "none", ["no"]),
    ],
)
def test_the_path_of_starting_dates(dates, starts, result, answers):
    """Three starts of their own; 6 test dates before and 5 after, or 3 and 3; fewer end it (Handbook 5.0, chapter VI)."""
    days = [date(2025, 9, 1) + timedelta(weeks=week) for week in range(dates)]
    scores = probes("ABC", [pd.Timestamp(day) for day in days])
    series = cases(scores, dict(zip("ABC", (days[at] for at in starts), strict=True)), measure="total")
    design = classify(pairs_of([1, 2], [3, 4]), series=series)
    found = review_path(pairs_of([1, 2], [3, 4]), design=design, how="none", series=series)
    assert (found.result, [step.answer for step in found.steps]) == (result, answers)
    assert review_path(pairs_of([1, 2], [3, 4]), design=design, how="none").result == "not traced"


def test_many_lost_may_still_be_alike():
    """Random with a high loss is judged by how alike those are who stayed."""
    ones = (("A", "ear", UP, UP), ("B", "ear", UP, UP))
    rest = [*UP, *UP], [*UP, *[None] * 10]
    table = compared((*ones, ("C", "page", *rest), ("D", "page", *rest)))
    assert walk(table, "choirs_at_random") == (
        "with reservations", ["yes", "no", "unknown", "yes", "high", "close"]
    )  # fmt: skip


def test_a_single_choir_ends_the_path():
    """With one choir in an approach no rating can be reached, however it was assigned."""
    table = compared((("A", "ear", UP, UP), ("B", "page", UP, UP), ("C", "page", UP, UP)))
    assert walk(table, "choirs_at_random") == ("none", ["yes", "yes"])


def test_one_approach_is_no_comparison():
    """Without a comparison group the path does not begin."""
    assert walk(compared((("A", "ear", UP, UP),)), "none") == ("none", ["no"])


@pytest.mark.parametrize(("reliability", "answer"), [(None, "unknown"), (0.5, "yes"), (0.49, "no")])
def test_an_unreliable_test_ends_the_path(reliability, answer):
    """Below the reliability that is asked for, nothing else is looked at."""
    result, answers = walk(four(), "choirs_at_random", reliability=reliability)
    assert answers[2] == answer
    assert (result == "none") == (answer == "no")


@pytest.mark.parametrize("code", ["D1c", "D6", "D7"])
def test_other_paths_are_not_traced(code):
    """Series of tests, single cases and replications have other paths."""
    found = review_path(drawn(1), design=Design(code=code, because=(), choirs=12, approaches=2), how="choirs_at_random")
    assert (found.result, found.steps) == ("not traced", ())
