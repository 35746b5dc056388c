"""Drill beside growth: minutes between choirs, and apart from that days heard alone within choirs."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd

from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.practice import meetings
from kit.questions.practice.days import dated
from kit.stats.association import correlation
from kit.stats.learning.within import slopes_within, within_slope

FEWEST_CHOIRS = 4
"""Choirs below which minutes and growth are not put beside each other (our own rule)."""
FEWEST_SINGERS = 5
"""Singers below which a choir has no line of its own (our own rule)."""
STEP = 5
"""Days heard alone that slopes within choirs are told for."""
WITHIN = "growth by days heard alone, within choirs"
NOT_ALONE = "No choir's log tells how often its singers were heard alone, right tries and wrong ones."
FEW = "Minutes and growth of at least four choirs are needed to put them side by side."


def choirs(pairs: pd.DataFrame, drills: pd.DataFrame, *, smallest: int = 1) -> pd.DataFrame:
    """Put each choir's minutes of drill beside the mean gain of its students.

    Counted: choirs with minutes on record; students tested both times. Choirs with fewer students than `smallest`
    are left out; with fewer than four choirs there is nothing to compare, and no row.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    drills : DataFrame
        The log, without minutes that cannot be.
    smallest : int, optional
        Students that a choir needs to be shown.

    Returns
    -------
    DataFrame
        Columns choir, minutes, start, gain (shares), students, in the order of their names.
    """
    minutes = meetings(drills).groupby("choir")["minutes"].sum(min_count=1).dropna()
    both = pairs.assign(gain=pairs["post_share"] - pairs["pre_share"]).dropna(subset=["gain"])
    each = both.groupby("choir").agg(start=("pre_share", "mean"), gain=("gain", "mean"), students=("gain", "size"))
    found = each.join(minutes, how="inner").reset_index()
    found = found[found["students"] >= smallest].reset_index(drop=True)
    return found if len(found) >= FEWEST_CHOIRS else found.iloc[:0]


def between(found: pd.DataFrame, *, level: float = 0.95) -> Answers:
    """Estimate how minutes go with growth, and with the start, from choir to choir.

    Counted: choirs, each once.

    Parameters
    ----------
    found : DataFrame
        From `choirs`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        Correlations about ``"minutes and growth, choirs"`` and ``"minutes and first scores, choirs"``.
    """
    if len(found) < FEWEST_CHOIRS:
        return Answers([LeftOut("minutes and growth, choirs", FEW)])
    asked = [
        ask(correlation, found["minutes"], found[column], about=f"minutes and {words}, choirs", level=level)
        for column, words in (("gain", "growth"), ("start", "first scores"))
    ]
    return Answers([one if isinstance(one, LeftOut) else replace(one, counted="choirs") for one in asked])


def heard(pairs: pd.DataFrame, drills: pd.DataFrame, *, smallest: int = 1) -> pd.DataFrame:
    """Put the days on which each singer was heard alone beside the gain.

    Counted: students tested both times, in choirs whose log tells of single singers, right tries and wrong ones; who
    was never heard alone has no day. Choirs with fewer such students than `smallest`, or than `FEWEST_SINGERS`, are
    left out.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    drills : DataFrame
        The whole log: a day heard alone is one, whether or not its tries can be counted as shares.
    smallest : int, optional
        Students that a choir needs to be shown.

    Returns
    -------
    DataFrame
        Columns choir, student, days, gain (share).
    """
    alone = dated(drills[(drills["unit"] == "one").to_numpy(bool) & ~drills["errors_only"].to_numpy(bool)])
    alone = alone[["choir", "student", "date"]].astype({"choir": str, "student": str})
    alone = alone[(alone["student"] != "") & (alone["choir"] != "")].drop_duplicates()
    days = alone.groupby("student").size()
    found = pairs.assign(gain=pairs["post_share"] - pairs["pre_share"]).dropna(subset=["gain"])
    found = found[found["choir"].isin(set(alone["choir"]))]
    found = found.assign(days=found["student"].astype(str).map(days).fillna(0.0))
    many = found.groupby("choir")["student"].transform("size")
    return found.loc[many >= max(smallest, FEWEST_SINGERS), ["choir", "student", "days", "gain"]].reset_index(drop=True)


def within(found: pd.DataFrame, *, level: float = 0.95) -> Answers:
    """Estimate how growth goes with days heard alone between singers of one choir.

    Counted: singers of `found`; what choirs differ in plays no part.

    Parameters
    ----------
    found : DataFrame
        From `heard`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        A slope about `WITHIN`: shares for each `STEP` days.
    """
    if found.empty:
        return Answers([LeftOut(WITHIN, NOT_ALONE)])
    columns = found["gain"].to_numpy(float), found["days"].to_numpy(float) / STEP, found["choir"].to_numpy(object)
    return Answers([ask(within_slope, *columns[:2], columns[2].astype(str), about=WITHIN, unit="share", level=level)])


def lines(found: pd.DataFrame) -> pd.DataFrame:
    """Lay out the line of each choir, for the picture.

    Counted: choirs of `found` whose singers were heard on different numbers of days.

    Returns
    -------
    DataFrame
        Columns choir, slope (share for each `STEP` days), spread (SD of the days), students.
    """
    made = slopes_within(found["gain"], found["days"], found["choir"].astype(str))
    return pd.DataFrame(
        {"choir": made.labels, "slope": made.slope * STEP, "spread": made.spread, "students": made.students}
    )
