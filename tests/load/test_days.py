"""Dates in every spelling, and those that could be two days."""

from datetime import date, datetime, time, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.utils.datetime import CALENDAR_MAC_1904, to_excel

from kit.load.days import EARLIEST, LATEST, Day, order_of, read_day

SEPTEMBER_10 = date(2025, 9, 10)


@pytest.mark.parametrize(
    "value",
    [
        "2025-09-10", "2025/9/10", "2025.09.10", "20250910", 20250910, "13/10/25", "10-Sep-25", "Sept 10, 2025",
        "Sept. 10, '25", "10. September 2025", "10th of September 2025", "Wednesday, September 10, 2025",
        "Wed 2025-09-10", "2025-09-10T08:15:00Z", "September 10th 2025", date(2025, 9, 10), datetime(2025, 9, 10),
        "45910", 45910, 45910.0,
    ],
)  # fmt: skip
def test_spellings(value):
    """One day in twenty spellings needs no setting at all."""
    expected = date(2025, 10, 13) if value == "13/10/25" else SEPTEMBER_10
    assert read_day(value).date == expected


@pytest.mark.parametrize("value", ["9/10/25", "9-10-2025", "9.10.25", "9/10/2025 8:15 AM"])
def test_order_is_not_guessed(value):
    """A date with two readings is read in the declared order, and undeclared not at all."""
    assert read_day(value) == Day(fault="date_unclear", needs="date_order")
    assert read_day(value, order="day_first").date == date(2025, 10, 9)
    assert read_day(value, order="month_first").date == SEPTEMBER_10


def test_the_same_both_ways():
    """A date that both orders read alike needs no order."""
    assert read_day("10/10/25").date == date(2025, 10, 10)


def test_contradicting_order():
    """A date that does not exist in the declared order is unclear, though the other order would read it."""
    assert read_day("13/10/25", order="month_first").fault == "date_unclear"


@pytest.mark.parametrize(
    ("value", "expected"),
    [("Sept 10", SEPTEMBER_10), ("10.09.", SEPTEMBER_10), ("10 Sep", SEPTEMBER_10), ("Wed Sept 10", SEPTEMBER_10),
     ("13. Jan", date(2026, 1, 13)), ("June 30", date(2026, 6, 30)), ("July 1", date(2025, 7, 1))],
)  # fmt: skip
def test_without_a_year(value, expected):
    """A date without a year belongs to the declared school year, and undeclared to none."""
    assert read_day(value) == Day(fault="date_unclear", needs="school_year")
    assert read_day(value, school_year=2025) == Day(expected, rule="year taken from the school year")


@pytest.mark.parametrize(
    "value",
    ["yesterday", "31/2/2025", "29 Feb 2025", "9/31/25", "Mon-Thu", "1-3-5", "5", "12:30", 12, 0.5, True, time(8, 15),
     timedelta(hours=1), "1999-09-10", "2093-09-10", date(1905, 1, 1), "Foo 10 2025"],
)  # fmt: skip
def test_no_date(value):
    """What is no day of the calendar, or no possible school day, is not read."""
    assert read_day(value, school_year=2025) == Day(fault="date_unread")


@pytest.mark.parametrize("value", [None, "", "  ", float("nan")])
def test_nothing(value):
    """An empty cell is neither a date nor a fault."""
    assert read_day(value) == Day()


def test_month_and_year():
    """Sep-25 is how a spreadsheet shows a month of 2025, or the 25th of September: unclear."""
    assert read_day("Sep-25", school_year=2025) == Day(fault="date_unclear")


def test_weekday_contradicts():
    """A weekday that the date does not have makes the date unclear."""
    assert read_day("Tue 2025-09-10").fault == "date_unclear"


@settings(max_examples=50, deadline=None)
@given(st.dates(date(2024, 7, 1), date(2027, 6, 30)))
def test_numbers_of_spreadsheets(day):
    """The numbers that the workbook library writes for a day, in both calendars, are that day again."""
    assert read_day(int(to_excel(day)), school_year=2025).date == day
    assert read_day(int(to_excel(day, CALENDAR_MAC_1904)), school_year=2025).date == day
    assert read_day(int(to_excel(day))).date == day


@settings(max_examples=50, deadline=None)
@given(st.dates(EARLIEST, LATEST), st.sampled_from(["%d/%m/%Y", "%d.%m.%y", "%d %B %Y", "%B %d, %Y", "%a %d-%b-%y"]))
def test_round_trip(day, form):
    """A day written in any order and read in that order is the same day."""
    assert read_day(day.strftime(form), order="day_first").date == day


def test_order_by_evidence():
    """One number above 12 shows the order; dates that show both orders show none."""
    assert order_of(["9/10/25", None, 45910, "13/10/25"]) == "day_first"
    assert order_of(["9/10/25", "9/13/25 8:00"]) == "month_first"
    assert order_of(["9/10/25", "2025-09-13"]) == ""
    assert order_of(["13/10/25", "9/13/25"]) == ""
    assert order_of(np.array(["13/10/25"]).tolist()) == "day_first"


def test_what_to_do():
    """Every fault says what to write where."""
    assert read_day("9/10/25").do == (
        'Write date_order = "day_first" or date_order = "month_first" in study.toml.'
    )  # fmt: skip
    assert read_day("Sept 10").do == (
        "Write the year in which the school year begins in study.toml, such as school_year = 2025."
    )
    assert read_day("yesterday").do == "Write it as year-month-day, such as 2025-09-10."
    assert read_day("2025-09-10").do == ""


def test_time_of_day():
    """A time of day is left out, and said so."""
    assert read_day(datetime(2025, 9, 10, 8, 15)) == Day(SEPTEMBER_10, rule="time of day left out")
    assert read_day("2025-09-10 08:15").rule == "time of day left out"
