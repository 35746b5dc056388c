"""Approaches, pitch and name apart, and the key: small melodies worked out by hand, and laws."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import UnknownChoiceError
from kit.load.melody.alignment import OUTCOMES, align
from kit.load.melody.bits import LONGEST
from kit.load.melody.judge import BOTH, LEAST_HELD, Correctness, approaches, correctness, judge, judge_log
from kit.load.melody.steps import semitones
from kit.load.notes import Note, read_notes, write_notes
from kit.tables import APPROACHES

NOTES = st.builds(Note, degree=st.integers(1, 7), alter=st.integers(-1, 1), octave=st.integers(-1, 1))
MELODIES = st.lists(NOTES, min_size=1, max_size=10)


@pytest.mark.parametrize(
    ("target", "expected"),
    [
        ("", ""),
        ("1", "-"),
        ("1 1 2 3 1", "- repeat step step triad_skip"),
        ("1 3 5 1' 5 1", "- triad_skip triad_skip triad_skip triad_skip triad_skip"),
        ("5, 1 1'", "- triad_skip triad_skip"),
        ("7 1'", "- step"),
        ("1 7, 1", "- step step"),
        ("1 7 1'", "- other_skip step"),
        ("1 7 1", "- step step"),
        ("5* 1 7 1", "- triad_skip step step"),
        ("1' 7* 1'", "- step step"),
        ("2 4 6 2", "- other_skip other_skip other_skip"),
        ("1 5 2 5", "- triad_skip other_skip other_skip"),
        ("1 1' 2", "- triad_skip other_skip"),
        ("2 2'", "- other_skip"),
        ("1 #1 2 b2", "- step step step"),
        ("3 #4 5", "- step step"),
        ("1 b3 5 3", "- other_skip other_skip triad_skip"),
        ("1 #5", "- other_skip"),
        ("1 0 2 - 2", "- step repeat"),
        ("1 ? 2 3", "- - - step"),
        ("n n", "- -"),
    ],
)
def test_approaches(target, expected):
    """Neighbouring letters are steps, triad notes triad skips, and unmarked octaves are the nearest ones."""
    assert approaches(target) == tuple("" if word == "-" else word for word in expected.split())


def test_minor_has_its_own_triad():
    """In minor the triad has the lowered third."""
    assert approaches("1 b3 5 3 1", mode="minor") == ("", "triad_skip", "triad_skip", "other_skip", "other_skip")


def test_an_unknown_mode_is_refused():
    """A mode that is neither is refused with the two there are."""
    with pytest.raises(UnknownChoiceError) as caught:
        approaches("1 2", mode="dorian")
    assert str(caught.value) == "approaches: mode must be one of 'major', 'minor'. Got 'dorian'."


@settings(max_examples=50, deadline=None)
@given(MELODIES)
def test_approaches_are_the_same_backwards(notes):
    """A move up and the same move down are called the same, and every word is one of the table's."""
    forward, backward = approaches(write_notes(notes)), approaches(write_notes(notes[::-1]))
    assert forward[1:] == backward[1:][::-1]
    assert set(forward[1:]) <= set(APPROACHES)
    assert forward[0] == ""


@settings(max_examples=50, deadline=None)
@given(MELODIES)
def test_octave_higher_is_approached_alike(notes):
    """A melody two octaves higher, so that every note is marked, is approached as in its own marked octave."""
    higher, highest = (
        write_notes(Note(note.degree, note.alter, note.octave + up) for note in notes) for up in (2, 3)
    )  # fmt: skip
    assert approaches(higher) == approaches(highest)


def test_semitones_of_the_chromatic_scale():
    """Sharps going up and flats going down fill the octave by single semitones (from memory)."""
    up = read_notes("1 #1 2 #2 3 4 #4 5 #5 6 #6 7 1'")
    down = read_notes("1' 7 b7 6 b6 5 b5 4 3 b3 2 b2 1 7,")
    assert [semitones(note) for note in up] == list(range(13))
    assert [semitones(note) for note in down] == list(range(12, -2, -1))
    assert semitones(read_notes("?")[0]) is None


