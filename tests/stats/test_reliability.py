"""Noise of one score and of one student's change; reliability of a longer test and of gains."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.consistency import cronbach_alpha
from kit.stats.reliability import (
    HALVES_ALIKE,
    detectable_change,
    gain_reliability,
    spearman_brown,
    standard_error_of_measurement,
)

SCORES = [10.0, 12, 15, 9, 14, 11]
COUNTED = {"about": "A", "unit": "points"}
BOTH = [standard_error_of_measurement, detectable_change]


@pytest.mark.parametrize("noise", BOTH)
@given(reliability=st.floats(0, 1), shift=st.integers(-50, 50), factor=st.integers(2, 9))
@settings(max_examples=25, deadline=None)
def test_noise_follows_the_scale(noise, reliability, shift, factor):
    """A shift is nothing, a stretch stretches, and order is nothing."""
    plain = noise(SCORES, reliability=reliability, **COUNTED).value
    moved = noise(factor * np.array(SCORES[::-1]) + shift, reliability=reliability, **COUNTED).value
    assert moved == pytest.approx(factor * plain, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("noise", BOTH)
def test_reliability_and_missing(noise):
    """A perfect score has no noise, a surer test has less, and missing scores are removed scores."""
    assert noise(SCORES, reliability=1, **COUNTED).value == 0.0
    assert noise(SCORES, reliability=0.9, **COUNTED).value < noise(SCORES, reliability=0.8, **COUNTED).value
    with_gap = noise([*SCORES, np.nan], reliability=0.8, **COUNTED)
    assert (with_gap.dropped, with_gap.n) == (1, 6)
    assert with_gap.value == noise(SCORES, reliability=0.8, **COUNTED).value
    assert with_gap.notes == (
        "The reliability (0.8) is taken as given; the number is as good as that figure, so it has no interval.",
    )


def test_detectable_change_is_noise_of_two_scores():
    """A change is 1.96 times root two times the noise of one score; a higher level asks for more."""
    one = standard_error_of_measurement(SCORES, reliability=0.8, **COUNTED).value
    change = detectable_change(SCORES, reliability=0.8, **COUNTED).value
    assert change == pytest.approx(1.959964 * np.sqrt(2) * one, rel=1e-6)
    assert detectable_change(SCORES, reliability=0.8, level=0.99, **COUNTED).value > change


def test_unchanged_students_stay_below_it():
    """Of students whose true score did not change, 5 % exceed it (simulated, 200,000 students)."""
    rng = np.random.default_rng(6)
    true = rng.normal(50, 8, 200_000)
    pre, post = true + rng.normal(0, 6, (2, 200_000))
    limit = detectable_change(pre, reliability=0.64, **COUNTED).value
    assert np.mean(np.abs(post - pre) > limit) == pytest.approx(0.05, abs=0.002)


@pytest.mark.parametrize("noise", BOTH)
def test_messages(noise):
    """An impossible reliability and too few scores are refused."""
    name = noise.__name__
    with pytest.raises(ValueError, match=f"^{name}: reliability must be between 0 and 1. Got 1.1.$"):
        noise(SCORES, reliability=1.1, **COUNTED)
    with pytest.raises(TooFewError, match=f"^{name}: needs 2 students with a score. A has 1.$"):
        noise([3], reliability=0.8, **COUNTED)


HALVES = [4.0, 6, 8, 10, 7, 5], [7.0, 6, 11, 9, 9, 4]
PRE, POST = [10.0, 12, 15, 9, 14, 11, 13, 8], [13.0, 14, 21, 9, 18, 16, 12, 12]
marks = st.lists(st.tuples(st.integers(0, 24), st.integers(0, 24)), min_size=5, max_size=20).filter(
    lambda rows: len({a for a, _ in rows}) > 2 and len({b for _, b in rows}) > 2
)


@given(rows=marks, scale=st.tuples(st.integers(-50, 50), st.integers(2, 9)), seed=st.integers(0, 99))
@settings(max_examples=40, deadline=None)
def test_spearman_brown_laws(rows, scale, seed):
    """Swapping, reordering, shifting and stretching a part change nothing; the interval holds the value."""
    first, second = np.array(rows, dtype=float).T
    if np.corrcoef(first, second)[0, 1] < -0.999:
        return
    plain = spearman_brown(first, second, about="A")
    order = np.random.default_rng(seed).permutation(first.size)
    moved = spearman_brown(scale[1] * second[order] + scale[0], first[order], about="A")
    assert moved.value == pytest.approx(plain.value, abs=1e-9)
    if plain.interval:
        assert plain.interval.low < plain.value < plain.interval.high <= 1
        wide = spearman_brown(first, second, about="A", level=0.99).interval
        assert wide.low < plain.interval.low < plain.interval.high < wide.high


def test_parts_as_spread_out_as_each_other_give_alpha():
    """Two parts of equal spread have the reliability that Cronbach's alpha gives; times 1 gives back their correlation."""
    first, second = (np.subtract(part, np.mean(part)) / np.std(part) for part in HALVES)
    both = cronbach_alpha(np.column_stack([first, second]), about="A").value
    assert spearman_brown(first, second, about="A").value == pytest.approx(both)
    once = spearman_brown(*HALVES, about="A", times=1).value
    assert once == pytest.approx(np.corrcoef(*HALVES)[0, 1])
    assert spearman_brown(*HALVES, about="A", times=6).value > spearman_brown(*HALVES, about="A").value


