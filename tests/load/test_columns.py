"""Headings: which of ours a school's heading means."""

import pytest

from kit.load.columns import day_heading, field_of, mark_heading, named_occasion, occasion_of, occasion_rank, plain


@pytest.mark.parametrize(
    ("heading", "field"),
    [("ID", "student"), (" Student ID ", "student"), ("\ufeffid", "student"), ("Name", "name"), ("Last_Name", "name"),
     ("Choir", "choir"), ("Voice part", "voice_part"), ("Group", "approach"), ("Scorer", "rater"), ("Last, First", "name"),
     ("Student (Last, First)", "name"), ("Shoe size", "")],
)  # fmt: skip
def test_headings_that_schools_write(heading, field):
    """A heading is known without regard to case, spaces and byte-order mark."""
    assert field_of(heading) == field


@pytest.mark.parametrize(
    ("earlier", "later"),
    [("Pre", "Post"), ("Fall", "Spring"), ("Sept", "Dec"), ("September", "May"), ("BOY", "EOY"), ("T1", "T2"),
     ("Test 1", "Test 2"), ("W0", "W1"), ("Pre-test", "Post test"), ("Fall", "January")],
)  # fmt: skip
def test_words_for_occasions_are_put_in_the_order_of_a_school_year(earlier, later):
    """Both words belong to one family, and the first comes first."""
    first, second = occasion_rank(earlier), occasion_rank(later)
    assert first[0] == second[0]
    assert first[1] < second[1]


@pytest.mark.parametrize("word", ["Remarks", "Marching", "Decoy", "Mayor", "Octet", ""])
def test_words_that_begin_like_a_month_are_no_occasion(word):
    """Octet is a choir, not October."""
    assert occasion_rank(word) is None


@pytest.mark.parametrize(
    ("word", "occasion"), [("BOY", "pre"), ("moy", "mid"), ("Posttest", "post"), ("retention", "later")]
)
def test_named_occasions(word, occasion):
    """Some words say themselves which occasion they are."""
    assert named_occasion(occasion_rank(word)) == occasion


@pytest.mark.parametrize(
    ("heading", "measure", "maximum"),
    [("Pre", "total", None), ("Pitch Fall (out of 20)", "pitch", 20), ("Sept /16", "total", 16), ("pretest.1", "test 1", None),
     ("Rhythm Dec (max 24)", "rhythm", 24), ("Fall Score", "total", None), ("post.test.3", "test 3", None)],
)  # fmt: skip
def test_headings_of_marks(heading, measure, maximum):
    """A heading tells the occasion, what was marked, and sometimes out of how many."""
    mark = mark_heading(heading)
    assert (mark.measure, mark.max_points) == (measure, maximum)
    assert mark.whens


def test_a_heading_without_an_occasion():
    """Score is a mark of no occasion; Remarks is no mark."""
    assert not mark_heading("Score").whens
    assert mark_heading("Remarks") is None
    assert plain("  Two   words. ") == "two words"


def test_the_form_of_a_test_is_no_mark():
    """A column "Form Sept" holds letters of forms, where A must not be read as absent."""
    assert mark_heading("Form Sept") is None
    assert mark_heading("Rater Dec") is None
    assert mark_heading("Test 2").measure == "total"


@pytest.mark.parametrize(
    ("heading", "attempt", "when"),
    [("Pre attempt 2", 2, True), ("2nd try Fall", 2, True), ("Attempt 3", 3, False), ("Take 1 Pre (of 20)", 1, True),
     ("Pre", 0, True)],
)  # fmt: skip
def test_headings_that_number_an_attempt(heading, attempt, when):
    """A heading may tell which try it holds; the number is no part of what was marked."""
    mark = mark_heading(heading)
    assert (mark.attempt, mark.measure, bool(mark.whens)) == (attempt, "total", when)


def test_headings_of_days():
    """A date with an occasion is the day of that test; a date alone, or another word beside it, is none."""
    assert day_heading("Pre date") == occasion_rank("Pre")
    assert day_heading("Date Fall") == occasion_rank("Fall")
    assert day_heading("Date") is None
    assert day_heading("Birth date") is None


@pytest.mark.parametrize(
    ("heading", "families"),
    [("Fall Pre", ["named", "calendar"]), ("Posttest (Dec.) /20", ["named", "calendar"]),
     ("Fall 2025", ["dated", "calendar"]), ("Spring (2026)", ["dated", "calendar"]), ("Pre 2025", ["named", "year"]),
     ("Fall 2025/26", ["dated", "calendar"]), ("Winter 2026", ["calendar", "year"]), ("Pre 2025-09-15", ["named", "day"]),
     ("Fall (Sept)", ["calendar"]), ("PostTotal", ["named"]), ("2nd test", ["numbered"]), ("Fall Test 2", ["calendar", "numbered"])],
)  # fmt: skip
def test_headings_with_several_words_of_time(heading, families):
    """All of them are words for the occasion: none is left to name what was marked, or how many points there are."""
    mark = mark_heading(heading)
    assert [family for family, _ in mark.whens] == families
    assert (mark.measure, mark.max_points) == ("total", 20 if "/20" in heading else None)


def test_the_form_in_a_heading_is_no_measure():
    """It is kept as the form of the test."""
    mark = mark_heading("Pre (Form b)")
    assert (mark.measure, mark.form) == ("total", "B")


@pytest.mark.parametrize("heading", ["Pre-Post gain", "Fall to Spring", "Test 1 - Test 2"])
def test_a_heading_of_two_occasions_is_of_neither(heading):
    """A difference of two tests is no mark of the first one."""
    assert mark_heading(heading) is None


def test_seasons_with_years_are_in_the_order_of_the_years():
    """Spring 2025 comes before fall 2025, and both before spring of the school year 2025-26."""
    dated = [dict(mark_heading(heading).whens)["dated"] for heading in ("Spring 2025", "Fall 2025", "Spring 2025-26")]
    assert dated == sorted(dated)
    assert dated[2] == dict(mark_heading("Spring 2026").whens)["dated"]


@pytest.mark.parametrize(
    ("name", "occasion"),
    [("pretest sept", "pre"), ("Treble posttest 2026", "post"), ("BOY", "pre"), ("After", "post"), ("fall", ""),
     ("After School Choir", ""), ("boy choir", ""), ("pre and post", ""), ("scores", "")],
)  # fmt: skip
def test_names_of_files_that_tell_the_test(name, occasion):
    """Only words that cannot mean anything else, and only one of them."""
    assert occasion_of(name) == occasion
