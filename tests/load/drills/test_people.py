"""Whom a line of a log names: nobody, one, or several."""

import pytest

from kit.load.drills.people import several_ids, several_names


@pytest.mark.parametrize(
    ("cell", "people"),
    [("R4KT", ["R4KT"]), ("R4KT, B9WX and H2MZ", ["R4KT", "B9WX", "H2MZ"]), ("R4KT & B9WX all ok", ["R4KT", "B9WX"]),
     (417.0, ["417"]), ("J, K, L", ["J", "K", "L"]), ("Nettlebed, Pim Odo", ["Nettlebed, Pim Odo"]), ("andante", ["andante"])],
)  # fmt: skip
def test_ids(cell, people):
    """Ids with signs between them are several; anything with spaces inside is one."""
    assert several_ids(cell) == people


@pytest.mark.parametrize(
    ("cell", "people"),
    [("Nettlebed, Pim", ["Nettlebed, Pim"]), ("Pim Nettlebed", ["Pim Nettlebed"]), ("J, K, L all ok", ["J", "K", "L"]),
     ("Pim and Odo", ["Pim", "Odo"]), ("Pim & Odo", ["Pim", "Odo"]), ("J, K both right", ["J", "K"]),
     ("Brandt, Andrea", ["Brandt, Andrea"])],
)  # fmt: skip
def test_names(cell, people):
    """One comma is a family name before a given name; more of them, or and, part several singers."""
    assert several_names(cell) == people
