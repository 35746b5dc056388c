"""From one note to the next: how a note is approached, and how far it is from the tonic in semitones."""

from __future__ import annotations

from typing import Literal, get_args

from kit.errors import UnknownChoiceError
from kit.load.notes import Note, read_notes

Mode = Literal["major", "minor"]

SEMITONES: dict[Mode, tuple[int, ...]] = {
    "major": (0, 2, 4, 5, 7, 9, 11),
    "minor": (0, 2, 3, 5, 7, 8, 10),
}
"""Semitones of the seven degrees above the tonic; minor is natural minor, so its leading note is written #7."""

TRIAD = (1, 3, 5)
UNSCORED = ("rest", "hold")
"""Kinds of token that are no scored notes; they are left out before anything is compared."""


def approaches(target: str) -> tuple[str, ...]:
    """Say how each note of a melody is approached from the one before it.

    Parameters
    ----------
    target : str
        Canonical text, such as ``"1 2 3 5 1'"``. Rests and holds are left out: the note after a rest is approached
        from the note before the rest.

    Returns
    -------
    tuple of str
        One word for each note. ``""``: nothing known stands before it (the first note; an inaudible note or one
        without a name, and the note after it). ``"repeat"``: the same note. ``"step"``: the letter names are
        neighbours, or the letter is the same and its alteration differs (1 to #1). ``"triad_skip"``: both notes are
        unaltered 1, 3 or 5 of any octave, so that 5, to 1 and 1 to 1' are such skips. ``"other_skip"``: all others.

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
    notes = [note for note in read_notes(target) if note.kind not in UNSCORED]
    marked = any(note.octave for note in notes)
    return ("", *(approach(*pair, marked=marked) for pair in zip(notes, notes[1:], strict=False)))[: len(notes)]


def approach(before: Note, note: Note, *, marked: bool) -> str:
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
    both = before.degree in TRIAD and note.degree in TRIAD and before.alter == note.alter == 0
    return "triad_skip" if both else "other_skip"


def semitones(note: Note, *, mode: Mode) -> int | None:
    """Count the semitones from the tonic of the home octave up to a note.

    Parameters
    ----------
    note : Note
        Any note; an octave that is not known is taken to be the home octave.
    mode : str
        ``"major"`` or ``"minor"`` (natural).

    Returns
    -------
    int or None
        Negative below the tonic; None for a token without a degree.

    Raises
    ------
    UnknownChoiceError
        If the mode is neither.
    """
    if mode not in SEMITONES:
        raise UnknownChoiceError("semitones", "mode", mode, get_args(Mode))
    if note.degree is None:
        return None
    return SEMITONES[mode][note.degree - 1] + note.alter + 12 * (note.octave or 0)
