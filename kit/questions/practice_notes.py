"""Drill logs -> tries with their pattern, and the single notes that were asked and sung."""

from __future__ import annotations

import numpy as np
import pandas as pd

from kit.questions.practice_plan import approach, height, spoken

NO_RESPONSE = "no answer"
_ASKED = ["note", "reached", "interval", "sung"]


def tries(drills: pd.DataFrame, *, accuracy: bool = True) -> pd.DataFrame:
    """Take the first tries of single students that are marked.

    Counted: lines about one student, first attempts; where attempts are not numbered, every line.

    Parameters
    ----------
    drills : DataFrame
        The drill log.
    accuracy : bool, optional
        Whether the tries are to be counted as shares: lines of logs that hold mistakes only are then left out.

    Returns
    -------
    DataFrame
        In order of time: student, choir, date, pattern (its notes where it has no name), target, sung, right,
        syllable_right.
    """
    chosen = (drills["unit"] == "one") & drills["right"].notna() & (drills["attempt"].fillna(1) == 1)
    chosen &= drills["student"].astype(str) != ""
    if accuracy:
        chosen &= ~drills["errors_only"]
    found = drills.loc[
        chosen, ["student", "choir", "date", "pattern", "target", "sung", "right", "syllable_right"]
    ].astype({"student": str, "choir": str, "pattern": str, "target": str, "sung": str})
    found["pattern"] = found["pattern"].where(found["pattern"] != "", found["target"])
    return found.sort_values("date", kind="stable").reset_index(drop=True)


def notes(tried: pd.DataFrame) -> pd.DataFrame:
    """Lay tries out note by note.

    Counted: tries with a readable target of which every note was sung, or that are right; a wrong try of another
    length than its pattern does not say which note was missed and is not counted. A whole answer that is missing
    counts as no answer on its first note.

    Parameters
    ----------
    tried : DataFrame
        From `tries`.

    Returns
    -------
    DataFrame
        Columns student, choir, date, pattern, place (0 for the first note), note, reached (how the note is reached,
        empty for the first), interval, sung, right.
    """
    pairs = tried[["target", "sung", "right"]].drop_duplicates()
    rows = [
        (target, sung, right, place, *one)
        for target, sung, right in pairs.itertuples(index=False)
        for place, one in enumerate(_aligned(target, target if right else sung))
    ]
    each = pd.DataFrame(rows, columns=["target", "answer", "marked", "place", *_ASKED])
    keyed = tried.rename(columns={"sung": "answer", "right": "marked"}).assign(row=np.arange(len(tried)))
    found = keyed.merge(each.astype({"marked": "boolean"}), on=["target", "answer", "marked"], how="inner", sort=False)
    found = found.sort_values(["row", "place"], kind="stable", ignore_index=True)
    found["right"] = found["note"] == found["sung"]
    return found[["student", "choir", "date", "pattern", "place", *_ASKED, "right"]]


def _aligned(target: str, sung: str) -> list[tuple[str, str, str, str]]:
    """Put what was sung beside what was asked, with how each note is reached."""
    asked, given = target.split(), sung.split()
    if asked and not given:
        return [(asked[0], "", "", NO_RESPONSE)]
    if len(asked) != len(given):
        return []
    found = []
    for place, (note, answer) in enumerate(zip(asked, given, strict=True)):
        before = asked[place - 1] if place else ""
        found.append((note, *_reached(before, note), answer))
    return found


def _reached(before: str, note: str) -> tuple[str, str]:
    """Say how a note is reached, and name the interval; empty for the first note."""
    if not before:
        return "", ""
    return approach(height(before), height(note)), f"{spoken(before)} to {spoken(note)}"


def notes_of_test(items: pd.DataFrame, students: pd.DataFrame, *, occasion: str, rater: str = "") -> pd.DataFrame:
    """Take the single notes of one test, in the columns of `notes`.

    Counted: marked notes of the occasion by the rater whose marks count; all raters where none is named.

    Parameters
    ----------
    items, students : DataFrame
        The tables.
    occasion : str
        Which test.
    rater : str, optional
        Whose marks count.

    Returns
    -------
    DataFrame
        Columns student, choir, note, reached, sung, right, syllable_right, drilled.
    """
    found = items[(items["occasion"] == occasion) & items["right"].notna() & items["degree"].notna()]
    found = found[(found["rater"] == rater) | (not rater)]
    choir = students.drop_duplicates("student").set_index("student")["choir"]
    ways = {"step": "step", "triad_skip": "tonic-chord skip", "other_skip": "other skip", "repeat": "repeat"}
    return pd.DataFrame({
        "student": found["student"].astype(str), "choir": found["student"].map(choir).fillna(""),
        "note": found["degree"].astype(str), "reached": found["approached_by"].map(ways).fillna(""),
        "sung": found["sung"].astype(str), "right": found["right"].astype(bool),
        "syllable_right": found["syllable_right"], "drilled": found["drilled"],
    })  # fmt: skip