def test_perfect_parts_and_missing_parts():
    """Parts in exact step have reliability 1 without an interval; missing rows are removed rows."""
    found = spearman_brown(HALVES[0], np.multiply(HALVES[0], 2), about="A")
    assert (found.value, found.interval, found.notes) == (1.0, None, (HALVES_ALIKE,))
    gap, whole = spearman_brown([*HALVES[0], 3], [*HALVES[1], np.nan], about="A"), spearman_brown(*HALVES, about="A")
    assert (gap.dropped, gap.n, gap.value, gap.interval) == (1, 6, whole.value, whole.interval)


def test_a_low_end_without_limit():
    """Where a longer test of parts that may contradict each other is asked for, the low end has no limit."""
    found = spearman_brown([1, 2, 3, 4, 5], [3, 1, 4, 2, 3], about="A", times=8)
    assert found.interval.low == -np.inf
    assert found.interval.high < 1


def test_gain_reliability_is_the_share_of_real_gains():
    """It is the squared correlation of gains with true gains (simulated, 200,000 students)."""
    rng = np.random.default_rng(6)
    true = rng.normal(50, 8, 200_000)
    true_gain = rng.normal(5, 4, 200_000)
    pre, post = true + rng.normal(0, 3, 200_000), true + true_gain + rng.normal(0, 2, 200_000)
    found = gain_reliability(pre, post, reliability_pre=64 / 73, reliability_post=(64 + 16) / (64 + 16 + 4), about="A")
    assert found.value == pytest.approx(np.corrcoef(post - pre, true_gain)[0, 1] ** 2, abs=0.01)


def test_gain_reliability_laws():
    """Scale is nothing, surer tests give surer gains, perfect tests perfect ones, and missing rows are removed rows."""
    asked = {"reliability_pre": 0.8, "reliability_post": 0.9, "about": "A"}
    plain = gain_reliability(PRE, POST, **asked)
    assert gain_reliability(3 * np.array(PRE) + 7, 3 * np.array(POST) + 7, **asked).value == pytest.approx(plain.value)
    assert gain_reliability(PRE, POST, **asked | {"reliability_pre": 0.9}).value > plain.value
    assert gain_reliability(PRE, POST, reliability_pre=1, reliability_post=1, about="A").value == 1
    gap = gain_reliability([*PRE, 3], [*POST, np.nan], **asked)
    assert (gap.dropped, gap.n, gap.value) == (1, 8, plain.value)
    assert plain.notes == (
        "The reliabilities of the two tests (0.8 and 0.9) are taken as given; the number is as good as those figures, "
        "so it has no interval.",
    )


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: spearman_brown(*HALVES, about="A", times=0), ValueError,
         "spearman_brown: times must be above 0. Got 0."),
        (lambda: spearman_brown(*HALVES, about="A", level=1), ValueError,
         "spearman_brown: level must be between 0 and 1. Got 1."),
        (lambda: spearman_brown([1, 2, 3], [1, 3, 2], about="A"), TooFewError,
         "spearman_brown: needs 4 students with both scores. A has 3."),
        (lambda: spearman_brown([1, 2, 3, 4], [5, 5, 5, 5], about="A"), TooFewError,
         "spearman_brown: needs scores in both parts that differ. A has none that do."),
        (lambda: spearman_brown([1, 2, 3, 4], [4, 3, 2, 1], about="A"), TooFewError,
         "spearman_brown: needs parts that do not contradict each other. A has none."),
        (lambda: gain_reliability([1, 2], [2, 4], reliability_pre=0.8, reliability_post=0.8, about="A"), TooFewError,
         "gain_reliability: needs 3 students with both scores. A has 2."),
        (lambda: gain_reliability(PRE, np.add(PRE, 3), reliability_pre=0.8, reliability_post=0.8, about="A"), TooFewError,
         "gain_reliability: needs gains that differ. A has none that do."),
        (lambda: gain_reliability(PRE, POST, reliability_pre=1.2, reliability_post=0.8, about="A"), ValueError,
         "gain_reliability: reliability_pre must be between 0 and 1. Got 1.2."),
        (lambda: gain_reliability(PRE, POST, reliability_pre=0.8, reliability_post=-1, about="A"), ValueError,
         "gain_reliability: reliability_post must be between 0 and 1. Got -1."),
    ],
)  # fmt: skip
def test_messages_of_parts_and_gains(call, kind, message):
    """What cannot be used is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
