"""Columns of personal data that no table needs: e-mail addresses, birth dates, telephone numbers, parents' names."""

from __future__ import annotations

import re

from kit.load.columns import plain
from kit.load.sheets import SheetRead

_PERSONAL = re.compile(
    r"(?:.*\b)?(?:e-?mails?|mail|birth\s?-?dates?|birthdays?|dob|d\.o\.b|(?:date|day|place) of birth|phones?|telephone"
    r"|mobile|cell|address|home address|parents?|guardians?|mother|father|emergency contact|ethnicity|race|gender|sex)"
    r"(?:\b.*)?"
)
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
            account.change("column of personal data left out", read.header.index, "(private)", "(left out)")


def is_personal(heading: object) -> bool:
    """Say whether a heading names personal data that no table needs."""
    return bool(_PERSONAL.fullmatch(plain(heading)))


def _holds_addresses(read: SheetRead, heading: str) -> bool:
    """Say whether most cells of a column hold e-mail addresses."""
    cells = [value for index in read.account.data if isinstance(value := read.cell(index, heading), str)]
    return len([value for value in cells if _ADDRESS.fullmatch(value.strip())]) * 2 > len(cells) > 0
