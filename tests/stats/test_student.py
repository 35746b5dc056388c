"""The parts of Student's t."""

from __future__ import annotations

import pytest
import scipy.stats

from kit.stats.student import bonett_interval, pooled_error, pooled_spread, t_interval, t_p, welch_error

NAMED = {"level": 0.95, "method": "m", "source": "s"}


def test_t_interval_and_p_equal_scipy():
    """Ends and p are those of scipy's t distribution, whole and broken degrees of freedom alike."""
    for df in (3.0, 17.42):
        interval = t_interval(2.0, 0.5, df, 0.975, **NAMED)
        assert (interval.low, interval.high) == pytest.approx(scipy.stats.t.interval(0.95, df, 2.0, 0.5))
        assert t_p(2.0, 0.5, df) == pytest.approx(2 * scipy.stats.t.sf(4.0, df))


def test_no_spread_has_no_interval():
    """A standard error of zero gives neither interval nor p."""
    assert t_interval(2.0, 0.0, 3.0, 0.975, **NAMED) is None
    assert t_p(2.0, 0.0, 3.0) is None
    assert welch_error(3, 0.0, 4, 0.0) == (0.0, None)


def test_pooling():
    """Equal spreads pool to themselves, and the error shrinks with either group (by hand)."""
    assert pooled_spread(5, 2.0, 9, 2.0) == pytest.approx(2.0)
    assert pooled_error(4, 2.0, 4, 2.0) == (pytest.approx(2**0.5), 6.0)
    assert welch_error(4, 2.0, 4, 2.0) == (pytest.approx(2**0.5), pytest.approx(6.0))


def test_bonett_interval_is_symmetric():
    """The interval lies 1.96 standard errors to either side of the uncorrected size and names its standardiser."""
    interval = bonett_interval(1.0, 0.1, 0.975, level=0.95, standardiser="SD of the first test")
    assert (interval.low, interval.high) == pytest.approx((1 - 0.1959964, 1 + 0.1959964))
    assert interval.method == "Bonett's interval, SD of the first test"
