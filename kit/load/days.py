"""Dates in every spelling that schools use -> days, or why a date cannot be read for certain."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Literal

from kit.load.declared_music import DateOrder
from kit.load.formats.cells import Value

Needs = Literal["", "date_order", "school_year"]

EARLIEST, LATEST = date(2000, 1, 1), date(2049, 12, 31)
"""Days that can be a school day of a study; numbers and years outside are no dates (our own bounds)."""
SCHOOL_YEAR_BEGINS = 7
"""Month from which a date without a year belongs to the year in which the school year begins (our own rule)."""

# day 0 of the two calendars of spreadsheet programs, from memory: 1900 counts a 29 February that never was
_DAY_ZERO, _DAY_ZERO_1904 = date(1899, 12, 30), date(1904, 1, 1)

_ENGLISH = ("january", "february", "march", "april", "may", "june", "july", "august", "september", "october",
            "november", "december")  # fmt: skip
_GERMAN = {"januar": 1, "februar": 2, "märz": 3, "maerz": 3, "mrz": 3, "mai": 5, "juni": 6, "juli": 7, "oktober": 10,
           "okt": 10, "dezember": 12, "dez": 12}  # fmt: skip
_MONTHS = {name[:size]: at for at, name in enumerate(_ENGLISH, 1) for size in (3, len(name))} | _GERMAN | {"sept": 9}
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

_TIME = re.compile(r"[ t]+\d{1,2}:\d\d(?::\d\d(?:\.\d+)?)?(?:\s*[ap]\.?m\.?)?(?:\s*(?:z|[+-]\d\d:?\d\d))?$")
_YEAR_FIRST = re.compile(r"(\d{4})\s*([-/.])\s*(\d{1,2})\s*\2\s*(\d{1,2})")
_NUMBERS = re.compile(r"(\d{1,2})\s*([-/.])\s*(\d{1,2})(?:\s*\2\s*(\d{4}|\d{2})?)?")
_WORDS = re.compile(
    r"(?:(?P<month>[^\W\d_]+)\.?[\s-]*(?P<day>\d{1,2})(?:st|nd|rd|th)?"
    r"|(?P<day_first>\d{1,2})(?:st|nd|rd|th|\.)?(?:\s+of)?[\s-]*(?P<month_last>[^\W\d_]+)\.?)"
    r"(?:[\s,'’-]+(?P<year>\d{4}|\d{2}))?"
)
_MONTH_AND_YEAR = re.compile(r"[^\W\d_]+-\d\d")


@dataclass(frozen=True, slots=True)
class Day:
    """One date as read.

    Attributes
    ----------
    date : date or None
        The day; None for an empty cell or a fault.
    fault : str
        Reason code ``date_unclear`` or ``date_unread``; empty when read.
    rule : str
        The normalisation, in words; empty for a date that stood there as such.
    needs : str
        The setting that would make an unclear date clear; empty where none would.
    """

    date: date | None = None
    fault: str = ""
    rule: str = ""
    needs: Needs = ""

    @property
    def do(self) -> str:
        """Say what to do about a fault."""
        return _DO[self.needs] if self.fault else ""


ASK_ORDER = 'Write date_order = "day_first" or date_order = "month_first" in study.toml.'
_DO: dict[Needs, str] = {
    "": "Write it as year-month-day, such as 2025-09-10.",
    "date_order": ASK_ORDER,
    "school_year": "Write the year in which the school year begins in study.toml, such as school_year = 2025.",
}
_UNREAD = Day(fault="date_unread")
_UNCLEAR = Day(fault="date_unclear")


def read_day(value: Value, *, order: DateOrder = "", school_year: int | None = None) -> Day:
    """Read one date.

    Parameters
    ----------
    value : str, number, date, time or None
        The cell.
    order : str, optional
        Whether 9/10 is the ninth of October or September the tenth: declared, or shown by `order_of`.
    school_year : int or None, optional
        Calendar year in which the school year begins, for dates without a year.

    Returns
    -------
    Day
        The day, or a fault; nothing for an empty cell.
    """
    if isinstance(value, datetime):
        day = _checked(value.date())
        return replace(day, rule="time of day left out") if day.date and value.time() != time() else day
    if isinstance(value, date):
        return _checked(value)
    if value is None or value != value:  # noqa: PLR0124 - a missing number of a Parquet file is not equal to itself
        return Day()
    if isinstance(value, bool | time | timedelta):
        return _UNREAD
    if isinstance(value, int | float):
        return _number(float(value), school_year)
    return _text(_plain(value), order, school_year)


def order_of(values: Iterable[Value]) -> DateOrder:
    """Find the order of day and month from the dates that can be read in one way only.

    Parameters
    ----------
    values : iterable of str, number, date or None
        The dates of a file.

    Returns
    -------
    str
        ``"day_first"`` or ``"month_first"`` where at least one number above 12 shows it and none shows the other;
        else empty.
    """
    shown = set()
    for value in values:
        match = _NUMBERS.fullmatch(_split(_plain(value))[0]) if isinstance(value, str) else None
        if match:
            first, second = int(match[1]), int(match[3])
            shown |= {"day_first"} if 12 < first <= 31 and 1 <= second <= 12 else set()
            shown |= {"month_first"} if 12 < second <= 31 and 1 <= first <= 12 else set()
    return shown.pop() if len(shown) == 1 else ""


def _plain(text: str) -> str:
    """Write a date the way dates are compared: small letters, single spaces."""
    return " ".join(text.casefold().split())


def _split(text: str) -> tuple[str, int | None, bool]:
    """Part a date from its weekday and its time of day: the date, the weekday from 0, whether there was a time."""
    bare = _TIME.sub("", text)
    first, _, rest = bare.partition(" ")
    word = first.strip(",.")
    for at, name in enumerate(_WEEKDAYS):
        if rest and word and word in (name, name[:2], name[:3], name[:4], name[:5]):
            return rest, at, bare != text
    return bare, None, bare != text


def _text(text: str, order: DateOrder, school_year: int | None) -> Day:
    """Read a date written as text."""
    if not text:
        return Day()
    if re.fullmatch(r"\d{5}(?:\.\d+)?", text):
        return _number(float(text), school_year)
    if match := re.fullmatch(r"(\d{4})(\d\d)(\d\d)", text):
        return _made(int(match[1]), int(match[2]), int(match[3]), "date rewritten as year-month-day")
    bare, weekday, timed = _split(text)
    if match := _YEAR_FIRST.fullmatch(bare):
        plain = re.fullmatch(r"\d{4}-\d\d-\d\d", bare) and weekday is None
        day = _made(int(match[1]), int(match[3]), int(match[4]), "" if plain else "date rewritten as year-month-day")
    elif match := _NUMBERS.fullmatch(bare):
        day = _numbers(match, bare, order, school_year)
    elif match := _WORDS.fullmatch(bare):
        day = _UNCLEAR if _MONTH_AND_YEAR.fullmatch(bare) else _words(match, school_year)
    else:
        return _UNREAD
    if day.date and weekday is not None and day.date.weekday() != weekday:
        return _UNCLEAR
    return replace(day, rule=day.rule or "time of day left out") if timed and day.date else day


def _number(value: float, school_year: int | None) -> Day:
    """Read the number that a spreadsheet program keeps for a date, of either calendar; or 20250910."""
    if 20000101 <= value <= 20491231 and value == int(value):
        return _text(str(int(value)), "", None)
    if not 1 <= value < 100_000:
        return _UNREAD
    days = timedelta(days=int(value))
    if _is_plausible(_DAY_ZERO + days, school_year):
        return Day(_DAY_ZERO + days, rule="number of a spreadsheet program read as a date")
    if school_year and _is_plausible(_DAY_ZERO_1904 + days, school_year):
        return Day(_DAY_ZERO_1904 + days, rule="number of a spreadsheet program (1904 calendar) read as a date")
    return _UNREAD


def _is_plausible(day: date, school_year: int | None) -> bool:
    """Say whether a number may stand for this day: within three school years, as the calendars lie four apart."""
    if school_year is None:
        return EARLIEST <= day <= LATEST
    return date(school_year - 1, SCHOOL_YEAR_BEGINS, 1) <= day < date(school_year + 2, SCHOOL_YEAR_BEGINS, 1)


def _numbers(match: re.Match, bare: str, order: DateOrder, school_year: int | None) -> Day:
    """Read a date of two or three numbers."""
    first, second, last = int(match[1]), int(match[3]), match[4]
    if order == "year_first" and last and len(last) == 2:
        return _made(2000 + first, second, int(last), "date rewritten as year-month-day")
    if match[2] == "." and bare.endswith("."):
        order = order or "day_first"  # a point after the month too: both are ordinal numbers, and the day comes first
    order = order or ("day_first" if first > 12 else "month_first" if second > 12 else "")
    if order not in ("day_first", "month_first"):
        both = first == second
        return _with_year(second, first, last, school_year, "") if both else replace(_UNCLEAR, needs="date_order")
    day, month = (first, second) if order == "day_first" else (second, first)
    if month > 12 and day <= 12:
        return _UNCLEAR  # it is a date in the other order only
    written = "day and month" if order == "day_first" else "month and day"
    return _with_year(month, day, last, school_year, f"{written} rewritten as year-month-day")


def _words(match: re.Match, school_year: int | None) -> Day:
    """Read a date that names its month."""
    month = _MONTHS.get(match["month"] or match["month_last"])
    if month is None:
        return _UNREAD
    day = int(match["day"] or match["day_first"])
    return _with_year(month, day, match["year"], school_year, "")


def _with_year(month: int, day: int, year: str | None, school_year: int | None, rule: str) -> Day:
    """Complete a day and month by the year that stands there, or by the school year."""
    rule = rule or "date rewritten as year-month-day"
    if year:
        return _made(int(year) + (2000 if len(year) == 2 else 0), month, day, rule)
    if not 1 <= month <= 12 or not 1 <= day <= 31:
        return _UNREAD
    if school_year is None:
        return replace(_UNCLEAR, needs="school_year")
    return _made(school_year + (month < SCHOOL_YEAR_BEGINS), month, day, "year taken from the school year")


def _made(year: int, month: int, day: int, rule: str) -> Day:
    """Make the day, unless the calendar has none such."""
    try:
        day_read = _checked(date(year, month, day))
    except ValueError:
        return _UNREAD
    return day_read if day_read.fault else replace(day_read, rule=rule)


def _checked(day: date) -> Day:
    """Refuse a day that lies outside every study."""
    return Day(day) if EARLIEST <= day <= LATEST else _UNREAD
