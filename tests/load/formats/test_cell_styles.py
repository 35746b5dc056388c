"""Number formats, and the dates behind numbers."""

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.styles.numbers import BUILTIN_FORMATS, is_date_format, is_timedelta_format
from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH, from_excel

from kit.load.formats.cell_styles import BUILT_IN, EPOCH, EPOCH_1904, kind_of, moment, span


def test_formats_that_a_workbook_does_not_spell_out():
    """The built-in formats are those of openpyxl, a general library, but for its spaces and quotation marks."""

    def bare(shown):
        return shown.replace(" ", "").replace('"', "").replace("\\", "").replace("_", "").replace("$", "")

    for number, shown in BUILT_IN.items():
        theirs = BUILTIN_FORMATS[number]
        assert kind_of(shown) == kind_of(theirs)
        if number not in (37, 38, 39, 40):  # the standard writes no spaces for brackets there, the library does
            assert bare(shown) == bare(theirs), number


@pytest.mark.parametrize(
    "shown",
    ["General", "0", "0.00%", "d/m/yy", "m/d/yyyy;@", "[$-409]d mmm yy", '"day" 0', "[Red]0", "[h]:mm", "[mm]:ss",
     "h:mm AM/PM", "\\d0", "yyyy", "# ?/?", "[Green]d", "0;[Red]d", '0" min"', "_(* #,##0_)", "[<=9]0;d"],
)  # fmt: skip
def test_which_formats_show_dates(shown):
    """A format shows a date, a span or a number as openpyxl, a general library, says."""
    theirs = "span" if is_timedelta_format(shown) else "date" if is_date_format(shown) else "number"
    assert kind_of(shown) == theirs


def test_a_format_without_end_takes_no_time():
    """Half a million brackets are no date and no delay."""
    assert kind_of("[" * 500_000) == "number"


@settings(max_examples=200, deadline=None)
@given(serial=st.one_of(st.integers(0, 80_000), st.floats(0, 80_000)), early=st.booleans())
def test_dates_behind_numbers(serial, early):
    """A number is the date that openpyxl, a general library, reads in it, in both calendars, to the millisecond."""
    ours = moment(serial, EPOCH_1904 if early else EPOCH)
    assert ours == from_excel(serial, MAC_EPOCH if early else WINDOWS_EPOCH)


def test_days_around_the_day_that_never_was():
    """Day 59 is the 28th of February 1900 and day 61 the 1st of March: day 60 exists in the program only."""
    assert [moment(serial, EPOCH) for serial in (1, 59, 61)] == [
        dt.datetime(1900, 1, 1), dt.datetime(1900, 2, 28), dt.datetime(1900, 3, 1)
    ]  # fmt: skip


@pytest.mark.parametrize("serial", [-1, 1e9, 1e300])
def test_days_that_the_calendar_lacks(serial):
    """They read as the signs that the spreadsheet program shows."""
    assert moment(serial, EPOCH) == "#####"


def test_spans():
    """Half a day is twelve hours, below zero as well; a span beyond all bounds is shown as signs."""
    assert [span(0.5), span(-0.5), span(1e300)] == [dt.timedelta(hours=12), dt.timedelta(hours=-12), "#####"]