def test_pitch_and_name_are_judged_apart():
    """Each of the four outcomes of pitch and name is told from the others."""
    found = judge("1 3 5 3", "1 3 4 1", "1 2 5 1")
    assert [note.both for note in found] == ["both_right", "pitch_only", "name_only", "neither"]
    assert [note.pitch for note in found] == ["right", "right", "substituted", "substituted"]
    assert [note.name for note in found] == ["right", "substituted", "right", "substituted"]
    assert [note.approached_by for note in found] == ["", "triad_skip", "triad_skip", "triad_skip"]
    assert [note.target for note in found] == ["1", "3", "5", "3"]


def test_names_have_no_octave():
    """A name said without octave is the right name; a pitch in another octave is another pitch."""
    assert [note.both for note in judge("5, 1", "5 1", "5 1")] == ["name_only", "both_right"]


@pytest.mark.parametrize(("sung", "said"), [("1 3", "n n"), ("1 3", ""), ("", "1 3")])
def test_both_need_both(sung, said):
    """A neutral syllable, or one of the two not recorded, leaves the pair unjudged and the other judged."""
    found = judge("1 3", sung, said)
    assert [note.both for note in found] == ["not_judged", "not_judged"]
    assert {note.pitch for note in found} == {"right" if sung else "not_judged"}


def test_a_log_is_judged_as_its_rows():
    """Judging a log gives what judging each row gives."""
    rows = [("1 3 5", "1 5", "1 3 5"), ("1 2", "1 2", "n"), ("5, 1", "5, 2 1", "5 1"), ("", "1", "1")]
    table = judge_log(*zip(*rows, strict=True))
    expected = [note for row in rows for note in judge(*row)]
    assert table["both"].tolist() == [note.both for note in expected]
    assert table["row"].tolist() == [0, 0, 0, 1, 1, 2, 2]
    assert set(table["both"].cat.categories) == set(BOTH)
    assert set(table["name"].cat.categories) == set(OUTCOMES)


YES, NO, NONE = True, False, None


@pytest.mark.parametrize(
    ("target", "sung", "tonic", "interval", "key"),
    [
        ("1 2 3 4 5 3 1", "1 2 3 4 5 3 1", [YES] * 7, [NONE] + [YES] * 6, "kept"),
        # a whole tone lost after the second note, all right after that
        ("1 2 3 4 5 3 1", "1 2 2 b3 4 2 b7,", [YES] * 2 + [NO] * 5, [NONE, YES, NO] + [YES] * 4, "shifted"),
        # the same in a scale up and down, which by the alignment alone would look like a note omitted and one added
        ("1 2 3 4 5 6 5 4 3 2 1", "1 2 2 b3 4 5 4 b3 2 1 b7,", [YES] * 2 + [NO] * 9, [NONE, YES, NO] + [YES] * 8,
         "shifted"),
        # three notes make a key that is held, two do not
        ("1 2 3 4 5 3", "1 2 3 b3 4 2", [YES] * 3 + [NO] * 3, [NONE, YES, YES, NO, YES, YES], "shifted"),
        ("1 2 3 4 5", "1 2 3 b3 4", [YES] * 3 + [NO] * 2, [NONE, YES, YES, NO, YES], "kept"),
        # half of the notes at home, and less than half
        ("1 3 5 3 1 2", "1 4 #5 3 1 #2", [YES, NO, NO, YES, YES, NO], [NONE, NO, YES, NO, YES, NO], "kept"),
        ("1 3 5 3 1 2", "1 4 6 4 1 #2", [YES, NO, NO, NO, YES, NO], [NONE, NO, NO, NO, NO, NO], "lost"),
        # a semitone too high from the beginning
        ("1 2 3 1", "#1 #2 #3 #1", [NO] * 4, [NONE] + [YES] * 3, "shifted"),
        # one wrong note costs one note from the tonic, and two intervals
        ("1 2 3 4 5", "1 2 4 4 5", [YES, YES, NO, YES, YES], [NONE, YES, NO, NO, YES], "kept"),
        # an octave lower is no other key
        ("1 3 5 1", "1, 3, 5, 1,", [NO] * 4, [NONE] + [YES] * 3, "kept"),
        # flatter with every note
        ("1' 1' 1' 1' 1' 1'", "1' 7 b7 6 b6 5", [YES] + [NO] * 5, [NONE] + [NO] * 5, "lost"),
        # another key, and back
        ("1 2 3 5 4 3 1 2", "1 2 b3 b5 b4 b3 1 2", [YES, YES, NO, NO, NO, NO, YES, YES],
         [NONE, YES, NO, YES, YES, YES, NO, YES], "shifted"),
        # what may be a key left and found again, or a note left out and one added, is read as the latter
        ("1 2 3 2 1 2 3", "1 2 2 1 b7, 2 3", [YES, YES, NO, YES, YES, YES, YES],
         [NONE, YES, NO, YES, YES, YES, YES], "kept"),
        # the same sound by another name
        ("1 #1 2", "1 b2 2", [YES] * 3, [NONE, YES, YES], "kept"),
        # left out: wrong, and the next interval is judged from the last note that was sung
        ("1 2 3 4 5", "1 2 4 5", [YES, YES, NO, YES, YES], [NONE, YES, NO, YES, YES], "kept"),
        ("1 2 3 4", "1 ? 3 4", [YES, NO, YES, YES], [NONE, NO, YES, YES], "kept"),
        # left out and added: paired by the alignment, which makes more right than pairing in order
        ("1 2 3 4 5", "1 3 4 5 5", [YES, NO, YES, YES, YES], [NONE, NO, YES, YES, YES], "kept"),
        ("1 2 3", "5, 1 2 3", [YES] * 3, [NONE, YES, YES], "kept"),
        # octaves not known are ignored
        ("5, 1 2", "5* 1 2", [YES] * 3, [NONE, YES, YES], "kept"),
        # too short to tell, silent, without names, not recorded
        ("1 2", "1 2", [YES, YES], [NONE, YES], ""),
        ("1 2 3", "0", [NO] * 3, [NONE] * 3, ""),
        ("1 2 3", "n n n", [NONE] * 3, [NONE] * 3, ""),
        ("1 2 3", "", [NONE] * 3, [NONE] * 3, ""),
        ("", "1", [], [], ""),
        ("1 0 2 3", "1 2 - 3", [YES] * 3, [NONE, YES, YES], "kept"),
    ],
)  # fmt: skip
def test_correctness(target, sung, tonic, interval, key):
    """Right from the tonic, right from the note before, and the key, each worked out by hand."""
    assert correctness(target, sung) == Correctness(tuple(tonic), tuple(interval), key)


