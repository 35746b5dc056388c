"""Canonical texts as numbers: every different note is a symbol, and every different text a row of symbols."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import NDArray

from kit.load.melody.bits import Integers, Ragged
from kit.load.melody.steps import UNSCORED
from kit.load.notes import Note, read_notes

FARTHEST = 9
"""Most octaves above or below the home octave; a row that goes beyond is not judged."""

Yes = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Melodies:
    """Different texts, rests and holds left out, with what the texts hold besides notes that can be compared.

    Attributes
    ----------
    tokens, notes : tuple
        Each symbol as a canonical token, and read.
    melodies : Ragged
        The symbols of each text.
    recorded, unclear, neutral, far, marked : ndarray of bool, shape (texts,)
        Whether the text is not empty; holds an inaudible note, a neutral syllable, a note more than `FARTHEST`
        octaves away; marks any octave.
    """

    tokens: tuple[str, ...]
    notes: tuple[Note, ...]
    melodies: Ragged
    recorded: Yes
    unclear: Yes
    neutral: Yes
    far: Yes
    marked: Yes

    def same(self, *, octaves: bool) -> Yes:
        """Say of every two symbols (rows asked, columns sung) whether they are the same note, octaves regarded or not.

        An octave that is not known is any octave; only notes with a degree can be the same.
        """
        degree = np.array([note.degree or 0 for note in self.notes], np.int8)
        alter = np.array([note.alter for note in self.notes], np.int8)
        octave = np.array([note.octave or 0 for note in self.notes], np.int8)
        open_octave = np.array([note.octave is None or not octaves for note in self.notes], bool)
        alike = (degree[:, None] == degree) & (alter[:, None] == alter) & (degree > 0)
        return alike & ((octave[:, None] == octave) | open_octave[:, None] | open_octave)


def read_melodies(texts: pa.LargeStringArray) -> Melodies:
    """Read different canonical texts.

    Parameters
    ----------
    texts : LargeStringArray
        Canonical texts; an empty one is not recorded.

    Returns
    -------
    Melodies
        All of them.

    Raises
    ------
    ValueError
        If a text is not canonical.
    """
    recorded = pc.not_equal(texts, "").to_numpy(zero_copy_only=False)
    pieces = pc.split_pattern(pc.if_else(recorded, texts, "0"), " ")
    coded = pieces.flatten().dictionary_encode()
    notes = [_read(token) for token in coded.dictionary.to_pylist()]
    near = [note.kind not in UNSCORED and abs(note.octave or 0) <= FARTHEST for note in notes]
    symbol = np.where(near, np.cumsum(near) - 1, -1).astype(np.int16)
    code, bounds = coded.indices.to_numpy(), pieces.offsets.to_numpy() - pieces.offsets[0].as_py()

    def holds(which: list[bool]) -> Yes:
        """Say of each text whether it holds such a token."""
        return sums(np.array(which, bool)[code], bounds) > 0 if any(which) else np.zeros(len(texts), bool)

    symbols = symbol[code]
    return Melodies(
        tokens=tuple(token for token, kept in zip(coded.dictionary.to_pylist(), near, strict=True) if kept),
        notes=tuple(note for note, kept in zip(notes, near, strict=True) if kept),
        melodies=Ragged(symbols[symbols >= 0], np.append(0, np.cumsum(symbols >= 0))[bounds]),
        recorded=recorded,
        unclear=holds([note.kind == "unknown" for note in notes]),
        neutral=holds([note.kind == "neutral" for note in notes]),
        far=holds([abs(note.octave or 0) > FARTHEST for note in notes]),
        marked=holds([bool(note.octave) for note in notes]),
    )


def sums(yes: Yes, start: Integers) -> Integers:
    """Count what holds within each stretch ``start[k]`` to ``start[k + 1]``."""
    return np.diff(np.append(0, np.cumsum(yes, dtype=np.int64))[start])


def _read(token: str) -> Note:
    """Read one token; an empty one comes of two spaces, or of one at an end."""
    if not token:
        raise ValueError("A sequence of notes in the kit's written form has one space between notes, none at its ends.")
    return read_notes(token)[0]
