"""What must not be told exactly: worked cases, and random studies audited without the code that chose."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from kit.questions.disclosure import APART, LIMITS, Withheld, refused, withheld
from kit.questions.hidden_groups import OURS
from kit.questions.told_totals import FLOW, rounded, step

TESTED = {flow: pair for pair, flow in FLOW.items()}


def pairs(*groups):
    """Line up students from (choir, school, approach, {flow: how many}); all sing form A first and form B then."""
    rows = [
        (choir, school, approach, *TESTED[flow])
        for choir, school, approach, flows in groups for flow, number in flows.items() for _ in range(number)
    ]  # fmt: skip
    table = pd.DataFrame(rows, columns=["choir", "school", "approach", "first", "second"])
    for side, told, form in (("pre", "first", "A"), ("post", "second", "B")):
        table[f"{side}_points"] = np.where(table[told], 5.0, np.nan)
        table[f"{side}_share"] = np.nan
        table[f"{side}_form"] = np.where(table[told], form, "")
    return table


def range_of(asked, cells, told):
    """Give smallest and largest size of a part, of everything in `told`: (cells of it, low, high)."""
    members = np.array([[cell in inside for cell in cells] for inside, _, _ in told], dtype=float)
    rule = LinearConstraint(members, [low for _, low, _ in told], [high for _, _, high in told])
    aim = np.array([cell in asked for cell in cells], dtype=float)
    both = [
        milp(side * aim, constraints=rule, integrality=1 + 0 * aim, bounds=Bounds(0, 10_000)).fun for side in (1, -1)
    ]
    return both[0], -both[1]


MISSED_ONE = {"not first": {"after only", "neither"}, "not second": {"before only", "neither"}}
"""What the reasons for missing marks add up to, test by test."""


def audit(table, found, smallest):
    """Give the range of every small part of all students and of each approach, by what a copy tells."""
    keys = [
        (approach, FLOW[bool(first), bool(second)])
        for approach, first, second in zip(table["approach"], table["first"], table["second"], strict=True)
    ]
    cells = sorted({(approach, flow) for approach, _ in keys for flow in FLOW.values()})
    told, small = [], []
    statuses = {
        "roster": set(FLOW.values()), "first": {"both", "before only"}, "second": {"both", "after only"},
        "both": {"both"}, "lost": {"before only", "after only", "neither"},
    }  # fmt: skip
    for group in [None, *sorted(set(table["approach"]))]:
        for what, flows in (*statuses.items(), *((flow, {flow}) for flow in FLOW.values()), *MISSED_ONE.items()):
            inside = {cell for cell in cells if group in (None, cell[0]) and cell[1] in flows}
            size = sum(key in inside for key in keys)
            if 0 < size < smallest and what != "both":
                small.append(inside)
            # parts by themselves are not shown beyond the school but for those of all who left or missed a test; reasons
            # for missing marks are told exactly or not at all
            elif what in statuses or (
                group is None and (what == "before only" or (what in MISSED_ONE and size not in found.ranges))
            ):
                told.append((inside, *found.ranges.get(size, (size, size))))
    return [range_of(inside, cells, told) for inside in small]


DISTRICT = pairs(
    ("Treble", "North", "ear-first", {"both": 140, "before only": 9, "neither": 1}),
    ("Bass", "South", "page-first", {"both": 125, "before only": 14, "after only": 1}),
    ("Alto", "West", "as usual", {"both": 49, "before only": 1}),
)
"""One student of the third approach missed a test; its size is all students less the other two."""


def test_the_roster_is_rounded_where_it_gives_a_small_loss_away():
    """All 340 less 150 and 140 leave 50, of whom 49 were tested twice: so 340 is not told exactly, nor 315 and 26."""
    found = withheld(DISTRICT, smallest=10)
    assert found.ranges.items() >= {340: (330, 349), 315: (310, 329), 26: (20, 29)}.items()
    assert not {314, 140, 125, 49, 150} & set(found.ranges)
    assert found.hidden == LIMITS
    assert found.exempt == {"Treble", "Bass", "Alto", "North", "South", "West"}


@pytest.mark.parametrize("smallest", [5, 10])
def test_no_small_part_of_the_district_can_be_told(smallest):
    """Each keeps sizes that lie three apart or more; told exactly, at least one would be known."""
    exact = audit(DISTRICT, Withheld(), smallest)
    assert any(low == high for low, high in exact)
    assert all(high - low >= APART for low, high in audit(DISTRICT, withheld(DISTRICT, smallest=smallest), smallest))


def test_the_reasons_for_missing_marks_do_not_tell_who_missed_both_tests():
    """Of 254, 222 were tested twice, 13 missed the first test and 20 the second: told so, one missed both."""
    table = pairs(("Treble", "North", "", {"both": 222, "before only": 19, "after only": 12, "neither": 1}))
    exact, found = audit(table, Withheld(), 10), withheld(table, smallest=10)
    assert (1, 1) in exact
    assert all(high - low >= APART for low, high in audit(table, found, 10))
    assert {13, 20} & set(found.ranges)


def test_ranges_are_made_wider_where_they_still_tell():
    """With ranges of five all of these numbers as ranges left four students who missed the second test alone."""
    table = pairs(
        ("Treble", "North", "ear-first", {"both": 48, "after only": 2, "neither": 3}),
        ("Bass", "North", "page-first", {"both": 23, "before only": 4}),
    )  # fmt: skip
    assert all(high - low >= APART for low, high in audit(table, withheld(table, smallest=5), 5))


@given(
    st.lists(
        st.fixed_dictionaries({
            "both": st.integers(10, 60), "before only": st.integers(0, 14), "after only": st.integers(0, 6),
            "neither": st.integers(0, 6),
        }),
        min_size=1, max_size=3,
    ),
    st.sampled_from([5, 10]),
)  # fmt: skip
@settings(max_examples=10, deadline=None)
def test_no_small_part_of_any_study_is_recovered(flows, smallest):
    """Of random studies of one to three approaches, what is told leaves no small part exactly known."""
    table = pairs(*((f"choir {at}", "school", f"approach {at}", flow) for at, flow in enumerate(flows)))
    assert all(high > low for low, high in audit(table, withheld(table, smallest=smallest), smallest))


def test_a_choir_is_hidden_with_one_that_every_table_needs():
    """Four of the ear-first choirs' 49 are one choir: the others would give it away, so one of the same approach goes.

    The smallest choir of all, of the other approach, would not help: the approaches' totals are told. The third choir of
    the approach goes too: the averages by students and by choirs of two unknown choirs are the averages of both.
    """
    table = pairs(
        ("Small", "North", "ear-first", {"both": 4}), ("Middle", "North", "ear-first", {"both": 20}),
        ("Large", "North", "ear-first", {"both": 25}), ("Other", "North", "page-first", {"both": 12}),
        ("Last", "North", "page-first", {"both": 30}),
    )  # fmt: skip
    assert withheld(table, smallest=10).hidden == {"Small", "Middle", "Large"}
    assert withheld(table, smallest=2).hidden == frozenset()
    assert withheld(table, smallest=5).hidden == {"Small", "Middle", "Large"}


def test_the_only_choir_of_an_approach_cannot_be_hidden_behind_another():
    """Where the totals of approaches are the choirs themselves, neither is shown by itself, nor is their school."""
    table = pairs(("Small", "North", "ear-first", {"both": 4}), ("Other", "North", "page-first", {"both": 12}))
    found = withheld(table, smallest=10).hidden
    assert found == {"Small", "Other", "North", "ear-first", "page-first", *OURS}


LATER = pairs(
    ("Treble", "North", "ear-first", {"both": 148, "before only": 2}),
    ("Bass", "South", "page-first", {"both": 140}),
)  # fmt: skip


def sat(table, missing):
    """Line up the same students with a third test that the first few of them missed."""
    return table.assign(post_points=np.where(np.arange(len(table)) < missing, np.nan, 5.0))


def numbered(table):
    """Give every student an id."""
    return table.assign(student=[f"s{at}" for at in range(len(table))])


@pytest.mark.parametrize("missing", [0, 1, 2, 9, 40])
def test_the_number_of_tests_does_not_tell_how_few_missed_one(missing):
    """Told as a range, the number of tests leaves three or more possible numbers of missed later tests.

    By a whole-number program over students with and without the later test, the roster and those tested known.
    """
    table = numbered(LATER)
    found = withheld(table, smallest=10, later=[sat(table, missing)])
    taken = 2 * 288 + 2 + 290 - missing
    low, high = step(taken, found.tests)
    assert low <= taken <= high
    # students of ear-first and page-first with and without the later test; those tested both times are known
    known = LinearConstraint(
        [[1, 1, 0, 0, 0, 0], [0, 0, 1, 1, 0, 0], [0, 0, 0, 0, 1, 1], [3, 2, 2, 1, 3, 2]],
        [148, 0, 140, low], [148, 9, 140, high],
    )  # fmt: skip
    aim = np.array([0.0, 1, 0, 1, 0, 1])
    ends = [side * milp(side * aim, constraints=known, integrality=np.ones(6)).fun for side in (1, -1)]
    if 0 < missing < 10:
        assert ends[1] - ends[0] >= APART
    assert ends[0] <= missing <= ends[1]
    assert found.tests in (20, 40, 80, 160, 320)


def test_tests_of_a_choirs_own_copy_are_told_by_ranges_too():
    """So wide that one missed test of 444 is not known."""
    table = numbered(LATER)
    found = withheld(table, smallest=10, choir="Treble", later=[sat(table, 1)])
    assert 150 * 3 - step(148 * 2 + 2 + 149, found.tests)[0] >= APART
    assert withheld(table, smallest=1, choir="Treble").tests == 0


@pytest.mark.parametrize(("few", "told"), [(0, False), (1, True), (9, True), (10, False)])
def test_the_limits_of_missing_marks_are_hidden_where_few_are_missing(few, told):
    """With a mark of 24 points for each, how far the difference moves would tell how many students have one mark."""
    table = pairs(
        ("Treble", "North", "ear-first", {"both": 40, "before only": few}), ("Bass", "South", "page-first", {"both": 40}),
    )  # fmt: skip
    assert (withheld(table, smallest=10).hidden >= LIMITS) is told
    assert not withheld(table, smallest=1).hidden


def test_a_copy_about_a_small_group_is_refused():
    """A choir of four, and those that would give it away; its school, a fourth choir and a teacher's copy are not."""
    table = pairs(
        ("Small", "North", "ear-first", {"both": 4}), ("Middle", "North", "ear-first", {"both": 20}),
        ("Large", "North", "ear-first", {"both": 40}), ("Few", "South", "ear-first", {"before only": 9}),
        ("Next", "North", "ear-first", {"both": 31}),
    )  # fmt: skip
    assert [refused(table, smallest=10, choir=name) for name in ("Small", "Middle", "Next", "Large", "Few")] == [
        True, True, True, False, True,
    ]  # fmt: skip
    assert not refused(table, smallest=10, school="North")
    assert refused(table, smallest=10, school="South")
    assert not refused(table, smallest=10)
    assert not refused(table, smallest=1, choir="Small")
    assert not refused(table, smallest=3, choir="Small")
    assert not refused(table.iloc[:0], smallest=10, choir="Small")


