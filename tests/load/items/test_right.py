"""Signs for right and wrong: what is clear is read, what has two readings is not."""

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.load.formats.formulas import STRUCK, UNSAVED
from kit.load.items.right import RightMark, read_right, right_words
from kit.reasons import REASONS
from kit.tables import MISSING_REASONS


@pytest.mark.parametrize("value", [1, 1.0, True, "1", "1.0", "yes", "Y", "TRUE", "✓", "✔", "✔️", "+", "right", " OK "])
def test_right(value):
    """One, yes, ticks and the words for right are right."""
    assert read_right(value).right is True


@pytest.mark.parametrize("value", [0, 0.0, False, "0", "no", "N", "false", "✗", "✘", "wrong", "missed"])
def test_wrong(value):
    """Zero, no, ballot crosses and the words for wrong are wrong."""
    assert read_right(value).right is False


@pytest.mark.parametrize("value", ["x", "X", "×", "o", "O", "/", "\\", "?", "r", "w", datetime(2026, 3, 5)])
def test_unclear(value):
    """A cross, a circle and a stroke mean right to one teacher and wrong to another; a date was 3/5 once."""
    assert read_right(value) == RightMark(fault="right_unclear")


@pytest.mark.parametrize("value", ["2", 2, -1, 10**400, "1" * 9_999, "3/" + "9" * 9_999, "Ann", "5/3", "3/0"])
def test_no_mark_at_all(value):
    """Other numbers, words and impossible counts are no marks."""
    assert read_right(value) == RightMark(fault="not_a_mark")


@pytest.mark.parametrize(
    ("value", "reason"),
    [(None, "unspecified"), ("", "unspecified"), (".", "unspecified"), ("-", "unspecified"), (float("nan"), "unspecified"),
     ("abs", "absent"), ("lost voice", "voice"), ("IEP", "excused")],
)  # fmt: skip
def test_missing(value, reason):
    """Empty cells and the words for no mark give their reason; private words are flagged."""
    mark = read_right(value)
    assert (mark.right, mark.missing_reason, mark.private) == (None, reason, reason == "excused")


def test_partly():
    """Partly right is not right as a whole, and says so; counts keep what was counted."""
    assert read_right("partly") == RightMark(right=False, partly=True, rule="partly right counted as not right")
    assert read_right("3/5") == RightMark(
        right=False, share=0.6, partly=True, notes_right=3, notes_asked=5,
        rule="notes right of notes asked in one cell",
    )  # fmt: skip
    assert read_right("5 of 5").right is True
    assert read_right("0/5").partly is False
    assert read_right(0.5).share == 0.5


def test_faulty_cells():
    """A formula without value, a formula error and a struck cell keep their own reasons."""
    found = [read_right(value).fault for value in (UNSAVED, "#DIV/0!", "#N/A", STRUCK)]
    assert found == ["formula_unsaved", "formula_error", "formula_error", "cell_struck"]


def test_declared_words_go_first():
    """What the study file declares goes before everything else, also for numbers and words of no mark."""
    words = right_words(["x", ".", 1, 0], {"X": "right", ".": "wrong", "0": "right", "So-So": "partly"})
    assert [read_right(value, words).right for value in ("x", "X ", ".", 0, "0", 1)] == [
        True, True, False, True, True, True
    ]  # fmt: skip
    assert read_right("so-so", words).partly


@pytest.mark.parametrize(
    ("values", "sign", "right"),
    [(["✓", "x"], "x", False), (["✔", "X", "", None], "x", False), (["✓", "x", "."], "x", False),
     (["✓", "x", "o"], "x", None), (["✓", "x", 1], "x", None), (["x"], "x", None), (["1", "x"], "x", None),
     (["r", "w"], "r", True), (["r", "w"], "w", False), (["r"], "r", None), (["+", "-"], "-", None)],
)  # fmt: skip
def test_what_the_column_tells(values, sign, right):
    """Beside ticks alone a cross is wrong, and R beside W is right; anything more leaves the sign unclear."""
    mark = read_right(sign, right_words(values, {}))
    assert mark.right is right
    assert mark.fault == ("" if right is not None else "right_unclear")


def test_minus_without_plus_is_no_mark():
    """A dash in a column without plus signs is an empty place."""
    assert read_right("-", right_words(["1", "-"], {})).missing_reason == "unspecified"


@settings(max_examples=50, deadline=None)
@given(st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(), st.datetimes()))
def test_every_cell_says_one_thing(value):
    """Whatever stands in a cell, it is a mark, or no mark with its reason, or a fault with its sentence."""
    mark = read_right(value)
    assert [mark.right is not None, bool(mark.missing_reason), bool(mark.fault)].count(True) == 1
    assert not mark.fault or mark.fault in REASONS
    assert mark.missing_reason in ("", *MISSING_REASONS)
