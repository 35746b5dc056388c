"""The page for the music stand: what to sing in the next two weeks, with room to write down who was heard."""

from __future__ import annotations

import html
from collections.abc import Collection
from dataclasses import replace

import pandas as pd

from kit.report import layout
from kit.report.layout import Shown
from kit.report.phrases import unbroken
from kit.report.words.practice import List

WEEKS = 2
TO_WRITE = "\u00a0" * 20
"""A cell that is left open for the pencil, wide enough for a few names."""


def stand_table(found: List, meetings: int) -> pd.DataFrame:
    """Lay out the meetings of two weeks: pattern of the day, what to listen for, whom was heard.

    Parameters
    ----------
    found : List
        From ``kit.questions.teach_next``.
    meetings : int
        Meetings in a week.

    Returns
    -------
    DataFrame
        A row for each meeting; none without a list.
    """
    total = meetings * WEEKS
    rows = []
    for at in range(total if found.rows else 0):
        place = at * len(found.rows) // total
        row = found.rows[place]
        rows.append({
            "Meeting": unbroken(f"week {at // meetings + 1}, {at % meetings + 1}"), "Sing": row.said,
            "Then again": found.rows[place - 1].said if place else "\u2013",
            "Listen for": row.instead.partition(" (")[0] or "\u2013", "Heard alone": TO_WRITE,
        })  # fmt: skip
    return pd.DataFrame(rows)


def stand_notes() -> list[str]:
    """Say how the page is meant to be used."""
    return [
        "Sing: the pattern of the day, by ear before notation. Then again: the one before it. Listen for: what was "
        "sung most often instead. Heard alone: three to six singers, others each day; first try right or wrong."
    ]


def stand_title(each: Collection[str], choir: str) -> str:
    """Name the table of the page: what each of several choirs comes back to, or the meetings of one choir."""
    if each:
        return "What each choir comes back to"
    return f"Meeting by meeting, {choir}" if choir else "Meeting by meeting"


def page_end() -> Shown:
    """End the page for the music stand: in print, what follows begins on a new page."""
    words = "This page is for the music stand. What follows is for the desk."
    return replace(layout.text([words], kind="note"), body=f'<p class="note page-end">{html.escape(words)}</p>')
