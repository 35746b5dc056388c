"""Noise of one score and of one student's change."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.reliability import detectable_change, standard_error_of_measurement

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
