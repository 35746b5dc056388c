"""Laws, messages and cross-checks of how often a score lies above another."""

from __future__ import annotations

import numpy as np
import pingouin
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.nonparametric import rank_compare_2indep

from kit.errors import TooFewError
from kit.stats.superiority import (
    NO_OVERLAP,
    NOBODY_MOVED,
    cliffs_delta,
    probability_of_superiority,
    probability_of_superiority_paired,
)

BETWEEN = [probability_of_superiority, cliffs_delta]
laws = settings(max_examples=50, deadline=None)
group = st.lists(st.integers(0, 12), min_size=2, max_size=15)


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


@given(one=group, two=group, level=st.floats(0.5, 0.99))
@laws
def test_superiority_equals_statsmodels(one, two, level):
    """Value, ends, p and df are those of statsmodels wherever there is any spread; its ends are not cut."""
    ours = probability_of_superiority(one, two, about="A", level=level)
    if ours.interval is None:
        return
    theirs = rank_compare_2indep(np.array(one, dtype=float), np.array(two, dtype=float))
    low, high = theirs.conf_int(alpha=1 - level)
    assert ends(ours) == pytest.approx([theirs.prob1, max(low, 0), min(high, 1)], abs=1e-9)
    assert (ours.p, ours.df) == pytest.approx((theirs.pvalue, theirs.df), abs=1e-9)


def test_superiority_beside_scipy_and_pingouin():
    """Statistic and p of scipy's Brunner-Munzel; pingouin's common-language size is the same share."""
    one, two = [3, 3, 4, 3, 1, 2, 3, 1, 1, 5, 4], [1, 2, 1, 1, 1, 1, 1, 1, 1, 1, 2, 4, 1, 1]
    ours = probability_of_superiority(one, two, about="A")
    assert ours.p == pytest.approx(scipy.stats.brunnermunzel(two, one).pvalue)
    assert ours.value == pytest.approx(pingouin.compute_effsize(one, two, eftype="CLES"))


@pytest.mark.parametrize("size", BETWEEN)
@given(one=group, two=group, seed=st.integers(0, 99), levels=st.tuples(st.floats(0.5, 0.99), st.floats(0.5, 0.99)))
@laws
def test_only_order_counts(size, one, two, seed, levels):
    """Any rising scale and any order of students give the same; swapping mirrors; a higher level is not narrower."""
    low, high = sorted(levels)
    inner, outer = (size(one, two, about="A", level=level) for level in (low, high))
    mixed = np.random.default_rng(seed).permutation(one)
    assert size(np.exp(mixed), np.exp(two), about="A", level=low).value == inner.value
    mirror = 1.0 if size is probability_of_superiority else 0.0
    back = size(two, one, about="A", level=low)
    assert back.value == pytest.approx(mirror - inner.value, abs=1e-12)
    if inner.interval:
        assert ends(back) == pytest.approx(mirror - ends(inner)[[0, 2, 1]], abs=1e-9)
        assert outer.interval.low <= inner.interval.low <= inner.interval.high <= outer.interval.high


@given(one=group, two=group)
@laws
def test_delta_is_twice_the_probability_less_one(one, two):
    """Cliff's delta is twice the probability of superiority minus 1, and its ends stay between -1 and 1."""
    delta = cliffs_delta(one, two, about="A")
    assert delta.value == pytest.approx(2 * probability_of_superiority(one, two, about="A").value - 1, abs=1e-12)
    assert -1 <= delta.interval.low <= delta.value <= delta.interval.high <= 1


def test_groups_that_do_not_overlap():
    """Apart groups: a share of 1 without interval and with the reason; a delta of 1 with a far limit below 1."""
    found = probability_of_superiority([4, 5, 6], [1, 2, 3], about="A")
    assert (found.value, found.interval, found.p, found.df, found.notes) == (1.0, None, None, None, (NO_OVERLAP,))
    ten = cliffs_delta(np.arange(10) + 20, np.arange(10), about="A")
    t = scipy.stats.t.ppf(0.975, 18)
    assert ends(ten) == pytest.approx([1, (10 - t**2) / (10 + t**2), 1])
    assert ends(cliffs_delta(np.arange(10), np.arange(10) + 20, about="A")) == pytest.approx(-ends(ten)[[0, 2, 1]])


