"""Before and after a break; the digits of the estimate are checked in tests/reference."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import ttest_1samp

from kit.errors import TooFewError
from kit.stats.learning.retention import ALL_ALIKE, FEW_STUDENTS, around_break, retention_change

laws = settings(max_examples=30, deadline=None)


def test_last_day_before_and_first_try_after():
    """Before is the share of the last day, not the best; after is the first try; both of the same student and item."""
    right = [1, 0, 1, 0, 1, 1, 1, 0]
    who, what = list("aaaaabba"), ["do", "do", "do", "do", "do", "do", "fa", "fa"]
    days = [1, 5, 5, 20, 20, 3, 22, 30]
    pairs = around_break(right, who, what, days, last=6, first=20)
    assert pairs.students.tolist() == ["a"]
    assert pairs.before.tolist() == [0.5]
    assert pairs.after.tolist() == [0.0]
    assert pairs.gap.tolist() == [15.0]
    assert around_break(right, who, what, days, last=6, first=19, within=0.5).before.size == 0


def test_nothing_around_the_break():
    """Nobody heard on both sides gives an empty list, and an order of days that cannot be is refused."""
    assert around_break([1], ["a"], ["do"], [1], last=2, first=3).gap.size == 0
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        around_break([1], ["a"], ["do"], [1], last=3, first=3)
    assert str(caught.value) == "around_break: first must be after last. Got 3 and 3."


@given(seed=st.integers(0, 9999), n=st.integers(3, 40))
@laws
def test_one_pair_each_is_the_t_test(seed, n):
    """With one pair for each student the interval is that of the paired t test, by scipy."""
    rng = np.random.default_rng(seed)
    before, after = rng.random(n), rng.random(n)
    found = retention_change(before, after, np.arange(n), about="x")
    peer = ttest_1samp(after - before, 0)
    assert found.p == pytest.approx(peer.pvalue, abs=1e-9)
    assert found.df == pytest.approx(n - 1)
    ends = peer.confidence_interval(0.95)
    assert (found.interval.low, found.interval.high) == pytest.approx((ends.low, ends.high), abs=1e-9)


@given(seed=st.integers(0, 9999))
@laws
def test_laws(seed):
    """Exchanged tests turn the sign; order does not matter; a missing pair is as if not there; higher is wider."""
    rng = np.random.default_rng(seed)
    before, after, who = rng.integers(0, 2, 30).astype(float), rng.random(30), rng.integers(0, 6, 30)
    found = retention_change(before, after, who, about="x")
    turned = retention_change(after, before, who, about="x")
    assert turned.value == pytest.approx(-found.value)
    assert turned.interval.high == pytest.approx(-found.interval.low)
    mixed = rng.permutation(30)
    assert retention_change(before[mixed], after[mixed], who[mixed], about="x").p == pytest.approx(found.p)
    holes = retention_change([*before, np.nan], [*after, 1.0], [*who, 9], about="x")
    assert (holes.value, holes.interval, holes.dropped) == (found.value, found.interval, 1)
    wide = retention_change(before, after, who, about="x", level=0.99)
    assert wide.interval.low < found.interval.low


def test_alike_items_do_not_make_an_interval_narrow():
    """Ten items of each student that all change alike say no more than one item each."""
    change = np.array([0.0, -1.0, 0.0, 1.0, -1.0, 0.0])
    one = retention_change(np.ones(6), 1 + change, np.arange(6), about="x")
    ten = retention_change(np.ones(60), np.repeat(1 + change, 10), np.repeat(np.arange(6), 10), about="x")
    assert ten.interval.low == pytest.approx(one.interval.low)
    assert ten.clusters == 6
    assert ten.n == 60


def test_everybody_alike_has_no_interval():
    """Where every pair changed alike there is no interval, and a note says why."""
    found = retention_change([1, 1, 0], [1, 1, 0], list("abc"), about="x")
    assert found.value == 0
    assert found.interval is None
    assert found.notes == (ALL_ALIKE,)


def test_few_students_are_told_or_refused():
    """Few students are told; one student is refused; lists that do not belong together too."""
    assert retention_change([1, 1, 0], [0, 1, 1], list("abc"), about="x").notes == (FEW_STUDENTS,)
    with pytest.raises(TooFewError) as caught:
        retention_change([1, 1], [0, 1], list("aa"), about="The choir")
    assert str(caught.value) == "retention_change: needs 2 students heard before and after. The choir has 1."
    with pytest.raises(ValueError) as wrong:  # noqa: PT011  the whole text is compared below
        retention_change([1, 1], [0, 1], list("abc"), about="The choir")
    assert str(wrong.value) == "retention_change: before and students must list the same pairs. Got 2 and 3."
