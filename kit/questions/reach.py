"""Whom a program reached: schools, choirs, students, meetings and hours, all of them counted and none estimated."""

from __future__ import annotations

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import NO_LOG, Answers, LeftOut
from kit.questions.scale import tested_both
from kit.stats.counts import count

NO_MINUTES = "The drill log has no minutes."


def reach(pairs: pd.DataFrame, students: pd.DataFrame) -> list[Estimate]:
    """Count the schools, choirs and students that the study is about, and how many were tested both times.

    Counted: every row of `pairs`; schools and choirs that are named.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    students : DataFrame
        The students table.

    Returns
    -------
    list of Estimate
        Counts about: schools, choirs, choirs without both tests (where there are any), students, tested both times.
    """
    schools = len(set(students["school"]) - {""})
    named = set(pairs["choir"]) - {""}
    choirs, gone = len(named), len(named - set(pairs.loc[tested_both(pairs), "choir"]))
    return [
        *([count(schools, about="schools", unit="schools")] if schools else []),
        *([count(choirs, about="choirs", unit="choirs")] if choirs else []),
        *([count(gone, about="choirs without both tests", unit="choirs", of=choirs)] if gone else []),
        count(len(pairs), about="students"),
        count(int(tested_both(pairs).sum()), about="tested both times", of=len(pairs)),
    ]


def by_approach(pairs: pd.DataFrame) -> list[Estimate]:
    """Count the students of each approach who were tested both times; whom it lost is another question's.

    Counted: students tested both times whose approach is known.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    list of Estimate
        Counts about ``"ear-first, tested both times"``, approaches by name.
    """
    twice = pairs[tested_both(pairs) & (pairs["approach"] != "")]
    return [
        count(len(rows), about=f"{approach}, tested both times")
        for approach, rows in twice.groupby("approach", sort=True)
    ]


def meetings(drills: pd.DataFrame) -> Answers:
    """Count meetings with ear training on record, and the hours they took.

    Counted: one meeting for each choir and day of the log; minutes of lines about the whole class.

    Parameters
    ----------
    drills : DataFrame
        The drill log.

    Returns
    -------
    Answers
        Counts about ``"meetings logged"`` and, in whole hours begun, ``"hours logged"``; left out where there is no
        log or it has no minutes.
    """
    if drills.empty:
        return Answers([LeftOut("meetings logged", NO_LOG)])
    met = len(drills[["choir", "date"]].dropna().drop_duplicates())
    minutes = drills.loc[drills["student"].astype("str") == "", "minutes"].sum()
    return Answers([
        count(met, about="meetings logged", unit="meetings"),
        count(round(minutes / 60), about="hours logged", unit="hours")
        if minutes else LeftOut("hours logged", NO_MINUTES),
    ])  # fmt: skip
