"""What a study of a given size could have noticed."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.power import TTestPower

from kit.errors import TooFewError
from kit.stats.power import FOLLOWS_FROM_SIZE, detectable_gain


@pytest.mark.parametrize("n", [10, 20, 40, 100])
@pytest.mark.parametrize("correlation", [0.0, 0.5, 0.8])
def test_power_is_what_was_asked_for(n, correlation):
    """The noncentral-t power of statsmodels at that gain is within 0.015 of the power asked for, for 10 or more."""
    gain = detectable_gain(n=n, correlation=correlation, about="A").value
    of_gains = gain / np.sqrt(2 * (1 - correlation))
    assert TTestPower().power(of_gains, n, 0.05) == pytest.approx(0.80, abs=0.015)


@given(n=st.integers(2, 500), correlation=st.floats(-1, 1), power=st.floats(0.5, 0.95))
@settings(max_examples=25, deadline=None)
def test_more_of_everything_good_sees_less(n, correlation, power):
    """More students or a closer correlation see a smaller gain; more power or a higher level need a larger one."""
    plain = detectable_gain(n=n, correlation=correlation, power=power, about="A").value
    assert detectable_gain(n=n + 1, correlation=correlation, power=power, about="A").value <= plain
    assert detectable_gain(n=n, correlation=(1 + correlation) / 2, power=power, about="A").value <= plain
    assert detectable_gain(n=n, correlation=correlation, power=power + 0.01, about="A").value >= plain
    assert detectable_gain(n=n, correlation=correlation, power=power, level=0.99, about="A").value >= plain


def test_no_interval():
    """It follows from the size alone and says so."""
    found = detectable_gain(n=20, correlation=0.7, about="A")
    assert (found.interval, found.notes, found.unit, found.n) == (None, (FOLLOWS_FROM_SIZE,), "SD", 20)


@pytest.mark.parametrize(
    ("options", "error", "message"),
    [
        ({"n": 1, "correlation": 0.5}, TooFewError, "detectable_gain: needs 2 students tested twice. A has 1."),
        (
            {"n": 9, "correlation": 1.5},
            ValueError,
            "detectable_gain: correlation must be between -1 and 1. Got 1.5.",
        ),
        (
            {"n": 9, "correlation": 0.5, "power": 1},
            ValueError,
            "detectable_gain: power must be between 0 and 1. Got 1.",
        ),
    ],
)
def test_messages(options, error, message):
    """Impossible plans are refused with a sentence."""
    with pytest.raises(error) as caught:
        detectable_gain(about="A", **options)
    assert str(caught.value) == message
