"""Choirs tested many times around the date on which each of them began: how many tests before, how many after."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

import pandas as pd

COLUMNS = ("choir", "start", "before", "after")


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
        Columns choir, start, before, after; one row for each choir in `starts`, by name.
    """
    marked = scores[(scores["measure"] == measure) & (scores["points"].notna() | scores["share"].notna())]
    dated = marked.loc[marked["date"].notna(), ["choir", "date"]].drop_duplicates()
    rows = []
    for choir in sorted(starts):
        start = pd.Timestamp(starts[choir])
        when = dated.loc[dated["choir"] == choir, "date"]
        rows.append({
            "choir": choir, "start": start, "before": int((when < start).sum()), "after": int((when >= start).sum()),
        })  # fmt: skip
    return pd.DataFrame(rows, columns=list(COLUMNS))
