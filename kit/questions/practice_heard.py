"""Whom the class's yes hides: whole-class ratings beside single tries, and who has not been heard lately."""

from __future__ import annotations

import pandas as pd

LONG_AGO = 14
"""Days without a try of one's own after which a singer is listed (our own rule)."""


def class_and_singers(drills: pd.DataFrame, tried: pd.DataFrame, *, smallest: int = 1) -> pd.DataFrame:
    """Put the rating of the whole class beside single singers' first tries of the same choir and day.

    Counted: days with a rating of the class and first tries of single singers.

    Parameters
    ----------
    drills : DataFrame
        The drill log.
    tried : DataFrame
        From `kit.questions.practice_notes.tries`.
    smallest : int, optional
        Singers that a row needs to be shown.

    Returns
    -------
    DataFrame
        Columns rating, days, tries, singers, share; in the order of the rating.
    """
    rated = drills.loc[drills["class_rating"].notna() & drills["date"].notna(), ["choir", "date", "class_rating"]]
    rated = rated.astype({"choir": str}).groupby(["choir", "date"], as_index=False)["class_rating"].mean()
    both = tried.merge(rated, on=["choir", "date"])
    both = both.assign(rating=both["class_rating"].round(), day=both["choir"] + both["date"].astype(str))
    found = both.groupby("rating").agg(
        days=("day", "nunique"), tries=("right", "size"), singers=("student", "nunique"), share=("right", "mean")
    )
    return found[found["singers"] >= smallest].reset_index()


def not_heard(drills: pd.DataFrame, students: pd.DataFrame) -> pd.DataFrame:
    """List singers who have had no try of their own for two weeks, longest ago first: for their teacher only.

    Counted: singers of choirs with a log of single tries; any attempt counts as heard. Days are counted to the last
    day of the choir's log.

    Parameters
    ----------
    drills, students : DataFrame
        The tables.

    Returns
    -------
    DataFrame
        Columns student, choir, last (NaT: never), days (NaN: never), never heard first.
    """
    one = drills.loc[(drills["unit"] == "one") & drills["date"].notna() & ~drills["errors_only"]]
    if one.empty:
        return pd.DataFrame(columns=["student", "choir", "last", "days"])
    ends = drills[drills["choir"].isin(one["choir"])].groupby("choir", observed=True)["date"].max()
    ends.index = ends.index.astype(str)
    last = one.groupby("student", observed=True)["date"].max()
    last.index = last.index.astype(str)
    found = students.loc[students["choir"].isin(ends.index), ["student", "choir"]].drop_duplicates("student")
    found = found.assign(last=pd.to_datetime(found["student"].map(last)))
    found = found.assign(days=(pd.to_datetime(found["choir"].map(ends)) - found["last"]).dt.days)
    found = found[found["last"].isna() | (found["days"] > LONG_AGO)]
    return found.sort_values(["last", "student"], na_position="first", ignore_index=True)
