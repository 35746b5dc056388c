"""The curve of a fit."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import expit, ndtri

from kit.stats.learning.practice import practice_rates
from kit.stats.learning.practice_curve import practice_curve


def log_of(n=300, students=15, items=4):
    """Draw a small log."""
    rng = np.random.default_rng(1)
    who, what = rng.integers(0, students, n), rng.integers(0, items, n)
    times, days = rng.integers(1, 12, n).astype(float), rng.integers(0, 15, n).astype(float)
    logit = rng.normal(0, 1, students)[who] + 0.6 * np.log1p(times) - 0.4 * np.log1p(days)
    return {"right": rng.random(n) < expit(logit), "students": who, "items": what, "times": times, "days": days}


def averaged(middle, spread):
    """Average the logistic curve over a normal distribution."""
    return quad(lambda z: expit(middle + spread * z) * np.exp(-z * z / 2) / np.sqrt(2 * np.pi), -10, 10)[0]


def test_curve_is_the_average_over_students_and_items():
    """A share is the logistic curve averaged over both spreads, by scipy's quadrature; the ends likewise."""
    rates = practice_rates(**log_of(), about="x")
    fit, spread = rates.fit, np.hypot(rates.fit.spread_students, rates.fit.spread_items)
    low, share, high = practice_curve(rates, [0, 3, 40], 2.0, level=0.9)
    row = np.array([1, np.log1p(3), np.log1p(2)])
    half = ndtri(0.95) * np.sqrt(row @ fit.covariance @ row)
    for found, middle in zip((low, share, high), row @ fit.coefficients + np.array([-half, 0, half]), strict=True):
        assert found[1] == pytest.approx(averaged(middle, spread), abs=1e-7)
    assert (np.diff(share) > 0).all()
    assert ((low < share) & (share < high)).all()


def test_curve_without_days():
    """Where forgetting was not estimated, days change nothing."""
    rates = practice_rates(**(log_of() | {"days": np.ones(300)}), about="x")
    assert practice_curve(rates, 3, 0)[1] == practice_curve(rates, 3, 30)[1]
