"""A school's words for kinds of drill."""

import pytest

from kit.load.drills.words import read_words
from kit.tables import ACTIVITIES, STAGES, UNITS


@pytest.mark.parametrize(("name", "ours"), [("activity", ACTIVITIES), ("unit", UNITS), ("stage", STAGES)])
def test_our_own_words(name, ours):
    """Each of our words stands for itself."""
    read = read_words(list(ours), name, {})
    assert read.texts == list(ours)
    assert read.changes == {}


def test_words():
    """A word of the school is one of ours, by common practice or as declared; an unknown one is left empty and counted."""
    read = read_words(["Hand-signs", "Syllable chart", "bubbles", "juggling", ""], "activity", {"Bubbles": "round"})
    assert [read.texts[at] for at in read.table] == ["hand signs", "pointing at a chart", "round", "", ""]
    assert read.changes[3] == ("unknown activity left empty", "juggling", "")
    assert read.changes[1] == ("activity renamed", "Syllable chart", "pointing at a chart")
    assert 0 not in read.changes
