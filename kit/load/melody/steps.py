"""From one note to the next: how a note is approached, and how far it is from the tonic in semitones."""

from __future__ import annotations

from itertools import pairwise
from typing import Literal, get_args

from kit.errors import UnknownChoiceError
from kit.load.notes import Note, read_notes

Mode = Literal["major", "minor"]

SEMITONES = (0, 2, 4, 5, 7, 9, 11)
"""Semitones of the seven degrees of the major scale above its tonic, as `Note` counts alterations in every mode."""

TRIADS: dict[Mode, tuple[tuple[int, int], ...]] = {
    "major": ((1, 0), (3, 0), (5, 0)),
    "minor": ((1, 0), (3, -1), (5, 0)),
}
"""Degree and alteration of the notes of the tonic triad."""

UNSCORED = ("rest", "hold")
"""Kinds of token that are no scored notes; they are left out before anything is compared."""


def approaches(target: str, *, mode: Mode = "major") -> tuple[str, ...]:
    """Say how each note of a melody is approached from the one before it.

    Parameters
    ----------
    target : str
        Canonical text, such as ``"1 2 3 5 1'"``. Rests and holds are left out: the note after a rest is approached
        from the note before the rest.
    mode : str, optional
        Which third the tonic triad has: 3 in ``"major"``, b3 in ``"minor"``.

    Returns
    -------
    tuple of str
        One word for each note. ``""``: nothing known stands before it (the first note; an inaudible note or one
        without a name, and the note after it). ``"repeat"``: the same note. ``"step"``: the letter names are
        neighbours, or the letter is the same and its alteration differs (1 to #1). ``"triad_skip"``: both notes
        belong to the tonic triad, in any octave, so that 5, to 1 and 1 to 1' are such skips. ``"other_skip"``: all
        others.

    Raises
    ------
    UnknownChoiceError
        If the mode is neither.
    ValueError
        If the text is not canonical.

    Notes
    -----
    Octaves count as written once a melody marks any: in ``"1 7 1'"`` the leap from 1 to 7 is another skip. In a melody
    that marks none, and wherever an octave is not known (``*``), each note is taken to be the nearest one of its
    name, so that ``"1 7 1"`` is two steps. Within one octave this changes 1 and 7 alone. Common practice, no source.

    Examples
    --------
    >>> approaches("1 2 2 5 3 #4 7")
    ('', 'step', 'repeat', 'other_skip', 'triad_skip', 'step', 'other_skip')
    """
    if mode not in TRIADS:
        raise UnknownChoiceError("approaches", "mode", mode, get_args(Mode))
    notes = [note for note in read_notes(target) if note.kind not in UNSCORED]
    marked = any(note.octave for note in notes)
    moves = [approach(before, note, marked=marked, mode=mode) for before, note in pairwise(notes)]
    return ("", *moves)[: len(notes)]


def approach(before: Note, note: Note, *, marked: bool, mode: Mode) -> str:
    """Say how a note is approached from the one before it, in a melody that marks octaves or does not."""
    if before.degree is None or note.degree is None:
        return ""
    steps = note.degree - before.degree
    if marked and before.octave is not None and note.octave is not None:
        steps += 7 * (note.octave - before.octave)
    else:
        steps = (steps + 3) % 7 - 3
    if steps == 0:
        return "repeat" if note.alter == before.alter else "step"
    if abs(steps) == 1:
        return "step"
    triad = TRIADS[mode]
    both = (before.degree, before.alter) in triad and (note.degree, note.alter) in triad
    return "triad_skip" if both else "other_skip"


def semitones(note: Note) -> int | None:
    """Count the semitones from the tonic of the home octave up to a note.

    Parameters
    ----------
    note : Note
        Any note; an octave that is not known is taken to be the home octave.

    Returns
    -------
    int or None
        Negative below the tonic; None for a token without a degree.
    """
    if note.degree is None:
        return None
    return SEMITONES[note.degree - 1] + note.alter + 12 * (note.octave or 0)
