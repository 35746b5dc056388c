"""Numbers of students told rounded: in estimates, sentences, captions and tables alike, and nowhere else."""

from dataclasses import replace

import pandas as pd
import pytest

from kit.estimate import Estimate, Interval
from kit.report.numbers import value_cell
from kit.report.privacy.coding import code
from kit.report.privacy.rounding import Rounding, told_n, told_value
from kit.report.said import Caption, Said
from kit.stats.counts import count
from kit.stats.proportions.shares import share_wilson

ROUNDING = Rounding({340: (330, 349), 315: (310, 329), 26: (20, 29), 24: (20, 29)}, exempt=("Treble 2",))
CHOIR = Rounding({30: (25, 34)})
ROSTER, BOTH = count(340, about="on the roster", of=340), count(314, about="tested both times", of=340)
OF = "Of about {} students: the exact number would give small groups away."
THIS = "This is about 340: the exact number would give small groups away."


def mean(n, **changed):
    """Make an average over students."""
    whole = Interval(low=12.123456, high=float("inf"), level=0.95, method="Student's t", source="student-1908")
    made = Estimate(
        about="pitch", name="mean_score", value=13.184713, unit="points", n=n, source="student-1908", interval=whole,
        df=314.0, dropped=26,
    )  # fmt: skip
    return replace(made, **changed)


def test_a_count_is_rounded_with_its_whole():
    """Value and whole are rounded where each must be, and the note says so."""
    roster, both = ROUNDING.estimates([ROSTER, count(314, about="tested both times", of=347)])
    assert (roster.value, roster.n, roster.notes[1:]) == (340, 340, (OF.format(340), THIS))
    assert (both.value, both.n) == (314, 347)
    assert (ROUNDING.estimate(BOTH).value, ROUNDING.estimate(BOTH).n) == (314, 340)
    assert ROUNDING.estimate(count(26, about="lost", of=315)).value == 25
    assert ROUNDING.estimate(count(26, about="lost", of=315)).n == 320


def test_digits_that_would_give_the_number_back_are_cut():
    """10 of 315 is 0.0317460...: the digits alone would give 315 back, so they are cut, with the interval and df."""
    share = ROUNDING.estimate(share_wilson(10, 315, about="top score"))
    assert (share.value, share.n, share.df) == (0.03, 320, None)
    assert share.interval.low == round(share.interval.low, 2)
    average = ROUNDING.estimate(mean(315))
    assert (average.value, average.n, average.dropped, average.df) == (13.2, 320, 26, None)
    assert (average.interval.low, average.interval.high) == (12.1, float("inf"))
    assert ROUNDING.estimate(mean(315, interval=None, unit="SD", notes=("none",))).value == 13.18


def test_a_range_stays_a_range():
    """A share told as a range and of a rounded number of students is still told as a range."""
    coded = code(share_wilson(0, 315, about="no points"))
    assert value_cell(ROUNDING.estimate(coded)) == "1 % or less"
    assert code(ROUNDING.estimate(coded)) == ROUNDING.estimate(coded)


def test_what_need_not_be_rounded_keeps_its_digits():
    """Another number keeps value, n and df, and so do a choir's own numbers and what counts no students."""
    assert ROUNDING.estimate(mean(314)) == mean(314)
    choir = mean(24, about="pitch, Treble 2")
    assert ROUNDING.estimate(choir) is choir
    meetings = count(340, about="meetings logged", unit="meetings")
    assert ROUNDING.estimate(meetings) is meetings
    assert Rounding().estimate(mean(315)) == mean(315)


def test_rounding_twice_is_rounding_once():
    """What is rounded is not rounded again, though the rounded number is to be rounded too."""
    once = ROUNDING.estimate(mean(340))
    assert ROUNDING.estimate(once) == once


@pytest.mark.parametrize(
    ("text", "told"),
    [("314 of 340 students took both tests.", "314 of about 340 students took both tests."),
     ("26 of 340 left, 26 points and 26 percent.", "20 to 29 of about 340 left, 26 points and 26 percent."),
     ("grade 26, week 26, 3.26, 26.3, 26-03, 26 choirs, 340,", "grade 26, week 26, 3.26, 26.3, 26-03, 26 choirs, about 340,"),
     ("about 340 students", "about 340 students"), ("Nothing.", "Nothing."), ("315 students", "315 students")],
)  # fmt: skip
def test_sentences(text, told):
    """Whole numbers of the estimates a sentence tells, unless they count or measure something else."""
    assert ROUNDING.text(text, [ROSTER, count(26, about="lost", of=340)]) == told


