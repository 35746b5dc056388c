"""Phrases that many sentences share: what is written alike is told once, and an open end is no number."""

from math import inf

import pytest

from kit.report.phrases import alike, between, gain_between, went
from tests.report.terms import estimate


def ranged(low, high, unit="points"):
    """Make a number with a range."""
    return estimate("pitch", "mean_gain", 1.0, (low, high), unit=unit)


@pytest.mark.parametrize(("ends", "unit", "told"), [
    ((-1.2, 4.3), "points", "between −1.2 and 4.3 points"),
    ((-0.012, 0.043), "share", "between −1 and 4 percentage points"),
    ((1.18, 1.22), "points", "close to 1.2 points"),
    ((-0.04, 0.04), "points", "close to 0.0 points"),
    ((-inf, inf), "points", "with no limit on either side"),
    ((0.31, inf), "points", "from 0.3 points up, with no upper limit"),
    ((-inf, 0.31), "share", "up to 31 percentage points, with no lower limit"),
])  # fmt: skip
def test_the_range_of_a_gain(ends, unit, told):
    """Both ends, the unit once; the end it has where the other is open; once where both are written alike."""
    assert gain_between(ranged(*ends, unit)) == told


def test_a_turned_range_opens_to_the_other_side():
    """A fall with no limit below has none above."""
    assert gain_between(ranged(-inf, -0.31), turned=True) == "from 0.3 points up, with no upper limit"
    assert gain_between(ranged(-3.0, -0.2), turned=True) == "between 0.2 and 3.0 points"


@pytest.mark.parametrize(("ends", "unit", "told"), [
    ((8.1, 9.2), "points", "between 8.1 and 9.2 points"),
    ((0.24, 0.52), "share", "between 24 and 52 percent"),
    ((0.001, 0.04), "share", "between less than 1 percent and 4 percent"),
    ((0.61, 0.612), "share", "close to 61 percent"),
    ((0.61, 0.78), "reliability", "between 0.61 and 0.78"),
    ((0.61, inf), "reliability", "from 0.61 up, with no upper limit"),
])  # fmt: skip
def test_the_range_of_a_score(ends, unit, told):
    """As for gains, with scores and shares as they are."""
    assert between(ranged(*ends, unit)) == told


def test_what_is_written_alike_is_told_once():
    """From one average to another, or that it stayed where both are written alike."""
    first, near, far = (estimate("pitch", "mean_score", value) for value in (8.46, 8.54, 11.5))
    assert (alike(first, near), alike(first, far)) == (True, False)
    assert went(first, near) == "stayed at 8.5 points"
    assert went(first, far) == "went from 8.5 to 11.5 points"
    shares = [estimate("pitch", "mean_score", value, unit="share") for value in (0.54, 0.62)]
    assert went(*shares) == "went from 54 to 62 percent of the points"
