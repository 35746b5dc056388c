"""Minutes of drill beside growth: between choirs, and apart from that within choirs."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd

from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.practice import meetings
from kit.stats.association import correlation

FEWEST_CHOIRS = 4
"""Choirs below which minutes and growth are not put beside each other (our own rule)."""
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
