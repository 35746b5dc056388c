"""Grades and voice parts in the spellings of rosters."""

from datetime import datetime

import pytest

from kit.load.people.grades import Word, read_grade, read_voice_part


@pytest.mark.parametrize(
    ("value", "grade"),
    [("9th", "9"), ("Yr 9", "9"), ("Year 9", "9"), ("Fr", "9"), ("Freshman", "9"), (9, "9"), (9.0, "9"), ("09", "9"),
     ("Grade 10", "10"), ("7th grade", "7"), ("6th graders", "6"), ("Sr.", "12"), ("K", "K"), ("mixed", "mixed"),
     ("99", "99"), (None, "")],
)  # fmt: skip
def test_grades(value, grade):
    """A grade is a number in whatever spelling; other words stay."""
    assert read_grade(value).text == grade


@pytest.mark.parametrize("value", ["9/10", "9-10", "9 & 10", "9th and 10th", "7th/8th", datetime(2025, 9, 10)])
def test_split_grades(value):
    """Two grades in one cell are none, also where a spreadsheet program has made a date of them."""
    assert read_grade(value) == Word(fault="grade_split")


@pytest.mark.parametrize(
    ("value", "voice"),
    [("S1", "Soprano 1"), ("Sop", "Soprano"), ("A/T", "Alto or tenor"), ("cambiata", "Cambiata"), ("Altos", "Alto"),
     ("changing voice", "Changing"), ("Soprano II", "Soprano 2"), ("2nd Alto", "Alto 2"), ("Part 1", "Part 1"),
     ("bass", "Bass"), ("T2/Bar", "Tenor 2 or baritone"), (None, "")],
)  # fmt: skip
def test_voice_parts(value, voice):
    """A voice part is written in full, with its number."""
    assert read_voice_part(value) == Word(voice, rule="" if voice in (value, "") else "voice part written in full")


@pytest.mark.parametrize("value", ["kazoo", "S1 2", "?", 7])
def test_words_that_are_no_voice_part(value):
    """Any other word is left out, without an error."""
    assert read_voice_part(value) == Word(fault="unknown_code")
