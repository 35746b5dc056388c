"""Laws, messages and cross-checks of sizes of a difference of two groups whose spreads differ."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.effects.between import d_average_groups, glass_delta
from kit.stats.effects.sizes import hedges_g

SIZES = [glass_delta, d_average_groups]
ONE = [13.0, 14, 21, 9, 18, 16, 12, 12]
TWO = [10.0, 12, 15, 9, 14, 11]
laws = settings(max_examples=25, deadline=None)
group = st.lists(st.integers(0, 24), min_size=3, max_size=15).filter(lambda marks: len(set(marks)) > 1)


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


@pytest.mark.parametrize("size", SIZES)
@given(one=group, two=group, scale=st.tuples(st.integers(-50, 50), st.integers(2, 9)), seed=st.integers(0, 99))
@laws
def test_size_has_no_scale_and_no_order(size, one, two, scale, seed):
    """Shifting, stretching or shuffling leaves a size as it is."""
    mixed, (shift, factor) = np.random.default_rng(seed).permutation(one), scale
    moved = size(factor * mixed + shift, factor * np.array(two) + shift, about="A")
    assert ends(moved) == pytest.approx(ends(size(one, two, about="A")), abs=1e-9)


@given(one=group, two=group)
@laws
def test_swapping_groups_turns_the_average_size(one, two):
    """Swapping the groups turns the sign; of `glass_delta` only where both spreads are the same."""
    there, back = ends(d_average_groups(one, two, about="A")), ends(d_average_groups(two, one, about="A"))
    assert back == pytest.approx(-there[[0, 2, 1]], abs=1e-12)
    same = np.add(one, 5)
    there, back = ends(glass_delta(one, same, about="A")), ends(glass_delta(same, one, about="A"))
    assert back == pytest.approx(-there[[0, 2, 1]], abs=1e-9)


@pytest.mark.parametrize("size", SIZES)
@given(one=group, two=group, levels=st.tuples(st.floats(0.5, 0.99), st.floats(0.5, 0.99)))
@laws
def test_higher_level_is_not_narrower(size, one, two, levels):
    """A higher level is not narrower."""
    inner, outer = (size(one, two, about="A", level=level).interval for level in sorted(levels))
    assert outer.low <= inner.low <= inner.high <= outer.high


@pytest.mark.parametrize("size", SIZES)
def test_missing_students_are_removed_students(size):
    """A student without a score is left out and counted."""
    with_gaps = size([*ONE, np.nan], [np.nan, *TWO], about="A")
    assert (with_gaps.dropped, with_gaps.n) == (2, 14)
    assert np.array_equal(ends(with_gaps), ends(size(ONE, TWO, about="A")))


def test_average_size_of_equal_groups_is_hedges():
    """With as many students in either group the average SD is the pooled one, and the size is Hedges' g."""
    assert d_average_groups(ONE[:6], TWO, about="A").value == pytest.approx(hedges_g(ONE[:6], TWO, about="A").value)


def test_constant_program_group_has_a_size():
    """If only the program group has no spread, the size still has an interval, no spread of its own in it."""
    found = glass_delta([18, 18, 18], TWO, about="A")
    assert found.interval.low < found.value < found.interval.high


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("n", "k", "ratio"), [(12, 12, 1.0), (15, 30, 1.5), (40, 40, 2.0)])
def test_interval_covers(size, n, k, ratio):
    """The 95 % interval covers the true size in 92.5 to 98 % of 4,000 samples, spreads equal or not."""
    rng, covered = np.random.default_rng(n), 0
    true = 0.6 if size is glass_delta else 0.6 / np.sqrt((1 + ratio**2) / 2)
    for _ in range(4000):
        interval = size(0.6 + ratio * rng.normal(size=n), rng.normal(size=k), about="A").interval
        covered += interval.low <= true <= interval.high
    assert 0.925 <= covered / 4000 <= 0.98


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (
            lambda: glass_delta([1, 2], [3, 4], about="A"),
            TooFewError,
            "glass_delta: needs 3 students with a score in the comparison group. A, comparison group, has 2.",
        ),
        (
            lambda: glass_delta([1, 2], [3, 3, 3], about="A"),
            TooFewError,
            "glass_delta: needs scores of the comparison group that differ. A has none that do.",
        ),
        (
            lambda: d_average_groups([1], [3, 3], about="A"),
            TooFewError,
            "d_average_groups: needs 2 students with a score in each group. A, program group, has 1.",
        ),
        (
            lambda: d_average_groups([1, 1], [3, 3], about="A"),
            TooFewError,
            "d_average_groups: needs scores within a group that differ. A has none that do.",
        ),
        (
            lambda: d_average_groups([1, np.inf], [3, 3], about="A"),
            ValueError,
            "d_average_groups: program must be finite numbers, or NaN where missing. Got an infinite one.",
        ),
        (
            lambda: glass_delta(ONE, TWO, about="A", level=1),
            ValueError,
            "glass_delta: level must be between 0 and 1. Got 1.",
        ),
    ],
)
def test_messages(call, error, message):
    """Each refusal says what is needed and what was found."""
    with pytest.raises(error) as caught:
        call()
    assert str(caught.value) == message
