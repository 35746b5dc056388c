"""Gathering tries: nothing lost, nothing counted twice."""

from __future__ import annotations

import numpy as np
import pytest

from kit.stats.learning.crossed_cells import coded, gathered, in_order

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


def test_whole_numbers_and_names_are_coded_alike():
    """Small whole numbers, large ones and names of the same order give the same places."""
    numbers = np.array([3, 1, 3, 0, 1])
    found = [coded("test", np.ones(5), labels, np.zeros(5, int)) for labels in (numbers, numbers * 10**9, numbers - 9)]
    names = coded("test", np.ones(5), np.array(list("cbcab")), np.zeros(5, int))
    assert [one.students.tolist() for one in found] == [names.students.tolist()] * 3
    assert found[0].student_labels.tolist() == [0, 1, 3]


def test_gathering_bounds_its_keys():
    """Covariates so many that their numbers together pass the largest whole number are still told apart."""
    rng = np.random.default_rng(2)
    tries = coded("test", np.ones(3000), np.arange(3000), np.zeros(3000, int))
    columns = [rng.permutation(3000) / 7 for _ in range(6)]
    cells = gathered(tries, *columns)
    assert cells.tries.tolist() == [1.0] * 3000
    assert cells.design[:, 1:].tolist() == np.column_stack(columns).tolist()


@pytest.mark.parametrize("most", [2**16, 2**20, 2**40])
def test_sorting_by_halves_is_stable_sorting(most):
    """Numbers sorted by their halves stand as numpy's stable sorting puts them, equal ones in their order."""
    keys = np.random.default_rng(4).integers(0, min(most, 2**20), 3000) // 7
    assert in_order(keys, most).tolist() == np.argsort(keys, kind="stable").tolist()
