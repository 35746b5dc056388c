"""A study that is planned, from numbers or from a study like it."""

from __future__ import annotations

import numpy as np
import pytest

from kit.questions.plans import plan
from tests.questions.worlds import choirs_of, pairs_of

NUMBERS = {"choirs": 8, "students": 25, "correlation": 0.7, "alike": [0.3, 0.1, 0.1], "difference": 0.4}


def choirs(*sizes, shift=10.0):
    """Make choirs of these sizes that lie far apart, so that pooled scores agree more than those inside choirs."""
    rng = np.random.default_rng(len(sizes))
    made = []
    for at, size in enumerate(sizes):
        pre = rng.normal(20 + shift * at, 2, size)
        made.append((f"Choir {at}", "", list(pre), list(pre * 0.5 + rng.normal(10 + shift * at, 2, size))))
    return choirs_of(*made)


def test_plain_numbers():
    """Without a study the numbers are the plan's; shares between choirs are put in order, each once."""
    planned = plan(**NUMBERS)
    assert (planned.choirs, planned.students, planned.correlation) == (8, 25, 0.7)
    assert planned.alike == (0.1, 0.3)
    assert planned.from_study == ()


@pytest.mark.parametrize(("choirs_", "halves"), [(8, (4, 4)), (7, (4, 3)), (1, (1, 0))])
def test_halves(choirs_, halves):
    """Choirs are parted as evenly as can be, the odd one to the program."""
    assert plan(**NUMBERS | {"choirs": choirs_}).halves == halves


def test_a_study_replaces_numbers():
    """Choirs, the harmonic mean of their students, and the correlation inside choirs come from the study."""
    pairs = choirs(10, 10, 20, 20, 40)
    planned = plan(pairs, **NUMBERS)
    assert planned.from_study == ("choirs", "students", "correlation")
    assert planned.choirs == 5
    assert planned.students == 15  # 5 / (2/10 + 2/20 + 1/40) = 15.38
    inside = pairs[["pre_points", "post_points"]] - pairs.groupby("choir")[["pre_points", "post_points"]].transform(
        "mean"
    )
    assert planned.correlation == pytest.approx(np.corrcoef(inside.T)[0, 1])
    assert planned.correlation < np.corrcoef(pairs[["pre_points", "post_points"]].T)[0, 1] - 0.2


@pytest.mark.parametrize("sizes", [(12,), (12, 30, 9)])
def test_few_choirs_keep_the_number_of_the_plan(sizes):
    """A study of fewer than four choirs says nothing about how many are planned."""
    planned = plan(choirs(*sizes), **NUMBERS)
    assert planned.choirs == 8
    assert planned.from_study == ("students", "correlation")


def test_equal_choirs_keep_their_size():
    """The harmonic mean of equal sizes is that size, whatever rounding does."""
    for size in range(3, 60):
        assert plan(choirs(size, size, size), **NUMBERS).students == size


def test_missing_marks_are_not_counted():
    """Students without both marks are neither in the size of a choir nor in the correlation: as if removed."""
    whole = choirs(12, 12, 12, 12)
    holes = whole.copy()
    holes.loc[holes.index[::4], ["post_points", "post_share"]] = np.nan
    removed = whole.drop(whole.index[::4])
    assert plan(holes, **NUMBERS) == plan(removed, **NUMBERS)


def test_tests_that_agree_perfectly_keep_the_correlation_of_the_plan():
    """A study without spread, or with tests that agree perfectly, leaves the correlation as it was given."""
    for pre, post in (([5, 6, 7, 8], [6, 7, 8, 9]), ([5] * 6, [6] * 6), ([5], [6]), ([None], [None])):
        planned = plan(pairs_of(pre, post), **NUMBERS)
        assert planned.correlation == 0.7
        assert "correlation" not in planned.from_study


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (
            {"choirs": 0},
            "plan: choirs, students and the length of alike must be at least 1. Got 0, 25 and 3.",
        ),
        (
            {"alike": []},
            "plan: choirs, students and the length of alike must be at least 1. Got 8, 25 and 0.",
        ),
        ({"correlation": 1.0}, "plan: correlation must lie between -1 and 1. Got 1.0."),
        ({"correlation": float("nan")}, "plan: correlation must lie between -1 and 1. Got nan."),
    ],
)
def test_messages(options, message):
    """Plans that cannot be are refused with a sentence."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        plan(**NUMBERS | options)
    assert str(caught.value) == message
