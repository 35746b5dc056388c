"""Laws, edges and messages of the bias of two raters and of the limits of their differences."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.agreement.limits import (
    ALL_DIFFER_ALIKE,
    agreement_bias,
    limit_of_agreement_high,
    limit_of_agreement_low,
)

FIRST = [10.0, 12, 15, 9, 14, 11, 13, 8]
SECOND = [13.0, 14, 15, 9, 15, 14, 12, 10]
COUNTED = {"about": "A", "unit": "points"}
ALL = [agreement_bias, limit_of_agreement_low, limit_of_agreement_high]
laws = settings(max_examples=30, deadline=None)


def test_bias_is_the_paired_t_test():
    """Bias, interval and p are those of scipy's paired t test."""
    theirs = scipy.stats.ttest_rel(SECOND, FIRST)
    ours, interval = agreement_bias(FIRST, SECOND, **COUNTED), theirs.confidence_interval(0.95)
    assert (ours.p, ours.df) == pytest.approx((theirs.pvalue, 7))
    assert (ours.interval.low, ours.interval.high) == pytest.approx((interval.low, interval.high))


@pytest.mark.parametrize(("limit", "side"), [(limit_of_agreement_low, -1), (limit_of_agreement_high, 1)])
def test_the_interval_solves_its_equation(limit, side):
    """At each end of the interval the observed limit lies just in the tail of scipy's noncentral t."""
    found, n = limit(FIRST, SECOND, **COUNTED), 8
    apart = np.subtract(SECOND, FIRST)
    for end, tail in zip((found.interval.low, found.interval.high), (0.025, 0.975)[::side], strict=True):
        t = side * (end - apart.mean()) / apart.std(ddof=1) * np.sqrt(n)
        assert scipy.stats.nct.cdf(t, n - 1, 1.959964 * np.sqrt(n)) == pytest.approx(tail, abs=1e-6)


@given(
    rows=st.lists(st.tuples(st.integers(0, 24), st.integers(0, 24)), min_size=3, max_size=20),
    shift=st.integers(-50, 50), factor=st.integers(2, 9),
)  # fmt: skip
@laws
def test_swapping_raters_turns_everything_round(rows, shift, factor):
    """A shift is nothing, a stretch stretches, and swapping raters turns the signs and swaps the limits."""
    first, second = np.array(rows, dtype=float).T
    bias, low, high = (ask(first, second, **COUNTED) for ask in ALL)
    assert low.value <= bias.value <= high.value
    swapped = [ask(second, first, **COUNTED) for ask in ALL]
    assert (-swapped[0].value, -swapped[2].value, -swapped[1].value) == pytest.approx(
        (bias.value, low.value, high.value)
    )
    moved = limit_of_agreement_low(factor * first + shift, factor * second + shift, **COUNTED)
    assert moved.value == pytest.approx(factor * low.value, abs=1e-9)
    if low.interval:
        assert -swapped[2].interval.high == pytest.approx(low.interval.low)
        assert low.interval.low < low.value < low.interval.high


@pytest.mark.parametrize("ask", ALL)
def test_missing_and_level(ask):
    """Missing rows are removed rows, and a higher level is wider; so is a higher share."""
    gap, whole = ask([*FIRST, 3], [*SECOND, np.nan], **COUNTED), ask(FIRST, SECOND, **COUNTED)
    assert (gap.dropped, gap.n, gap.value, gap.interval) == (1, 8, whole.value, whole.interval)
    wide = ask(FIRST, SECOND, level=0.99, **COUNTED)
    assert wide.interval.low < whole.interval.low < whole.interval.high < wide.interval.high
    further = limit_of_agreement_high(FIRST, SECOND, share=0.99, **COUNTED)
    assert further.value > limit_of_agreement_high(FIRST, SECOND, **COUNTED).value


@pytest.mark.parametrize("ask", ALL)
def test_a_constant_difference_has_no_interval(ask):
    """Raters who always differ by 2 points have all three at 2, without interval, and a note says so."""
    found = ask(FIRST, np.add(FIRST, 2), **COUNTED)
    assert (found.value, found.interval, found.p, found.notes) == (2.0, None, None, (ALL_DIFFER_ALIKE,))


def test_limits_cover():
    """The 90 % interval holds the true limit in about 90 of 100 studies of 10 students (2,000 simulated studies)."""
    rng = np.random.default_rng(3)
    held = 0
    for _ in range(2000):
        found = limit_of_agreement_high(np.zeros(10), rng.normal(1, 2, 10), level=0.9, **COUNTED).interval
        held += found.low <= 1 + 1.959964 * 2 <= found.high
    assert held / 2000 == pytest.approx(0.9, abs=0.02)


def test_two_and_a_million_students():
    """Two students give a huge interval, a million a narrow one around 1.96."""
    two = limit_of_agreement_high([1, 2], [1, 3], **COUNTED)
    assert two.interval.low < two.value < two.interval.high
    rng = np.random.default_rng(2)
    many = limit_of_agreement_high(np.zeros(1_000_000), rng.normal(size=1_000_000), **COUNTED)
    assert (many.interval.low, many.interval.high) == pytest.approx((1.9566, 1.9633), abs=0.01)


@pytest.mark.parametrize("ask", ALL)
def test_messages(ask):
    """One student, an impossible level, an impossible share and infinite scores are refused."""
    name = ask.__name__
    with pytest.raises(TooFewError, match=f"^{name}: needs 2 students with both scores. A has 1.$"):
        ask([1, 2], [1, np.nan], **COUNTED)
    with pytest.raises(ValueError, match=f"^{name}: level must be between 0 and 1. Got 0.$"):
        ask(FIRST, SECOND, level=0, **COUNTED)
    with pytest.raises(
        ValueError, match=f"^{name}: first must be finite numbers, or NaN where missing. Got an infinite"
    ):
        ask([1, np.inf], [1, 2], **COUNTED)
    if ask is not agreement_bias:
        with pytest.raises(ValueError, match=f"^{name}: share must be between 0 and 1. Got 95.$"):
            ask(FIRST, SECOND, share=95, **COUNTED)
