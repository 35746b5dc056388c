"""Averages of choirs, and lines of students, from test to test."""

import numpy as np
import pytest

from kit.questions.compared import Comparison
from kit.questions.comparison.curves import EVEN_STEPS, TWO_TESTS, curves, paces
from kit.questions.comparison.ways import BOTH_IN_ONE
from kit.questions.design import classify
from kit.stats.models import growth_model
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


def drawn(seed=1, choirs=8, size=6):
    """Draw two later tests of choirs of both approaches, some marks missing; the first approach gains more."""
    rng = np.random.default_rng(seed)
    tables = {"December": [], "February": []}
    for at in range(choirs):
        approach, level = ("ear", "page")[at % 2], rng.normal(10, 1)
        pre = rng.normal(level, 2, size)
        pace = 2 + (approach == "ear") + rng.normal(0, 0.5) + rng.normal(0, 0.4, size)
        for step, name in enumerate(tables, 1):
            post = pre + step * pace + rng.normal(0, 1, size)
            marks = [None if rng.random() < 0.1 else float(mark) for mark in post]
            tables[name].append((f"C{at}", approach, list(map(float, pre)), marks))
    return {name: compared(tuple(rows), most=100) for name, rows in tables.items()}


def asked(tables, how="choirs_at_random"):
    """Ask for the difference of paces under the design of the first later test."""
    return paces(tables, first="September", design=classify(next(iter(tables.values())), how=how))


def test_paces_are_the_mixed_model_of_all_marks():
    """Every mark of a student whose choir is named goes in, tests counted 0, 1, 2; choirs have lines of their own."""
    tables = drawn()
    (found,) = asked(tables)
    first, second = tables.values()
    rows = [
        (mark, student, at, choir, approach == "ear")
        for at, (table, column) in enumerate(((first, "pre_points"), (first, "post_points"), (second, "post_points")))
        for mark, student, choir, approach in zip(
            table[column], table["student"], table["choir"], table["approach"], strict=True
        )
    ]  # fmt: skip
    scores, students, times, choirs, program = (list(column) for column in zip(*rows, strict=True))
    alone = growth_model(scores, students, times, clusters=choirs, program=program, about="x", unit="points")
    assert (found.value, found.p, found.df) == pytest.approx((alone.value, alone.p, alone.df), rel=1e-6)
    assert (found.n, found.clusters, found.dropped) == (alone.n, 8, alone.dropped)
    assert found.about == "total, ear minus page, from test to test"
    assert found.notes[-1] == EVEN_STEPS
    assert found.interval.low < 1 < found.interval.high


def test_paces_need_three_tests_and_choirs_of_one_approach():
    """Two tests, one choir for an approach, both approaches in one choir, no comparison: each says why."""
    tables = drawn()
    assert asked({"December": tables["December"]}).left_out[0].why == TWO_TESTS
    assert asked(both(FALL[1:3], SPRING[1:3])).left_out[0].why.startswith("An approach has a single choir")
    mixed = [("A", "ear", [1, 3], [3, 5]), ("A", "page", [2, 2], [4, 5]), ("B", "ear", [1, 2], [3, 3]),
             ("C", "page", [1, 2], [3, 3])]  # fmt: skip
    students = classify(both(mixed, mixed)["December"], how="students_at_random")
    assert paces(both(mixed, mixed), first="September", design=students).left_out[0].why == BOTH_IN_ONE
    assert paces({}, first="September", design=students).left_out[0].why.startswith("Only one approach")


def test_paces_have_no_p_where_the_design_makes_no_test():
    """With an undeclared assignment of few choirs the value and its range stay, the p-value goes."""
    (found,) = asked(drawn(choirs=4))
    assert found.p is None
    assert found.interval is not None
