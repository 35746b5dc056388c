"""What was sung instead, and right name with wrong pitch apart from right pitch with wrong name."""

from __future__ import annotations

import numpy as np
import pandas as pd

from kit.questions.answers import Answers, LeftOut
from kit.questions.practice.days import numbered
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
    return _counted(notes(tried, only_missed=True), smallest)


def _counted(missed: pd.DataFrame, smallest: int) -> pd.DataFrame:
    """Count pairs of asked and sung among the misses."""
    who, note, sung, times = pairs(missed)
    names, answers = (missed[name].cat.categories for name in ("note", "sung"))
    misses = np.bincount(note, weights=times, minlength=len(names)).astype(int)
    singers = np.bincount(np.unique(who * max(1, len(names)) + note) % max(1, len(names)), minlength=len(names))
    kept = (misses >= FEWEST_MISSES) & (singers >= smallest)
    rows = [
        (str(names[at]), answer, number, int(misses[at]), int(singers[at]))
        for at in np.flatnonzero(kept)
        for mine in [note == at]
        for answer, number in _rare_joined(who[mine], sung[mine], times[mine], answers, smallest).items()
    ]
    found = pd.DataFrame(rows, columns=["note", "sung", "times", "misses", "singers"])
    found = found.assign(
        share=found["times"] / found["misses"], label=[spoken(note) for note in found["note"]],
        sung_label=[spoken(note) for note in found["sung"]],
        one=[_place(note) for note in found["note"]], other=[_place(note) for note in found["sung"]],
    )  # fmt: skip
    found = found.sort_values(["one", "note", "other", "sung"], ignore_index=True)
    found = found[["note", "label", "sung", "sung_label", "times", "misses", "singers", "share"]]
    found.attrs["hidden"] = int((misses > 0).sum() - kept.sum())
    return found


def pairs(missed: pd.DataFrame) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Count, for each student, what was sung in place of which note.

    Parameters
    ----------
    missed : DataFrame
        From `kit.questions.practice.notes.notes`, missed notes only.

    Returns
    -------
    student, note, sung, times : ndarray of int
        Numbers of the categories, each three once, and how often.
    """
    shape = [max(1, len(missed[name].cat.categories)) for name in ("student", "note", "sung")]
    codes = [missed[name].cat.codes.to_numpy(np.int64) for name in ("student", "note", "sung")]
    each, place = numbered((codes[0] * shape[1] + codes[1]) * shape[2] + codes[2], int(np.prod(shape)))
    times = np.bincount(place, weights=missed["times"].to_numpy(), minlength=each.size).astype(int)
    return each // shape[2] // shape[1], each // shape[2] % shape[1], each % shape[2], times


def _rare_joined(
    who: np.ndarray, sung: np.ndarray, times: np.ndarray, answers: pd.Index, smallest: int
) -> dict[str, int]:
    """Count answers to one note; those of too few singers, and what they need to hide behind, are one."""
    total, singers = np.bincount(sung, weights=times).astype(int), np.bincount(sung)
    rare: list[int] = []
    for answer in np.lexsort((total, singers)):
        behind = len(np.unique(who[np.isin(sung, rare)]))
        if singers[answer] > 0 and (singers[answer] < smallest or (rare and behind < smallest)):
            rare.append(int(answer))
    found = {str(answers[at]): int(total[at]) for at in np.flatnonzero(singers) if at not in rare}
    return found | ({RARE: int(total[rare].sum())} if rare else {})


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
