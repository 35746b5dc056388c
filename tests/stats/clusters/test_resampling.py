"""The bootstrap of whole choirs against scipy's of choir means, against listing every resample, and its refusals."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.clusters.resampling import bootstrap_clusters
from kit.stats.resampling import bootstrap_bca, bootstrap_percentile

RNG = np.random.default_rng(3)
CHOIRS = np.repeat(np.arange(12), 8)
SCORES = RNG.normal(12, 3, 96) + np.repeat(RNG.normal(0, 2, 12), 8)
SIZES = [3, 9, 5, 2, 7]
UNEQUAL = np.repeat(np.arange(5), SIZES)
GAINS = RNG.normal(2, 3, sum(SIZES)) + np.repeat([0.0, 3, 1, -2, 2], SIZES)


def mean(m):
    """Mean of the first column."""
    return m.mean[..., 0]


def spread(m):
    """Give the standard deviation of the first column, n - 1 in its denominator."""
    return np.sqrt(m.covariance[..., 0, 0] * m.n / (m.n - 1))


def difference(m):
    """Mean of the program less that of the comparison: columns are program, score * program, score."""
    share = m.mean[..., 0]
    return m.mean[..., 1] / share - (m.mean[..., 2] - m.mean[..., 1]) / (1 - share)


@pytest.mark.parametrize(("ends", "theirs"), [("bca", "BCa"), ("percentile", "percentile")])
def test_equal_choirs_are_scipys_bootstrap_of_choir_means(ends, theirs):
    """With choirs of one size the mean's interval is scipy's for choir means, within 3 % of the width."""
    ours = bootstrap_clusters(SCORES, CHOIRS, mean, ends=ends, draws=40_000, rng=np.random.default_rng(1))
    means = SCORES.reshape(12, 8).mean(axis=1)
    peer = scipy.stats.bootstrap(
        (means,), np.mean, vectorized=True, method=theirs, n_resamples=40_000, rng=np.random.default_rng(2)
    ).confidence_interval
    near = 0.03 * (peer.high - peer.low)
    assert (ours.low, ours.high) == pytest.approx((peer.low, peer.high), abs=near)


@pytest.mark.parametrize("statistic", [mean, spread])
def test_equals_listing_every_resample(statistic):
    """With 5 unequal choirs, percentile ends are those of all 3,125 resamples, students of each put together."""
    parts = [GAINS[choir == UNEQUAL] for choir in range(5)]
    plain = {mean: np.mean, spread: lambda rows: np.std(rows, ddof=1)}[statistic]
    listed = [plain(np.concatenate([parts[i] for i in drawn])) for drawn in product(range(5), repeat=5)]
    low, high = np.quantile(listed, [0.05, 0.95])
    found = bootstrap_clusters(
        GAINS, UNEQUAL, statistic, ends="percentile", level=0.9, draws=40_000, rng=np.random.default_rng(1)
    )
    assert (found.low, found.high) == pytest.approx((low, high), abs=0.04 * (high - low))


def test_drawing_within_groups_equals_scipys_two_samples():
    """The difference of two approaches, choirs drawn within each, is scipy's bootstrap of two lists of choir means."""
    program = CHOIRS < 5
    columns = np.column_stack([program, SCORES * program, SCORES])
    ours = bootstrap_clusters(
        columns, CHOIRS, difference, within=program, ends="percentile", draws=40_000, rng=np.random.default_rng(1)
    )
    means = SCORES.reshape(12, 8).mean(axis=1)
    peer = scipy.stats.bootstrap(
        (means[:5], means[5:]), lambda x, y, axis: x.mean(axis) - y.mean(axis), vectorized=True, method="percentile",
        n_resamples=40_000, rng=np.random.default_rng(2),
    ).confidence_interval  # fmt: skip
    near = 0.03 * (peer.high - peer.low)
    assert (ours.low, ours.high) == pytest.approx((peer.low, peer.high), abs=near)
    assert ours.method == "percentile bootstrap of 12 whole choirs, 40000 resamples"


