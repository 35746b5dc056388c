"""Gathering tries: nothing lost, nothing counted twice."""

from __future__ import annotations

import numpy as np
import pytest

from kit.stats.crossed_cells import coded, gathered

RIGHT, WHO, WHAT = [1, 0, np.nan, 1, 1, 1], list("abbabb"), ["do", "fa", "fa", "do", "fa", "do"]


def test_missing_tries_are_left_out_and_counted():
    """A try without a mark is left out as a whole and counted."""
    tries = coded("test", RIGHT, WHO, WHAT)
    assert tries.dropped == 1
    assert tries.right.tolist() == [1, 0, 1, 1, 1]
    assert [str(tries.student_labels[place]) for place in tries.students] == list("ababb")


def test_cells_add_up_to_the_tries():
    """Cells keep every try once, in the order of students and items, apart where covariates differ."""
    tries = coded("test", RIGHT, WHO, WHAT)
    cells = gathered(tries)
    assert cells.tries.tolist() == [2, 1, 2]
    assert cells.hits.tolist() == [2, 1, 1]
    assert list(zip(cells.students.tolist(), cells.items.tolist(), strict=True)) == [(0, 0), (1, 0), (1, 1)]
    apart = gathered(tries, np.array([1.0, 2, 1, 3, 2]))
    assert apart.tries.sum() == 5
    assert apart.tries.size == 4
    assert apart.shape == (2, 2)
    assert sorted(apart.design[:, 1].tolist()) == [1, 2, 2, 3]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"students": ["a"]}, "test: right and students must list the same tries. Got 6 and 1."),
        ({"items": ["a", "b"]}, "test: right and items must list the same tries. Got 6 and 2."),
        ({"right": [1, 0, 2, 1, 1, 1]}, "test: right must be 1 where right and 0 where wrong. Got other numbers."),
        (
            {"right": [1, 0, np.inf, 1, 1, 1]},
            "test: right must be finite numbers, or NaN where missing. Got an infinite one.",
        ),
        ({"days": [1.0]}, "test: right and days must list the same students. Got 6 and 1 numbers."),
    ],
)
def test_wrong_lists_are_refused(change, message):
    """Lists that do not belong together, and marks that are no marks, are refused in words."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        coded("test", **({"right": RIGHT, "students": WHO, "items": WHAT} | change))
    assert str(caught.value) == message
