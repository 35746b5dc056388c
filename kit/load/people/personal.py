"""Columns of personal data that no table needs: e-mail addresses, birth dates, telephone numbers, parents' names."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, datetime

from kit.load.columns import plain
from kit.load.sheets import SheetRead

_PERSONAL = re.compile(
    r"(?:.*\b)?(?:e-?mails?|mail|birth\s?-?dates?|birthdays?|dob|d\.o\.b|(?:date|day|place) of birth|phones?|telephone"
    r"|mobile|cell|address|home address|parents?|guardians?|mother|father|emergency contact|ethnicity|race|gender|sex)"
    r"(?:\b.*)?"
)
_TELLING = re.compile(
    r".*(?:mail|birth\s?-?da|\bdob\b|d\.o\.b|da(?:te|y) of birth|phone|mobile|\bcell\b|address|parent|guardian|mother"
    r"|father|emergency).*"
)
"""Headings of columns that tell whose they are; a gender or an ethnicity is shared by many."""
_FIRST_YEAR = 1900
_NUMBERS = re.compile(r"(\d{1,4})[./-](\d{1,2})[./-](\d{1,4})")
_ADDRESS = re.compile(r"[^@\s]+@[^@\s]+\.[^@\s]+")


def report_personal_columns(read: SheetRead) -> None:
    """Count the columns of personal data of a sheet; they are in no table, and nothing of them is repeated.

    Parameters
    ----------
    read : SheetRead
        The sheet; a column that the study file declares is not counted.
    """
    account, source = read.account, read.source
    declared = {plain(value) for field in source.__slots__ if isinstance(value := getattr(source, field), str)}
    for heading in read.header.headings:
        if heading and plain(heading) not in declared and (is_personal(heading) or _holds_addresses(read, heading)):
            account.private |= set(_private(read, heading))
            account.change("column of personal data left out", read.header.index, "(private)", "(left out)")


def is_personal(heading: object) -> bool:
    """Say whether a heading names personal data that no table needs."""
    return bool(_PERSONAL.fullmatch(plain(heading)))


def _private(read: SheetRead, heading: str) -> Iterator[str]:
    """Give what a column of personal data tells: addresses, telephone numbers, days of birth, names of parents.

    A single word or a number of few digits is no such thing: it may stand anywhere.
    """
    if not _TELLING.fullmatch(plain(heading)) and not _holds_addresses(read, heading):
        return
    for index in read.account.data:
        value = read.cell(index, heading)
        if isinstance(value, date):
            yield (value.date() if isinstance(value, datetime) else value).isoformat()
        elif isinstance(value, str) and re.search(r"@|\w\W+\w", value.strip()):
            yield value.strip().casefold()
            yield from _days(value.strip())


def _days(text: str) -> Iterator[str]:
    """Read a day in every order that gives one; a year of two digits lies in this century."""
    found = _NUMBERS.fullmatch(text)
    if found is None:
        return
    first, second, third = map(int, found.groups())
    late = third + 2000 if third < 100 else third
    for year, month, day in ((first, second, third), (late, first, second), (late, second, first)):
        try:
            if year >= _FIRST_YEAR:
                yield date(year, month, day).isoformat()
        except ValueError:
            continue


def _holds_addresses(read: SheetRead, heading: str) -> bool:
    """Say whether most cells of a column hold e-mail addresses."""
    cells = [value for index in read.account.data if isinstance(value := read.cell(index, heading), str)]
    return len([value for value in cells if _ADDRESS.fullmatch(value.strip())]) * 2 > len(cells) > 0
