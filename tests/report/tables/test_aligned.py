"""Decimal points of a column stand under each other."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.report.numbers import MINUS
from kit.report.tables.aligned import FIGURE, POINT, Aligned, column


def places(cells):
    """Count from the right edge of each cell to its decimal point, or to where it would stand."""
    return [
        len(cell.number) - cell.number.index("." if "." in cell.number else POINT)
        for cell in cells
        if "." in cell.number or POINT in cell.number
    ]


def test_numbers_of_different_things_stand_under_each_other():
    """Scores, sizes and shares in one column: blanks as wide as figures, and units as wide as the longest."""
    cells = column(["13.2 points", "0.57 SD", "0.62", "73 %", "–"])
    assert [cell.number for cell in cells] == [f"13.2{FIGURE}", "0.57", "0.62", f"73{POINT}{FIGURE}{FIGURE}", "–"]
    assert [cell.unit for cell in cells] == [" points", " SD", "", " %", ""]
    assert {cell.width for cell in cells} == {3.64}


def test_one_unit_needs_no_width():
    """Where all cells have the same unit, it stands behind the numbers as it is."""
    assert column(["2.0 points", "11.5 points"]) == [Aligned("2.0", " points"), Aligned("11.5", " points")]


def test_both_ends_of_ranges_stand_under_each_other():
    """The second end is filled up at its left, the first has what it needs at its right."""
    assert [cell.number for cell in column(["2.0 to 4.5", f"{MINUS}0.8 to 13.4", "–"])] == [
        f"2.0 to {FIGURE}4.5", f"{MINUS}0.8 to 13.4", "–",
    ]  # fmt: skip
    assert [cell.number + cell.unit for cell in column([f"[{MINUS}0.79, 3.37]", "[0.25, 10.74]"])] == [
        f"[{MINUS}0.79, {FIGURE}3.37]", "[0.25, 10.74]",
    ]  # fmt: skip


def test_ranges_of_different_things_are_left_alone():
    """A range in hundredths and one in whole numbers have nothing to stand under."""
    cells = ["0.0982 to 0.1000", "74 to 74"]
    assert [cell.number for cell in column(cells)] == cells


def test_a_missing_nought_is_no_fault():
    """A p-value without its nought stands under numbers that have one."""
    assert places(column([".099", "74", "1.67"])) == [4, 4, 4]


@pytest.mark.parametrize("cells", [[], ["–"], ["less than 1 %", "at least 2.0"]])
def test_what_is_no_plain_number_stays(cells):
    """Words and dashes are not touched."""
    assert [cell.number + cell.unit for cell in column(cells)] == cells


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 4000), st.integers(0, 3)), min_size=1, max_size=8))
def test_every_point_has_the_same_place(drawn):
    """Whatever the decimals, points stand equally far from the right edge, and no letter is lost."""
    cells = [f"{number / 10:.{decimals}f}" for number, decimals in drawn]
    set_ = column(cells)
    assert [one.number.strip(FIGURE + POINT) for one in set_] == cells
    assert len(set(places(set_))) <= 1
