"""Laws, messages and cross-checks of the correlation and of movement towards the mean."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.association import EQUAL_SPREAD, STRAIGHT_LINE, correlation, expected_regression

PRE = [10.0, 12, 15, 9, 14, 11, 13, 8]
POST = [13.0, 14, 21, 9, 18, 16, 12, 12]
LOW = [True, False, False, True, False, False, False, True]
laws = settings(max_examples=25, deadline=None)
marks = st.lists(st.tuples(st.integers(0, 24), st.integers(0, 24)), min_size=5, max_size=20).filter(
    lambda rows: len({a for a, _ in rows}) > 2 and len({b for _, b in rows}) > 2
)


@given(rows=marks, level=st.floats(0.5, 0.99))
@laws
def test_correlation_equals_scipy(rows, level):
    """The Pearson r of scipy, its Fisher interval and p are ours, and swapping the tests is nothing."""
    x, y = np.array(rows, dtype=float).T
    ours = correlation(x, y, about="A", level=level)
    if ours.interval is None:
        assert ours.notes == (STRAIGHT_LINE,)
        return
    theirs = scipy.stats.pearsonr(x, y)
    interval = theirs.confidence_interval(level)
    assert (ours.value, ours.p) == pytest.approx((theirs.statistic, theirs.pvalue), abs=1e-9)
    assert (ours.interval.low, ours.interval.high) == pytest.approx((interval.low, interval.high))
    assert correlation(y, x, about="A", level=level).value == pytest.approx(ours.value)


@given(rows=marks, shift=st.integers(-50, 50), factor=st.integers(2, 9), seed=st.integers(0, 99))
@laws
def test_correlation_has_no_scale_and_no_order(rows, shift, factor, seed):
    """Shifting, stretching and reordering leave r; turning one scale round turns its sign."""
    x, y = np.array(rows, dtype=float).T
    order = np.random.default_rng(seed).permutation(x.size)
    plain = correlation(x, y, about="A").value
    assert correlation(factor * x[order] + shift, y[order], about="A").value == pytest.approx(plain)
    assert correlation(-x, y, about="A").value == pytest.approx(-plain)


def test_missing_rows_are_removed_rows():
    """A student with one score is left out and counted; group membership goes along."""
    with_gap = correlation([*PRE, 3], [*POST, np.nan], about="A")
    assert with_gap.dropped == 1
    assert with_gap.interval == correlation(PRE, POST, about="A").interval
    moved = expected_regression([*PRE, 3], [*POST, np.nan], group=[*LOW, True], about="A", unit="points")
    whole = expected_regression(PRE, POST, group=LOW, about="A", unit="points")
    assert (moved.dropped, moved.n, moved.value) == (1, 3, whole.value)


def test_perfect_line_has_no_interval():
    """On a perfect line there is no scatter: no interval, no p, and chance moves nobody."""
    line = correlation(PRE, np.multiply(PRE, 2), about="A")
    assert (line.value, line.interval, line.p, line.notes) == (1.0, None, None, (STRAIGHT_LINE,))
    moved = expected_regression(PRE, np.add(PRE, 3), group=LOW, about="A", unit="points")
    assert (moved.value, moved.interval) == (0.0, None)


def test_regression_is_what_happens_without_learning():
    """Where nobody learns, groups picked for their first score move by just that much (simulated, 200,000 students)."""
    rng = np.random.default_rng(4)
    ability = rng.normal(50, np.sqrt(70), 200_000)
    pre, post = ability + rng.normal(0, np.sqrt(30), (2, 200_000))
    for group in (pre < 42, pre > 58):
        expected = expected_regression(pre, post, group=group, about="A", unit="points")
        assert expected.value == pytest.approx((post - pre)[group].mean(), abs=0.15)
        assert expected.n == group.sum()


@given(rows=marks, shift=st.integers(-50, 50), factor=st.integers(2, 9), levels=st.tuples(*[st.floats(0.5, 0.99)] * 2))
@laws
def test_regression_follows_the_scale(rows, shift, factor, levels):
    """A shift is nothing, a stretch stretches, a higher level is not narrower, and high groups move down."""
    pre, post = np.array(rows, dtype=float).T
    low = pre <= np.median(pre)
    inner, outer = (
        expected_regression(pre, post, group=low, about="A", unit="points", level=level) for level in sorted(levels)
    )
    moved = expected_regression(factor * pre + shift, factor * post + shift, group=low, about="A", unit="points")
    assert moved.value == pytest.approx(factor * inner.value, abs=1e-9)
    assert inner.value >= -1e-12
    if inner.interval and not low.all():
        assert outer.interval.low <= inner.interval.low + 1e-12
        assert outer.interval.high >= inner.interval.high - 1e-12
        high = expected_regression(pre, post, group=~low, about="A", unit="points")
        assert high.value <= 1e-12


def test_the_note_says_what_is_assumed():
    """The note names the assumption and how many students give the correlation."""
    found = expected_regression(PRE, POST, group=LOW, about="A", unit="points")
    assert found.notes == (EQUAL_SPREAD.format(n=8),)
    assert found.notes[0] == (
        "Expected if nobody had learned anything and scores were as spread out at both tests; 8 students give the "
        "correlation, and how far the group starts from the average is taken as known."
    )


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: correlation([1, 2, 3], [3, 1, 2], about="A"),
            "correlation: needs 4 students with both scores. A has 3.",
        ),
        (
            lambda: correlation([1, 2, 3, 4], [2, 2, 2, 2], about="A"),
            "correlation: needs scores at both tests that differ. A has none that do.",
        ),
        (
            lambda: expected_regression(PRE, POST, group=[False] * 8, about="A", unit="points"),
            "expected_regression: needs 1 student with both scores in the group. A has 0.",
        ),
    ],
)
def test_too_few(call, message):
    """Too few students, no spread and an empty group are refused with a sentence."""
    with pytest.raises(TooFewError) as caught:
        call()
    assert str(caught.value) == message
