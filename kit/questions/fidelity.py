"""Was the program carried out as planned: meetings planned and logged, week by week, all choirs together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import pandas as pd

from kit.questions.log_honesty import Doubt


def program_choirs(compared: pd.DataFrame, choirs: Sequence[str]) -> list[str]:
    """List the choirs that were to be taught by the program.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.
    choirs : sequence of str
        All choirs of the study.

    Returns
    -------
    list of str
        Those on the program's side of the comparison; all of them where nothing is compared.
    """
    if compared.empty:
        return list(choirs)
    return sorted(set(compared.loc[compared["program"].to_numpy(bool), "choir"]))


def about_meetings(doubts: Iterable[Doubt]) -> list[Doubt]:
    """Keep what is odd in a log and changes how many meetings or minutes are counted.

    Parameters
    ----------
    doubts : iterable of Doubt
        From `kit.questions.log_honesty.doubts`.

    Returns
    -------
    list of Doubt
    """
    return [doubt for doubt in doubts if doubt.follows in ("no_minutes", "no_meetings", "once")]


def by_week(found: pd.DataFrame) -> pd.DataFrame:
    """Add up the meetings of all choirs week by week.

    Counted: every choir and week of `found`; choirs without any logged meeting are not among them.

    Parameters
    ----------
    found : DataFrame
        From `kit.questions.practice.weeks`.

    Returns
    -------
    DataFrame
        Columns week (its Monday), choirs, possible, logged, timed (with minutes), staged (those of choirs whose log
        tells stages), enough (with the planned minutes before notation), in the order of the weeks.
    """
    counts = ["possible", "logged", "timed", "staged", "enough"]
    weeks = found.groupby("week", sort=True).agg(
        choirs=("choir", "nunique"), **{name: (name, "sum") for name in counts}
    )
    return weeks.astype(dict.fromkeys(["choirs", *counts], int)).reset_index()


def silent(choirs: Sequence[str], found: pd.DataFrame) -> list[str]:
    """List choirs of the program without any logged meeting.

    Parameters
    ----------
    choirs : sequence of str
        Choirs that were to be taught by the program.
    found : DataFrame
        From `kit.questions.practice.weeks`.

    Returns
    -------
    list of str
        Those that `found` does not know, by name.
    """
    return sorted(set(choirs) - set(found["choir"]))
