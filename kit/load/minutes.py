"""Lengths of drills in every notation -> minutes, or why they are not one certain number."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Literal

from kit.load.declared_music import Span
from kit.load.formats.cells import Value
from kit.load.marks.mark import NO_MARK

Unit = Literal["", "minutes", "seconds"]
Clock = Literal["", "hours", "minutes"]
"""What stands before the colon in 0:05 or 3:00."""

LONGEST, SHORTEST = 120.0, 0.25
"""Minutes that a drill can last (our own bounds); what lies outside is no length of a drill, or of another unit."""
MINUTES_A_DAY = 1440

_NUMBER = r"(\d+(?:[.,]\d+)?|[.,]\d+)"
_PLAIN = re.compile(_NUMBER)
_CLOCK = re.compile(r"(\d{1,3}):([0-5]\d)(?::([0-5]\d))?")
_MINUTE = r"(?:minutes?|mins?|m|['’′])\.?"
_SECOND = r"(?:seconds?|secs?|s|[\"”″]|''|’’|′′)\.?"
_WORDED = re.compile(
    rf"(?:{_NUMBER}\s*(?:hours?|hrs?|h)\.?\s*)?(?:{_NUMBER}\s*(?:{_MINUTE})\s*)?(?:{_NUMBER}\s*(?:{_SECOND}))?"
)
_ABOUT = re.compile(rf"(?:~|≈|ca\.?|c\.|about|approx\.?|around|roughly)\s*{_NUMBER}\s*(?:{_MINUTE})?|{_NUMBER}\s*-?ish")
_RANGE = re.compile(rf"{_NUMBER}\s*(?:-|–|—|to)\s*{_NUMBER}\s*(?:{_MINUTE})?")
_CLOCK_FORMAT = re.compile(r"\[?(?:h+|m+)\]?:(?:mm|ss)|\[(?:h+|m+|s+)\]", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Minutes:
    """One length as read.

    Attributes
    ----------
    minutes : float or None
        The length; None for an empty cell or a fault.
    fault : str
        Reason code ``minutes_unclear`` or ``minutes_impossible``; empty when read.
    rule : str
        The normalisation, in words; empty for a plain number.
    """

    minutes: float | None = None
    fault: str = ""
    rule: str = ""


_UNCLEAR = Minutes(fault="minutes_unclear")
_IMPOSSIBLE = Minutes(fault="minutes_impossible")


def read_minutes(  # noqa: PLR0911 - one line for each kind of cell
    value: Value, number_format: str = "", *, unit: Unit = "", span: Span = "", clock: Clock = ""
) -> Minutes:
    """Read one length.

    Parameters
    ----------
    value : str, number, time or None
        The cell.
    number_format : str, optional
        How the spreadsheet shows the number.
    unit : str, optional
        What plain numbers are, where it is declared; undeclared they are minutes, if that can be.
    span : str, optional
        What ``5-7`` and ``~5`` mean: ``"midpoint"``, or undeclared no certain number.
    clock : str, optional
        What stands before the colon in 0:05, as `clock_of` finds it in the column.

    Returns
    -------
    Minutes
        The length, or a fault; nothing for an empty cell.
    """
    if value is None or value != value:  # noqa: PLR0124 - a missing number of a Parquet file is not equal to itself
        return Minutes()
    if isinstance(value, bool | datetime | date):
        return _UNCLEAR
    if isinstance(value, time):
        return _colon(value.hour, value.minute, value.second, clock)
    if isinstance(value, timedelta):
        hours, rest = divmod(int(value.total_seconds()), 3600)
        return _colon(hours, *divmod(rest, 60), clock) if hours >= 0 else _IMPOSSIBLE
    if isinstance(value, int | float):
        if _CLOCK_FORMAT.search(number_format):
            return _bounded(value * MINUTES_A_DAY, "time cell read as minutes")
        return _number(float(value), unit)
    return _text(" ".join(value.casefold().split()), unit, span, clock)


def clock_of(values: Iterable[Value]) -> Clock:
    """Find out from the whole column whether 0:05 is hours and minutes or minutes and seconds.

    Parameters
    ----------
    values : iterable of str, number, time or None
        The lengths of a file.

    Returns
    -------
    str
        ``"minutes"`` stand before the colon where a reading in hours would last longer than any drill, ``"hours"``
        where one in minutes would be over in seconds; empty where the column shows neither, or both.
    """
    shown: set[Clock] = set()
    for value in values:
        match = _CLOCK.fullmatch(value.strip()) if isinstance(value, str) else None
        if match and not int(match[3] or 0):
            first, second = int(match[1]), int(match[2])
        elif isinstance(value, time) and not value.second:
            first, second = value.hour, value.minute
        else:
            continue
        if first * 60 + second > LONGEST:
            shown.add("minutes")
        elif 0 < first + second / 60 < SHORTEST:
            shown.add("hours")
    return shown.pop() if len(shown) == 1 else ""


def _text(text: str, unit: Unit, span: Span, clock: Clock) -> Minutes:  # noqa: PLR0911 - one line for each notation
    """Read a length written as text."""
    if not text or text in NO_MARK:
        return Minutes()
    if _PLAIN.fullmatch(text):
        return _number(_float(text), unit)
    if re.fullmatch(rf"-{_NUMBER}", text):
        return _IMPOSSIBLE
    if match := _CLOCK.fullmatch(text):
        return _colon(int(match[1]), int(match[2]), int(match[3]) if match[3] else None, clock)
    if match := _WORDED.fullmatch(text):
        hours, minutes, seconds = (_float(part) if part else 0.0 for part in match.groups())
        return _bounded(hours * 60 + minutes + seconds / 60, "unit written beside the number")
    if match := _ABOUT.fullmatch(text):
        about = _float(match[1] or match[2])
        return _bounded(about, "about so many minutes, taken as so many") if span else _UNCLEAR
    if match := _RANGE.fullmatch(text):
        low, high = _float(match[1]), _float(match[2])
        return _bounded((low + high) / 2, "middle of a range of minutes") if span and low <= high else _UNCLEAR
    return _UNCLEAR


def _float(text: str) -> float:
    """Read a number with a decimal point or comma."""
    return float(text.replace(",", "."))


def _number(value: float, unit: Unit) -> Minutes:
    """Read a plain number: minutes, unless seconds are declared or it can be none."""
    if value < 0:
        return _IMPOSSIBLE
    if unit == "seconds":
        return _bounded(value / 60, "seconds read as minutes")
    if not unit and 0 < value < SHORTEST:
        return _UNCLEAR  # perhaps the part of a day that a time cell keeps
    return Minutes(value) if value <= LONGEST else _IMPOSSIBLE


def _colon(first: int, second: int, third: int | None, clock: Clock) -> Minutes:
    """Read 0:05, 3:00 or 00:05:00; two numbers are read in the one way that a drill can last."""
    if third:
        return _bounded(first * 60 + second + third / 60, "clock time read as minutes")
    in_hours, in_minutes = float(first * 60 + second), first + second / 60
    if third is not None and in_hours <= LONGEST and clock != "minutes":
        return Minutes(in_hours, rule="clock time read as minutes")
    hours_can_be = in_hours <= LONGEST and clock != "minutes"
    minutes_can_be = (in_minutes >= SHORTEST and clock != "hours") or not in_minutes
    if hours_can_be and minutes_can_be and in_hours:
        return _UNCLEAR
    if hours_can_be:
        return Minutes(in_hours, rule="clock time read as minutes")
    return _bounded(in_minutes, "minutes and seconds read as minutes") if minutes_can_be else _IMPOSSIBLE


def _bounded(minutes: float, rule: str) -> Minutes:
    """Refuse what is longer than any drill."""
    return Minutes(minutes, rule=rule) if 0 <= minutes <= LONGEST else _IMPOSSIBLE
