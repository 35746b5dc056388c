"""Judging one melody, or a log of them, against its target: pitch and name apart, and whether the key was kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Literal

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from kit.load.melody.alignment import Aligned, align
from kit.load.melody.steps import UNSCORED, Mode, approaches, semitones
from kit.load.notes import Note, read_notes

__all__ = ["BOTH", "LEAST_HELD", "Correctness", "Judged", "approaches", "correctness", "judge", "judge_log"]

KeyKept = Literal["kept", "shifted", "lost", ""]
Both = Literal["both_right", "pitch_only", "name_only", "neither", "not_judged"]

BOTH: tuple[Both, ...] = ("both_right", "pitch_only", "name_only", "neither", "not_judged")
"""Pitch and name of a note together; not judged unless both are."""

LEAST_HELD = 3
"""Fewest notes in a row, all equally far from their targets, that count as a key that is held (two right intervals)."""


@dataclass(frozen=True, slots=True)
class Judged:
    """One note of a target: what became of its pitch and of its name (`OUTCOMES`), and of both (`BOTH`)."""

    target: str
    approached_by: str
    pitch: str
    name: str
    both: Both


@dataclass(frozen=True, slots=True)
class Correctness:
    """Whether each note of a target was right from the opening tonic, and from the note before; None: not judged."""

    tonic_referenced: tuple[bool | None, ...]
    interval_referenced: tuple[bool | None, ...]
    key_kept: KeyKept


def judge(target: str, sung: str, said: str, *, mode: Mode = "major") -> tuple[Judged, ...]:
    """Judge pitch and name apart, where a log holds both.

    Parameters
    ----------
    target : str
        What was to be sung, canonical.
    sung : str
        The pitches that were sung, as scale degrees; canonical.
    said : str
        The notes whose names were said or sung; canonical. Octaves are ignored, since a name tells none.
    mode : str, optional
        ``"major"`` or ``"minor"``, for how notes are approached.

    Returns
    -------
    tuple of Judged
        One for each note of the target; none for a target that is empty or too long (`LONGEST`).

    Examples
    --------
    >>> [note.both for note in judge("1 3 5", "1 3 4", "1 2 5")]
    ['both_right', 'pitch_only', 'name_only']
    """
    table = judge_log([target], [sung], [said], mode=mode).drop(columns=["row", "position"]).astype(str)
    return tuple(Judged(**note) for note in table.to_dict("records"))


def judge_log(targets: ArrayLike, sung: ArrayLike, said: ArrayLike, *, mode: Mode = "major") -> pd.DataFrame:
    """Judge pitch and name apart in every row of a log.

    Parameters
    ----------
    targets, sung, said : array_like of str, shape (rows,)
        As in `judge`, one of each for every row; missing or empty where nothing is recorded.
    mode : str, optional
        As in `judge`.

    Returns
    -------
    DataFrame, shape (rows x notes, 7)
        ``row``, ``position``, ``target``, ``approached_by`` as in `Aligned.frame`; ``pitch`` and ``name``, what
        became of each (`OUTCOMES`); ``both`` (`BOTH`).
    """
    pitch = align(targets, sung, mode=mode).frame().rename(columns={"outcome": "pitch"})
    table = pitch[["row", "position", "target", "approached_by", "pitch"]]
    table = table.assign(name=align(targets, said, octaves="ignored", mode=mode).frame()["outcome"])
    judged = (table["pitch"] != "not_judged") & (table["name"] != "not_judged")
    wrong = np.where(table["pitch"] == "right", 0, 2) + np.where(table["name"] == "right", 0, 1)
    return table.assign(both=pd.Categorical.from_codes(np.where(judged, wrong, len(BOTH) - 1), BOTH))


def correctness(target: str, sung: str) -> Correctness:
    """Say which notes are right from the opening tonic, which from the note before, and whether the key was kept.

    Parameters
    ----------
    target : str
        What was to be sung, canonical.
    sung : str
        What was sung, as degrees above the opening tonic; canonical. A singer who slips a whole tone and goes on in
        the new key sings ``"1 2 2 b3 4"`` for ``"1 2 3 4 5"``.

    Returns
    -------
    Correctness
        For each note of the target. All None, and the key empty, where `align` would not judge the row.

    Notes
    -----
    All is counted in semitones, so that #1 and b2 are the same. The *distance* of a note is what was sung minus what
    was asked. Right from the tonic: the distance is 0. Right from the note before: the distance is that of the last
    note before it that was sung and heard; None where there is none. An omitted or inaudible note is wrong in both.
    If any octave is not known, all octaves are ignored.

    The key, by the distances of the notes that were heard, octaves ignored: notes of distance 0 are at home; notes
    in a run of `LEAST_HELD` or more with one other distance are in another key that is held. ``"lost"``: less than
    half of the notes are either. Else ``"shifted"`` if another key is held anywhere, ``"kept"`` if not. Empty for
    fewer than `LEAST_HELD` notes. A rule of the kit's own; no source.

    Notes are paired as in `align`, or, if as many were sung as asked, in order, should that make more notes right from
    the note before: a melody that goes on in another key looks to `align` like one with notes left out and added. A
    singer who does both, changes key and leaves notes out, can therefore seem to have lost the key.

    Examples
    --------
    >>> slip = correctness("1 2 3 4 5 3 1", "1 2 2 b3 4 2 b7,")
    >>> sum(slip.tonic_referenced), sum(slip.interval_referenced[1:]), slip.key_kept
    (2, 5, 'shifted')
    """
    asked, heard = _scored(target), _scored(sung)
    aligned = align([target], [sung])
    if aligned.unjudged[0]:
        return Correctness((None,) * len(asked), (None,) * len(asked), "")
    pairings = [_mates(aligned)]
    if len(asked) == len(heard):
        pairings.append(list(range(len(asked))))
    distances = [_distances(asked, heard, mates) for mates in pairings]
    best = max(distances, key=lambda found: _from_note_before(found).count(True))
    return Correctness(tuple(distance == 0 for distance in best), _from_note_before(best), _key(best))


def _scored(text: str) -> list[Note]:
    """Read a text and leave out what is no scored note."""
    return [note for note in read_notes(text) if note.kind not in UNSCORED]


def _mates(aligned: Aligned) -> list[int | None]:
    """Give the place of the sung note that each note of the only row is paired with."""
    mates: list[int | None] = []
    place = 0
    for added, symbol in zip(aligned.added_before.tolist(), aligned.sung.tolist(), strict=True):
        place += added
        mates.append(place if symbol >= 0 else None)
        place += symbol >= 0
    return mates


def _distances(asked: list[Note], heard: list[Note], mates: list[int | None]) -> list[int | None]:
    """Count the semitones from each note asked to the note heard for it; None where none was heard."""
    pairs = [(semitones(note), None if mate is None else semitones(heard[mate]))
             for note, mate in zip(asked, mates, strict=True)]  # fmt: skip
    found = [None if low is None or high is None else high - low for low, high in pairs]
    known = all(note.octave is not None for note in (*asked, *heard))
    return found if known else [None if distance is None else _folded(distance) for distance in found]


def _folded(distance: int) -> int:
    """Take octaves out of a distance: -6 to 5 semitones are left."""
    return (distance + 6) % 12 - 6


def _from_note_before(distances: Sequence[int | None]) -> tuple[bool | None, ...]:
    """Say of each note whether it is as far from its target as the last note heard before it."""
    right: list[bool | None] = []
    before: int | None = None
    for distance in distances:
        right.append(None if before is None else distance == before)
        before = before if distance is None else distance
    return tuple(right)


def _key(distances: Sequence[int | None]) -> KeyKept:
    """Say whether the key was kept."""
    heard = [_folded(distance) for distance in distances if distance is not None]
    if len(heard) < LEAST_HELD:
        return ""
    runs = [(distance, len(list(run))) for distance, run in groupby(heard)]
    elsewhere = sum(length for distance, length in runs if distance != 0 and length >= LEAST_HELD)
    if 2 * (heard.count(0) + elsewhere) < len(heard):
        return "lost"
    return "shifted" if elsewhere else "kept"
