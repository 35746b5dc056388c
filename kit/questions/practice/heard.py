"""Whom the class's yes hides: whole-class ratings beside single tries, and who has not been heard lately."""

from __future__ import annotations

import numpy as np
import pandas as pd

from kit.questions.practice.days import NEVER, choir_days, day_numbers, different

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
        From `kit.questions.practice.notes.tries`.
    smallest : int, optional
        Singers that a row needs to be shown.

    Returns
    -------
    DataFrame
        Columns rating, days, tries, singers, share; in the order of the rating.
    """
    found, rating = choir_days(drills), drills["class_rating"].to_numpy(float)
    rated = ~np.isnan(rating)
    number = found.number(rated)
    days = found.days.assign(rating=found.total(rating, rated) / np.maximum(number, 1))[number > 0]
    heard = choir_days(tried)
    both = heard.days.reset_index(names="at").merge(days, on=["choir", "date"])
    who, marks = tried["student"].cat.codes.to_numpy(np.int64), tried["right"].to_numpy(bool)
    values, which = np.unique(both["rating"].to_numpy().round(), return_inverse=True)
    of = np.full(len(heard.days) + 1, -1)
    of[both["at"].to_numpy()] = which
    here = of[heard.at]
    shown = np.flatnonzero(here >= 0)
    tries, right = (np.bincount(here[shown], weights=one, minlength=values.size) for one in (None, marks[shown]))
    pairs = different(here[shown] * (who.max(initial=0) + 1) + who[shown], values.size * (int(who.max(initial=0)) + 1))
    singers = np.bincount(pairs // (who.max(initial=0) + 1), minlength=values.size)
    columns = {"rating": values, "days": np.bincount(which), "tries": tries, "singers": singers, "share": right / tries}
    table = pd.DataFrame(columns)
    return table[table["singers"] >= smallest].reset_index(drop=True)


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
        Columns student, choir, last (NaT: never), days (NaN: never), never heard first; `attrs["heard"]` tells
        whether the log has any try of a single singer.
    """
    alone = (drills["unit"] == "one").to_numpy(bool) & drills["date"].notna().to_numpy()
    alone &= ~drills["errors_only"].to_numpy(bool)
    if not alone.any():
        nobody = pd.DataFrame(columns=["student", "choir", "last", "days"])
        nobody.attrs["heard"] = False
        return nobody
    heard, ends = _last(drills, "student", alone), _last(drills, "choir", drills["date"].notna().to_numpy())
    logged = _last(drills, "choir", alone).index
    found = students.loc[students["choir"].isin(logged), ["student", "choir"]].drop_duplicates("student")
    found = found.assign(last=pd.to_datetime(found["student"].map(heard)))
    found = found.assign(days=(pd.to_datetime(found["choir"].map(ends)) - found["last"]).dt.days)
    found = found[found["last"].isna() | (found["days"] > LONG_AGO)]
    found = found.sort_values(["last", "student"], na_position="first", ignore_index=True)
    found.attrs["heard"] = True
    return found


def _last(drills: pd.DataFrame, name: str, lines: np.ndarray) -> pd.Series:
    """Give the last day of some dated lines for each different text of a column."""
    texts, day = drills[name].astype("category").cat, day_numbers(drills["date"])
    last = np.full(len(texts.categories), NEVER)
    np.maximum.at(last, texts.codes.to_numpy()[lines], day[lines])
    known = last > NEVER
    return pd.Series(pd.to_datetime(last[known], unit="D"), index=texts.categories[known].astype(str))
