"""The noncentral t turned round, small and very large, and the exact correction."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import chdtri

from kit.stats.noncentral import noncentral_interval, noncentrality_limits, small_sample_correction

TABLE = {2: 0.5642, 3: 0.7236, 4: 0.7979, 5: 0.8408, 10: 0.9228, 20: 0.9619, 30: 0.9748, 50: 0.9849}
"""Hedges (1981), J. Educational Statistics 6, 107-128; Hedges & Olkin (1985), Table 2, p. 80: J(m), from memory."""


@pytest.mark.parametrize(("df", "printed"), TABLE.items())
def test_correction_is_the_printed_one(df, printed):
    """The exact correction gives the table's four decimals."""
    assert small_sample_correction(df) == pytest.approx(printed, abs=1e-4)


def test_limits_are_the_printed_ones():
    """Limits of t 2.83 with 126 df: Kelley (2007), J. Statistical Software 20(8), MBESS example (from memory)."""
    assert noncentrality_limits(2.83, 126, tail=0.975) == pytest.approx((0.8337502, 4.815359), abs=2e-6)


@pytest.mark.parametrize(("t", "df"), [(0.0, 5), (0.4, 3), (2.6, 18), (8.0, 12), (29.0, 40), (31.0, 40), (60.0, 1500)])
def test_limits_put_t_at_either_end(t, df):
    """Under the low limit 2.5 % lie above the observed t, under the high limit 2.5 % lie below (scipy's nct)."""
    low, high = noncentrality_limits(t, df, tail=0.975)
    assert scipy.stats.nct.sf(t, df, low) == pytest.approx(0.025, rel=1e-4)
    assert scipy.stats.nct.cdf(t, df, high) == pytest.approx(0.025, rel=1e-4)


R_LIMITS = {
    (0.001, 9): (-2.574856714, 2.576802032), (0.05, 19): (-2.526566095, 2.625259686), (0.2, 58): (-2.377131054, 2.775411833),
}  # fmt: skip
"""Ends at 99 % by uniroot on pt(t, df, ncp) of R 4.2.2."""


@pytest.mark.parametrize(("t", "df"), R_LIMITS)
def test_small_t_at_a_high_level(t, df):
    """At 99 % the ends of a small t are R's (the inverse of scipy 1.17, nctdtrinc, answers as if t were 0 below 0.1)."""
    assert noncentrality_limits(t, df, tail=0.995) == pytest.approx(R_LIMITS[t, df], abs=1e-8)


@given(t=st.floats(0, 29), df=st.floats(3, 400), tail=st.floats(0.55, 0.9995))
@settings(max_examples=50, deadline=None)
def test_limits_by_another_sum(t, df, tail):
    """The probabilities at both ends are those asked for, by averaging the normal curve over chi's (scipy.stats')."""
    u = np.sqrt(scipy.stats.chi2.ppf([1e-16, 1], df) / df)
    u[1] = np.sqrt(scipy.stats.chi2.isf(1e-16, df) / df)
    nodes, weights = np.polynomial.legendre.leggauss(150)
    chi = u.mean() + np.diff(u) / 2 * nodes
    density = scipy.stats.chi2.pdf(df * chi**2, df) * 2 * df * chi * weights * np.diff(u) / 2
    for limit, probability in zip(noncentrality_limits(t, df, tail=tail), (tail, 1 - tail), strict=True):
        assert density @ scipy.stats.norm.cdf(t * chi - limit) == pytest.approx(probability, abs=1e-7)


def test_limits_turn_with_the_sign():
    """The limits of -t are those of t turned round."""
    low, high = noncentrality_limits(2.83, 126, tail=0.975)
    assert noncentrality_limits(-2.83, 126, tail=0.975) == (-high, -low)


@pytest.mark.parametrize("df", [4, 19, 300])
def test_huge_t_meets_its_limit(df):
    """For huge t the noncentrality over t is a chi quantile; t = 100,000 is met (scipy's inverse is 1 % off)."""
    low, high = noncentrality_limits(1e5, df, tail=0.975)
    quantiles = np.sqrt(chdtri(df, [0.975, 0.025]) / df)
    assert (low / 1e5, high / 1e5) == pytest.approx(quantiles, rel=1e-6)


def test_both_ways_meet():
    """Where the two ways of solving meet (t = 30), the limits do not jump."""
    below, above = noncentrality_limits(30.0, 25, tail=0.975), noncentrality_limits(30.0 + 1e-9, 25, tail=0.975)
    assert below == pytest.approx(above, rel=1e-5)


def test_interval_is_scaled():
    """The interval is the noncentralities times what one unit of t is worth."""
    interval = noncentral_interval(1.5, 9, per_t=10**-0.5, tail=0.975, level=0.95)
    low, high = noncentrality_limits(1.5 * 10**0.5, 9, tail=0.975)
    assert (interval.low, interval.high) == pytest.approx((low / 10**0.5, high / 10**0.5))
    assert (interval.level, interval.method, interval.source) == (0.95, "noncentral t", "steiger-fouladi-1997")
