"""Does it carry over: growth on notes like those drilled beside growth on other notes of the test."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.practice.notes import notes_of_test
from kit.stats.clusters.choirs import cluster_mean_difference
from kit.stats.means import mean_gain

DRILLED, OTHER = "notes of drilled kinds", "notes of kinds not drilled"
MORE = "notes of drilled kinds more than others, same students"
NOT_TAGGED = "Notes are not marked as drilled or not in two tests."
NO_APPROACHES = "No two approaches with notes of both kinds are there to set side by side."


def gains(items: pd.DataFrame, students: pd.DataFrame, *, occasions: tuple[str, str], rater: str = "") -> pd.DataFrame:
    """Give each student's gain on notes of drilled kinds and on other notes.

    Counted: students with marked notes of both kinds in both tests.

    Parameters
    ----------
    items, students : DataFrame
        The tables.
    occasions : tuple of str
        The two tests.
    rater : str, optional
        Whose marks count.

    Returns
    -------
    DataFrame
        Columns choir, student, pre_drilled, pre_other, post_drilled, post_other (shares right).
    """
    tests = {
        when: notes_of_test(items, students, occasion=occasion, rater=rater)
        for when, occasion in zip(("pre", "post"), occasions, strict=True)
    }
    shares = {
        f"{when}_{kind}": test[chosen].groupby(["choir", "student"])["right"].mean()
        for when, test in tests.items()
        for kind, chosen in (("drilled", test["drilled"].fillna(False)), ("other", ~test["drilled"].fillna(True)))
    }
    return pd.concat(shares, axis=1).dropna().reset_index()


def transfer(found: pd.DataFrame, *, level: float = 0.95) -> Answers:
    """Estimate the gain on notes like those drilled, on other notes, and how much more it is, same students.

    Counted: choirs, each once by the mean of its students; with a single choir its students one by one.

    Parameters
    ----------
    found : DataFrame
        From `gains`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        Gains about `DRILLED` and `OTHER`, and their difference about `MORE`.
    """
    if found.empty:
        return Answers([LeftOut(DRILLED, NOT_TAGGED)])
    several = len(set(found["choir"])) > 1
    columns = ["pre_drilled", "pre_other", "post_drilled", "post_other"]
    rows = found.groupby("choir")[columns].mean() if several else found[columns]
    more = rows["post_drilled"] - rows["pre_drilled"], rows["post_other"] - rows["pre_other"]
    made = [
        ask(mean_gain, rows["pre_drilled"], rows["post_drilled"], about=DRILLED, unit="share", level=level),
        ask(mean_gain, rows["pre_other"], rows["post_other"], about=OTHER, unit="share", level=level),
        ask(mean_gain, more[1], more[0], about=MORE, unit="share", level=level),
    ]
    return Answers([_of_choirs(one, len(found)) if several else one for one in made])


def _of_choirs(gain: Estimate | LeftOut, students: int) -> Estimate | LeftOut:
    """Say that choirs were counted, and how many students are behind them."""
    if isinstance(gain, LeftOut):
        return gain
    return replace(gain, counted="choirs", clusters=gain.n, notes=(*gain.notes, f"Students behind it: {students}."))


def between_approaches(
    found: pd.DataFrame, approach_of: Mapping[str, str], names: tuple[str, str], *, level: float = 0.95
) -> Answers:
    """Estimate how much more choirs of one approach grew than those of the other, on both kinds of notes.

    Counted: choirs of the two approaches, each once by the mean of its students. What goes with the drill alone
    shows in notes of drilled kinds, and little in the others.

    Parameters
    ----------
    found : DataFrame
        From `gains`.
    approach_of : mapping of str to str
        Approach of each choir.
    names : tuple of str
        The two approaches; differences are the first minus the second.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        Differences about ``"<first> minus <second>, "`` and `DRILLED` or `OTHER`.
    """
    rows = found.assign(approach=found["choir"].map(approach_of).fillna(""))
    rows = rows[rows["approach"].isin(names) & (rows["choir"] != "")]
    if not all(names) or rows["approach"].nunique() < 2:
        return Answers([LeftOut(DRILLED, NO_APPROACHES)])
    program, choir = (rows["approach"] == names[0]).to_numpy(), rows["choir"].to_numpy()
    return Answers([
        ask(
            cluster_mean_difference, (rows[f"post_{kind}"] - rows[f"pre_{kind}"]).to_numpy(float), choir, program,
            about=f"{names[0]} minus {names[1]}, {words}", unit="share", level=level,
        )
        for kind, words in (("drilled", DRILLED), ("other", OTHER))
    ])  # fmt: skip


def approaches(students: pd.DataFrame) -> dict[str, str]:
    """Give the approach of each choir that has one alone.

    Counted: every student on the roster.
    """
    pairs = students.loc[students["choir"] != "", ["choir", "approach"]].astype(str).drop_duplicates()
    alone = pairs[~pairs["choir"].duplicated(keep=False)]
    return dict(zip(alone["choir"], alone["approach"], strict=True))