@pytest.mark.parametrize(("ends", "of_rows"), [("bca", bootstrap_bca), ("percentile", bootstrap_percentile)])
def test_choirs_of_one_are_the_bootstrap_of_students(ends, of_rows):
    """If every student is a choir, the ends are those of the bootstrap of students from the same seed."""
    ours = bootstrap_clusters(GAINS, np.arange(26), spread, ends=ends, rng=np.random.default_rng(5), draws=1000)
    theirs = of_rows(GAINS, spread, rng=np.random.default_rng(5), draws=1000)
    assert (ours.low, ours.high) == pytest.approx((theirs.low, theirs.high), rel=1e-12)


@given(shift=st.integers(-50, 50), factor=st.integers(2, 9), seed=st.integers(0, 99))
@settings(max_examples=25, deadline=None)
def test_scale_order_and_level(shift, factor, seed):
    """Shift and stretch follow, names of choirs and order of rows are nothing, a higher level is not narrower."""

    def ends(scores, choirs, **options):
        found = bootstrap_clusters(scores, choirs, mean, rng=np.random.default_rng(seed), draws=500, **options)
        return found.low, found.high

    whole, mixed = np.round(SCORES), np.random.default_rng(seed).permutation(96)
    low, high = ends(whole, CHOIRS)
    assert ends(factor * whole + shift, CHOIRS) == pytest.approx((factor * low + shift, factor * high + shift))
    assert ends(whole[mixed], np.char.add("choir ", (CHOIRS[mixed] + 10).astype(str))) == pytest.approx((low, high))
    outer = ends(whole, CHOIRS, level=0.99)
    assert outer[0] <= low <= high <= outer[1]


def test_shared_ups_and_downs_widen_it():
    """Scores that choirs share give a wider interval than if the students were taken one by one."""
    whole = bootstrap_clusters(SCORES, CHOIRS, mean, rng=np.random.default_rng(1))
    alone = bootstrap_bca(SCORES, mean, rng=np.random.default_rng(1))
    assert whole.high - whole.low > 1.2 * (alone.high - alone.low)


@pytest.mark.parametrize(
    ("options", "error", "message"),
    [
        ({"columns": [1, 2, np.nan, 4]}, ValueError, "columns must have no missing or infinite number. Got 1 rows with one."),
        ({"draws": 50}, ValueError, "draws must be at least 100. Got 50."),
        ({"level": 1}, ValueError, "level must be between 0 and 1. Got 1."),
        ({"ends": "bac"}, UnknownChoiceError, "ends must be one of 'bca', 'percentile'. Got 'bac'."),
        ({"clusters": [1, 2, 3]}, ValueError, "clusters and within must have one label per row, 4. Got 3 and 4."),
        ({"within": [1, 2, 1, 2], "clusters": [1, 1, 2, 2]}, ValueError, "clusters must each lie within one group. Got 2 in several."),
        ({"clusters": [1, 1, 2, 2]}, TooFewError, "needs 3 choirs. The sample has 2."),
        ({"within": [1, 1, 1, 2]}, TooFewError, "needs 2 choirs in each group. One has 1."),
        ({"columns": [3, 3, 3, 3]}, TooFewError, "needs a statistic that differs between resamples. It is the same in all."),
        ({"statistic": spread, "columns": [1, 2, 3, 4]}, TooFewError, None),
    ],
)  # fmt: skip
def test_messages(options, error, message):
    """Each refusal says what is needed and what was found."""
    data = {"columns": [1, 2, 3, 4], "clusters": [1, 2, 3, 4], "statistic": mean} | options
    if message is None:
        data["statistic"], message = lambda m: 1 / (m.mean[..., 0] - 1), "needs a statistic defined in every resample."
    with pytest.raises(error) as caught:
        bootstrap_clusters(**data, rng=np.random.default_rng(1))
    assert str(caught.value).startswith(f"bootstrap_clusters: {message}")
