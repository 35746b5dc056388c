"""What was sung instead, and right name with wrong pitch apart from right pitch with wrong name."""

from __future__ import annotations

import pandas as pd

from kit.questions.answers import Answers, LeftOut
from kit.questions.practice.notes import notes
from kit.questions.practice.plan import height, spoken
from kit.stats.counts import count

FEWEST_MISSES = 10
"""Misses of a degree below which no percentages are told (our own rule)."""
PITCH_AND_NAME = "pitch and name"
NOT_APART = "Pitch and name were not marked apart, so neither can be told from the other."
TOO_FEW = "Pitch and name were marked apart; too few singers stand behind one of the counts to show them."
RARE = "something else"
"""Answers of too few singers, together."""


def confusion(tried: pd.DataFrame, *, smallest: int = 1) -> pd.DataFrame:
    """Count what was sung in place of each degree.

    Counted: single notes of first tries that were missed; logs of mistakes only take part, since misses are counted
    out of misses. A degree with fewer than `FEWEST_MISSES` misses, or missed by fewer singers than `smallest`, is
    left out; `attrs["hidden"]` tells how many there are.

    Parameters
    ----------
    tried : DataFrame
        From `kit.questions.practice.notes.tries` with ``accuracy=False``.
    smallest : int, optional
        Singers that a row needs to be shown.

    Returns
    -------
    DataFrame
        Columns note, label, sung, sung_label, times, misses (of the note), singers, share (of the misses); notes in
        the order of the scale, answers too, no answer last.
    """
    return _counted(notes(tried), smallest)


def _counted(each: pd.DataFrame, smallest: int) -> pd.DataFrame:
    """Count pairs of asked and sung among the misses."""
    names = {name: each[name].cat.categories.astype(object) for name in ("note", "sung")}
    missed = each.loc[~each["right"]]
    missed = pd.DataFrame(
        {name: missed[name].cat.codes.to_numpy() for name in ("student", *names)}
        | {"times": missed["times"].to_numpy()}
    )
    missed = missed.groupby(["student", "note", "sung"], sort=False, as_index=False)["times"].sum()
    missed = missed.assign(**{name: values[missed[name]] for name, values in names.items()})
    rows = missed.groupby("note").agg(misses=("times", "sum"), singers=("student", "nunique"))
    kept = rows[(rows["misses"] >= FEWEST_MISSES) & (rows["singers"] >= smallest)]
    joined = [
        _rare_joined(mine, smallest).assign(note=note, misses=kept["misses"][note], singers=kept["singers"][note])
        for note, mine in missed[missed["note"].isin(kept.index)].groupby("note")
    ]
    columns = ["note", "label", "sung", "sung_label", "times", "misses", "singers", "share"]
    found = pd.concat(joined) if joined else pd.DataFrame(columns=["note", "sung", "times", "misses", "singers"])
    found = found.assign(
        share=found["times"] / found["misses"], label=[spoken(note) for note in found["note"]],
        sung_label=[spoken(note) for note in found["sung"]],
        one=[_place(note) for note in found["note"]], other=[_place(note) for note in found["sung"]],
    )  # fmt: skip
    found = found.sort_values(["one", "other", "sung"], ignore_index=True)[columns]
    found.attrs["hidden"] = len(rows) - len(kept)
    return found


def _rare_joined(missed: pd.DataFrame, smallest: int) -> pd.DataFrame:
    """Count answers to one note; those of too few singers, and what they need to hide behind, are one."""
    each = missed.groupby("sung").agg(times=("times", "sum"), who=("student", "nunique"))
    rare: list[str] = []
    for answer in each.sort_values(["who", "times"]).index:
        behind = missed.loc[missed["sung"].isin(rare), "student"].nunique()
        if each["who"][answer] < smallest or (rare and behind < smallest):
            rare.append(answer)
    answers = missed["sung"].where(~missed["sung"].isin(rare), RARE)
    return missed.assign(sung=answers).groupby("sung", as_index=False)["times"].sum()


def _place(note: str) -> int:
    """Give the place of an answer in the order of the scale; words stand last."""
    return height(note) if any(letter.isdigit() for letter in note) else 100


def name_and_pitch(found: pd.DataFrame, *, smallest: int = 1) -> Answers:
    """Count pitch and name apart: right both, right name with wrong pitch, right pitch with wrong name, both wrong.

    Counted: tries, or notes of a test, in which both pitch and name were marked.

    Parameters
    ----------
    found : DataFrame
        Columns student, right, syllable_right.
    smallest : int, optional
        Singers that each of the four counts needs to be shown, unless it is nought.

    Returns
    -------
    Answers
        Four counts out of all; none where nothing was marked for both, or too few singers stand behind one of them.
    """
    both = found[found["syllable_right"].notna() & found["right"].notna()]
    if both.empty:
        return Answers([LeftOut(PITCH_AND_NAME, NOT_APART)])
    pitch, name = both["right"].astype(bool), both["syllable_right"].astype(bool)
    parts = {
        "right pitch, right name": pitch & name, "wrong pitch, right name": ~pitch & name,
        "right pitch, wrong name": pitch & ~name, "wrong pitch, wrong name": ~pitch & ~name,
    }  # fmt: skip
    if any(0 < both.loc[rows, "student"].nunique() < smallest for rows in parts.values()):
        return Answers([LeftOut(PITCH_AND_NAME, TOO_FEW)])
    return Answers([count(int(rows.sum()), about=about, of=len(both), unit="tries") for about, rows in parts.items()])
