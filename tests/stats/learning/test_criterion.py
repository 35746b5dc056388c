"""Tries and days to a run of right ones, against counting one by one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.learning.criterion import days_to_criterion, to_criterion, trials_to_criterion

laws = settings(max_examples=50, deadline=None)
tries = st.lists(st.tuples(st.booleans(), st.integers(0, 3), st.integers(0, 2)), max_size=60)


def counted(rows, in_a_row):
    """Count one by one: (student, item) -> tries, index of the last, whether reached."""
    state = {}
    for place, (right, who, what) in enumerate(rows):
        number, run, first, _, reached = state.get((who, what), (0, 0, place, place, False))
        if not reached:
            run = run + 1 if right else 0
            state[who, what] = (number + 1, run, first, place, run == in_a_row)
    return {pair: (found[0], found[2], found[3], found[4]) for pair, found in sorted(state.items())}


@given(rows=tries, in_a_row=st.integers(1, 4))
@laws
def test_runs_are_found_as_by_hand(rows, in_a_row):
    """Tries, days and who got there are those of counting one by one."""
    right, who, what = np.array(rows, dtype=int).reshape(-1, 3).T
    day = np.arange(len(rows)) * 1.5
    found = to_criterion(right, who, what, day, in_a_row=in_a_row)
    expected = counted(rows, in_a_row)
    assert list(zip(found.students.tolist(), found.items.tolist(), strict=True)) == list(expected)
    assert found.trials.tolist() == [number for number, *_ in expected.values()]
    assert found.reached.tolist() == [reached for *_, reached in expected.values()]
    assert found.days.tolist() == [day[last] - day[first] for _, first, last, _ in expected.values()]


def test_missing_tries_are_left_out():
    """A try without a mark is dropped, counted, and does not break a run."""
    found = to_criterion([1, np.nan, 1], ["a"] * 3, ["do"] * 3, in_a_row=2)
    assert (found.trials.tolist(), found.reached.tolist(), found.dropped) == ([2.0], [True], 1)
    assert found.days is None


def test_several_items_of_a_student_go_together():
    """With several items the estimate counts students at an item and allows for the student."""
    rng = np.random.default_rng(1)
    who, what = rng.integers(0, 12, 600), rng.integers(0, 3, 600)
    right = rng.random(600) < 0.3 + 0.04 * who
    found = trials_to_criterion(right, who, what, in_a_row=2, about="x")
    assert found.counted == "students at an item"
    assert found.n == 36
    one = trials_to_criterion(right, who, np.zeros(600), in_a_row=2, about="x")
    assert one.counted == "students"
    assert found.name == one.name == "trials_to_criterion"
    assert days_to_criterion(right, who, what, np.arange(600), in_a_row=2, about="x").unit == "days"


@pytest.mark.parametrize("in_a_row", [0, 1.5])
def test_impossible_criterion_is_refused(in_a_row):
    """A criterion that is no whole number of 1 or more is refused."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        to_criterion([1], ["a"], ["do"], in_a_row=in_a_row)
    assert str(caught.value) == f"to_criterion: in_a_row must be a whole number of 1 or more. Got {in_a_row!r}."


def test_days_that_go_back_are_refused():
    """Tries out of the order of time are refused, not sorted in silence."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        to_criterion([1, 0], ["a", "a"], ["do", "do"], [4, 2], in_a_row=1)
    assert str(caught.value) == "to_criterion: tries must stand in the order of time. Days go back."


def test_too_few_are_refused():
    """No tries, or fewer than half who got there, are refused under the name of the statistic."""
    with pytest.raises(TooFewError) as caught:
        trials_to_criterion([], [], [], in_a_row=3, about="The choir")
    assert str(caught.value) == "trials_to_criterion: needs 1 try. The choir has 0."
    with pytest.raises(TooFewError) as caught:
        days_to_criterion([0, 1], ["a", "b"], ["do", "do"], [1, 2], in_a_row=2, about="The choir")
    assert str(caught.value) == "days_to_criterion: needs half to get there. The choir has 0 of 2 who did, too few."
