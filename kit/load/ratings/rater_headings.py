"""Columns of marks whose headings differ in the initials of a rater only."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from itertools import combinations

from kit.load.columns import field_of, occasion_rank
from kit.load.formats.cells import Value
from kit.load.layout import Header

_INITIALS = re.compile(r"[A-Z]{2,3}")
_NO_RATER = {"avg", "sum", "max", "min", "sd", "sem", "pct", "gpa", "iep", "ell"}
_ALIKE = 0.15
"""Mean difference of two raters' marks, as a share of the highest mark, up to which they mark alike (our rule)."""
_ENOUGH_ROWS = 3


def raters_in_headings(header: Header, rows: list[list[Value]], headings: Iterable[str]) -> dict[str, str]:
    """Find columns that differ in the initials of their heading only and hold much the same marks.

    Parameters
    ----------
    header : Header
        The header of the sheet.
    rows : list of list
        The rows below it.
    headings : iterable of str
        Headings that mean nothing else.

    Returns
    -------
    dict of str to str
        Heading -> initials of the rater.
    """
    alike: dict[str, dict[str, str]] = defaultdict(dict)
    for heading in headings:
        initials = [word for word in re.split(r"[\s.\-/:,_()]+", heading) if _could_be_rater(word)]
        if len(initials) == 1:
            alike[without_initials(heading, initials[0])][heading] = initials[0]
    found = {}
    for columns in alike.values():
        if len(set(columns.values())) == len(columns) > 1 and _mark_alike(header, rows, list(columns)):
            found |= columns
    return found


def without_initials(heading: str, initials: str) -> str:
    """Write a heading without the initials in it."""
    return " ".join(re.sub(rf"\(?\b{initials}\b\)?", " ", heading).split()).strip(" -:/.,_")


def _could_be_rater(word: str) -> bool:
    """Say whether a word of a heading could be somebody's initials."""
    return bool(_INITIALS.fullmatch(word)) and not (
        occasion_rank(word) or field_of(word) or word.casefold() in _NO_RATER
    )


def _mark_alike(header: Header, rows: list[list[Value]], headings: list[str]) -> bool:
    """Say whether two of the columns hold marks of the same tests that differ little."""
    columns = [[_number(row, header.column(heading)) for row in rows] for heading in headings]
    if not all(any(number is not None for number in column) for column in columns):
        return False
    for one, another in combinations(columns, 2):
        both = [(a, b) for a, b in zip(one, another, strict=True) if a is not None and b is not None]
        highest = max((max(pair) for pair in both), default=0)
        if len(both) >= _ENOUGH_ROWS and sum(abs(a - b) for a, b in both) <= _ALIKE * highest * len(both):
            return True
    return False


def _number(row: list[Value], at: int | None) -> float | None:
    """Read a plain number of a row."""
    value = row[at] if at is not None and at < len(row) else None
    try:
        return float(value) if isinstance(value, int | float | str) and not isinstance(value, bool) else None
    except ValueError:
        return None
