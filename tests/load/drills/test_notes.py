"""Columns of notes, each different cell read once for each system of syllables."""

import numpy as np
import pyarrow as pa
import pytest

from kit.load.codes import Codes
from kit.load.declared_music import Syllables
from kit.load.drills.notes import on_a_vowel, read_notes_of
from kit.load.drills.values import as_texts

MOVABLE = Syllables(system="movable_i_up_e_down")


def test_words_only_where_notes_were_sung():
    """Flat is a word about what was sung, and no note that could be asked for."""
    column = Codes(np.array([0, 1]), ["flat", "do mi"])
    _, notes, responses = read_notes_of(column, np.zeros(2, int), [MOVABLE], "", words=True)
    assert [responses.texts[at] for at in responses.table] == ["flat", ""]
    assert [notes.texts[at] for at in notes.table] == ["", "1 3"]
    _, notes, responses = read_notes_of(column, np.zeros(2, int), [MOVABLE], "", words=False)
    assert notes.faults[0].why == "syllable_unknown"


def test_remarks_of_reading():
    """A remark of the reading, such as letters taken for notes of the scale, is counted beside the rule."""
    column = Codes(np.array([0]), ["d m s"])
    _, notes, _ = read_notes_of(column, np.zeros(1, int), [MOVABLE], "", words=True)
    assert sorted(notes.rules()) == [
        "one-letter syllables are read as notes of the scale", "syllables and octave marks written one way",
    ]  # fmt: skip


def test_la_based_minor():
    """In la-based minor notes are counted from la."""
    minor = Syllables(system="movable_i_up_e_down", mode="minor", minor_base="la")
    for cells in (["la ti do"], pa.array(["la ti do"])):
        _, notes, _ = read_notes_of(Codes(np.array([0]), cells), np.zeros(1, int), [minor], "", words=True)
        assert notes.texts[int(notes.table[0])] == "1' 2' b3"


@pytest.mark.parametrize("make", [list, pa.array])
def test_on_a_vowel(make):
    """Five times la in place of a melody is a vowel, and names no degree; where la was asked for it is la."""
    column = Codes(np.array([0, 0, 1]), make(["la la la la la", "do mi so la"]))
    codes, notes, _ = read_notes_of(column, np.zeros(3, int), [MOVABLE], "", words=True)
    asked = as_texts(["1 3 5 3 1", "6 6 6 6 6", "1 3 5 6"])
    sung = (notes.table[codes], notes.texts)
    (table, texts), lines = on_a_vowel(codes, notes, sung, (asked.table, asked.texts))
    assert [str(texts[int(place)]) for place in table] == ["n n n n n", "6 6 6 6 6", "1 3 5 6"]
    assert lines.tolist() == [0]
