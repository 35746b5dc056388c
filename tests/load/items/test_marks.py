"""Strings of marks are taken apart only where the number of signs is certain."""

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.load.formats.formulas import UNSAVED
from kit.load.items.marks import MarkReader, Signs, loose_signs, split_signs
from kit.load.items.right import RightMark


@pytest.mark.parametrize(
    ("value", "count", "signs"),
    [("110111", 6, "110111"), ("✓✓x✓", 4, "✓✓x✓"), ("1 1 0 .", 4, "110."), ("1101 0111", 8, "11010111"),
     ("1,0;1|1", 4, "1011"), ("011", 3, "011"), (110, 3, "110"), (111.0, 3, "111"), ("1", 1, "1"), ("✔️✔️x", 3, "✔✔x")],
)  # fmt: skip
def test_signs(value, count, signs):
    """Signs may stand together, in groups, or apart."""
    assert "".join(split_signs(value, count).signs) == signs


def test_words():
    """Words stand for a note each where they are set apart."""
    assert split_signs("yes no yes", 3).signs == ("yes", "no", "yes")


@pytest.mark.parametrize(
    ("value", "count", "fault", "found"),
    [("11", 3, "zeros_eaten", 2), (11, 3, "zeros_eaten", 2), (0, 3, "zeros_eaten", 1), ("0", 3, "zeros_eaten", 1),
     ("01", 3, "item_count", 2), ("1 1", 3, "item_count", 2), ("✓x", 3, "item_count", 2), ("1111", 3, "item_count", 4),
     (1111, 3, "item_count", 4), ("right wrong", 3, "item_count", 2), (23, 3, "item_count", 2),
     (1.1e23, 24, "digits_lost", 0), ("1.10111E+23", 24, "digits_lost", 0), (1.5, 2, "not_a_mark", 0),
     ("1" * 9_999, 20_000, "zeros_eaten", 9_999), (10**400, 3, "digits_lost", 0), (float("inf"), 3, "digits_lost", 0),
     (-1, 2, "not_a_mark", 0), (True, 2, "not_a_mark", 0), (datetime(2026, 1, 1), 3, "pattern_lost", 0)],
)  # fmt: skip
def test_faults(value, count, fault, found):
    """What may have lost zeros or digits says so; other wrong counts are counted."""
    assert split_signs(value, count) == Signs(fault=fault, found=found)


def test_a_whole_cell_without_marks():
    """Absent is said of every note; a formula without value is a fault."""
    assert split_signs("abs", 4).whole.missing_reason == "absent"
    assert split_signs(None, 4).whole.missing_reason == "unspecified"
    assert split_signs(float("nan"), 4).whole.missing_reason == "unspecified"
    assert split_signs(UNSAVED, 4).fault == "formula_unsaved"


@settings(max_examples=50, deadline=None)
@given(st.text("01", min_size=1, max_size=15))
def test_a_spreadsheet_never_changes_marks_unseen(digits):
    """What a spreadsheet program makes of digits gives the same marks or is known to be short."""
    kept = split_signs(int(digits), len(digits))
    assert split_signs(digits, len(digits)).signs == tuple(digits)
    assert kept.signs == tuple(digits) if digits[0] == "1" or len(digits) == 1 else kept.fault == "zeros_eaten"


def test_loose_signs():
    """The signs of a cell are listed whatever their number; words stay words, and absences are no signs."""
    assert loose_signs("✓✓ xX") == ("✓", "✓", "x", "x")
    assert loose_signs("right wrong") == ("right", "wrong")
    assert (loose_signs("abs"), loose_signs(110)) == ((), ())


def test_half_a_note_needs_a_declaration():
    """For one note partly right is unclear, unless the study file says what it counts as."""
    assert MarkReader.of(["partly"], {}).read("partly") == RightMark(fault="right_unclear")
    assert MarkReader.of([], {}).read(0.5).fault == MarkReader.of([], {}).read("1/2").fault == "right_unclear"
    assert MarkReader.of(["partly"], {"partly": "wrong"}).read("Partly").right is False
    assert MarkReader.of(["half"], {"half": "partly"}).read("half").right is False
