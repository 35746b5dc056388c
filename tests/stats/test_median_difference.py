"""Laws, messages and cross-checks of the typical difference of two groups, and of the ranks behind it."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats import pair_order
from kit.stats.means import median_gain
from kit.stats.median_difference import median_difference
from kit.stats.pair_order import typical_average, typical_difference
from kit.stats.rank_sum import order_of_difference, rank_sum_p

laws = settings(max_examples=25, deadline=None)
group = st.lists(st.integers(0, 24), min_size=4, max_size=12)


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


def difference(one, two, **options):
    """Estimate for a group called A."""
    return median_difference(one, two, about="A", unit="points", **options)


@given(one=group, two=group)
@laws
def test_p_is_that_of_every_way_to_choose(one, two):
    """With ties and without, p is the share of all ways to choose the group that lie as far from the middle."""
    if len(set(one + two)) == 1:
        assert rank_sum_p(np.array(one), np.array(two)) is None
        return
    if len(one) + len(two) > 14:
        one, two = one[:7], two[:7]
        if len(set(one + two)) == 1:
            return
    ranks = scipy.stats.rankdata(one + two)
    sums = np.array([ranks[list(chosen)].sum() for chosen in combinations(range(len(ranks)), len(one))])
    away = np.abs(sums - sums.mean())
    expected = np.mean(away >= abs(ranks[: len(one)].sum() - sums.mean()) - 1e-9)
    assert rank_sum_p(np.array(one), np.array(two)) == pytest.approx(expected, abs=1e-12)


def test_p_equals_scipy():
    """Without ties p is scipy's exact one; for many students its approximation with tie and continuity correction."""
    rng = np.random.default_rng(1)
    one, two = rng.normal(size=20), rng.normal(0.5, 1, 25)
    assert rank_sum_p(one, two) == pytest.approx(scipy.stats.mannwhitneyu(one, two, method="exact").pvalue)
    one, two = np.round(rng.normal(12, 4, 80)), np.round(rng.normal(13, 4, 70))
    assert rank_sum_p(one, two) == pytest.approx(scipy.stats.mannwhitneyu(one, two, method="asymptotic").pvalue)


@given(n=st.integers(2, 9), k=st.integers(2, 9), level=st.floats(0.5, 0.99))
@laws
def test_order_is_the_narrowest_that_reaches_the_level(n, k, level):
    """The level attained is at least the one asked for, and the next order in would fall short."""
    order, attained = order_of_difference(n, k, tail=(1 + level) / 2)
    sums = np.array([sum(chosen) for chosen in combinations(range(n + k), n)]) - n * (n - 1) // 2
    if order == 0:
        assert attained == pytest.approx(1 - 2 * np.mean(sums <= 0))
        assert attained < level
        return
    assert attained == pytest.approx(1 - 2 * np.mean(sums <= order - 1))
    assert attained >= level - 1e-9
    assert 1 - 2 * np.mean(sums <= order) < level


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


@pytest.mark.parametrize("decimals", [0, 3, 15])
def test_halving_finds_the_listed_pairs(monkeypatch, decimals):
    """Without listing pairs the middle and the limits are, to the digit, those of the list, ties or none."""
    rng = np.random.default_rng(decimals)
    one, two = np.round(rng.normal(12, 4, 81), decimals), np.round(rng.normal(13, 3, 60), decimals)
    listed = typical_difference(one, two, 700), typical_average(one, 900), typical_difference(one, two, 0)
    monkeypatch.setattr(pair_order, "LISTED_UP_TO", 10)
    halved = typical_difference(one, two, 700), typical_average(one, 900), typical_difference(one, two, 0)
    for (middle, limits), (other, others) in zip(listed, halved, strict=True):
        assert other == pytest.approx(middle, rel=1e-14)
        assert others == (limits and pytest.approx(limits, rel=1e-14))


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
