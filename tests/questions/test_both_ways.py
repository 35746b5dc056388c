"""Students listed in two choirs, and students who moved."""

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.questions.both_ways import by_meetings, crossed_over, in_two_choirs
from kit.questions.compared import Comparison, between, rows_of
from tests.questions.comparisons import marked
from tests.questions.worlds import students

FOUR = (("A", "ear", [1, 2], [3, 5]), ("B", "page", [4, 6], [5, None]), ("C", "ear", [2], [9]), ("D", "page", [1], [1]))
SECOND = {"S0000": "B", "S0001": "C", "S0003": "A", "S0005": "elsewhere"}
"""In the other approach, in the same one, in the other but absent once, and in a choir that nobody has first."""


def compared(two_choirs, second=SECOND):
    """Line up four choirs, some of whose students sing in a second one."""
    pairs = marked(FOUR)
    pairs.attrs["second_choirs"] = second
    return between(pairs, Comparison(program="ear", comparison="page", two_choirs=two_choirs))


@pytest.mark.parametrize(("two_choirs", "students", "both"), [("first", 6, 5), ("left_out", 2, 2)])
def test_members_of_two_choirs_are_handled_as_declared(two_choirs, students, both):
    """They stay in their first choir or are left out; either way those tested both times are counted, of everybody."""
    found = compared(two_choirs)
    assert (len(found), rows_of(found).pre.size) == (students, both)
    twice, both_ways = in_two_choirs(found)
    assert (twice.value, twice.n, twice.about) == (3, 5, "in two choirs")
    assert (both_ways.value, both_ways.n, both_ways.about) == (1, 5, "in choirs of both approaches")


def came(*noted):
    """Make attendance: student, choir, how many days present."""
    rows = [(student, choir, pd.Timestamp("2025-09-01") + pd.Timedelta(days=day), "present")
            for student, choir, days in noted for day in range(days)]  # fmt: skip
    return pd.DataFrame([*rows, ("S1", "B", pd.Timestamp("2025-10-01"), "absent")],
                        columns=["student", "choir", "date", "present"])  # fmt: skip


def listed(second):
    """Make a students table of three choirs in two schools."""
    people = [("S1", "A", "North", "ear"), ("S2", "A", "North", "ear"), ("S3", "B", "South", "page"),
              ("S4", "B", "South", "page"), ("S5", "C", "South", "ear"), ("S6", "C", "South", "page")]  # fmt: skip
    table = students([dict(zip(("student", "choir", "school", "approach"), one, strict=True)) for one in people])
    table.attrs["second_choirs"] = second
    return table


@pytest.mark.parametrize(
    ("attendance", "choir", "other"),
    [
        (came(("S1", "A", 4), ("S1", "B", 5)), ("B", "South", "page"), "A"),
        (came(("S1", "A", 5), ("S1", "B", 5)), ("A", "North", "ear"), "B"),
        (came(("S1", "", 9), ("S2", "B", 9)), ("A", "North", "ear"), "B"),
        (came(), ("A", "North", "ear"), "B"),
    ],
)
def test_most_meetings_decide_which_choir_counts(attendance, choir, other):
    """More days present in the second choir bring its school and approach; a tie, or no choir named, changes nothing."""
    table = listed({"S1": "B"})
    found = by_meetings(table, attendance)
    assert tuple(found.loc[0, ["choir", "school", "approach"]]) == choir
    assert found.attrs["second_choirs"] == {"S1": other}
    pd.testing.assert_frame_equal(found.iloc[1:], table.iloc[1:])
    assert table.loc[0, "choir"] == "A"
    assert list(found.dtypes) == list(table.dtypes)


def test_a_choir_of_both_approaches_gives_none_of_them():
    """Where members of the other choir were taught in both ways a student keeps the own approach."""
    found = by_meetings(listed({"S1": "C", "S9": "B"}), came(("S1", "C", 3), ("S9", "B", 1)))
    assert tuple(found.loc[0, ["choir", "school", "approach"]]) == ("C", "South", "ear")


def test_without_a_second_listing_nobody_is_left_out():
    """Where no roster lists anybody twice, both ways are the same."""
    one, other = (compared(way, {}) for way in ("first", "left_out"))
    pd.testing.assert_frame_equal(one, other)
    assert [number.value for number in in_two_choirs(other)] == [0, 0]
    assert [number.value for number in in_two_choirs(between(marked(FOUR)))] == [0, 0]


def test_nobody_is_compared():
    """One approach alone has nobody in two choirs."""
    assert [(number.value, number.n) for number in in_two_choirs(between(marked((FOUR[0],))))] == [(0, 0), (0, 0)]


def test_who_crossed_over():
    """A second mark in a choir of the other approach counts; one without both marks does not."""
    pairs = marked(FOUR, post_choirs={"S0000": "B", "S0001": "C", "S0003": "A"})
    assert list(crossed_over(pairs)) == [True, False, False, False, False, False]


@given(listed=st.sets(st.integers(0, 5)))
@settings(max_examples=25, deadline=None)
def test_leaving_out_is_removing(listed):
    """Leaving members of two choirs out gives what removing their rows gives."""
    second = {f"S{number:04}": "B" for number in listed}
    pairs = marked(FOUR)
    alone = between(pairs[~pairs["student"].isin(second)], Comparison(program="ear", comparison="page"))
    found = between(pairs, Comparison(program="ear", comparison="page"))
    assert set(found["student"]) >= set(alone["student"])
    if {"ear", "page"} <= set(alone["approach"]):
        assert list(compared("left_out", second)["student"]) == list(alone["student"])
