"""What the readers of one copy see: a page for the public with choirs hidden, students rounded, digits cut."""

from dataclasses import dataclass, field, replace

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.figure import Figure

from kit.estimate import Estimate, Interval
from kit.report.numbers import as_printed, interval_cell, value_cell
from kit.report.page import THESE_DIGITS, Page
from kit.report.privacy.readers import Readers
from kit.report.said import Caption, Said
from kit.stats.counts import count
from kit.stats.proportions.shares import share_wilson


@dataclass(frozen=True)
class Kept:
    """What a copy must not tell exactly."""

    tests: int = 40

    ranges: dict = field(default_factory=lambda: {340: (330, 349), 315: (310, 329)})
    hidden: frozenset = frozenset({"Treble 2"})
    exempt: frozenset = frozenset({"Treble 1", "Treble 2", "Bass"})
    few: bool = False


def gain(about="pitch, Treble 1", n=24, value=2.256789, **changed):
    """Make an average gain."""
    ends = Interval(low=1.012345, high=3.512345, level=0.95, method="Student's t, gains", source="student-1908")
    made = Estimate(about=about, name="mean_gain", value=value, unit="points", n=n, source="student-1908", interval=ends,
                    p=0.0123456, df=22.98765, dropped=2)  # fmt: skip
    return replace(made, **changed)


def page(audience="public"):
    """Begin a page."""
    return Page(title="T", design="D1", audience=audience, withheld=None if audience == "teacher" else Kept())


def test_a_paragraph_that_tells_of_a_hidden_choir_is_hidden():
    """A choir that gives another away is told neither in a sentence nor in a picture nor in the table of numbers."""
    both = [gain(), gain("pitch, Treble 2")]
    public = page()
    assert public.say(Said(("They reach from 1 to 2.",), tuple(both))).plain.startswith("1 number is not shown")
    drawn = public.draw(lambda *_: Figure(), both, caption=Caption("Gains", "Two points."), estimates=both, groups=True)
    assert drawn.plain.startswith("Gains: 2 numbers are not shown")
    assert public.shown == {}
    assert page("teacher").say(Said(("They reach from 1 to 2.",), tuple(both))).plain == "They reach from 1 to 2."


def test_choirs_that_may_be_shown_are_parted_from_the_others():
    """Those that are hidden, or small, without taking another with them: that was solved for all of them."""
    every = [gain(), gain("pitch, Treble 2"), gain("pitch, Bass"), gain("pitch, Few", n=4)]
    shown, hidden = page().keep_groups(every)
    assert [one.about for one in shown] == ["pitch, Treble 1", "pitch, Bass"]
    assert [one.about for one in hidden] == ["pitch, Treble 2", "pitch, Few"]
    assert page("teacher").keep_groups(every) == (every, [])
    table = pd.DataFrame({"choir": ["Treble 1", "Treble 2", "Few"], "students": [20, 30, 4]})
    kept = page().keep_choirs(table)
    assert (kept["choir"].tolist(), kept.attrs["hidden"]) == (["Treble 1"], 2)
    assert page("teacher").keep_choirs(table).attrs["hidden"] == 0
    assert page().keep_choirs(pd.DataFrame()).empty


def test_a_picture_of_choirs_with_a_hidden_one_is_not_drawn():
    """However many students it has."""
    table = pd.DataFrame({"choir": ["Treble 1", "Treble 2"], "students": [20, 30]})
    assert "not shown" in page().choirs(lambda *_, **__: Figure(), table, caption=Caption("Choirs", "Points.")).plain
    kept = table.assign(choir=["Treble 1", "Bass"])
    assert "Figure 1" in page().choirs(lambda *_, **__: Figure(), kept, caption=Caption("Choirs", "Points.")).body


def test_sentences_tables_and_numbers_tell_the_same():
    """314 of about 340 students everywhere, and the note of the table of numbers says that digits are cut."""
    public, roster = page(), count(340, about="on the roster", of=340)
    assert public.say(Said(("314 of 340 students.",), (roster,))).plain == "314 of about 340 students."
    assert public.table(pd.DataFrame({"What": ["x"], "Students": ["315"]}), caption="T").table["Students"].tolist() == [
        "about 320"
    ]
    shown = public.estimates([gain("all", n=315)], caption="Gain")
    assert shown.table["Based on"].tolist() == ["about 320 students"]
    told = public.where_from()
    assert told.table.set_index("Label").loc["count/on-the-roster", "Based on"] == "about 340 students"
    assert THESE_DIGITS.split(",")[0] in told.body
    assert "left out" not in told.body.replace("leaves out", "")