def test_a_choirs_own_copy_rounds_where_any_choir_has_a_small_part():
    """Treble lost no few and Bass lost two: both rosters are ranges, or one would follow from all the others.

    The ranges begin at those tested twice: of Bass 25 of 25 to 34 students, so that none to nine were lost.
    """
    table = pairs(
        ("Treble", "North", "ear-first", {"both": 30, "before only": 12}),
        ("Bass", "North", "ear-first", {"both": 25, "before only": 2}),
    )  # fmt: skip
    assert withheld(table, smallest=10, choir="Treble").ranges == {42: (40, 49), 12: (10, 19)}
    assert withheld(table, smallest=10, choir="Bass").ranges == {27: (25, 34)}
    assert withheld(table, smallest=10, choir="Bass").exempt == frozenset()
    # the only school has one part of 14 students
    assert withheld(table, smallest=10, school="North").ranges == {}


@given(
    st.fixed_dictionaries({
        "both": st.integers(10, 260), "before only": st.integers(0, 14), "after only": st.integers(0, 6),
        "neither": st.integers(0, 6),
    })
)  # fmt: skip
@example({"both": 11, "before only": 1, "after only": 5, "neither": 6})  # as many tested first as lost
@example({"both": 208, "before only": 1, "after only": 0, "neither": 0})  # many
@settings(max_examples=25, deadline=None)
def test_a_choirs_own_copy_gives_no_small_part_of_it_away(flow):
    """Of any choir, roster and those tested once leave a range of sizes to whoever missed a test."""
    table = pairs(("Treble", "North", "ear-first", flow), ("Bass", "North", "page-first", {"both": 20, "neither": 1}))
    found = withheld(table, smallest=10, choir="Treble")
    sizes = {"roster": sum(flow.values()), "first": flow["both"] + flow["before only"]}
    for size in sizes.values():
        low, high = found.ranges.get(size, (size, size))
        assert low <= size <= high
        assert size == flow["both"] or high - low == 9
        assert low >= flow["both"]


def test_a_teacher_is_told_everything():
    """A reader who may know single students is told all numbers exactly, and so is a study of nobody."""
    assert withheld(DISTRICT, smallest=1) == Withheld()
    assert withheld(DISTRICT.iloc[:0], smallest=10) == Withheld()


def test_without_a_small_part_everything_is_told():
    """Ten and more in every part: nothing is rounded."""
    table = pairs(("Treble", "North", "ear-first", {"both": 50, "before only": 12, "after only": 10, "neither": 11}))
    assert withheld(table, smallest=10).ranges == {}


@pytest.mark.parametrize(("size", "near"), [(340, 340), (349, 340), (350, 360), (9, 0), (10, 20), (0, 0)])
def test_rounding(size, near):
    """To the nearest twenty, halves up."""
    assert rounded(size, 20) == near
