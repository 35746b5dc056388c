"""Which degrees, intervals, ways of reaching a note and patterns are weak: shares of first tries, partly pooled."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, get_args

import numpy as np
import pandas as pd

from kit.errors import TooFewError, UnknownChoiceError
from kit.questions.practice_notes import notes
from kit.questions.practice_plan import by_name, height, spoken
from kit.stats.pooled_accuracy import Pooled, pooled_accuracy

By = Literal["degree", "approach", "interval", "pattern"]
_COLUMN = {"degree": "note", "approach": "reached", "interval": "interval", "pattern": "pattern"}
FEWEST_TRIES = 20
"""First tries below which nothing is estimated (our own rule)."""
FEWEST_SINGERS = 5
"""Singers below which nothing is estimated: it would tell of single students (our own rule)."""


@dataclass(frozen=True, slots=True)
class Weak:
    """Shares of first tries right, one for each degree, interval, way or pattern.

    Attributes
    ----------
    by : str
        What the rows are.
    pooled : Pooled or None
        The shares; None where there is too little.
    labels : tuple of str
        How each is written.
    why : str
        Why there is nothing; else empty.
    """

    by: By
    pooled: Pooled | None
    labels: tuple[str, ...] = ()
    why: str = ""


def weak(tried: pd.DataFrame, *, by: str, about: str = "drill log", level: float = 0.95) -> Weak:
    """Estimate how large a share of first tries is right.

    Counted: first tries of single students; by pattern whole tries, else single notes.

    Parameters
    ----------
    tried : DataFrame
        From `kit.questions.practice_notes.tries`.
    by : str
        ``"degree"``, ``"approach"``, ``"interval"`` or ``"pattern"``.
    about : str, optional
        Whose tries these are.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Weak

    Raises
    ------
    UnknownChoiceError
        If `by` is none of these.
    """
    if by not in get_args(By):
        raise UnknownChoiceError("weak", "by", by, get_args(By))
    if by != "pattern":
        return shares(notes(tried), by=by, about=about, level=level)
    found = shares(tried, by=by, about=about, level=level)
    if found.pooled is None:
        return found
    said = tried.drop_duplicates("pattern").set_index("pattern")["target"].map(by_name)
    return replace(found, labels=tuple(f"{said[item]} ({item})" for item in found.pooled.items))


def shares(rows: pd.DataFrame, *, by: str, about: str, level: float = 0.95) -> Weak:
    """Estimate shares of rows that are right, one for each value of a column; see `weak`."""
    rows = rows[rows[_COLUMN[by]].astype(str) != ""]
    singers = rows["student"].nunique()
    if len(rows) < FEWEST_TRIES or singers < FEWEST_SINGERS:
        return Weak(by, None, why=f"Too few first tries are logged: {len(rows)} of {_singers(singers)}; at least "
                                  f"{FEWEST_TRIES} of {FEWEST_SINGERS} singers are needed.")  # fmt: skip
    codes, items = pd.factorize(rows[_COLUMN[by]].astype(str), sort=True)
    try:
        pooled = pooled_accuracy(
            rows["right"].to_numpy(dtype=float, na_value=np.nan), pd.factorize(rows["student"])[0], codes,
            about=about, level=level,
        )  # fmt: skip
    except TooFewError as error:
        return Weak(by, None, why=str(error))
    return Weak(by, _named(pooled, items, by, about), tuple(_label(item, by) for item in items))


def _singers(number: int) -> str:
    """Write a number of singers."""
    return f"{number} singer{'' if number == 1 else 's'}"


def _label(item: str, by: str) -> str:
    """Write a degree by its name."""
    return spoken(item) if by == "degree" else item


def _named(pooled: Pooled, items: np.ndarray, by: str, about: str) -> Pooled:
    """Name the estimates after their items, which were handed over as numbers."""
    named = tuple(
        replace(estimate, about=f"{about}, {by} {_label(str(item), by)}")
        for estimate, item in zip(pooled.estimates, items, strict=True)
    )
    overall = replace(pooled.overall, about=f"{about}, each {by} once")
    return replace(pooled, items=tuple(map(str, items)), estimates=named, overall=overall)


def by_week(tried: pd.DataFrame, *, smallest: int = 1) -> pd.DataFrame:
    """Count first tries of each degree week by week, for the picture.

    Counted: single notes of first tries. Cells of fewer singers than `smallest` hold no share.

    Parameters
    ----------
    tried : DataFrame
        From `kit.questions.practice_notes.tries`.
    smallest : int, optional
        Singers that a cell needs to be shown.

    Returns
    -------
    DataFrame
        Columns note, label, week (its Monday), tries, singers, share (NaN where hidden); degrees in scale order.
    """
    sung = notes(tried[tried["date"].notna()]).reset_index(drop=True)
    week = (sung["date"] - pd.to_timedelta(sung["date"].dt.day_of_week, unit="D")).dt.normalize()
    cells = sung.assign(week=week).groupby(["note", "week"], observed=True)
    found = cells.agg(tries=("right", "size"), singers=("student", "nunique"), share=("right", "mean")).reset_index()
    found.loc[found["singers"] < smallest, "share"] = np.nan
    found = found.assign(label=[spoken(note) for note in found["note"]], at=[height(note) for note in found["note"]])
    return found.sort_values(["at", "week"], ignore_index=True).drop(columns="at")
