"""Days without school, as the study file lists them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

LONGEST_BREAK = 366
"""Days that one range of days without school may span."""


def days_without_school(listed: Iterable[str]) -> frozenset[date]:
    """Write out days and ranges of days.

    Parameters
    ----------
    listed : iterable of str
        ``"2025-11-27"`` or ``"2025-12-22..2026-01-05"``.

    Returns
    -------
    frozenset of date
        Every day.

    Raises
    ------
    ValueError
        For a text that is neither, or a range that ends before it begins or spans more than a year.
    """
    days: set[date] = set()
    for text in listed:
        first, _, last = text.partition("..")
        begin, end = date.fromisoformat(first.strip()), date.fromisoformat((last or first).strip())
        if not timedelta(0) <= end - begin <= timedelta(LONGEST_BREAK):
            raise ValueError(f"days_without_school: {text!r} is no range of at most {LONGEST_BREAK} days.")
        days |= {begin + timedelta(at) for at in range((end - begin).days + 1)}
    return frozenset(days)
