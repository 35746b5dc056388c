"""Ends and p-values from an estimate and its standard error, beside scipy's distributions."""

from __future__ import annotations

import pytest
import scipy.stats

from kit.stats.studies.error_ends import below, interval_around, quantile, two_sided_p


@pytest.mark.parametrize("df", [1.0, 7.5, 200.0, None])
def test_ends_beside_scipy(df):
    """Quantile, tail, interval and p are those of Student's t, or of the normal where no df is given."""
    peer = scipy.stats.norm() if df is None else scipy.stats.t(df)
    assert quantile(0.975, df) == pytest.approx(peer.ppf(0.975))
    assert below(-1.3, df) == pytest.approx(peer.cdf(-1.3))
    interval = interval_around(2.0, 0.5, df, 0.95, level=0.9, method="m", source="student-1908")
    assert (interval.low, interval.high) == pytest.approx((2 - 0.5 * peer.ppf(0.95), 2 + 0.5 * peer.ppf(0.95)))
    assert two_sided_p(-2.0, 0.5, df) == pytest.approx(2 * peer.sf(4))


def test_no_error_no_ends():
    """Without a standard error there is neither interval nor p."""
    assert interval_around(1.0, 0.0, None, 0.975, level=0.95, method="m", source="student-1908") is None
    assert two_sided_p(1.0, 0.0, 3.0) is None
