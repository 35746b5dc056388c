"""The one written form of a sequence of notes: degrees of the scale with octaves, rests, holds and unheard notes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

NoteKind = Literal["note", "rest", "hold", "unknown", "neutral"]

_ALTERS = {"": 0, "#": 1, "b": -1}
_SIGNS = {alter: sign for sign, alter in _ALTERS.items()}
_KINDS: dict[str, NoteKind] = {"0": "rest", "-": "hold", "?": "unknown", "n": "neutral"}
_WRITTEN = {kind: token for token, kind in _KINDS.items()}


@dataclass(frozen=True, slots=True)
class Note:
    """One sung or written note, or what stands in its place.

    Attributes
    ----------
    degree : int or None
        Degree of the scale, 1 to 7; None unless ``kind`` is ``"note"``.
    alter : int
        +1 raised, -1 lowered, 0 as the major scale has it.
    octave : int or None
        Octaves above the home octave, 0 in it, negative below; None when it is not known.
    kind : str
        ``"note"``, ``"rest"``, ``"hold"``, ``"unknown"`` (inaudible), or ``"neutral"`` (sung on loo or la, so that
        the syllable names no degree).
    """

    degree: int | None = None
    alter: int = 0
    octave: int | None = 0
    kind: NoteKind = "note"


REST = Note(kind="rest")
HOLD = Note(kind="hold")
UNKNOWN = Note(kind="unknown")
NEUTRAL = Note(kind="neutral")


def write_note(note: Note) -> str:
    """Write one note: ``#4``, ``5,`` (an octave below), ``1'`` (above), ``5*`` (octave unknown), ``0 - ? n``."""
    if note.kind != "note":
        return _WRITTEN[note.kind]
    return f"{_SIGNS[note.alter]}{note.degree}{_octave(note.octave)}"


def _octave(octave: int | None) -> str:
    """Write the octave of a note."""
    if octave is None:
        return "*"
    return "'" * octave if octave >= 0 else "," * -octave


def write_notes(notes: Iterable[Note]) -> str:
    """Write a sequence, one space between notes.

    Parameters
    ----------
    notes : iterable of Note
        In the order of singing.

    Returns
    -------
    str
        Such as ``"5, 1 3 #4 5 1'"``; empty for no notes.
    """
    return " ".join(map(write_note, notes))


def read_notes(text: str) -> tuple[Note, ...]:
    """Read what `write_notes` wrote.

    Parameters
    ----------
    text : str
        A sequence in the written form.

    Returns
    -------
    tuple of Note
        The notes; `write_notes` gives the text back.

    Raises
    ------
    ValueError
        For a text that is not in the written form.
    """
    return tuple(_read(token, text) for token in text.split(" ")) if text else ()


def _read(token: str, text: str) -> Note:
    """Read one token."""
    if token in _KINDS:
        return Note(kind=_KINDS[token])
    sign = token[:1] if token[:1] in ("#", "b") else ""
    degree, octave = token[len(sign) : len(sign) + 1], token[len(sign) + 1 :]
    marked_well = octave == "*" or not octave.strip("'") or not octave.strip(",")
    if degree not in tuple("1234567") or not marked_well:
        raise ValueError(f"{text!r} is not a sequence of notes in the kit's written form: see {token!r}.")
    height = None if octave == "*" else octave.count("'") - octave.count(",")
    return Note(int(degree), _ALTERS[sign], height)
