"""Cells about notes: what a spreadsheet program spoilt, and what can be read back."""

from datetime import date, datetime

import pytest

from kit.load.declared_music import Syllables
from kit.load.drills.sung import is_remark, lost_pattern, read_patterns, recovered
from kit.load.formats.formulas import UNSAVED

MOVABLE = Syllables(system="movable_i_up_e_down")


@pytest.mark.parametrize("cell", [date(2005, 1, 3), datetime(2005, 1, 3), "1/3/2005", "3-Jan-05", "3-Jan", "2005-01-03 00:00:00",
                                  "#NAME?", "=-5+3", UNSAVED])  # fmt: skip
def test_lost(cell):
    """Dates, formulas and errors in place of a pattern are told apart from patterns."""
    assert lost_pattern(cell).why == "pattern_lost"


@pytest.mark.parametrize("cell", ["1-3-5", "5-3-1", "1 3 5", "P01", "so-mi-la", "", None, 135])
def test_not_lost(cell):
    """A pattern is a pattern, however it is written."""
    assert lost_pattern(cell) is None


def test_recovered():
    """A date is read back in the order of the program, for numbers only and where all three are numbers of the scale."""
    assert recovered(date(2005, 1, 3), "numbers", "month_first") == "1 3 5"
    assert recovered("1/3/2005", "numbers", "month_first") == "1 3 5"
    assert recovered(date(2005, 1, 3), "numbers", "day_first") == "3 1 5"
    assert recovered(date(2005, 1, 3), "numbers", "") == ""
    assert recovered(date(2005, 1, 3), "movable_i_up_e_down", "month_first") == ""
    assert recovered(date(2025, 1, 3), "numbers", "month_first") == ""
    assert recovered(date(2005, 1, 9), "numbers", "month_first") == ""


def test_patterns():
    """Several codes in one cell are written with single spaces."""
    read = read_patterns(["P01", "P01, P02", "P1 and P2", None, "#NAME?"], "", "")
    assert [read.texts[at] for at in read.table] == ["P01", "P01 P02", "P1 P2", "", ""]
    assert list(read.faults) == [4]


def test_remarks():
    """A sentence without any note is a remark; a slip among notes is none."""
    assert is_remark("looked at the wrong line", MOVABLE)
    assert not is_remark("dough what ever", MOVABLE)
    assert not is_remark("xx", MOVABLE)
