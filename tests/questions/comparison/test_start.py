"""How alike two approaches started, and whom they lost."""

import numpy as np
import pytest

from kit.questions.compared import Comparison
from kit.questions.comparison.start import attrition, band_of, baseline, boundary
from kit.stats.effects.sizes import hedges_g
from tests.questions.comparisons import compared, drawn


@pytest.mark.parametrize(
    ("apart", "band"),
    [
        (0.0, "close"), (0.05, "close"), (-0.05, "close"), (0.0500001, "adjust"), (0.25, "adjust"), (-0.25, "adjust"),
        (0.2500001, "apart"), (-3.0, "apart"), (0.03, "close"), (0.12, "adjust"), (0.80, "apart"),
    ],
)  # fmt: skip
def test_bands_hold_their_ends(apart, band):
    """Exactly 0.05 is close and exactly 0.25 is adjusted for (Handbook 4.1, Table II.2), either sign."""
    assert band_of(apart) == band


def test_the_first_tests_of_those_compared():
    """Means and g rest on students with both tests; the worked example of g = 0.80 (standards, 1.2) comes out."""
    table = compared((("A", "ear", [5, 6, 7, 30], [5, 6, 7, None]), ("B", "page", [4, 5, 6], [4, 5, 6])))
    (row,) = baseline(table).rows
    assert (row.program.value, row.comparison.value, row.band) == (6.0, 5.0, "apart")
    assert row.apart.value == pytest.approx(hedges_g([5, 6, 7], [4, 5, 6], about="x").value)
    assert row.apart.value == pytest.approx(0.80, abs=0.005)
    assert row.apart.interval is None
    assert row.apart.about == "total, first test, ear minus page"


def test_every_measure_has_its_row():
    """Further measures are added below the first, in order."""
    found = baseline(drawn(1), drawn(2, head_start=9))
    assert len(found.rows) == 2
    assert found.band == found.rows[0].band
    assert len(found.answers) == 6
    assert found.rows[1].band == "apart"


def test_first_tests_without_spread_are_left_out():
    """Where the size in SD is not defined, the row is left out with the reason."""
    found = baseline(compared((("A", "ear", [5, 5], [5, 6]), ("B", "page", [5, 5], [5, 6]))))
    assert (found.rows, found.band) == ((), None)
    assert "needs" in found.answers.left_out[0].why


def test_without_a_comparison_nothing_is_asked():
    """With one approach both questions answer with the reason."""
    table = drawn(1).iloc[:0]
    assert baseline(table).answers.left_out[0].why == "Only one approach has students, so there is nothing to compare."
    assert attrition(table).answers.left_out[0].why == baseline(table).answers.left_out[0].why
    assert attrition(table).rating == ""


def test_losses_of_choirs_then_students_of_those_that_stayed():
    """The worked example of high attrition (standards, 1.3): 30 an arm, kept 27 and 22; a choir lost is lost once."""
    ones = [1.0] * 10
    choirs = [
        *((f"E{at}", "ear", ones, ones) for at in range(2)), ("E2", "ear", ones, [*ones[:7], None, None, None]),
        *((f"P{at}", "page", ones, ones) for at in range(2)), ("P2", "page", ones, [*ones[:2], *[None] * 8]),
        ("P3", "page", [1.0] * 4, [None] * 4),
    ]  # fmt: skip
    found = attrition(compared(choirs))
    whole, students = found.levels
    assert (whole.what, whole.began, whole.kept) == ("choirs", (3, 4), (3, 3))
    assert (students.what, students.began, students.kept) == ("students", (30, 30), (27, 22))
    assert students.loss.overall == pytest.approx(11 / 60)
    assert students.loss.differential == pytest.approx(-5 / 30)
    assert students.loss.bias == pytest.approx(0.125, abs=0.0005)
    assert (students.loss.rating, found.rating) == ("high", "high")
    told = {one.about: one.value for one in found.answers if one.name == "count"}
    assert told["total, lost: students, page"] == 8
    assert told["total, lost: choirs, page"] == 1


@pytest.mark.parametrize(("how", "at_random"), [("choirs_at_random", True), ("schools_chose", False), ("", False)])
def test_whether_the_lot_decided_is_known(how, at_random):
    """As declared, so that a distance at the start is told as chance, and the limit of losses as made for this study."""
    table = compared(
        [(f"C{at}", "ear" if at % 2 else "page", [1, 2 + at], [2, 4]) for at in range(6)],
        declared=Comparison(program="ear", comparison="page", how=how),
    )
    assert (baseline(table).at_random, attrition(table).at_random) == (at_random, at_random)


def test_students_assigned_one_by_one_have_one_level():
    """Where students were assigned, choirs are not counted as lost."""
    found = attrition(drawn(3, how="students_at_random", lost=0.1))
    assert [level.what for level in found.levels] == ["students"]


@pytest.mark.parametrize(("leaving", "number", "at_13"), [("cautious", 58, 0.061), ("optimistic", 66, 0.108)])
def test_the_boundary_is_the_published_table(leaving, number, at_13):
    """The table for the figure holds the published limits (Handbook 4.1, Table II.1; 13 percent as in version 4.1)."""
    table = boundary(leaving)
    assert len(table) == number
    assert table.loc[13, "limit"] == pytest.approx(at_13)
    assert np.all(np.diff(table["overall"]) > 0)
