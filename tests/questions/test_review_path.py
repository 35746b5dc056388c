"""The path of the federal review, step by step."""

import pytest

from kit.questions.design import Design, classify
from kit.questions.review_path import review_path
from tests.questions.comparisons import compared, drawn

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
