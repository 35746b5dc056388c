"""The signed-rank distribution against full enumeration."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
import scipy.stats

from kit.stats import signed_rank
from kit.stats.means import median_gain
from kit.stats.signed_rank import order_of_limit, ranks_fall_short, signed_rank_method, signed_rank_p, walsh_averages


def test_walsh_averages_are_all_pairs():
    """Every value is averaged with every other and with itself, in rising order."""
    assert walsh_averages(np.array([4.0, 0.0, 1.0])).tolist() == [0.0, 0.5, 1.0, 2.0, 2.5, 4.0]


@pytest.mark.parametrize(
    ("n", "order", "attained"),
    [(5, 0, 0.9375), (6, 1, 0.96875), (7, 3, 0.953125), (8, 4, 0.9609375), (9, 6, 0.9609375), (10, 9, 0.951171875)],
)
def test_order_of_limit(n, order, attained):
    """Orders and attained levels are those of Hollander & Wolfe (1999), Table A.4 (from memory; enumerated here)."""
    sums = np.array(
        [sum(r for r, s in zip(range(1, n + 1), signs, strict=True) if s) for signs in product((0, 1), repeat=n)]
    )
    assert 1 - 2 * np.mean(sums <= max(order - 1, 0)) == pytest.approx(attained)
    assert order_of_limit(n, tail=0.975) == (order, pytest.approx(attained))
    assert np.mean(sums <= order) > 0.025


def test_a_level_attained_exactly_is_used():
    """The widest interval of five students attains 93.75 %, so at that level there is one."""
    assert order_of_limit(5, tail=0.96875) == (1, pytest.approx(0.9375))


@pytest.mark.parametrize(
    "gains", [[3, 2, 6, 0, -1, 4, 5, 2, 2, 1, -2, 7], [1, 1, 1, -1, 2, 0], [-3, -2, -2, 5, 0, 0, 1]]
)
def test_p_with_ties_equals_enumeration(gains):
    """With ties and zeros p is what listing every sign pattern gives (scipy's "exact" ignores ties: no guide)."""
    moved = np.array([g for g in gains if g], dtype=float)
    ranks = scipy.stats.rankdata(np.abs(moved))
    sums = np.array([ranks @ np.array(signs) for signs in product((0, 1), repeat=moved.size)])
    seen = ranks[moved > 0].sum()
    expected = min(1.0, 2 * min(np.mean(sums <= seen + 1e-9), np.mean(sums >= seen - 1e-9)))
    assert signed_rank_p(np.array(gains, dtype=float)) == pytest.approx(expected)


def test_ties_of_tenths_are_ties():
    """Equal gains of scores in tenths differ by rounding; told how large that is, p is that of the whole points."""
    pre, post = np.array([7, 6, 5, 3, 3, 1, 1, 1]), np.array([2, 8, 6, 9, 5, 6, 9, 7])
    gains = post / 10 - pre / 10
    assert np.unique(np.abs(gains)).size > np.unique(np.abs(post - pre)).size
    assert signed_rank_p(gains, 1e-15) == signed_rank_p((post - pre).astype(float))
    assert signed_rank_p(gains) != signed_rank_p(gains, 1e-15)
    shares = [median_gain(scale * pre, scale * post, about="A", unit="share") for scale in (1, 0.1, 1 / 24)]
    assert [share.p for share in shares] == [shares[0].p] * 3


def test_nobody_moved():
    """Without a single change there is no p."""
    assert signed_rank_p(np.zeros(5)) is None


def test_approximation_is_close(monkeypatch):
    """At 200 students the normal approximation is close to the exact order, level and p."""
    gains = np.round(np.random.default_rng(2).normal(0.4, 3, 200))
    order, attained = order_of_limit(200, tail=0.975)
    exact_p = signed_rank_p(gains)
    monkeypatch.setattr(signed_rank, "EXACT_UP_TO", 100)
    near, near_level = order_of_limit(200, tail=0.975)
    assert abs(near - order) <= 3
    assert near_level == pytest.approx(attained, abs=2e-4)
    assert signed_rank_p(gains) == pytest.approx(exact_p, rel=0.05)


def test_words():
    """Method and shortfall are said with the level attained."""
    assert signed_rank_method(9, 0.9609375) == "exact signed-rank interval, attained level 96.1 %"
    assert signed_rank_method(201, 0.95) == "signed-rank interval, normal approximation, attained level 95.0 %"
    assert (
        ranks_fall_short(4, 0.875, 0.975)
        == "With 4 students, ranks reach a level of 87.5 % at most, not the 97.5 % asked for."
    )
