"""The key of a test: its notes, how each is reached, and what is wrong with a key."""

from pathlib import Path

import pandas as pd

from kit.load.declared import Rules
from kit.load.declared_music import KeySource, Syllables
from kit.load.formats.cells import read_book
from kit.load.items.keys import KEY_COLUMNS, item_number, read_keys, read_one_note

SYSTEM = Syllables(system="movable_i_up_e_down")


def read(folder: Path, text: str, syllables: Syllables = SYSTEM, **declared):
    """Write a key and read it."""
    (folder / "key.csv").write_text(text, encoding="utf-8")
    source = KeySource(file="key.csv", syllables=syllables, **declared)
    return read_keys(read_book(folder / "key.csv"), source, Rules())


def problems(found) -> list[str]:
    """List what was refused or set aside, in sentences."""
    account = found.accounts[0]
    return [str(p) for p in (*account.problems, *account.aside.values(), *account.cells_aside)]


def test_a_key_with_all_tags(tmp_path):
    """Form, melody, place, degree, octave-free degree, approach and drilled come from their columns."""
    found = read(tmp_path, "form,melody,note,degree,approach,drilled\nA,1,1,do,,1\nA,1,2,high do,Other skip,0\n")
    table = found.table()
    assert list(table.columns) == list(KEY_COLUMNS)
    assert table.drop(columns=["file", "sheet"]).to_numpy().tolist() == [
        ["A", "pitch", "1", 1, 1, 0, "", True, 2], ["A", "pitch", "1", 2, 1, 0, "other_skip", False, 3]
    ]  # fmt: skip
    assert problems(found) == []


def test_approach_told_by_the_notes(tmp_path):
    """Without a column of approaches the notes of each melody tell; after a gap nothing is told."""
    found = read(tmp_path, "melody,note,degree\n1,1,do\n1,2,mi\n1,3,fi\n1,5,so\n2,1,so\n2,2,so\n")
    assert found.table().approached_by.tolist() == ["", "triad_skip", "step", "", "", "repeat"]
    assert found.table().alter.tolist() == [0, 0, 1, 0, 0, 0]


def test_a_word_that_leaves_the_skip_open(tmp_path):
    """Where the key says skip and no more, the notes tell which one; a word that is none is set aside."""
    found = read(tmp_path, "note,degree,approach\n1,do,\n2,mi,skip\n3,la,leap\n4,so,glide\n")
    assert found.table().approached_by.tolist() == ["", "triad_skip", "other_skip", "step"]
    assert problems(found) == [
        'key.csv, row 5, column approach: The approach is "glide". Write step, triad skip, other skip or repeat, and '
        "leave it empty for a first note."
    ]


def test_minor(tmp_path):
    """In minor the tonic chord has the lowered third."""
    minor = Syllables(system="movable_i_up_e_down", mode="minor", minor_base="do")
    found = read(tmp_path, "note,degree\n1,do\n2,me\n3,so\n", minor)
    assert found.table().approached_by.tolist() == ["", "triad_skip", "triad_skip"]


def test_beats(tmp_path):
    """The key of a rhythm has places and no degrees."""
    table = read(tmp_path, "Form,Melody,Beat\nA,1,1\nA,1,2\n", measure_is="rhythm").table()
    assert table.measure.tolist() == ["rhythm", "rhythm"]
    assert table.degree.isna().all()
    assert table.approached_by.tolist() == ["", ""]


def test_places_that_are_no_numbers(tmp_path):
    """A place that is no whole number sets its row aside; so does a note listed twice alike."""
    found = read(tmp_path, "note,degree\n1,do\nlast,re\n1,do\n")
    assert problems(found) == [
        'key.csv, row 3, column note: The place of the note is "last". Write 1 for the first note of a melody, 2 for '
        "the second, and so on.",
        "key.csv, row 4: The note is listed twice. Delete one row.",
    ]
    assert len(found.table()) == 1


def test_one_note_with_two_tags(tmp_path):
    """A note that is listed twice with different tags is refused."""
    found = read(tmp_path, "melody,note,degree\n1,1,do\n1,1,re\n")
    assert problems(found) == [
        "key.csv, row 3: Note 1 of melody 1 is listed twice, with different tags. Delete the row that is wrong."
    ]


def test_notes_that_cannot_be_read(tmp_path):
    """A note outside the system, and two notes in one cell, are set aside; the place stays."""
    found = read(tmp_path, "note,degree,drilled\n1,zu,1\n2,do re,maybe\n")
    assert [problem.why for problem in found.accounts[0].cells_aside] == [
        "not_a_mark", "syllable_unknown", "syllable_unknown"
    ]  # fmt: skip
    assert 'Drilled is "maybe". Write 1 for drilled and 0 for not drilled.' in "\n".join(problems(found))
    assert found.table().degree.isna().all()


def test_a_key_without_places(tmp_path):
    """Without a column that gives the place of a note, the key is refused."""
    assert problems(read(tmp_path, "melody,degree\n1,do\n")) == [
        "key.csv, row 1: No column gives the place of a note in its melody: name it under item. "
        'Name the columns in study.toml, such as item = "Note".'
    ]


def test_item_number():
    """Places are whole numbers from 1."""
    assert [item_number(value) for value in (1, 2.0, "3", " 4 ")] == [1, 2, 3, 4]
    assert [item_number(value) for value in (0, -1, 1.5, "a", None, "99999", "²")] == [None] * 7


def test_read_one_note():
    """One note is read with its octave; a fault has no note."""
    note, fault, _ = read_one_note("low so", SYSTEM)
    assert (note.degree, note.octave, fault) == (5, -1, "")
    assert read_one_note("rest", SYSTEM)[0] is None


def test_nobody_is_named(tmp_path):
    """A key is about no person."""
    assert read(tmp_path, "note,degree\n1,do\n").people == []
    assert isinstance(read(tmp_path, "note,degree\n1,do\n").table(), pd.DataFrame)
