"""What a study of a given number of students could have noticed."""

from __future__ import annotations

import numpy as np
import pingouin
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.power import TTestIndPower, TTestPower

from kit.errors import TooFewError
from kit.stats.power.detectable import FOLLOWS_FROM_SIZE, FOLLOWS_FROM_SPREAD, detectable_difference, detectable_gain

PLANS = {"n": st.integers(2, 500), "correlation": st.floats(-1, 1), "power": st.floats(0.5, 0.95)}


@pytest.mark.parametrize("n", [3, 10, 20, 40, 100])
@pytest.mark.parametrize("correlation", [0.0, 0.5, 0.8])
def test_power_of_the_gain_is_what_was_asked_for(n, correlation):
    """The power that statsmodels gives that gain is the power asked for."""
    gain = detectable_gain(n=n, correlation=correlation, about="A").value
    of_gains = gain / np.sqrt(2 * (1 - correlation))
    assert TTestPower().power(of_gains, n, 0.05) == pytest.approx(0.80, abs=1e-5)


@pytest.mark.parametrize("n", [2, 3, 14, 100])
def test_power_of_the_gain_in_points_is_what_was_asked_for(n):
    """With the spread of gains in points, statsmodels gives the gain that many spreads away the power asked for."""
    found = detectable_gain(n=n, spread=2.5, unit="points", about="A")
    assert TTestPower().power(found.value / 2.5, n, 0.05) == pytest.approx(0.80, abs=1e-5)
    assert (found.unit, found.notes) == ("points", (FOLLOWS_FROM_SPREAD,))
    both = detectable_gain(n=n, spread=float(np.sqrt(2 * (1 - 0.7))), about="A").value
    assert both == pytest.approx(detectable_gain(n=n, correlation=0.7, about="A").value)


@pytest.mark.parametrize(("program", "comparison"), [(2, 2), (3, 9), (20, 20), (26, 26), (100, 40)])
@pytest.mark.parametrize("power", [0.5, 0.8, 0.95])
def test_power_of_the_difference_is_what_was_asked_for(program, comparison, power):
    """The power that statsmodels and pingouin give that difference is the power asked for."""
    found = detectable_difference(program=program, comparison=comparison, power=power, about="A").value
    # both count intervals on the wrong side of zero too, which is some 0.0001 with few degrees of freedom
    assert TTestIndPower().power(found, program, 0.05, ratio=comparison / program) == pytest.approx(power, abs=3e-4)
    assert pingouin.power_ttest2n(program, comparison, d=found) == pytest.approx(power, abs=3e-4)


@pytest.mark.parametrize(("correlation", "factor"), [(0.5, 0.75), (0.7, 0.51), (-0.7, 0.51)])
def test_first_test_saves_the_square_of_its_correlation(correlation, factor):
    """With many students a first test does as much as 1 / (1 - r^2) times the students (Borm 2007; from memory)."""
    without = detectable_difference(program=10**6, comparison=10**6, about="A").value
    adjusted = detectable_difference(program=10**6, comparison=10**6, correlation=correlation, about="A").value
    assert (adjusted / without) ** 2 == pytest.approx(factor, rel=1e-5)


def test_first_test_that_tells_nothing_costs_a_degree_of_freedom():
    """A first test without correlation makes a plan a little worse, not equal."""
    without = detectable_difference(program=5, comparison=5, about="A")
    useless = detectable_difference(program=5, comparison=5, correlation=0.0, about="A")
    assert (without.df, useless.df) == (8, 7)
    assert useless.value > without.value


@given(**PLANS)
@settings(max_examples=25, deadline=None)
def test_more_of_everything_good_sees_less(n, correlation, power):
    """More students or a closer correlation see a smaller gain; more power or a higher level need a larger one."""
    plain = detectable_gain(n=n, correlation=correlation, power=power, about="A").value
    assert detectable_gain(n=n + 1, correlation=correlation, power=power, about="A").value <= plain
    assert detectable_gain(n=n, correlation=(1 + correlation) / 2, power=power, about="A").value <= plain
    assert detectable_gain(n=n, correlation=correlation, power=power + 0.01, about="A").value >= plain
    assert detectable_gain(n=n, correlation=correlation, power=power, level=0.99, about="A").value >= plain


