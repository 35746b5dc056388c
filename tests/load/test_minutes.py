"""Lengths of drills in every notation."""

from datetime import date, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.load.minutes import LONGEST, Minutes, clock_of, read_minutes


@pytest.mark.parametrize(
    "value",
    [5, 5.0, "5", "5 min", "5min", "5 mins.", "5 minutes", "5'", "5’", "5′", "0:05", "00:05:00", "300 s", "300 sec",
     "5m00s", "5 min 0 s", time(0, 5), timedelta(minutes=5), "5:00", time(5, 0), "5.0", "5,0"],
)  # fmt: skip
def test_five_minutes(value):
    """Five minutes in twenty notations are five minutes."""
    assert read_minutes(value).minutes == 5


@pytest.mark.parametrize(
    ("value", "expected"),
    [("5m30s", 5.5), ("5'30\"", 5.5), ("1 h 5 min", 65), ("1h", 60), ("2:30", 2.5), ("0:00", 0), (0, 0),
     ("00:45:00", 45), (time(0, 5, 30), 5.5)],
)  # fmt: skip
def test_other_lengths(value, expected):
    """Hours, minutes and seconds add up."""
    assert read_minutes(value).minutes == pytest.approx(expected)


@pytest.mark.parametrize(
    "value", ["~5", "5-7", "about 5", "5ish", "5+", "abc", "1:75", "0:45", "1:15", 0.0035, True, date(2025, 9, 10)]
)
def test_unclear(value):
    """What is not one certain number is not read."""
    assert read_minutes(value) == Minutes(fault="minutes_unclear")


@pytest.mark.parametrize("value", [300, "180", -3, "-3", "300 min", timedelta(days=-1)])
def test_impossible(value):
    """What lasts longer than any drill, or less than nothing, is not read."""
    assert read_minutes(value) == Minutes(fault="minutes_impossible")


@pytest.mark.parametrize("value", [None, "", " ", "n/a", "-", float("nan")])
def test_nothing(value):
    """An empty cell is neither a length nor a fault."""
    assert read_minutes(value) == Minutes()


def test_declared():
    """Seconds, and the middle of a range, where the study file says so."""
    assert read_minutes(300, unit="seconds").minutes == 5
    assert read_minutes("5-7", span="midpoint").minutes == 6
    assert read_minutes("~5", span="midpoint").minutes == 5
    assert read_minutes("7-5", span="midpoint").fault == "minutes_unclear"


def test_number_format():
    """The part of a day is a length where the cell shows it as a time."""
    assert read_minutes(5 / 1440, "h:mm:ss").minutes == pytest.approx(5)
    assert read_minutes(5 / 1440, "[m]:ss").minutes == pytest.approx(5)
    assert read_minutes(5 / 1440, "0.00").fault == "minutes_unclear"


def test_clock_by_evidence():
    """0:45 is read as its column shows: beside 5:30 minutes and seconds, beside 0:05 hours and minutes."""
    assert clock_of(["0:45", "5:30"]) == "minutes"
    assert clock_of(["0:45", "0:05", None, 5]) == "hours"
    assert clock_of(["0:05", "5:30"]) == ""
    assert clock_of([time(5, 30), time(0, 45)]) == "minutes"
    assert read_minutes("0:45", clock="minutes").minutes == pytest.approx(0.75)
    assert read_minutes("0:45", clock="hours").minutes == 45


@settings(max_examples=50, deadline=None)
@given(
    st.one_of(st.text(max_size=12), st.floats(), st.integers(), st.from_regex(r"\d{1,3}[:' -]\d{1,2}", fullmatch=True))
)
def test_never_beyond_the_bounds(value):
    """Whatever stands in the cell, a length is between nothing and the longest drill, or there is none."""
    read = read_minutes(value)
    assert read.minutes is None or 0 <= read.minutes <= LONGEST
    assert read.minutes is None or not read.fault