@given(gains=st.lists(st.integers(-3, 3), min_size=1, max_size=20), levels=st.tuples(*[st.floats(0.5, 0.99)] * 2))
@laws
def test_paired_laws(gains, levels):
    """Turning every gain mirrors the share; its ends hold the value, within 0 to 1; a higher level is not narrower."""
    low, high = sorted(levels)
    pre = np.zeros(len(gains))
    inner, outer = (probability_of_superiority_paired(pre, gains, about="A", level=level) for level in (low, high))
    back = probability_of_superiority_paired(gains, pre, about="A", level=low)
    assert ends(back) == pytest.approx(1 - ends(inner)[[0, 2, 1]], abs=1e-9)
    assert 0 <= outer.interval.low <= inner.interval.low + 1e-9
    assert inner.interval.low <= inner.value <= inner.interval.high
    assert inner.interval.high - 1e-9 <= outer.interval.high <= 1


def test_paired_edges():
    """Nobody moved: one half, an interval around it and no p; everyone rose: 1; one student alone has an answer."""
    still = probability_of_superiority_paired([1, 2, 3], [1, 2, 3], about="A")
    assert (still.value, still.p, still.notes) == (0.5, None, (NOBODY_MOVED,))
    assert still.interval.low < 0.5 < still.interval.high
    rose = probability_of_superiority_paired([1, 2, 3], [2, 3, 4], about="A")
    assert (rose.value, rose.interval.high) == (1.0, 1.0)
    assert probability_of_superiority_paired([1], [2], about="A").n == 1


def test_missing_students_are_counted():
    """A missing score leaves the student out and is counted, in groups and in pairs."""
    for size in BETWEEN:
        with_gaps = size([1, 5, np.nan, 3], [2, np.nan, 1], about="A")
        assert (with_gaps.dropped, with_gaps.n) == (2, 5)
        assert np.array_equal(ends(with_gaps), ends(size([1, 5, 3], [2, 1], about="A")))
    pairs = probability_of_superiority_paired([1, 2, np.nan], [2, np.nan, 3], about="A")
    assert (pairs.dropped, pairs.n) == (2, 1)


def test_a_million_students():
    """A million students in each group take seconds: pairs are counted, never listed."""
    rng = np.random.default_rng(1)
    one, two = np.round(rng.normal(13, 4, 10**6)), np.round(rng.normal(12, 4, 10**6))
    for size in BETWEEN:
        found = size(one, two, about="A")
        assert found.interval.high - found.interval.low < 0.01
    assert probability_of_superiority_paired(two, one, about="A").n == 10**6


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (
            lambda: probability_of_superiority([1], [2, 3], about="A"),
            TooFewError,
            "probability_of_superiority: needs 2 students with a score in each group. A, program group, has 1.",
        ),
        (
            lambda: cliffs_delta([1, 2], [2], about="A"),
            TooFewError,
            "cliffs_delta: needs 2 students with a score in each group. A, comparison group, has 1.",
        ),
        (
            lambda: probability_of_superiority_paired([np.nan], [1], about="A"),
            TooFewError,
            "probability_of_superiority_paired: needs 1 students with both scores. A has 0.",
        ),
        (
            lambda: cliffs_delta([1, np.inf], [2, 3], about="A"),
            ValueError,
            "cliffs_delta: program must be finite numbers, or NaN where missing. Got an infinite one.",
        ),
        (
            lambda: cliffs_delta([1, 2], [2, 3], about="A", level=0),
            ValueError,
            "cliffs_delta: level must be between 0 and 1. Got 0.",
        ),
    ],
)
def test_messages(call, error, message):
    """Each refusal says what is needed and what was found."""
    with pytest.raises(error) as caught:
        call()
    assert str(caught.value) == message
