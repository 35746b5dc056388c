"""Two phases: counts over pairs against listing them, and ranks against scipy."""

from __future__ import annotations

from itertools import combinations, permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import kendalltau, mannwhitneyu

from kit.stats.phases import phases_of

laws = settings(max_examples=50, deadline=None)
phase = st.lists(st.integers(0, 9), min_size=2, max_size=7)


def phases(before, after):
    """Give two phases where higher is better."""
    return phases_of("nap", before, after, "A", "higher")


@given(before=phase, after=phase)
@laws
def test_counts_equal_listing_the_pairs(before, after):
    """Pairs between and within phases are counted as if each were listed."""
    found, pairs = phases(before, after), len(before) * len(after)
    assert found.delta * pairs == pytest.approx(sum(np.sign(b - a) for a in before for b in after), abs=1e-9)
    assert found.trend * pairs == pytest.approx(sum(np.sign(b - a) for a, b in combinations(before, 2)), abs=1e-9)


def test_trend_equals_scipy():
    """Without ties, scipy's Kendall tau counts the same rises and falls."""
    before = np.random.default_rng(3).normal(size=200)
    theirs = kendalltau(np.arange(200), before).statistic * 200 * 199 / 2
    assert phases(before, [0, 1]).trend * 400 == pytest.approx(theirs, abs=1e-6)


def test_spread_equals_listing_all_orders():
    """The standard error is the spread over all orders of untied observations, listed one by one."""
    values = [(found := phases(order[:3], order[3:])).delta - found.trend for order in permutations(range(6))]
    assert np.std(values) == pytest.approx(phases([1, 2, 3], [4, 5, 6]).error_if_nothing_changed, abs=1e-12)


@given(before=phase, after=phase)
@laws
def test_p_equals_listing_all_splits(before, after):
    """The p-value is the share of splits into two phases that lie as far apart, ties and all."""
    found, everything = phases(before, after), [*after, *before]
    if len(set(everything)) == 1:
        assert found.p is None
        return
    away = []
    for chosen in combinations(range(len(everything)), len(after)):
        rest = [value for at, value in enumerate(everything) if at not in chosen]
        away.append(abs(sum(np.sign(everything[at] - other) for at in chosen for other in rest)))
    observed = abs(sum(np.sign(b - a) for a in before for b in after))
    assert found.p == pytest.approx(np.mean([far >= observed for far in away]), abs=1e-12)


@pytest.mark.parametrize("size", [20, 60, 200])
def test_p_equals_scipy(size):
    """Scipy gives the same exact p-value without ties, and the same normal approximation with them."""
    rng = np.random.default_rng(size)
    if 2 * size <= 100:
        one, two = rng.normal(size=size), rng.normal(0.5, size=size)
        theirs = mannwhitneyu(two, one, method="exact").pvalue
    else:
        one, two = rng.integers(0, 9, size), rng.integers(1, 9, size)
        theirs = mannwhitneyu(two, one, method="asymptotic", use_continuity=False).pvalue
    assert phases(one, two).p == pytest.approx(theirs, rel=1e-9)


def test_exact_meets_approximate():
    """At 100 observations, where counting splits gives way to the normal approximation, the two agree."""
    rng = np.random.default_rng(5)
    one, two = rng.integers(0, 9, 50), rng.integers(1, 10, 50)
    theirs = mannwhitneyu(two, one, method="asymptotic", use_continuity=False).pvalue
    assert phases(one, two).p == pytest.approx(theirs, rel=0.05)


@given(before=phase, after=phase)
@laws
def test_limits_mirror(before, after):
    """Swapping the phases mirrors the limits, and the share lies between them."""
    low, high = phases(before, after).newcombe_limits(0.975)
    turned = phases(after, before).newcombe_limits(0.975)
    assert (low, high) == pytest.approx((1 - turned[1], 1 - turned[0]), abs=1e-9)
    assert 0 <= low <= (1 + phases(before, after).delta) / 2 <= high <= 1
    assert high - low > 0.1
