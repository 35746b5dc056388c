"""Texts read by their words are what the same texts are when each is read as a whole."""

import numpy as np
import pyarrow as pa
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.load.declared_music import Syllables
from kit.load.drills.tokens import read_words
from kit.load.syllables.read import read_unique

WORDS = ["do", "Do", "DO", "re", "ray", "me", "mi", "fa", "fah", "so", "sol", "la", "lah", "te", "ti", "si", "fi", "ta", "low", "hi",
         "xx", "no", "1", "3", "5", "b3", "#4", "8", "0", "do'", "so,", "d", "m", "s", "s1", "loo", "-", "?", "rest", "", "again"]  # fmt: skip
SYSTEMS = ["movable_i_up_e_down", "movable_e_up_a_down", "numbers", "letters_english", "neutral"]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.lists(st.sampled_from(WORDS), max_size=6).map(" ".join), min_size=1, max_size=30, unique=True),
    st.sampled_from(SYSTEMS),
)
def test_like_whole_texts(texts, name):
    """Every text that is done has the notes, the fault and the rule that reading it as a whole gives."""
    system = Syllables(system=name, tonic="C" if name == "letters_english" else "")
    whole = read_unique(texts, system)
    read = read_words(pa.array(texts, pa.string()), system)
    if read is None:
        return
    for at in np.flatnonzero(read.done).tolist():
        expected = whole[texts[at]]
        assert read.texts[int(read.table[at])].as_py() == expected.text
        assert read.faults.get(at, ("", "")) == (expected.fault, expected.found)
        assert [rule for rule, cells in read.rules.items() if cells[at]] == ([expected.rule] if expected.rule else [])


def test_most_are_done():
    """Plain syllables in any spelling, and one short slip among them, need no reading of the whole text."""
    texts = ["do re mi", "Do Ray MI", "so la xx", "do, re", "flat", ""]
    read = read_words(pa.array(texts), Syllables(system="movable_i_up_e_down"))
    assert read.done.tolist() == [True, True, True, False, False, False]
    assert list(read.faults) == [2]


@pytest.mark.parametrize("texts", [[], ["flat", "?"]])
def test_nothing_to_win(texts):
    """Without plain words, or without a declared system, every text is read as a whole."""
    assert read_words(pa.array(texts, pa.string()), Syllables(system="movable_i_up_e_down")) is None
    assert read_words(pa.array(["do re"]), Syllables()) is None
