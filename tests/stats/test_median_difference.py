"""Laws, messages and cross-checks of the typical difference of two groups."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.means import median_gain
from kit.stats.median_difference import median_difference

laws = settings(max_examples=25, deadline=None)
group = st.lists(st.integers(0, 24), min_size=4, max_size=12)


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


def difference(one, two, **options):
    """Estimate for a group called A."""
    return median_difference(one, two, about="A", unit="points", **options)


@given(one=group, two=group, scale=st.tuples(st.integers(-50, 50), st.integers(2, 9)), seed=st.integers(0, 99))
@laws
def test_scale_order_and_swap(one, two, scale, seed):
    """Stretch follows, shift and order are nothing, swapping the groups turns the sign."""
    mixed, (shift, factor) = np.random.default_rng(seed).permutation(one), scale
    plain = difference(one, two)
    moved = difference(factor * mixed + shift, factor * np.array(two) + shift)
    assert moved.value == factor * plain.value
    back = difference(two, one)
    assert (back.value, back.p) == (-plain.value, pytest.approx(plain.p, abs=1e-12) if plain.p else None)
    if plain.interval:
        assert ends(moved) == pytest.approx(factor * ends(plain))
        assert ends(back) == pytest.approx(-ends(plain)[[0, 2, 1]])


@given(one=group, two=group, levels=st.tuples(st.floats(0.5, 0.9), st.floats(0.5, 0.9)))
@laws
def test_higher_level_is_not_narrower(one, two, levels):
    """A higher level is not narrower, and holds the value."""
    inner, outer = (difference(one, two, level=level).interval for level in sorted(levels))
    assert outer.low <= inner.low <= difference(one, two).value <= inner.high <= outer.high


def test_missing_students_are_removed_students():
    """A student without a score is left out and counted."""
    with_gaps = difference([5, 7, np.nan, 9, 4, 6], [2, 3, 1, 4, np.nan, 5])
    assert (with_gaps.dropped, with_gaps.n) == (2, 10)
    assert np.array_equal(ends(with_gaps), ends(difference([5, 7, 9, 4, 6], [2, 3, 1, 4, 5])))


def test_too_few_for_the_level():
    """Three students in each group cannot reach 95 %: the value, no interval and the reason; no spread, no p."""
    found = difference([4, 5, 6], [1, 2, 3])
    assert (found.value, found.interval, found.p) == (3.0, None, pytest.approx(0.1))
    assert found.notes == ("With 6 students, ranks reach a level of 90.0 % at most, not the 95 % asked for.",)
    assert difference([2, 2, 2, 2], [2, 2, 2, 2]).p is None


def test_many_students_are_bounded():
    """A hundred thousand students in each group, five thousand million pairs, take seconds and little memory."""
    rng = np.random.default_rng(2)
    one, two = np.round(rng.normal(15, 4, 100_000)), np.round(rng.normal(12, 4, 100_000))
    assert difference(one, two).value == 3.0
    assert median_gain(two, one, about="A", unit="points").value == 3.0


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (
            lambda: difference([1], [2, 3]),
            TooFewError,
            "median_difference: needs 2 students with a score in each group. A, program group, has 1.",
        ),
        (
            lambda: difference([1, np.inf], [2, 3]),
            ValueError,
            "median_difference: program must be finite numbers, or NaN where missing. Got an infinite one.",
        ),
        (
            lambda: difference([1, 2], [2, 3], level=1.5),
            ValueError,
            "median_difference: level must be between 0 and 1. Got 1.5.",
        ),
    ],
)
def test_messages(call, error, message):
    """Each refusal says what is needed and what was found."""
    with pytest.raises(error) as caught:
        call()
    assert str(caught.value) == message
