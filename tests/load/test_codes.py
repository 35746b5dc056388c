"""Columns as codes."""

import numpy as np
import pyarrow as pa

from kit.load.codes import Codes, filled, first_of, listed, smallest, taken


def test_cells_of_both_kinds():
    """Different cells in a list and in an arrow array are handled alike."""
    for cells in (["a", " ", "b"], pa.array(["a", " ", "b"])):
        assert listed(cells) == ["a", " ", "b"]
        assert filled(cells).tolist() == [True, False, True]
        assert listed(taken(cells, np.array([2, 0]))) == ["b", "a"]
    assert filled([None, 0, ""]).tolist() == [False, True, False]


def test_rows():
    """Rows are kept by their codes, and the first row of some cells is found."""
    column = Codes(np.array([0, 0, 1, 2]), ["a", "b", "c"])
    assert column.kept(np.array([False, True, True, False])).codes.tolist() == [0, 1]
    assert first_of(np.array([False, False, True]), column.codes) == 3
    far = np.zeros(9000, int)
    far[7000] = 1
    assert first_of(np.array([False, True]), far) == 7000


def test_smallest():
    """The smallest type holds every number below the count, and -1."""
    for count in (0, 1, 128, 129, 32_768, 32_769, 10**6):
        kind = np.iinfo(smallest(count))
        assert kind.min <= -1
        assert kind.max >= count - 1
