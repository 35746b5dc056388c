"""Headings of single notes, keys and patterns."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.load.columns import plain
from kit.load.declared_music import ItemSource, KeySource
from kit.load.items.columns import (
    columns_of,
    item_field,
    known_item_heading,
    looks_like_items,
    looks_like_keys,
    looks_like_patterns,
    numbered_run,
    suggest_items,
    suggest_keys,
)
from kit.load.layout import Header


def header(*headings: str) -> Header:
    """Make the header of a sheet."""
    return Header(0, headings, {plain(heading): at for at, heading in enumerate(headings)}, ())


@pytest.mark.parametrize(
    ("headings", "run"),
    [(["ID", "n1", "n2", "n3", "Total"], ("n1", "n2", "n3")), (["Note 1", "Note 2"], ()),
     (["Q01", "Q02", "Q03"], ("Q01", "Q02", "Q03")), (["1", "2", "3", "4"], ("1", "2", "3", "4")),
     (["T1", "T2", "T3"], ()), (["n1", "n3", "n4", "n5"], ("n3", "n4", "n5")), ([], ())],
)  # fmt: skip
def test_numbered_run(headings, run):
    """A run of one word and numbers that go up by one is notes; tests, tries and judges are none."""
    assert numbered_run(headings) == run


@settings(max_examples=50, deadline=None)
@given(st.integers(1, 40), st.integers(0, 30), st.booleans())
def test_a_range_is_written_out(first, more, padded):
    """A range gives a heading for each number, padded where the headings are."""
    names = [f"n{number:02d}" if padded else f"n{number}" for number in range(first, first + more + 1)]
    assert columns_of([f"n{first}..n{first + more}"], header("ID", *names))[-1] in (names[-1], f"n{first + more}")
    assert columns_of([f"{names[0]}..{names[-1]}"], header("ID", *names)) == tuple(names)


def test_headings_that_are_no_range():
    """Single headings stay as they are, also those with two points that stand in the sheet."""
    assert columns_of(["a..b", "x1", "y1..z3"], header("a..b")) == ("a..b", "x1", "y1..z3")
    assert columns_of(["n1..3"], header("n1", "n2", "n3")) == ("n1", "n2", "n3")


def test_suggest_a_row_for_each_note():
    """The headings of the columns fill the source, with the evidence."""
    found = suggest_items(
        ItemSource(file="f"), header("student", "wave", "form", "note", "marked", "sung_instead", "blind"), []
    )
    source = found.source
    assert (source.student, source.occasion, source.item, source.right) == ("student", "wave", "note", "marked") or (
        source.name == ("student",)
    )
    assert (source.sung, source.second_rater, source.items, source.string) == ("sung_instead", "blind", (), "")
    assert 'right: column "marked"' in found.evidence


def test_suggest_columns_and_strings():
    """A run of columns goes before all else; what a row about several notes cannot say is not suggested."""
    wide = suggest_items(ItemSource(file="f"), header("ID", "n1", "n2", "n3", "Sung"), [])
    assert (wide.source.items, wide.source.sung) == (("n1", "n2", "n3"), "")
    assert 'a column for each note: "n1" to "n3"' in wide.evidence
    string = suggest_items(ItemSource(file="f"), header("ID", "Notes", "Sung"), [])
    assert (string.source.string, string.source.sung) == ("Notes", "")


def test_open_questions():
    """What stays open is said."""
    decide = [suggest_items(ItemSource(file="f"), header(*headings), []).decide for headings in (
        ("ID", "Form"), ("ID", "Note"), ("Form", "Note", "Right"))]  # fmt: skip
    assert decide == [
        ("no column of single notes is recognised: name item and right, or items, or string",),
        ("no column says whether a note was right: name it under right",),
        ("no column names the student: name it under student",),
    ]
    assert suggest_keys(KeySource(file="f"), header("Degree"), []).decide == (
        "no column gives the place of a note in its melody: name it under item",
    )


def test_kinds_are_told_apart():
    """Each kind of file has headings of its own."""
    items = ["student", "wave", "form", "melody", "note", "marked", "sung_instead", "syllable", "blind"]
    key = ["form", "melody", "note", "degree", "approach", "drilled"]
    patterns = ["pattern", "notes"]
    scores, roster = ["ID", "Wave", "Form", "Score"], ["Student ID", "Choir", "Approach", "Voice part"]
    drills = ["date", "student", "pattern", "target", "try", "response", "pitch_right"]
    files = (items, key, patterns, scores, roster, drills)
    assert [looks_like_items(file) for file in files] == [4, 0, 0, 0, 0, 0]
    assert [looks_like_keys(file) for file in files] == [0, 4, 0, 0, 0, 0]
    assert [looks_like_patterns(file) for file in files] == [0, 0, 2, 0, 0, 0]
    assert looks_like_items(["ID", *(f"n{at}" for at in range(1, 25))]) == 24


def test_known_headings():
    """Fields of persons and tests and numbered columns can be headings; other words cannot."""
    assert all(map(known_item_heading, ("ID", "Note", "n1", "Form", "Sung instead")))
    assert not any(map(known_item_heading, ("Larch", "abs", "", None)))
    assert (item_field("Wave"), item_field("Grade")) == ("occasion", "")
