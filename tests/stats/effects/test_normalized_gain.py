"""The share of the possible gain; its published value stands in tests/reference."""

from __future__ import annotations

import numpy as np
import pytest

from kit.errors import TooFewError
from kit.stats.effects.normalized_gain import NO_RATIO_INTERVAL, NORMALIZED_GAIN_DEPENDS, normalized_gain

PRE = [10.0, 12, 15, 9, 14, 11, 13, 8]
POST = [13.0, 14, 21, 9, 18, 16, 12, 12]


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


def test_missing_students_of_normalized_gain():
    """A student with one score is left out of the share of the possible gain too."""
    with_gaps = normalized_gain([*PRE, np.nan], [*POST, 12], maximum=24, about="A")
    assert with_gaps.dropped == 1
    assert np.array_equal(ends(with_gaps), ends(normalized_gain(PRE, POST, maximum=24, about="A")))


def test_normalized_gain_of_a_full_class():
    """Reaching the maximum is 1, standing still 0, and falling negative."""
    assert normalized_gain(PRE, [24] * 8, maximum=24, about="A").value == 1.0
    assert normalized_gain(PRE, PRE, maximum=24, about="A").value == 0.0
    assert normalized_gain(PRE, np.subtract(PRE, 1), maximum=24, about="A").value < 0


def test_normalized_gain_near_the_maximum():
    """A class nearly at the maximum gets the value and the reason why there is no interval."""
    found = normalized_gain([24, 24, 20], [24, 23, 24], maximum=24, about="A")
    assert found.interval is None
    assert found.notes == (NORMALIZED_GAIN_DEPENDS, NO_RATIO_INTERVAL)
    assert normalized_gain(PRE, POST, maximum=24, about="A").notes == (NORMALIZED_GAIN_DEPENDS,)


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (
            lambda: normalized_gain([24, 24], [24, 24], maximum=24, about="A"),
            TooFewError,
            "normalized_gain: needs 1 student below the maximum at the first test. A has 0.",
        ),
        (
            lambda: normalized_gain([1, 2], [3, 25], maximum=24, about="A"),
            ValueError,
            "normalized_gain: scores must not be above the maximum 24. Got 25.0.",
        ),
    ],
)
def test_messages(call, error, message):
    """Each refusal says what is needed and what was found."""
    with pytest.raises(error) as caught:
        call()
    assert str(caught.value) == message
