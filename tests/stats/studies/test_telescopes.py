"""Laws, messages and cross-checks of small telescopes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.power import NormalIndPower, TTestIndPower, TTestPower

from kit.errors import TooFewError
from kit.stats.studies.telescopes import TESTED_BELOW, effect_at_power, power_at_effect, small_telescopes

laws = settings(max_examples=25, deadline=None)


@pytest.mark.parametrize(("n", "k"), [(5, 5), (30, 30), (41, 26), (400, 300)])
@pytest.mark.parametrize("power", [0.33, 0.8])
def test_effect_at_power_beside_statsmodels(n, k, power):
    """The effect with a given power equals that of statsmodels, for two groups, one group and the normal (its search stops at 2e-6)."""
    two = TTestIndPower().solve_power(nobs1=n, ratio=k / n, power=power, alpha=0.05)
    assert effect_at_power(math.sqrt(1 / n + 1 / k), n + k - 2, power=power) == pytest.approx(two, abs=5e-6)
    one = TTestPower().solve_power(nobs=n, power=power, alpha=0.05)
    assert effect_at_power(1 / math.sqrt(n), n - 1, power=power) == pytest.approx(one, abs=5e-6)
    normal = NormalIndPower().solve_power(nobs1=n, ratio=k / n, power=power, alpha=0.05)
    assert effect_at_power(math.sqrt(1 / n + 1 / k), None, power=power) == pytest.approx(normal, abs=5e-6)


def test_published_power():
    """Cohen (1988), Statistical Power Analysis, p. 54: 64 in each group find d = 0.50 with power 0.80 (from memory)."""
    assert power_at_effect(0.5, math.sqrt(2 / 64), 126) == pytest.approx(0.80, abs=0.005)


@given(effect=st.floats(0, 500), df=st.sampled_from([1.0, 3.0, 58.0, 5000.0, None]))
@laws
def test_power_is_a_probability_whatever_the_effect(effect, df):
    """Power lies between 1 - level and 1, for huge effects too, and does not ask for the sign."""
    power = power_at_effect(effect, 1.0, df)
    assert 0.05 - 1e-9 <= power <= 1
    assert power == power_at_effect(-effect, 1.0, df)


@given(small=st.floats(0.1, 1), value=st.floats(-1, 2), error=st.floats(0.05, 1), df=st.sampled_from([5.0, 80.0, None]))
@laws
def test_p_is_below_five_percent_just_where_the_interval_is_below_zero(small, value, error, df):
    """The one-sided p and the 90 % interval say the same."""
    found = small_telescopes(value, error, small_effect=small, df=df, n=10, about="A", unit="SD")
    assert (found.p < 0.05) == (found.interval.high < 0)
    assert found.value == value - small
    assert found.notes == (TESTED_BELOW,)


def test_refusals_are_said_in_full():
    """A missing effect, a small effect that is none, and an impossible power are refused."""
    with pytest.raises(TooFewError) as few:
        small_telescopes(math.nan, 0.1, small_effect=0.3, n=10, about="Ours", unit="SD")
    assert str(few.value) == "small_telescopes: needs each effect with its standard error. Ours lacks one."
    with pytest.raises(ValueError, match=r"^small_telescopes: small_effect must be a number above zero. Got 0.$"):
        small_telescopes(0.1, 0.1, small_effect=0, n=10, about="A", unit="SD")
    with pytest.raises(ValueError, match=r"^small_telescopes: df must be above zero, or None for the normal. Got 0.$"):
        small_telescopes(0.1, 0.1, small_effect=0.3, n=10, df=0, about="A", unit="SD")
    with pytest.raises(ValueError, match=r"^effect_at_power: power must be between 0.05 and 1. Got 0.01.$"):
        effect_at_power(0.1, 20, power=0.01)
    with pytest.raises(ValueError, match=r"^power_at_effect: level must be between 0 and 1. Got 2.$"):
        power_at_effect(0.1, 0.1, 20, level=2)
