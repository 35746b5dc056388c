"""A declared range of cells."""

import pytest

from kit.load.cell_range import cut, is_understood
from kit.load.formats.cells import Sheet
from kit.load.ledger import Account

SHEET = Sheet("a.xlsx", "Marks", [["t"], ["ID", "Pre", "x"], ["a1", 5, "x"], [None], ["n"]], [1, 2, 3, 4, 5])


def test_what_lies_outside_is_emptied_and_listed():
    """Cells keep their places; rows outside that hold something are listed."""
    inside, beyond = cut(SHEET, "A2:B3")
    assert inside.rows == [[], ["ID", "Pre"], ["a1", 5], [], []]
    assert beyond == (0, 4)
    assert cut(SHEET, "$C$3:B2")[0].rows[1:3] == [[None, "Pre", "x"], [None, 5, "x"]]
    assert cut(SHEET, "") == (SHEET, ())


@pytest.mark.parametrize("cells", ["A", "A1:", "1A:B2", "A1:B2:C3", "A0:B2", "ABCD1"])
def test_what_is_no_range_is_refused(cells):
    """A range that cannot be read is told, not guessed."""
    account = Account(SHEET)
    assert not is_understood(account, cells)
    assert str(account.problems[0]) == (
        f'a.xlsx, sheet "Marks": cells = "{cells}" is no range of cells. Write it like cells = "A1:D30".'
    )
