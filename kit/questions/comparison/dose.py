"""How much of everything each approach had: tests, meetings and minutes of drill, as far as they are on record."""

from __future__ import annotations

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import NO_LOG, Answers, LeftOut
from kit.questions.compared import NO_COMPARISON, names_of
from kit.stats.counts import count

NOT_LOGGED = "No line of the drill log is about a choir of this approach."
_SITTING = ["student", "occasion", "attempt"]


def dose(compared: pd.DataFrame, scores: pd.DataFrame, drills: pd.DataFrame | None = None) -> Answers:
    """Count tests, meetings and minutes of each approach.

    Counted: everyone of the two approaches. A test is one sitting, however many measures were marked and however many
    raters marked it; a meeting is one day on which a choir's log has a line; minutes are those of lines about the
    whole class.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.
    scores : DataFrame
        The scores table, every occasion.
    drills : DataFrame, optional
        The drill log.

    Returns
    -------
    Answers
        For each approach counts about ``"<approach>, students"``, ``"<approach>, tests taken"`` and, with a log,
        ``"<approach>, choirs with a log"``, ``"<approach>, meetings logged"``, ``"<approach>, minutes logged"``.
    """
    if compared.empty:
        return Answers([LeftOut("tests and minutes of each approach", NO_COMPARISON)])
    taken = scores[scores["points"].notna() | scores["share"].notna()].drop_duplicates(_SITTING)
    answers: list[Estimate | LeftOut] = []
    for name in names_of(compared):
        group = compared[compared["approach"] == name]
        tests = int(taken["student"].isin(group["student"]).sum())
        answers += [
            count(len(group), about=f"{name}, students"),
            count(tests, about=f"{name}, tests taken", unit="tests"),
            *_logged(name, set(group["choir"]) - {""}, drills),
        ]
    return Answers(answers)


def _logged(name: str, choirs: set[str], drills: pd.DataFrame | None) -> list[Estimate | LeftOut]:
    """Count meetings and minutes in the logs of an approach's choirs."""
    if drills is None or drills.empty:
        return [LeftOut(f"{name}, meetings logged", NO_LOG)]
    log = drills[drills["choir"].isin(choirs)]
    if log.empty:
        return [LeftOut(f"{name}, meetings logged", NOT_LOGGED)]
    minutes = float(log.loc[log["student"].astype("str") == "", "minutes"].sum())
    return [
        count(log["choir"].nunique(), about=f"{name}, choirs with a log", unit="choirs", of=len(choirs)),
        count(
            len(log[["choir", "date"]].dropna().drop_duplicates()), about=f"{name}, meetings logged", unit="meetings"
        ),
        count(round(minutes), about=f"{name}, minutes logged", unit="minutes"),
    ]