@given(**PLANS, other=st.integers(2, 500))
@settings(max_examples=25, deadline=None)
def test_laws_of_the_difference(n, other, correlation, power):
    """Swapping the groups or the sign of the correlation changes nothing; more students see a smaller difference."""
    options = {"correlation": correlation, "power": power, "about": "A"}
    plain = detectable_difference(program=n, comparison=other, **options).value
    assert detectable_difference(program=other, comparison=n, **options).value == pytest.approx(plain, rel=1e-12)
    turned = options | {"correlation": -correlation}
    assert detectable_difference(program=n, comparison=other, **turned).value == pytest.approx(plain, rel=1e-12)
    assert detectable_difference(program=n + 1, comparison=other, **options).value <= plain
    assert detectable_difference(program=n, comparison=other, level=0.99, **options).value >= plain


def test_perfect_correlation_sees_everything():
    """Tests that agree perfectly leave nothing to hide a gain or a difference."""
    assert detectable_gain(n=5, correlation=1, about="A").value == 0
    assert detectable_difference(program=5, comparison=5, correlation=-1, about="A").value == 0


def test_no_interval():
    """It follows from the size alone and says so."""
    found = detectable_gain(n=20, correlation=0.7, about="A")
    assert (found.interval, found.notes, found.unit, found.n) == (None, (FOLLOWS_FROM_SIZE,), "SD", 20)
    found = detectable_difference(program=20, comparison=30, about="A")
    assert (found.interval, found.notes, found.unit, found.n) == (None, (FOLLOWS_FROM_SIZE,), "SD", 50)


@pytest.mark.parametrize(
    ("options", "error", "message"),
    [
        ({"n": 9}, ValueError, "detectable_gain: needs either correlation or spread, and not both."),
        (
            {"n": 9, "spread": 1.0, "correlation": 0.5},
            ValueError,
            "detectable_gain: needs either correlation or spread, and not both.",
        ),
        ({"n": 9, "spread": -1.0}, ValueError, "detectable_gain: spread must be finite and not below 0. Got -1.0."),
        ({"n": 1, "correlation": 0.5}, TooFewError, "detectable_gain: needs 2 students tested twice. A has 1."),
        (
            {"n": 9, "correlation": 1.5},
            ValueError,
            "detectable_gain: correlation must be between -1 and 1. Got 1.5.",
        ),
        (
            {"n": 9, "correlation": float("nan")},
            ValueError,
            "detectable_gain: correlation must be between -1 and 1. Got nan.",
        ),
        (
            {"n": 9, "correlation": 0.5, "power": 1},
            ValueError,
            "detectable_gain: power must be between 0.025 and 1. Got 1.",
        ),
        (
            {"n": 9, "correlation": 0.5, "power": 0.02},
            ValueError,
            "detectable_gain: power must be between 0.025 and 1. Got 0.02.",
        ),
        (
            {"n": 9, "correlation": 0.5, "level": 1},
            ValueError,
            "detectable_gain: level must be between 0 and 1. Got 1.",
        ),
    ],
)
def test_messages(options, error, message):
    """Impossible plans are refused with a sentence."""
    with pytest.raises(error) as caught:
        detectable_gain(about="A", **options)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("options", "error", "message"),
    [
        ({"comparison": 0}, TooFewError, "detectable_difference: needs 1 student in each group. A has 0."),
        (
            {"program": 1, "comparison": 1},
            TooFewError,
            "detectable_difference: needs 1 degree of freedom. A has 0.",
        ),
        (
            {"program": 1, "comparison": 2, "correlation": 0.5},
            TooFewError,
            "detectable_difference: needs 1 degree of freedom. A has 0.",
        ),
        (
            {"correlation": -1.1},
            ValueError,
            "detectable_difference: correlation must be between -1 and 1. Got -1.1.",
        ),
        ({"power": 0}, ValueError, "detectable_difference: power must be between 0.025 and 1. Got 0."),
    ],
)
def test_messages_of_the_difference(options, error, message):
    """Impossible plans are refused with a sentence."""
    with pytest.raises(error) as caught:
        detectable_difference(**({"program": 9, "comparison": 9, "about": "A"} | options))
    assert str(caught.value) == message