def test_a_paragraph_and_a_caption_are_rounded_with_their_estimates():
    """Sentences and estimates go together; a caption keeps its title."""
    said = ROUNDING.said(Said(("314 of 340 students.",), (BOTH,), limits=True))
    assert said == Said(("314 of about 340 students.",), (ROUNDING.estimate(BOTH),), limits=True)
    drawn = ROUNDING.caption(Caption("Who, 340", "Boxes of 340 students.", "All 340."), [BOTH])
    assert drawn == Caption("Who, 340", "Boxes of about 340 students.", "All about 340.")
    assert Rounding().said(Said(("340 students.",), (BOTH,))) == Said(("340 students.",), (BOTH,))


def test_tables_are_rounded_in_the_columns_of_students():
    """Columns that hold numbers of students; other columns and other numbers stay."""
    rows = pd.DataFrame({"What": ["340 a", "b"], "Students": ["315", "314"], "Based on": ["340 students", "26 choirs"]})
    told = ROUNDING.rows(rows)
    assert told.to_dict("list") == {
        "What": ["340 a", "b"], "Students": ["about 320", "314"], "Based on": ["about 340 students", "26 choirs"],
    }  # fmt: skip
    assert Rounding().rows(rows) is rows


def test_a_rounded_number_says_so():
    """The word stands before what is rounded, also where it happens to be round already."""
    assert told_n(ROUNDING.estimate(mean(340))) == "about 340"
    assert told_n(mean(314)) == "314"
    assert told_value(ROUNDING.estimate(ROSTER)) == "about 340"
    assert told_value(ROUNDING.estimate(BOTH)) == ""
    assert told_n(ROUNDING.estimate(BOTH)) == "about 340"


def test_a_choirs_own_numbers_are_told_as_ranges():
    """25 of 30 singers: 25 of 25 to 34, in sentences, tables and estimates; written once, it stays."""
    both = count(25, about="tested both times", of=30)
    assert CHOIR.text("25 of 30 students took both tests.", [both]) == "25 of 25 to 34 students took both tests."
    assert CHOIR.text("25 to 34 of 25 to 30", [both]) == "25 to 34 of 25 to 30"
    told = CHOIR.estimate(both)
    assert (told.value, told.n, told_n(told)) == (25, 30, "25 to 34")
    assert told_value(CHOIR.estimate(count(30, about="on the roster", of=30))) == "25 to 34"
    assert CHOIR.rows(pd.DataFrame({"Students": ["30"]}))["Students"].tolist() == ["25 to 34"]


WITH_TESTS = Rounding({1340: (1330, 1349)}, tests=40)


def test_numbers_of_tests_are_told_by_ranges():
    """808 tests are about 800 in the estimate and the sentence; other numbers of the sentence stay, and none is none."""
    growth = mean(808, about="from test to test", counted="tests", df=10.6)
    told = WITH_TESTS.estimate(growth)
    assert (told.n, told.df, told.value, told_n(told)) == (800, 10.6, 13.2, "about 800")
    assert WITH_TESTS.estimate(told) == told
    taken = count(417, about="ear-first, tests taken", unit="tests")
    told = WITH_TESTS.estimate(taken)
    assert (told.value, told.n, told_value(told)) == (400, 400, "about 400")
    few = WITH_TESTS.estimate(count(31, about="tests taken", unit="tests"))
    assert (few.value, told_value(few)) == (40, "20 to 59")
    assert WITH_TESTS.estimate(count(0, about="tests taken", unit="tests")).value == 0
    text = "150 students: 417 tests taken, 417 meetings, 1,603 minutes."
    assert WITH_TESTS.text(text, [taken]) == "150 students: about 400 tests taken, 417 meetings, 1,603 minutes."
    assert WITH_TESTS.text("about 420 tests", [count(420, about="x", unit="tests")]) == "about 420 tests"
    assert Rounding().estimate(growth) is growth


def test_thousands_are_rounded_too():
    """A comma in a number hides nothing."""
    roster = count(1340, about="on the roster", of=1340)
    assert WITH_TESTS.text("1,340 students; 1340 students; 21,340 tests", [roster]) == (
        "about 1,340 students; about 1,340 students; 21,340 tests"
    )
    assert told_value(WITH_TESTS.estimate(roster)) == "about 1,340"
    assert WITH_TESTS.rows(pd.DataFrame({"Students": ["1,340"]}))["Students"].tolist() == ["about 1,340"]
