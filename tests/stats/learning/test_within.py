"""Slopes inside choirs: a general library's, and what they must not depend on."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import linregress

from kit.errors import TooFewError
from kit.stats.learning.within import DESCRIBES, slopes_within, within_slope

laws = settings(max_examples=25, deadline=None)


def drawn(seed=1, choirs=6, students=8):
    """Draw doses, outcomes and choirs of different levels."""
    rng = np.random.default_rng(seed)
    choir = np.repeat(np.arange(choirs), students)
    dose = rng.integers(0, 12, choir.size).astype(float)
    return rng.normal(size=choirs)[choir] * 5 + 0.3 * dose + rng.normal(size=choir.size), dose, choir


def slope(outcome, dose, choir, **options):
    """Ask with the words that do not matter here."""
    return within_slope(outcome, dose, choir, about="x", unit="points", **options)


def test_the_slope_is_that_of_a_regression_with_choirs():
    """The value is statsmodels' coefficient in least squares with an indicator for each choir."""
    outcome, dose, choir = drawn()
    peer = smf.ols("y ~ x + C(g)", pd.DataFrame({"y": outcome, "x": dose, "g": choir})).fit()
    found = slope(outcome, dose, choir)
    assert found.value == pytest.approx(peer.params["x"], abs=1e-10)
    assert (found.name, found.n, found.clusters, found.notes) == ("within_slope", 48, 6, (DESCRIBES,))


def test_each_choirs_line_is_scipys():
    """The line of each choir is scipy's; one student, two, or one dose alone have none."""
    outcome, dose, choir = drawn()
    choir[:6], dose[choir == 5] = [9, 8, 8, 0, 0, 0], 4.0
    found = slopes_within(outcome, dose, choir)
    assert found.labels.tolist() == [0, 1, 2, 3, 4]
    for at, label in enumerate(found.labels):
        mine = choir == label
        assert found.slope[at] == pytest.approx(linregress(dose[mine], outcome[mine]).slope)
        assert found.spread[at] == pytest.approx(dose[mine].std())
        assert found.students[at] == mine.sum()


@given(seed=st.integers(0, 10_000), far=st.floats(-100, 100), times=st.floats(0.1, 10))
@laws
def test_laws(seed, far, times):
    """What choirs differ in, and the order, plays no part; a dose in other units turns the slope; higher levels are wider."""
    outcome, dose, choir = drawn(seed)
    found = slope(outcome, dose, choir)
    moved = slope(outcome + far * choir, dose - choir, choir)
    assert moved.value == pytest.approx(found.value, abs=1e-7)
    assert moved.interval.high == pytest.approx(found.interval.high, abs=1e-6)
    mixed = np.random.default_rng(seed).permutation(choir.size)
    assert slope(outcome[mixed], dose[mixed], choir[mixed]).value == pytest.approx(found.value, abs=1e-9)
    assert slope(outcome, dose * times, choir).value * times == pytest.approx(found.value, abs=1e-8)
    wide = slope(outcome, dose, choir, level=0.99)
    assert wide.interval.low < found.interval.low < found.value < found.interval.high < wide.interval.high


def test_missing_numbers_and_choirs_that_tell_nothing_are_left_out():
    """A missing number, a student alone and a choir of equal doses are left out and counted."""
    outcome, dose, choir = drawn()
    whole = slope(outcome, dose, choir)
    found = slope([*outcome, np.nan, 3, 4, 4], [*dose, 1, 2, 5, 5], [*choir, 0, 7, 8, 8])
    assert (found.value, found.n, found.dropped) == (pytest.approx(whole.value), 48, 4)


def test_too_little_is_refused():
    """One choir, no student, or lists that do not fit are refused in words."""
    outcome, dose, choir = drawn(choirs=1)
    with pytest.raises(TooFewError) as caught:
        slope(outcome, dose, choir)
    assert str(caught.value) == "within_slope: needs 2 choirs with students of different doses. x has 1."
    with pytest.raises(TooFewError):
        slope([], [], [])
    with pytest.raises(ValueError) as wrong:  # noqa: PT011  the whole text is compared below
        slope(outcome, dose, choir[1:])
    assert str(wrong.value) == "within_slope: outcome, dose and clusters must list the same students. Got 8, 8 and 7."
