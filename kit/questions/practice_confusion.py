"""What was sung instead, and right name with wrong pitch apart from right pitch with wrong name."""

from __future__ import annotations

import pandas as pd

from kit.estimate import Estimate
from kit.questions.practice_notes import notes
from kit.questions.practice_plan import height, spoken
from kit.stats.counts import count

FEWEST_MISSES = 10
"""Misses of a degree below which no percentages are told (our own rule)."""


def confusion(tried: pd.DataFrame, *, smallest: int = 1) -> pd.DataFrame:
    """Count what was sung in place of each degree.

    Counted: single notes of first tries that were missed; logs of mistakes only take part, since misses are counted
    out of misses. A degree with fewer than `FEWEST_MISSES` misses, or missed by fewer singers than `smallest`, is
    left out; `attrs["hidden"]` tells how many there are.

    Parameters
    ----------
    tried : DataFrame
        From `kit.questions.practice_notes.tries` with ``accuracy=False``.
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
    missed = each.loc[~each["right"].astype(bool), ["student", "note", "sung"]]
    rows = missed.groupby("note")["student"].agg(misses="size", singers="nunique")
    kept = rows[(rows["misses"] >= FEWEST_MISSES) & (rows["singers"] >= smallest)]
    pairs = missed.groupby(["note", "sung"])["student"].agg(times="size", who="nunique").reset_index()
    pairs = pairs.merge(kept, left_on="note", right_index=True).rename_axis(index=None)
    # an answer of too few singers is joined with the other rare ones
    rare = pairs["who"] < smallest
    pairs.loc[rare, "sung"] = "something else"
    pairs = pairs.groupby(["note", "sung", "misses", "singers"], as_index=False)["times"].sum()
    pairs = pairs.assign(
        share=pairs["times"] / pairs["misses"], label=[spoken(note) for note in pairs["note"]],
        sung_label=[spoken(note) for note in pairs["sung"]],
        one=pairs["note"].map(_place), other=pairs["sung"].map(_place),
    )  # fmt: skip
    found = pairs.sort_values(["one", "other", "sung"], ignore_index=True).drop(columns=["one", "other"])
    found.attrs["hidden"] = len(rows) - len(kept)
    return found


def _place(note: str) -> int:
    """Give the place of an answer in the order of the scale; words stand last."""
    return height(note) if any(letter.isdigit() for letter in note) else 100


def name_and_pitch(found: pd.DataFrame) -> list[Estimate]:
    """Count pitch and name apart: right both, right name with wrong pitch, right pitch with wrong name, both wrong.

    Counted: tries, or notes of a test, in which both pitch and name were marked.

    Parameters
    ----------
    found : DataFrame
        Columns right, syllable_right.

    Returns
    -------
    list of Estimate
        Four counts out of all; none where nothing was marked for both.
    """
    both = found[found["syllable_right"].notna() & found["right"].notna()]
    if both.empty:
        return []
    pitch, name = both["right"].astype(bool), both["syllable_right"].astype(bool)
    return [
        count(int(rows.sum()), about=about, of=len(both), unit="tries")
        for about, rows in (
            ("right pitch, right name", pitch & name), ("wrong pitch, right name", ~pitch & name),
            ("right pitch, wrong name", pitch & ~name), ("wrong pitch, wrong name", ~pitch & ~name),
        )
    ]  # fmt: skip
