"""The written form of notes: strict, and the same both ways."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.load.notes import HOLD, NEUTRAL, REST, UNKNOWN, Note, read_notes, write_note, write_notes

NOTES = st.one_of(
    st.builds(Note, st.integers(1, 7), st.integers(-1, 1), st.one_of(st.none(), st.integers(-3, 3))),
    st.sampled_from([REST, HOLD, UNKNOWN, NEUTRAL]),
)


@given(st.lists(NOTES))
@settings(max_examples=50, deadline=None)
def test_reading_undoes_writing(notes):
    """Notes that are written and read back are the same notes."""
    assert read_notes(write_notes(notes)) == tuple(notes)


def test_written_form():
    """Sign, degree, octave marks; a star where the octave is not known; signs for what is no note."""
    notes = [Note(5, 0, -1), Note(1), Note(4, 1), Note(7, -1), Note(1, 0, 2), Note(6, 0, None), REST, HOLD, UNKNOWN, NEUTRAL]  # fmt: skip
    assert write_notes(notes) == "5, 1 #4 b7 1'' 6* 0 - ? n"


def test_nothing_is_nothing():
    """No notes are an empty text."""
    assert (write_notes([]), read_notes("")) == ("", ())


@pytest.mark.parametrize("text", ["8", "5 ", " 5", "5  3", "#", "b", "1',", "1*'", "x", "#?", "so", "1♯"])
def test_anything_else_is_refused(text):
    """A text that is not in the written form is refused."""
    with pytest.raises(ValueError, match="is not a sequence of notes in the kit's written form: see"):
        read_notes(text)


def test_the_refusal_names_the_token():
    """The refusal quotes the text and the token."""
    with pytest.raises(
        ValueError, match=r"^'5 so 3' is not a sequence of notes in the kit's written form: see 'so'\.$"
    ):
        read_notes("5 so 3")


def test_one_note():
    """One note is written like a sequence of one."""
    assert write_note(Note(3, -1, 1)) == write_notes([Note(3, -1, 1)]) == "b3'"
