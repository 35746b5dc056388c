"""Averages of choirs from test to test."""

import pytest

from kit.questions.compared import Comparison
from kit.questions.comparison_curves import curves
from tests.questions.comparisons import compared

FALL = [("A", "ear", [1, 3], [3, 5]), ("B", "ear", [5, 5], [9, 7]), ("C", "page", [2], [2]), ("D", "page", [4], [6])]
SPRING = [
    ("A", "ear", [1, 3], [4, None]),
    ("B", "ear", [5, 5], [9, 9]),
    ("C", "page", [2], [3]),
    ("D", "page", [4], [4]),
]


def both(fall=FALL, spring=SPRING):
    """Line up two later tests."""
    return {"December": compared(tuple(fall)), "February": compared(tuple(spring))}


def test_each_choir_counts_once_by_students_with_every_test():
    """By hand: the student without a third test is in none of the averages; choirs weigh the same."""
    found = curves(both(), first="September")
    assert [[one.value for one in curve] for curve in found.curves] == [[3.0, 5.5, 6.5], [3.0, 4.0, 3.5]]
    assert {one.counted for one in found.answers} == {"choirs"}
    assert (found.names, found.occasions) == (("ear", "page"), ("September", "December", "February"))
    lines = found.choirs.set_index(["choir", "occasion"])["mean"]
    assert (lines["A", "February"], lines["B", "December"]) == (4.0, 8.0)
    assert found.answers[0].interval.low < 3.0 < found.answers[0].interval.high


def test_a_single_choir_has_no_interval():
    """Where an approach has one choir its averages have no interval, and the note speaks of a choir."""
    found = curves(both(FALL[:3], SPRING[:3]), first="September")
    assert [one.value for one in found.curves[1]] == [2.0, 2.0, 3.0]
    assert {(one.interval, one.notes) for one in found.curves[1]} == {
        (None, ("One choir alone, so there is no spread to make an interval from.",))
    }


def test_without_a_comparison_there_are_no_curves():
    """Nothing compared gives no curve and the reason."""
    found = curves(both(FALL[:2], SPRING[:2]), first="September")
    assert found.curves == ()
    assert found.answers.left_out[0].why == "Only one approach has students, so there is nothing to compare."


@pytest.mark.parametrize("how", ["schools_chose"])
def test_schools_that_chose_are_the_lines(how):
    """Where schools chose, a line is a school."""
    table = compared(tuple(FALL), declared=Comparison(how=how), schools=("North", "North", "South", "South"))
    found = curves({"December": table}, first="September")
    assert set(found.choirs["choir"]) == {"North", "South"}
