"""The only rounding: how numbers are written for people."""

import dataclasses
import math

import pytest

from kit.estimate import Estimate, Interval
from kit.figures import labels
from kit.glossary import GLOSSARY
from kit.report import numbers


def estimate(value, low, high, unit):
    """Make an estimate with an interval."""
    interval = Interval(low=low, high=high, level=0.95, method="m", source="student-1908")
    name = "share_wilson" if unit == "share" else "mean_gain"
    return Estimate(about="x", name=name, value=value, unit=unit, n=9, source="student-1908", interval=interval)


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


def test_exact_numbers_and_levels():
    """Six significant digits for the table of all numbers."""
    assert numbers.exact(2.3636363636) == "2.36364"
    assert numbers.exact(-0.5) == "−0.5"
    assert numbers.percent_level(0.95) == "95 %"
    assert numbers.percent_level(0.975) == "97.5 %"


@pytest.mark.parametrize(
    ("share", "plain", "signed", "of_many"),
    [(1e-17, "0 %", "0 %", "0.0 %"), (1 - 1e-16, "100 %", "+100 %", "100.0 %"), (0.003, "less than 1 %", "+0.3 %", "0.3 %"),
     (-0.003, "−0.3 %", "−0.3 %", "−0.3 %"), (-0.0003, "−0.03 %", "−0.03 %", "−0.03 %"), (-0.9997, "−99.9 %", "−99.9 %", "−99.9 %"),
     (0.9997, "more than 99 %", "+99.9 %", "more than 99.9 %"), (0.6184, "62 %", "+62 %", "61.8 %")],
)  # fmt: skip
def test_shares_at_the_ends_and_of_many(share, plain, signed, of_many):
    """What arithmetic leaves of zero is zero, a difference keeps its direction, and more than 300 give a decimal."""
    assert numbers.bare(share, "share") == plain
    assert numbers.bare(share, "share", signed=True) == signed
    assert numbers.bare(share, "share", n=301) == of_many
    assert numbers.bare(share, "share", n=300) == plain


@pytest.mark.parametrize(
    ("low", "high", "unit", "said", "cell"),
    [(2.12, math.inf, "points", "at least 2.1 points", "at least 2.1"), (-math.inf, 6.5, "points", "at most 6.5 points", "at most 6.5"),
     (-math.inf, math.inf, "SD", "any number", "any number"), (1e-17, 0.23, "share", "0 to 23 percent", "0 to 23 %"),
     (0.001, 0.23, "share", "less than 1 percent to 23 percent", "less than 1 % to 23 %"),
     (0.1, 0.4, "correlation", "0.10 to 0.40", "0.10 to 0.40"), (0.1, 0.4, "SD of gains", "0.10 to 0.40 SD of gains", "0.10 to 0.40")],
)  # fmt: skip
def test_ends_of_intervals(low, high, unit, said, cell):
    """An open end is said to be open, and the unit stands once unless an end is told in words."""
    value = 1 if math.isinf(high) else high
    assert numbers.show_interval(estimate(value, low, high, unit)) == said
    assert numbers.interval_cell(estimate(value, low, high, unit)) == cell


@pytest.mark.parametrize("unit", ["points", "share", "SD", "correlation", "SD of gains", "students", "choirs"])
@pytest.mark.parametrize("value", [-12.345, -0.996, -0.04, -0.003, 0, 0.003, 0.42, 0.996, 1, 7.05, 63.95])
def test_figures_write_numbers_as_tables_do(value, unit):
    """The labels in a figure, which has a floor of its own, are the words of the tables."""
    assert labels.written(value, unit) == numbers.bare(value, unit)
    assert labels.written(value, unit, signed=True) == numbers.bare(value, unit, signed=True)


@pytest.mark.parametrize(
    ("number", "cell", "ends"),
    [((0.371, 0.242, 0.516, "share"), "37 %", "24 to 52 %"), ((0.371, 0.351, 0.391, "share"), "37.1 %", "35.1 to 39.1 %"),
     ((0.3714, 0.3689, 0.3739, "share"), "37.14 %", "36.89 to 37.39 %"), ((3.24, 1.98, 4.49, "points"), "3.2 points", "2.0 to 4.5"),
     ((0.2557, -0.1039, 0.6153, "points"), "0.26 points", "−0.10 to 0.62"), ((3.24, -5, 11, "points"), "3.2 points", "−5.0 to 11.0"),
     ((0.253, -0.391, 0.897, "SD"), "0.25 SD", "−0.39 to 0.90"), ((0.2531, 0.2131, 0.2931, "SD"), "0.253 SD", "0.213 to 0.293"),
     ((2, 2, 2, "points"), "2.0 points", "2.0 to 2.0"), ((2.04, -math.inf, 2.1, "points"), "2.0 points", "at most 2.1")],
)  # fmt: skip
def test_decimals_go_by_the_width_of_the_interval(number, cell, ends):
    """Two digits of an interval's width are seen; a score or a size keeps at least what sentences have."""
    one = estimate(*number)
    assert (numbers.value_cell(one), numbers.interval_cell(one)) == (cell, ends)


def test_a_gain_in_percent_is_told_in_percentage_points():
    """From 50 to 58 percent is a gain of 8 percentage points; a share itself is percent, with a decimal if of many."""
    share = estimate(0.084, 0.021, 0.147, "share")
    gain = dataclasses.replace(share, name="mean_gain")
    assert (numbers.value_cell(gain), numbers.interval_cell(gain)) == ("8 percentage points", "2 to 15")
    assert (numbers.value_cell(share), numbers.interval_cell(share)) == ("8 %", "2 to 15 %")
    assert numbers.value_cell(dataclasses.replace(share, n=400, interval=None, notes=("None.",))) == "8.4 %"
    assert numbers.value_cell(estimate(1.44, -0.6, 3.4, "points")) == "1.4 points"


def test_changes_are_statistics_of_the_glossary():
    """A renamed statistic cannot drop out of the list unseen."""
    assert set(numbers.CHANGES) <= set(GLOSSARY)
