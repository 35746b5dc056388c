"""The only rounding: how numbers are written for people."""

import math

import pytest

from kit.estimate import Estimate, Interval
from kit.report import numbers


def estimate(value, low, high, unit):
    """Make an estimate with an interval."""
    interval = Interval(low=low, high=high, level=0.95, method="m", source="student-1908")
    return Estimate(about="x", name="mean_gain", value=value, unit=unit, n=9, source="student-1908", interval=interval)


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [(4.26, "points", "4.3 points"), (-4.26, "points", "−4.3 points"), (0.621, "share", "62 percent"), (1, "students", "1 student"),
     (2, "students", "2 students"), (0.416, "SD", "0.42 SD"), (0.7763, "correlation", "0.78"), (-0.04, "points", "0.0 points"),
     (0.001, "share", "less than 1 percent"), (0.999, "share", "more than 99 percent"), (0, "share", "0 percent"),
     (1, "share", "100 percent")],
)  # fmt: skip
def test_numbers_in_sentences(value, unit, said):
    """Decimals go by the unit; what is neither nothing nor all never looks like it; minus is a real minus."""
    assert numbers.show(value, unit) == said


@pytest.mark.parametrize(
    ("value", "unit", "cell"),
    [(4.26, "points", "+4.3"), (-4.26, "points", "−4.3"), (0, "points", "0.0"), (0.1, "share", "+10 %"),
     (math.nan, "points", "–"), (None, "points", "–"), (math.inf, "points", "no limit")],
)  # fmt: skip
def test_numbers_in_cells(value, unit, cell):
    """Signed cells, missing values and open ends."""
    assert numbers.bare(value, unit, signed=True) == cell


def test_intervals():
    """An interval is written with its unit once."""
    assert numbers.show_interval(estimate(4, 2.12, 6.49, "points")) == "2.1 to 6.5 points"
    assert numbers.show_interval(estimate(0.5, 0.31, 0.69, "share")) == "31 to 69 percent"
    assert numbers.interval_cell(estimate(0.5, 0.31, 0.69, "share")) == "31 to 69 %"
    assert numbers.interval_cell(estimate(-1, -2.5, 0.5, "points")) == "−2.5 to 0.5"


@pytest.mark.parametrize(("p", "said"), [(0.0004, "p < .001"), (0.0312, "p = .031"), (None, "–")])
def test_p_values_are_never_zero(p, said):
    """A small p-value is below .001, not zero."""
    assert numbers.p_text(p) == said


def test_exact_numbers_and_levels():
    """Six significant digits for the table of all numbers."""
    assert numbers.exact(2.3636363636) == "2.36364"
    assert numbers.exact(-0.5) == "−0.5"
    assert numbers.percent_level(0.95) == "95 %"
    assert numbers.percent_level(0.975) == "97.5 %"
