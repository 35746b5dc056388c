"""The declared practice plan, and the order in which patterns are taught."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, ClassVar

import numpy as np
import pandas as pd
from annotated_types import Ge, Gt, Le, Lt

CHORD = (0, 2, 4)
KINDS = ("by step inside do-so", "skips in the tonic chord", "with la", "beyond")
"""The order of kinds of patterns where no list of patterns is declared (common practice, no source)."""
NAMES = ("do", "re", "mi", "fa", "so", "la", "ti")
ALTERED = {"#": "raised ", "b": "lowered "}
SILENT = {"0": "rest", "-": "held"}
"""What stands in a pattern without being sung anew."""
UNCLEAR = {"?": "not heard", "n": "on one syllable"}
"""What may stand in place of a note that was sung."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """What the choir means to do, as study.toml declares it.

    Attributes
    ----------
    minutes_before_notation : float
        Least minutes of ear training in each meeting before notation is shown (5: common practice, no source).
    meetings_per_week : int
        Meetings in a full week of school; 0: not declared, then the most that any choir logged in a week.
    secure : float
        Share of first tries right from which a pattern counts as secure (our own choice).
    in_a_row : int
        Right first tries in a row that count as learned (our own choice).
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = {"extra": "forbid"}
    minutes_before_notation: Annotated[float, Ge(0)] = 5.0
    meetings_per_week: Annotated[int, Ge(0), Le(7)] = 0
    secure: Annotated[float, Gt(0), Lt(1)] = 0.8
    in_a_row: Annotated[int, Ge(1), Le(20)] = 3


def height(note: str) -> int:
    """Say how many steps of the scale a note lies above do.

    Parameters
    ----------
    note : str
        A degree as the tables write it: ``"5"``, ``"5,"`` an octave lower, ``"1'"`` an octave higher.

    Returns
    -------
    int
    """
    degree = next(int(letter) for letter in note if letter.isdigit())
    return degree - 1 + 7 * (note.count("'") - note.count(","))


def spoken(note: str) -> str:
    """Write a note by its name: ``so``, ``low so``, ``high do``, ``raised fa``; what is no note by what it is."""
    known = SILENT | UNCLEAR
    bare = note.lstrip("#b").rstrip("',*")
    if note in known or bare not in {"1", "2", "3", "4", "5", "6", "7"}:
        return known.get(note, note)
    where = "low " * note.count(",") + "high " * note.count("'")
    return ALTERED.get(note[0], "") + where + NAMES[int(bare) - 1]


def by_name(notes: str) -> str:
    """Write a pattern by the names of its notes: ``do mi so``, with a comma where one has two words."""
    names = [spoken(note) for note in notes.split()]
    return (", " if any(" " in name for name in names) else " ").join(names)


def sung_anew(notes: str) -> list[str]:
    """List the notes of a pattern, without rests and holds."""
    return [note for note in notes.split() if note not in SILENT]


def approach(before: int, after: int) -> str:
    """Say how a note is reached from the one before: ``repeat``, ``step``, ``tonic-chord skip`` or ``other skip``."""
    if abs(after - before) < 2:
        return "step" if after != before else "repeat"
    return "tonic-chord skip" if {before % 7, after % 7} <= set(CHORD) else "other skip"


def kind_of(notes: str) -> str:
    """Sort a pattern into one of `KINDS`.

    Parameters
    ----------
    notes : str
        Degrees parted by spaces.

    Returns
    -------
    str
    """
    asked = [note for note in sung_anew(notes) if note not in UNCLEAR]
    heights = [height(note) for note in asked]
    ways = {approach(one, other) for one, other in pairwise(heights)}
    plain = not any(note[0] in ALTERED for note in asked)
    if plain and all(0 <= at <= 4 for at in heights):
        if ways <= {"step", "repeat"}:
            return KINDS[0]
        return KINDS[3] if "other skip" in ways else KINDS[1]
    return KINDS[2] if plain and all(0 <= at <= 5 for at in heights) else KINDS[3]


def in_order(drills: pd.DataFrame, patterns: pd.DataFrame) -> pd.DataFrame:
    """List the patterns in the order in which they are taught.

    Counted: every pattern of the list, and those of the log that the list does not hold, behind it.

    Parameters
    ----------
    drills : DataFrame
        The drill log.
    patterns : DataFrame
        The patterns table in the order of its file, which is the order of teaching; may be empty.

    Returns
    -------
    DataFrame
        Columns pattern, notes, kind, order; without a list of patterns, in the order of `KINDS`.
    """
    listed = patterns[["pattern", "notes"]].astype(str).drop_duplicates("pattern")
    asked = _pairs(drills[["pattern", "target"]])
    asked = asked[asked["target"] != ""].rename(columns={"target": "notes"})
    asked["pattern"] = asked["pattern"].where(asked["pattern"] != "", asked["notes"])
    more = asked[~asked["pattern"].isin(listed["pattern"])].drop_duplicates("pattern")
    more = more.assign(kind=[kind_of(notes) for notes in more["notes"]])
    more = more.sort_values("kind", key=lambda kinds: kinds.map(KINDS.index), kind="stable")
    listed = listed.assign(kind=[kind_of(notes) for notes in listed["notes"]])
    found = pd.concat([listed, more], ignore_index=True)
    return found.assign(order=range(1, len(found) + 1))


def _pairs(lines: pd.DataFrame) -> pd.DataFrame:
    """List the different pairs of pattern and notes, in the order in which they first stand."""
    one, other = (lines[name].astype("category").cat for name in lines)
    codes = one.codes.to_numpy(np.int64) * (len(other.categories) + 1) + other.codes
    first = np.flatnonzero(~pd.Series(codes).duplicated().to_numpy())
    return lines.iloc[first].astype(str)
