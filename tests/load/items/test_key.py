"""The key as marks are read by it."""

import pandas as pd

from kit.load.items.key import ItemKey
from kit.load.items.keys import KEY_COLUMNS
from kit.tables import ITEMS, conform

ROWS = [("A", "pitch", "M1", 2, 2, 0, "step", True, "k", "", 3), ("A", "pitch", "M1", 1, 1, 0, "", None, "k", "", 2),
        ("A", "pitch", "M2", 1, 4, 1, "", False, "k", "", 4), ("A", "rhythm", "M1", 1, None, None, "", None, "k", "", 5)]  # fmt: skip
KEYS = conform(pd.DataFrame(ROWS, columns=list(KEY_COLUMNS)), ITEMS)


def test_notes_in_order():
    """Notes of a melody stand in their order, those of a form melody by melody."""
    key = ItemKey.of(KEYS, "pitch")
    assert [tags.item for tags in key.notes("a", "m1")] == [1, 2]
    assert [(tags.melody, tags.item) for tags in key.notes("a", "")] == [("M1", 1), ("M1", 2), ("M2", 1)]
    assert key.notes("a", "M3") == key.notes("b", "") == ()


def test_tags_without_a_value_are_none():
    """Tags that the key leaves open are None, not a missing value of a table."""
    tags = ItemKey.of(KEYS, "rhythm").note("a", "M1", 1)
    assert (tags.degree, tags.alter, tags.drilled, tags.approached_by) == (None, None, None, "")
    assert ItemKey.of(KEYS, "pitch").note("a", "M1", 2).drilled is True


def test_the_only_form_and_the_only_melody():
    """What is not named means the only one there is; without a key there is none."""
    key = ItemKey.of(KEYS, "rhythm")
    assert (key.form(""), key.form("A "), key.form("B")) == ("a", "a", None)
    assert key.note("a", "", 1).melody == "M1"
    assert ItemKey.of(KEYS, "pitch").note("a", "", 1) is None
    assert ItemKey.of(None, "pitch").forms == ItemKey.of(KEYS.iloc[:0], "pitch").forms == {}
