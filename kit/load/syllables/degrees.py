"""Notes named from do -> notes counted from the key note, which in la-based minor is la."""

from __future__ import annotations

from kit.load.declared_music import Syllables
from kit.load.notes import Note, read_notes, write_notes
from kit.load.syllables.systems import is_movable

_SEMITONES = (0, 2, 4, 5, 7, 9, 11)


def degree_from_tonic(note: Note, system: Syllables) -> Note | None:
    """Count a note from the key note, as the major scale on the same key note has it.

    In la-based minor la becomes 1, do the lowered 3 and si the raised 7 of the minor scale, which is 7; the home
    octave then begins on the la below do. Everywhere else degrees are counted from the key note already.

    Parameters
    ----------
    note : Note
        As read by `read_syllables`.
    system : Syllables
        What the study file declares: ``mode``, and for minor ``minor_base``.

    Returns
    -------
    Note or None
        None where the mode, or in minor the base, is not declared. What is no note is given back.
    """
    if note.kind != "note" or not is_movable(system.system):
        return note
    if not system.mode or (system.mode == "minor" and not system.minor_base):
        return None
    return note if system.mode == "major" or system.minor_base == "do" else _from_la(note)


def _from_la(note: Note) -> Note:
    """Count from la: the same pitch, its nearest degree where the syllable is altered twice."""
    steps = (note.degree - 6) % 7
    height = (_SEMITONES[note.degree - 1] + note.alter - _SEMITONES[5]) % 12
    alter = (height - _SEMITONES[steps] + 6) % 12 - 6
    if alter < -1:
        steps, alter = steps - 1, 0
    octave = None if note.octave is None else note.octave + (note.degree >= 6)
    return Note(steps + 1, alter, octave)


def from_tonic(written: str, system: Syllables) -> str:
    """Count a melody in the kit's written form from the key note.

    Parameters
    ----------
    written : str
        As `kit.load.syllables.read.read_syllables` gives it.
    system : Syllables
        What the study file declares.

    Returns
    -------
    str
        The same melody, in la-based minor with la as 1. Where mode or base are not declared the degrees of the
        syllables are kept, as nobody knows the key note.
    """
    if not (is_movable(system.system) and system.mode == "minor" and system.minor_base == "la"):
        return written
    return write_notes(degree_from_tonic(note, system) or note for note in read_notes(written))
