"""Choirs tested many times around the date on which each of them began: how many tests, and what changed then."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask

COLUMNS = ("choir", "start", "before", "after", "students")
WHOEVER_CAME = "Each result is the average of those singers who were tested that day."
CHANGES = (("level", "jump at the start"), ("slope", "change of pace at the start, for each week"))


def cases(scores: pd.DataFrame, starts: Mapping[str, date], *, measure: str) -> pd.DataFrame:
    """Count the test dates of each choir before and after its starting date.

    Counted: dates on which at least one student of the choir has a mark of the measure; a date on the starting date
    counts as after it.

    Parameters
    ----------
    scores : DataFrame
        The scores table.
    starts : mapping of str to date
        Choir -> the date on which it began.
    measure : str
        What was marked.

    Returns
    -------
    DataFrame
        Columns choir, start, before, after, students (how many have such a mark); one row for each choir in `starts`,
        by name.
    """
    dated = _dated(scores, measure)
    rows = []
    for choir in sorted(starts):
        start, own = pd.Timestamp(starts[choir]), dated[dated["choir"] == choir]
        when = own["date"].drop_duplicates()
        rows.append({
            "choir": choir, "start": start, "before": int((when < start).sum()), "after": int((when >= start).sum()),
            "students": int(own["student"].nunique()),
        })  # fmt: skip
    return pd.DataFrame(rows, columns=list(COLUMNS))


def changes(scores: pd.DataFrame, series: pd.DataFrame, *, measure: str, level: float = 0.95) -> Answers:
    """Estimate for each choir how far its results jumped on its starting date, and how its pace changed.

    Counted: for each test date of a choir, the average of its students with a mark that day.

    Parameters
    ----------
    scores : DataFrame
        The scores table.
    series : DataFrame
        From `cases`: choirs and the dates on which they began.
    measure : str
        What was marked.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        Two for each choir, in the given order; a choir with fewer than 3 test dates before or after is left out. Points
        where all marks are out of one maximum, else shares; the pace counts weeks.
    """
    # imported here: the check command counts cases and must not wait for scipy
    from kit.stats.segmented import segmented_change  # noqa: PLC0415

    marked = _dated(scores, measure)
    points = marked["points"].notna().all() and marked["max_points"].nunique() < 2
    unit = "points" if points else "share"
    found: list[Estimate | LeftOut] = []
    for choir, start in zip(series["choir"], series["start"], strict=True):
        results = marked[marked["choir"] == choir].groupby("date")[unit].mean().dropna()
        weeks = (results.index - start).days / 7
        for change, words in CHANGES:
            one = ask(
                segmented_change, results.to_numpy(), weeks.to_numpy(), start=0.0, change=change,
                about=f"{measure}, {choir}, {words}", unit=unit, level=level,
            )  # fmt: skip
            found.append(one if isinstance(one, LeftOut) else replace(one, notes=(*one.notes, WHOEVER_CAME)))
    return Answers(found)


def _dated(scores: pd.DataFrame, measure: str) -> pd.DataFrame:
    """Keep marks of the measure that are there and have a date."""
    there = scores["points"].notna() | scores["share"].notna()
    return scores[(scores["measure"] == measure) & there & scores["date"].notna()]
