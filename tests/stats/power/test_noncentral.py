"""The power of a t-test, and the noncentrality that a power needs."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from kit.stats.power.noncentral import noncentrality_needed, power_of_t


@pytest.mark.parametrize(
    ("noncentrality", "df", "level", "power", "tolerance"),
    [
        # R documentation of power.t.test, first example: 20 in each group, 1 SD apart (from memory, recomputed in R)
        (1 / np.sqrt(2 / 20), 38, 0.95, 0.8689528, 1e-6),
        # Cohen (1988), tables of the two-sample t (from memory, recomputed in R)
        (0.5 * np.sqrt(64 / 2), 126, 0.95, 0.801, 6e-4),
        (0.8 * np.sqrt(26 / 2), 50, 0.95, 0.807, 6e-4),
        (0.2 * np.sqrt(393 / 2), 784, 0.95, 0.800, 6e-4),
        # paired t of the G*Power manual: 34 pairs, .5 SD of the differences (from memory, recomputed in R)
        (0.5 * np.sqrt(34), 33, 0.95, 0.808, 6e-4),
        # R package pwr, pwr.t.test, one sample: .2 SD, n = 60, .10 two-sided (from memory, recomputed in R)
        (0.2 * np.sqrt(60), 59, 0.90, 0.4555818, 1e-6),
    ],
)
def test_published_powers(noncentrality, df, level, power, tolerance):
    """Powers of printed examples and tables."""
    assert power_of_t(noncentrality, df, level=level) == pytest.approx(power, abs=tolerance, rel=0)


@pytest.mark.parametrize(("level", "students"), [(0.95, 22.0211), (0.90, 17.84713)])
def test_published_sample_sizes(level, students):
    """R documentation of power.t.test: students in each group for power .90, two-sided and one-sided (from memory)."""
    found = brentq(lambda n: np.sqrt(n / 2) - noncentrality_needed("plan", 2 * n - 2, power=0.90, level=level), 5, 100)
    assert found == pytest.approx(students, abs=1e-4, rel=0)


@pytest.mark.parametrize(("level", "multiplier"), [(0.95, 2.80), (0.90, 2.49)])
def test_blooms_multiplier(level, multiplier):
    """Bloom (1995): 2.80 standard errors two-sided, 2.49 one-sided, for power .80 and many students (from memory)."""
    assert noncentrality_needed("plan", 10**6, power=0.80, level=level) == pytest.approx(multiplier, abs=0.006, rel=0)


@pytest.mark.parametrize("df", [1, 3, 18, 198, 4998])
@pytest.mark.parametrize("noncentrality", [8.0, 15.0, 25.0, 40.0, 100.0])
def test_nearly_certain_power_is_a_number(noncentrality, df):
    """Power near 1 is what averaging the normal curve over chi's gives; the library has no number there (nan)."""
    edge, half = scipy.stats.t.ppf(0.975, df), np.sqrt(scipy.stats.chi2.isf(1e-16, df) / df) / 2
    nodes, weights = np.polynomial.legendre.leggauss(200)
    chi = half * (1 + nodes)
    density = scipy.stats.chi2.pdf(df * chi**2, df) * 2 * df * chi * weights * half
    missed = density @ np.diff(scipy.stats.norm.cdf(np.outer([-edge, edge], chi) - noncentrality), axis=0)[0]
    assert power_of_t(noncentrality, df) == pytest.approx(1 - missed, abs=1e-9)


@given(st.integers(1, 10**6), st.floats(0.5, 0.99), st.floats(0.8, 0.99))
@settings(max_examples=50, deadline=None)
def test_needed_is_enough(df, power, level):
    """At the noncentrality needed, scipy.stats' noncentral t has the power asked for above the critical value."""
    away = noncentrality_needed("plan", df, power=power, level=level)
    critical = scipy.stats.t.ppf((1 + level) / 2, df)
    assert scipy.stats.nct.sf(critical, df, away) == pytest.approx(power, abs=2e-6)


@pytest.mark.parametrize(("df", "too_low"), [(1, 0.14), (4, 0.012)])
def test_sum_of_quantiles_is_too_low_with_few_degrees_of_freedom(df, too_low):
    """The docstring's warning holds: the usual sum of two quantiles is short by that share."""
    usual = scipy.stats.t.ppf(0.975, df) + scipy.stats.t.ppf(0.80, df)
    assert 1 - usual / noncentrality_needed("plan", df, power=0.80, level=0.95) == pytest.approx(too_low, abs=0.003)


@pytest.mark.parametrize("level", [0.80, 0.95, 0.99])
def test_no_difference_is_noticed_as_often_as_the_level_says(level):
    """With nothing there, the interval leaves zero out with probability 1 - level, whatever the degrees of freedom."""
    for df in (1, 5, 1000):
        assert power_of_t(0.0, df, level=level) == pytest.approx(1 - level, abs=1e-9)


def test_direction_does_not_matter():
    """A difference below zero is noticed as often as one above."""
    assert power_of_t(-2.5, 12) == power_of_t(2.5, 12)


def test_messages():
    """Impossible levels and powers are refused with a sentence."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        power_of_t(1, 5, level=0)
    assert str(caught.value) == "power_of_t: level must be between 0 and 1. Got 0."
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        noncentrality_needed("plan", 5, power=0.05, level=0.90)
    assert str(caught.value) == "plan: power must be between 0.05 and 1. Got 0.05."
