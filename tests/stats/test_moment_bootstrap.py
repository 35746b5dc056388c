"""Moments of resamples against those of the drawn rows, and the leave-one-out values against the book's."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.stats import moment_bootstrap
from kit.stats.moment_bootstrap import Moments, Resamples, features, resampled_totals, resamples

RNG = np.random.default_rng(12)
PRE = RNG.normal(12, 4, 40)
PAIRS = np.column_stack([PRE, PRE + RNG.gamma(2, 1.5, 40)])


def correlation(m):
    """Correlation from moments."""
    return m.covariance[..., 0, 1] / np.sqrt(m.covariance[..., 0, 0] * m.covariance[..., 1, 1])


def test_moments_are_those_of_the_rows():
    """Means and covariances of any resample are those that numpy gives for the drawn rows."""
    centre, units = features(PAIRS)
    rows = np.random.default_rng(3).integers(0, 40, 40)
    found = Resamples.of(centre, units[:, rows], units).sample
    assert found.mean == pytest.approx(PAIRS[rows].mean(axis=0))
    assert found.covariance == pytest.approx(np.cov(PAIRS[rows], rowvar=False, ddof=0))
    assert found.n == 40
    assert isinstance(found, Moments)


def test_acceleration_and_jackknife_are_the_books():
    """Leave-one-out correlations of the law schools: SE .1425, acceleration -.0757 (Efron & Tibshirani 1993)."""
    x = [576, 635, 558, 578, 666, 580, 555, 661, 651, 605, 653, 575, 545, 572, 594]
    y = [3.39, 3.30, 2.81, 3.03, 3.44, 3.07, 3.00, 3.43, 3.36, 3.13, 3.12, 2.74, 2.76, 2.88, 2.96]
    centre, units = features(np.column_stack([x, y]))
    sample = Resamples.of(centre, units, units)
    values = correlation(sample.without)
    assert np.sqrt(14 / 15 * ((values.mean() - values) ** 2).sum()) == pytest.approx(0.1425, abs=5e-5)
    assert sample.acceleration(correlation) == pytest.approx(-0.0757, abs=5e-5)


@given(u=st.integers(3, 40), draws=st.integers(100, 400), block=st.integers(1, 400), seed=st.integers(0, 99))
@settings(max_examples=25, deadline=None)
def test_totals_are_those_of_the_drawn_units(u, draws, block, seed):
    """Block by block, the totals of each resample are the sums of the units that the same generator draws."""
    units = np.random.default_rng(seed).normal(size=(3, u))
    kept, moment_bootstrap.BLOCK = moment_bootstrap.BLOCK, block
    found = np.empty((3, draws))
    try:
        resampled_totals(units, np.random.default_rng(seed), out=found)
    finally:
        moment_bootstrap.BLOCK = kept
    rng, step = np.random.default_rng(seed), min(max(1, block // u), draws)
    for start in range(0, draws, step):
        picked = rng.integers(0, u, (min(step, draws - start), u), dtype=np.uint16)
        assert found[:, start : start + len(picked)] == pytest.approx(units[:, picked].sum(axis=2), abs=1e-9)


def test_constant_columns_have_no_spread():
    """A column that hardly differs from its mean but for rounding has a spread of exactly zero in every resample."""
    columns = np.column_stack([np.full(12, 0.1) * 3, np.arange(12)])
    found = resamples("f", columns, rng=np.random.default_rng(1), draws=200)
    assert np.all(found.resampled.covariance[:, 0, 0] == 0)
    assert np.all(found.without.covariance[:, 0, 0] == 0)
    assert found.sample.covariance[1, 1] == pytest.approx(np.var(np.arange(12)))
