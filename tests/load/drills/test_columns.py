"""Headings of drill logs."""

import pytest

from kit.load.declared_music import DrillSource
from kit.load.drills.columns import drill_field, is_drill_heading, looks_like, suggest_drills
from kit.load.layout import Header


def header(*headings):
    """Make a header of a first row."""
    return Header(0, headings, {heading.casefold(): at for at, heading in enumerate(headings)}, ())


@pytest.mark.parametrize(
    ("heading", "field"),
    [("Date", "date"), ("Minutes", "minutes"), ("How long?", "minutes"), ("Sang", "sung"), ("sung_instead", "sung"),
     ("Pitch_right", "pitch_right"), ("Correct?", "right"), ("Class Rating", "class_rating"), ("Remarks", "note"),
     ("Student ID", "student"), ("Choir", "choir"), ("Post", ""), ("", "")],
)  # fmt: skip
def test_fields(heading, field):
    """A heading means one field or none, whatever its case and punctuation."""
    assert drill_field(heading) == field
    assert is_drill_heading(heading) == bool(field)


def test_looks_like():
    """A drill log has headings that no other file has; marks and rosters have none of them."""
    assert looks_like(["Date", "Choir", "Minutes", "Activity", "Stage"]) == 3
    assert looks_like(["ID", "Name", "Choir", "Pre", "Post"]) == 0
    assert looks_like(["Student", "Melody", "Item", "Right"]) == 0


def test_suggestion():
    """Fields are filled with the evidence; what is declared stays."""
    found = suggest_drills(
        DrillSource(file="a.csv", sung="Heard"), header("Date", "Singer", "Sec", "Sung", "Heard"), [["", "R4", 5]]
    )
    source = found.source
    assert (source.date, source.student, source.minutes, source.minutes_unit, source.sung) == (
        "Date", "Singer", "Sec", "seconds", "Heard",
    )  # fmt: skip
    assert found.evidence == (
        'date: column "Date"', 'student: column "Singer"', 'minutes: column "Sec"',
        'minutes: "Sec" are seconds, as the heading says',
    )  # fmt: skip