def test_too_long_a_melody_is_not_judged():
    """A melody longer than the limit has no correctness."""
    long = " ".join(["1"] * (LONGEST + 1))
    assert correctness(long, long) == Correctness((None,) * (LONGEST + 1), (None,) * (LONGEST + 1), "")


@settings(max_examples=50, deadline=None)
@given(MELODIES, st.integers(-1, 1))
def test_moving_everything_leaves_the_intervals(notes, moved):
    """A melody sung in another octave throughout has every interval right."""
    sung = write_notes(Note(note.degree, note.alter, note.octave + moved) for note in notes)
    found = correctness(write_notes(notes), sung)
    assert found.interval_referenced == (None, *(True for _ in notes[1:]))
    assert found.tonic_referenced == tuple(moved == 0 for _ in notes)
    assert found.key_kept == ("kept" if len(notes) >= LEAST_HELD else "")


@settings(max_examples=50, deadline=None)
@given(MELODIES, MELODIES)
def test_a_note_that_is_right_twice_over(notes, sung):
    """A note right from the tonic, after one that is, is right from the note before as well."""
    found = correctness(write_notes(notes), write_notes(sung))
    for place in range(1, len(notes)):
        if found.tonic_referenced[place] and found.tonic_referenced[place - 1]:
            assert found.interval_referenced[place]


@settings(max_examples=50, deadline=None)
@given(st.lists(st.integers(1, 7), min_size=1, max_size=10), st.lists(st.integers(1, 7), min_size=1, max_size=10))
def test_notes_right_by_alignment_are_right_from_the_tonic(asked, sung):
    """Where melodies differ in length, and names are plain, the alignment and the tonic agree on every note."""
    target, heard = (" ".join(map(str, notes)) for notes in (asked, sung))
    found, marks = correctness(target, heard), align([target], [heard]).frame()["outcome"]
    if len(asked) != len(sung):
        assert found.tonic_referenced == tuple(marks == "right")
