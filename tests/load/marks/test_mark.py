"""Score notations: every spelling of a mark, and every word for its absence."""

from datetime import datetime

import pytest

from kit.load.formats.formulas import STRUCK, UNSAVED
from kit.load.marks.mark import NO_MARK, Mark, read_mark, settle
from kit.tables import MISSING_REASONS


@pytest.mark.parametrize("text", ["17/20", "17 / 20", "17 of 20", "17 out of 20", "17/ 20", "  17 of  20 "])
def test_points_of_maximum_in_one_cell(text):
    """Every spelling of seventeen out of twenty is seventeen of twenty."""
    mark = settle(read_mark(text), max_points=None, scale="")
    assert (mark.points, mark.max_points, mark.share) == (17, 20, 0.85)


@pytest.mark.parametrize("text", ["85%", "85 %"])
def test_percent_sign(text):
    """A percent sign makes a share; points follow only where the maximum is declared."""
    assert settle(read_mark(text), max_points=None, scale="") == Mark(share=0.85, rule="percent sign")
    assert settle(read_mark(text), max_points=20, scale="").points == 17


def test_number_formats_change_the_meaning_of_a_number():
    """0.85 shown as 85% or as 17/20 is a share; shown plainly it is 0.85 points."""
    assert read_mark(0.85, "0%").share == 0.85
    assert read_mark(0.85, "# ?/?").share == 0.85
    assert read_mark(0.85).points == 0.85


def test_a_date_cell_reads_back_as_month_of_day():
    """20 May is what a spreadsheet program makes of 5/20."""
    mark = read_mark(datetime(2026, 5, 20))
    assert (mark.points, mark.max_points) == (5, 20)


@pytest.mark.parametrize(("dash", "expected"), [("of", 20), ("range", None), ("", None)])
def test_a_dash_is_read_only_as_declared(dash, expected):
    """17-20 is a range or a mark: undeclared it is unclear."""
    mark = read_mark("17-20", dash=dash)
    assert mark.max_points == expected
    assert mark.fault == ("" if expected else "unclear_mark")


@pytest.mark.parametrize(("word", "reason"), sorted(NO_MARK.items()))
def test_words_for_no_mark(word, reason):
    """Every word for a missing mark gives its reason, in any case, and is no number."""
    mark = read_mark(word.upper())
    assert (mark.missing_reason, mark.points, mark.fault) == (reason, None, "")
    assert reason in MISSING_REASONS


def test_why_a_student_is_excused_is_private():
    """The label that excuses a student is never repeated."""
    assert read_mark("IEP").private
    assert not read_mark("absent").private


@pytest.mark.parametrize(
    ("text", "reason"),
    [("Excused - tour", "excused"), ("absent (flu)", "absent"), ("moved to Ohio", "left"), ("Abs: trip", "absent")],
)
def test_a_word_for_no_mark_with_more_behind_it(text, reason):
    """What stands behind the word may be private and is never repeated."""
    mark = read_mark(text)
    assert (mark.missing_reason, mark.private) == (reason, True)


@pytest.mark.parametrize("text", ["absent (9)", "moved seats", "absentminded", "exc 12"])
def test_a_word_for_no_mark_that_may_be_something_else(text):
    """A number behind it may be a mark, and another word may mean another thing."""
    assert read_mark(text).fault == "not_a_mark"


@pytest.mark.parametrize("value", [None, "", "   "])
def test_nothing_is_missing_and_zero_is_zero(value):
    """An empty cell is missing without a reason; a zero is a mark."""
    assert read_mark(value).missing_reason == "unspecified"
    assert read_mark(0).points == 0
    assert read_mark("0").points == 0


@pytest.mark.parametrize("text", ["17+3", "17*", "~17", "17?", "<5", "16-17", "17 (again)", "17 (ELL)"])
def test_marks_that_can_be_read_in_two_ways(text):
    """A mark with a remark in it is set aside as unclear."""
    assert read_mark(text).fault == "unclear_mark"


@pytest.mark.parametrize(("value", "fault"), [("B+", "not_a_mark"), (True, "not_a_mark"), ("#DIV/0!", "formula_error")])
def test_what_is_no_mark(value, fault):
    """Letters, ticks and formula errors are no marks."""
    assert read_mark(value).fault == fault


@pytest.mark.parametrize(
    ("value", "most", "fault"), [("22", 20, "over_maximum"), ("22/20", None, "over_maximum"), ("-3", 20, "below_zero")]
)
def test_marks_out_of_bounds(value, most, fault):
    """A mark above the maximum or below zero is a fault, not a mark."""
    assert settle(read_mark(value), max_points=most, scale="").fault == fault


@pytest.mark.parametrize(
    ("scale", "value", "share"), [("percent", 85, 0.85), ("share", 0.85, 0.85), ("points", 17, 0.85)]
)
def test_declared_scale(scale, value, share):
    """A declared scale settles what a plain number means."""
    assert settle(read_mark(value), max_points=20, scale=scale).share == pytest.approx(share)


def test_without_a_maximum_points_have_no_share():
    """Points without a known maximum stay points."""
    assert settle(read_mark(17), max_points=None, scale="") == Mark(points=17)


def test_decimal_comma():
    """With a decimal comma 17,5 is seventeen and a half."""
    assert read_mark("17,5", decimal=",").points == 17.5
    assert read_mark("17,5/20", decimal=",").max_points == 20
    assert read_mark("17,5").fault == "unclear_mark"


@pytest.mark.parametrize(
    ("text", "points"),
    [("17½", 17.5), ("17 ½", 17.5), ("½", 0.5), ("17 1/2", 17.5), ("8 3/4", 8.75), ("16¼", 16.25), ("17½/20", 17.5)],
)
def test_halves_and_quarters(text, points):
    """A half or quarter after a number is part of it."""
    assert read_mark(text).points == points


@pytest.mark.parametrize("text", ["1/2", "3/4"])
def test_a_fraction_alone_is_points_of_a_maximum(text):
    """1/2 without a number before it is one of two."""
    assert read_mark(text).max_points in (2, 4)
    assert read_mark(text).rule == "points of maximum in one cell"


@pytest.mark.parametrize("shown", ["# ?/?", "# ??/20", "?/20", "0/20"])
def test_a_number_shown_as_a_fraction_is_a_share(shown):
    """0.85 shown as 17/20 is a share in whatever fraction format."""
    assert read_mark(0.85, shown).share == 0.85


def test_the_rater_in_the_cell():
    """Initials in brackets are kept beside the mark, other words are not."""
    assert (read_mark("17 (JM)").points, read_mark("17 (JM)").rater) == (17, "JM")
    assert read_mark("17,5 (JM)", decimal=",").points == 17.5
    assert read_mark("absent (JM)").fault == "not_a_mark"


def test_struck_through_and_unsaved_cells():
    """Cells that the workbook reader marks as unusable give their own reasons."""
    assert read_mark(STRUCK).fault == "cell_struck"
    assert read_mark(UNSAVED).fault == "formula_unsaved"


@pytest.mark.parametrize("value", ["9" * 400, "1/" + "0" * 50, 10**400, float("inf"), "x" * 10**5])
def test_numbers_without_end_are_no_marks(value):
    """Hundreds of digits are no mark, and never an infinite one."""
    assert read_mark(value).fault == "not_a_mark"
