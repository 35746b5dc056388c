"""Laws, edges and messages of change beyond noise, student by student and as a share."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.proportions.shares import share_wilson
from kit.stats.reliability import detectable_change
from kit.stats.reliable_change import change_indices, reliable_change

PRE, POST = [10.0, 12, 15, 9, 14, 11, 13, 8], [13.0, 14, 28, 9, 18, 2, 12, 12]
ASKED = {"reliability": 0.8, "about": "A"}


def test_printed_index():
    """From 32.5 to 47.5, SD 7.5, reliability .80, is 3.16: Jacobson & Truax (1991), J. Cons. Clin. Psych. 59, 12-19 (from memory)."""
    assert change_indices([32.5], [47.5], reliability=0.8, spread=7.5)[0] == pytest.approx(3.16, abs=0.006)
    s_diff = 15 / change_indices([32.5], [47.5], reliability=0.8, spread=7.5)[0]
    assert (s_diff, s_diff / np.sqrt(2)) == pytest.approx((4.74, 3.35), abs=0.006)


@given(
    rows=st.lists(st.tuples(st.integers(0, 24), st.integers(0, 24)), min_size=3, max_size=20).filter(
        lambda rows: len({a for a, _ in rows}) > 1
    ),
    reliability=st.floats(0, 0.99), sure=st.floats(0.5, 0.99),
)  # fmt: skip
@settings(max_examples=40, deadline=None)
def test_share_counts_the_indices(rows, reliability, sure):
    """Both shares count students beyond the smallest detectable change, and have Wilson's interval."""
    pre, post = np.array(rows, dtype=float).T
    limit = detectable_change(pre, reliability=reliability, about="A", unit="points", level=sure).value
    for direction, sign in (("rose", 1), ("fell", -1)):
        found = reliable_change(pre, post, reliability=reliability, about="A", direction=direction, sure=sure)
        changed = int((sign * (post - pre) > limit).sum())
        wilson = share_wilson(changed, len(rows), about="A")
        assert (found.value, found.interval) == (wilson.value, wilson.interval)


def test_laws():
    """A scale is nothing, swapping tests' signs swaps rose and fell, and missing rows are removed rows."""
    plain = reliable_change(PRE, POST, **ASKED)
    assert (
        plain.value == 3 / 8
    )  # spread of PRE is the root of 6, so the threshold is 3.04; rises of 4, 4 and 13 pass it
    turned = reliable_change(np.negative(PRE), np.negative(POST), direction="fell", **ASKED)
    assert (turned.value, turned.interval) == (plain.value, plain.interval)
    stretched = reliable_change(3 * np.array(PRE) + 7, 3 * np.array(POST) + 7, **ASKED)
    assert stretched.interval == plain.interval
    gap = reliable_change([*PRE, 3], [*POST, np.nan], **ASKED)
    assert (gap.dropped, gap.n, gap.interval) == (1, 8, plain.interval)
    assert plain.notes == (
        "The reliability (0.8) is taken as given, and the interval leaves out what is unknown about it. Noise alone "
        "carries 2.5 of 100 unchanged students over the threshold in this direction.",
    )


def test_indices_keep_gaps():
    """A student with a missing score has no index, and keeps the place in the list."""
    found = change_indices([1, np.nan, 3], [2, 5, 1], reliability=0.5, spread=2)
    assert np.isnan(found).tolist() == [False, True, False]
    assert found[[0, 2]] == pytest.approx([0.5, -1])


def test_noise_alone_carries_few():
    """Of unchanged students, 2.5 of 100 rise beyond the threshold and as many fall (simulated, 200,000 students)."""
    rng = np.random.default_rng(6)
    true = rng.normal(50, 8, 200_000)
    pre, post = true + rng.normal(0, 6, (2, 200_000))
    for direction in ("rose", "fell"):
        found = reliable_change(pre, post, reliability=0.64, about="A", direction=direction)
        assert found.value == pytest.approx(0.025, abs=0.0015)


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: reliable_change(PRE, POST, direction="up", **ASKED), UnknownChoiceError,
         "reliable_change: direction must be one of 'rose', 'fell'. Got 'up'."),
        (lambda: reliable_change(PRE, POST, sure=95, **ASKED), ValueError,
         "reliable_change: sure must be between 0 and 1. Got 95."),
        (lambda: reliable_change(PRE, POST, level=95, **ASKED), ValueError,
         "reliable_change: level must be between 0 and 1. Got 95."),
        (lambda: reliable_change(PRE, POST, reliability=1, about="A"), ValueError,
         "reliable_change: reliability must be below 1, or every change is beyond noise. Got 1."),
        (lambda: reliable_change(PRE, POST, reliability=-0.1, about="A"), ValueError,
         "reliable_change: reliability must be between 0 and 1. Got -0.1."),
        (lambda: reliable_change([1, 1], [2, np.nan], **ASKED), TooFewError,
         "reliable_change: needs 2 students with both scores. A has 1."),
        (lambda: reliable_change([1, 1], [2, 3], **ASKED), TooFewError,
         "reliable_change: needs first scores that differ. A has none that do."),
        (lambda: change_indices([1, 2], [1], reliability=0.8, spread=1), ValueError,
         "change_indices: pre and post must list the same students. Got (2,) and (1,)."),
        (lambda: change_indices([1, 2], [1, np.inf], reliability=0.8, spread=1), ValueError,
         "change_indices: pre and post must be finite numbers, or NaN where missing. Got an infinite one."),
        (lambda: change_indices([1], [1], reliability=0.8, spread=0), ValueError,
         "change_indices: spread must be above 0. Got 0."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What cannot be used is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
