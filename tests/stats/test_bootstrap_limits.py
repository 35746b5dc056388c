"""Quantiles and corrected limits against numpy's and the book's formula."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from kit.errors import TooFewError
from kit.stats.bootstrap_limits import bca_limits, quantiles

DRAWN = np.sort(np.random.default_rng(1).gamma(3, 2, 5000))


@given(
    values=st.lists(st.integers(-9, 9), min_size=1, max_size=30), probabilities=st.lists(st.floats(0, 1), min_size=1)
)
@settings(max_examples=50, deadline=None)
def test_quantiles_are_numpys(values, probabilities):
    """Quantiles of ordered numbers are those of numpy."""
    assert quantiles(np.sort(values), np.array(probabilities)) == pytest.approx(np.quantile(values, probabilities))


def test_limits_follow_the_book():
    """The ends are the quantiles at Phi(z0 + (z0 + z)/(1 - a(z0 + z))) (Efron & Tibshirani 1993, equation 14.10)."""
    observed, a = 5.2, 0.06
    z0 = norm.ppf(np.mean(observed > DRAWN))
    expected = [np.quantile(DRAWN, norm.cdf(z0 + (z0 + z) / (1 - a * (z0 + z)))) for z in norm.ppf([0.05, 0.95])]
    assert bca_limits("f", DRAWN, observed, acceleration=a, tail=0.95) == pytest.approx(expected)


def test_without_bias_and_skewness_it_is_the_percentile_interval():
    """At the median and with no acceleration the ends are the plain quantiles."""
    found = bca_limits("f", DRAWN, float(np.median(DRAWN)), acceleration=0.0, tail=0.975)
    assert found == pytest.approx(np.quantile(DRAWN, [0.025, 0.975]), rel=1e-3)


def test_ties_count_half():
    """Resamples that tie with the observed value count half, so that whole points have no false bias."""
    drawn = np.sort(np.repeat([1.0, 2.0, 3.0], 100))
    assert bca_limits("f", drawn, 2.0, acceleration=0.0, tail=0.9) == (1.0, 3.0)


@pytest.mark.parametrize("observed", [-1.0, 1e6])
def test_outside_is_refused(observed):
    """An observed value outside all resamples has an infinite correction and is refused."""
    with pytest.raises(TooFewError) as caught:
        bca_limits("f", DRAWN, observed, acceleration=0.0, tail=0.975)
    assert str(caught.value) == "f: needs a statistic that lies among its resampled values. It lies outside."
