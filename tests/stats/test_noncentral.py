"""The noncentral t turned round, small and very large, and the exact correction."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats
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
