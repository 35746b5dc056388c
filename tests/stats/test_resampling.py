"""The bootstrap against scipy's, against direct resampling, and its refusals."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.resampling import bootstrap_bca, bootstrap_bca_each, bootstrap_percentile

BOTH = [bootstrap_bca, bootstrap_percentile]
RNG = np.random.default_rng(12)
PRE = RNG.normal(12, 4, 40)
POST = PRE + RNG.gamma(2, 1.5, 40)
PAIRS = np.column_stack([PRE, POST])


def mean_gain(m):
    """Mean gain from moments."""
    return m.mean[..., 1] - m.mean[..., 0]


def gain_over_spread(m):
    """Mean gain over the SD of the first column, n - 1 in its denominator."""
    return mean_gain(m) / np.sqrt(m.covariance[..., 0, 0] * m.n / (m.n - 1))


def correlation(m):
    """Correlation from moments."""
    return m.covariance[..., 0, 1] / np.sqrt(m.covariance[..., 0, 0] * m.covariance[..., 1, 1])


def plain_gain(x, y, axis=-1):
    """Mean gain for scipy."""
    return y.mean(axis) - x.mean(axis)


def plain_gain_over_spread(x, y, axis=-1):
    """Mean gain over SD for scipy."""
    return plain_gain(x, y, axis) / x.std(axis, ddof=1)


@pytest.mark.parametrize(("ours", "theirs"), [(bootstrap_bca, "BCa"), (bootstrap_percentile, "percentile")])
@pytest.mark.parametrize(("statistic", "plain"), [(mean_gain, plain_gain), (gain_over_spread, plain_gain_over_spread)])
@pytest.mark.parametrize("level", [0.9, 0.95])
def test_equals_scipy_within_monte_carlo_error(ours, theirs, statistic, plain, level):
    """With 40,000 resamples the ends are scipy's within 3 % of the width (about three Monte Carlo errors)."""
    interval = ours(PAIRS, statistic, level=level, draws=40_000, rng=np.random.default_rng(1))
    peer = scipy.stats.bootstrap(
        (PRE, POST), plain, paired=True, vectorized=True, method=theirs, n_resamples=40_000, confidence_level=level,
        batch=5000, rng=np.random.default_rng(2),
    ).confidence_interval  # fmt: skip
    close = 0.03 * (peer.high - peer.low)
    assert (interval.low, interval.high) == pytest.approx((peer.low, peer.high), abs=close)
    assert interval.level == level


def test_each_is_the_same_as_one_by_one():
    """Several statistics from one set of resamples are, digit by digit, those from the same seed one by one."""
    statistics = {"gain": mean_gain, "size": gain_over_spread, "correlation": correlation}
    together = bootstrap_bca_each(PAIRS, statistics, rng=np.random.default_rng(4), draws=2000, level=0.9)
    alone = {
        name: bootstrap_bca(PAIRS, statistic, rng=np.random.default_rng(4), draws=2000, level=0.9)
        for name, statistic in statistics.items()
    }
    assert together == alone


@pytest.mark.parametrize("bootstrap", BOTH)
@given(shift=st.integers(-50, 50), factor=st.integers(2, 9), seed=st.integers(0, 99))
@settings(max_examples=25, deadline=None)
def test_follows_the_scale(bootstrap, shift, factor, seed):
    """With the same seed, shifting leaves the ends of a gain and stretching stretches them."""
    plain = bootstrap(np.round(PAIRS), mean_gain, rng=np.random.default_rng(seed), draws=500)
    moved = bootstrap(factor * np.round(PAIRS) + shift, mean_gain, rng=np.random.default_rng(seed), draws=500)
    assert (moved.low, moved.high) == pytest.approx((factor * plain.low, factor * plain.high))


@pytest.mark.parametrize("bootstrap", BOTH)
def test_same_seed_same_ends_and_wider_at_higher_level(bootstrap):
    """The same seed gives the same ends; a higher level is not narrower; the method says how many resamples."""
    one, two = (bootstrap(PAIRS, correlation, rng=np.random.default_rng(9)) for _ in range(2))
    assert one == two
    wide = bootstrap(PAIRS, correlation, rng=np.random.default_rng(9), level=0.99)
    assert wide.low <= one.low <= one.high <= wide.high
    assert "10000 resamples" in one.method


def test_many_rows_take_several_blocks():
    """More cases than fit a block give the same kind of answer: Student's interval, within its error."""
    values = np.random.default_rng(5).normal(3, 1, 70_000)
    interval = bootstrap_percentile(values, lambda m: m.mean[..., 0], rng=np.random.default_rng(6), draws=400)
    half = 1.96 / np.sqrt(70_000)
    assert (interval.low, interval.high) == pytest.approx((values.mean() - half, values.mean() + half), abs=0.25 * half)


@pytest.mark.parametrize("bootstrap", BOTH)
def test_refusals(bootstrap):
    """Missing numbers, few draws, few rows and statistics without spread or value are refused, never patched."""
    name, rng = bootstrap.__name__, np.random.default_rng(1)
    first = lambda m: m.mean[..., 0]  # noqa: E731
    with pytest.raises(
        ValueError, match=f"^{name}: columns must have no missing or infinite number. Got 2 rows with one.$"
    ):
        bootstrap([1, np.nan, 3, np.inf], first, rng=rng)
    with pytest.raises(ValueError, match=f"^{name}: draws must be at least 100. Got 99.$"):
        bootstrap([1, 2, 3], first, rng=rng, draws=99)
    with pytest.raises(ValueError, match=f"^{name}: level must be between 0 and 1. Got 2.$"):
        bootstrap([1, 2, 3], first, rng=rng, level=2)
    with pytest.raises(TooFewError, match=f"^{name}: needs 3 rows. The sample has 2.$"):
        bootstrap([1, 2], first, rng=rng)
    with pytest.raises(
        TooFewError, match=f"^{name}: needs a statistic that differs between resamples. It is the same in all.$"
    ):
        bootstrap([2, 2, 2], first, rng=rng)
    with pytest.raises(TooFewError, match=rf"^{name}: needs a statistic defined in every resample. It is not in \d+.$"):
        bootstrap([[1, 2], [2, 3], [3, 1]], correlation, rng=rng)


def test_statistic_outside_its_resamples():
    """If no resample reaches the observed value, the correction is infinite and there is no interval."""
    message = "^bootstrap_bca: needs a statistic that lies among its resampled values. It lies outside.$"
    centre = PRE.mean()
    with pytest.raises(TooFewError, match=message):
        bootstrap_bca(PRE, lambda m: -np.abs(m.mean[..., 0] - centre), rng=np.random.default_rng(1), draws=100)