def test_digits_are_those_printed_and_cut_once():
    """Value, ends, p and df as a table prints them; how many are left out is not told; the same again stays the same."""
    [told] = Readers("public")._told([gain()])
    assert (told.value, told.interval.low, told.interval.high, told.p, told.df, told.dropped) == (
        2.3,
        1.0,
        3.5,
        0.012,
        23.0,
        None,
    )
    readers = Readers("public")
    once = readers._told([gain(), gain("pitch, Bass")])
    assert readers._told(once) == once
    assert Readers("teacher")._told([gain()]) == [gain()]
    tests = gain("from test to test", n=808, counted="tests", dropped=59)
    assert Readers("public")._told([tests])[0].dropped is None
    choirs = gain("all choirs", n=14, counted="choirs", dropped=1)
    assert Readers("public")._told([choirs])[0].dropped == 1


@given(
    st.floats(0.1, 0.9),
    # at a width of just a tenth or a hundredth the last bit of a float says how many decimals are printed
    st.floats(0.001, 0.09).filter(lambda width: min(abs(width / 0.05 - 1), abs(width / 0.005 - 1)) > 1e-6),
    st.sampled_from(["points", "SD", "share", "correlation", "students"]),
)
@settings(max_examples=50, deadline=None)
def test_cut_digits_print_the_same(value, width, unit):
    """What is cut as printed prints as before where the ends allow the same decimals."""
    part = value * 30 if unit in ("points", "students") else value
    ends = Interval(low=part - width, high=part + width, level=0.95, method="m", source="student-1908")
    exact = Estimate(about="x", name="mean_score", value=part, unit=unit, n=24, source="student-1908", interval=ends)
    cut = as_printed(exact)
    if abs(cut.interval.high - cut.interval.low - 2 * width) < 1e-9 or unit == "students":
        assert value_cell(cut) == value_cell(exact)
        assert interval_cell(cut) == interval_cell(exact)
    assert cut.value == pytest.approx(part, abs=0.0051 if unit != "points" else 0.051)


def test_a_percentage_point_keeps_two_more_places():
    """A change of a share is told in percentage points, so its digits are those of the points."""
    change = gain(
        unit="share", value=0.123456, interval=Interval(low=0.05, high=0.2, level=0.95, method="m", source="x")
    )
    assert as_printed(change).value == 0.12
    limit = gain(name="attrition_boundary", unit="share", value=0.057, interval=None, notes=("x",))
    assert as_printed(limit) is limit
    few = gain(unit="share", value=0.0004, interval=None, notes=("x",))
    assert as_printed(few).value == 0.0004


def test_shares_are_told_as_ranges_to_others_only():
    """One of twenty: 20 percent or less to the public, 5 percent to the teacher; a sentence with it raw is hidden."""
    share = share_wilson(1, 20, about="top score")
    assert [value_cell(one) for one in page().shares([share])] == ["20 % or less"]
    assert page("teacher").shares([share]) == [share]
    assert page().say(Said(("5 percent.",), (share,))).plain.startswith("1 number is not shown")
    assert page().say(Said(("20 percent or less.",), tuple(page().shares([share])))).plain == "20 percent or less."


def test_reasons_are_told_test_by_test_and_not_where_their_sum_is_withheld():
    """A small reason takes the next of the same test along; those of a test whose missing are withheld are not told."""
    reasons = [
        count(number, about=about, of=400)
        for about, number in (("before: absent", 8), ("before: ill", 25), ("before: moved", 40), ("after: absent", 12))
    ]
    readers = Readers("public", Kept())
    assert [one.about for one in readers.counts(reasons)] == ["before: moved", "after: absent"]
    for ranges in ({73: (70, 79)}, {12: (10, 19), 73: (70, 79)}):
        told = Readers("public", Kept(ranges=ranges)).counts(reasons)
        assert [one.about for one in told] == ["after: absent"] * (12 not in ranges)
    assert Readers("teacher").counts(reasons) == reasons


@pytest.mark.parametrize(("audience", "few", "told"), [("public", True, 0), ("public", False, 1), ("teacher", True, 1)])
def test_an_average_over_two_choirs_is_not_told_where_one_is_small(audience, few, told):
    """Its range gives the average of each of the two: of 1.0, interval -8.6 to 10.7, they are 0.2 and 1.8."""
    ends = Interval(low=-8.6, high=10.7, level=0.95, method="Student's t", source="student-1908")
    of_two = Estimate(name="mean_gain", about="all choirs", value=1.0, unit="points", n=2, interval=ends, clusters=2,
                      source="student-1908", counted="choirs")  # fmt: skip
    others = [replace(of_two, n=3, about="others"), replace(of_two, n=30, counted="students", about="all")]
    readers = Readers(audience, Kept(few=few))
    assert len(readers.shares([of_two, *others])) == 2 + told
    assert readers.must_hide(of_two) == (not told)
    assert not any(map(readers.must_hide, others))
    shown, hidden = readers.keep_groups([of_two, *others])
    assert (of_two in shown, of_two in hidden) == (bool(told), not told)
