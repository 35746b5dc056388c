"""What real drill logs would have wrong, put into the five teachers' logs."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from mess import Mess, Page

ALIAS = ("Hobnail Concert", "Hob. Concert")
ODD_MINUTES = ("{} min", "{}'", "0:0{}", "~{}")
"""Three that are read and one that is no certain number."""


def mess_logs(pages: list[Page], mess: Mess) -> None:
    """Put the faults in; each is listed.

    Parameters
    ----------
    pages : list of Page
        The logs.
    mess : Mess
        Where each fault is listed.
    """
    parts: dict[str, Callable[[Page, Mess], None]] = {
        "hobnail_lane_log.csv": _hobnail, "wicket_lane_log.csv": _wicket, "thimble_hill_log.xlsx": _thimble,
        "ninepin_row_log.xlsx": _ninepin, "corduroy_road_log.csv": _corduroy,
    }  # fmt: skip
    for page in pages:
        if page.file in parts:
            parts[page.file](page, mess)


def day_first(day: str) -> str:
    """Write 2025-09-22 as 22/9/25."""
    year, month, number = day.split("-")
    return f"{int(number)}/{int(month)}/{year[2:]}"


def _tries(page: Page) -> list[list]:
    """Give the lines about one student."""
    return [row for row in page.data if row[page.at("Student")]]


def _sessions(page: Page) -> list[list]:
    """Give the lines about the class."""
    return [row for row in page.data if not row[page.at("Student")]]


def _hobnail(page: Page, mess: Mess) -> None:
    """Octave marks of every kind, another name of a choir, a low mark that was not quoted."""
    high = [row for row in _tries(page) if "do'" in row[page.at("Sung")]]
    for row, mark in zip(high, "\u2019\u2032\u00b9", strict=False):
        mess.cell("F99", page, row, "Sung", row[page.at("Sung")].replace("'", mark))
    for row in [row for row in _sessions(page) if row[page.at("Choir")] == ALIAS[0]][::9]:
        mess.cell("F93", page, row, "Choir", ALIAS[1])
    low = next(row for row in _tries(page) if row[page.at("Asked")] == "do so, do")
    mess.note("F07", page, low, outcome="row aside", why="row_shape")


def _wicket(page: Page, mess: Mess) -> None:
    """Lines in numbers among lines in syllables."""
    numbers = dict(zip(("doh", "ray", "me", "fah", "soh", "lah", "te"), "1234567", strict=True))
    plain = [row for row in _tries(page) if not set(row[page.at("Sung")]) & set(",'")]
    for row in plain[:3]:
        sung = " ".join(numbers[word] for word in row[page.at("Sung")].split())
        mess.cell("F98", page, row, "Sung", sung, outcome="cell aside", why="syllable_minority")


def _thimble(page: Page, mess: Mess) -> None:
    """Minutes in every notation."""
    for row, notation in zip(_sessions(page)[::20], ODD_MINUTES * 2, strict=False):
        aside = {"outcome": "cell aside", "why": "minutes_unclear"} if notation.startswith("~") else {}
        mess.cell("F94", page, row, "Minutes", notation.format(row[page.at("Minutes")]), **aside)


def _ninepin(page: Page, mess: Mess) -> None:
    """Ticks and crosses; patterns of numbers that became dates."""
    for heading in ("Pitch ok", "Syllable ok"):
        mess.cells("F101", page, _tries(page), heading, lambda right: "✔" if right else "x")
    for row in [row for row in _tries(page) if row[page.at("Asked")] == "1-3-5"][:2]:
        mess.cell("F96", page, row, "Asked", datetime(2005, 1, 3), outcome="cell aside", why="pattern_lost")


def _corduroy(page: Page, mess: Mess) -> None:
    """Days before months; only mistakes were written down."""
    mess.note("F102", page, page.headings, outcome="read")
    mess.cells("F86", page, page.data, "Date", day_first)
