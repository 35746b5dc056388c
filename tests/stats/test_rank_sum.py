"""The rank sum's p and limits against the list of all ways to choose the group, and against scipy's."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.stats.rank_sum import order_of_difference, rank_sum_p

laws = settings(max_examples=25, deadline=None)
group = st.lists(st.integers(0, 24), min_size=4, max_size=12)


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


def test_many_students_use_the_normal_approximation():
    """Just past the last size that is enumerated, order and level hardly differ from the enumerated neighbour's."""
    (order, attained), (near, other) = (order_of_difference(50, k, tail=0.975) for k in (50, 51))
    assert 0 <= near - order <= 25
    assert attained == pytest.approx(other, abs=0.002)
