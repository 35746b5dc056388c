"""What is sung instead of a missed note: a neighbour, the tonic, the note before, or nothing."""

from __future__ import annotations

import numpy as np
from draws import Draws, IntArray
from melodies import DEGREES, NOTES, Note

NEIGHBOUR, TONIC, REPEAT, NOTHING = 0.55, 0.20, 0.15, 0.10
ALONG_GRAVITY = 0.75
"""Chance that the neighbour is the one that the degree leans to; without such a lean both are equally likely."""
NO_RESPONSE = "no response"
_LEANS = {3: -1, 6: 1, 5: -1}
"""fa leans to mi, ti to high do, la to so."""


def sung_instead(draws: Draws, form: IntArray) -> np.ndarray:
    """Draw what would be sung in place of each note, should it be missed.

    Parameters
    ----------
    draws : Draws
        Stream of random numbers.
    form : ndarray of int, shape (students, waves)
        Form of each sitting.

    Returns
    -------
    ndarray of str, shape (students, waves, melodies, notes)
        Name of a degree, or ``NO_RESPONSE``; never the right degree.
    """
    shape = np.shape(NOTES["A"])
    kind, side = draws.uniform(*form.shape, *shape), draws.uniform(*form.shape, *shape)
    sung = np.empty(kind.shape, dtype=object)
    for number, melodies in enumerate(NOTES.values()):
        sat = form == number
        for melody in range(shape[0]):
            for place in range(shape[1]):
                at = (sat, melody, place)
                sung[at] = _instead_of(melodies[melody][place], kind[at], side[at])
    return sung


def neighbour(steps: int, side: np.ndarray) -> np.ndarray:
    """Give the neighbouring degree, in steps above do, that uniform numbers ``side`` choose."""
    lean = _LEANS.get(steps, 0)
    up = np.where(side < ALONG_GRAVITY, lean, -lean) if lean else np.where(side < 0.5, 1, -1)
    return steps + up


def _instead_of(note: Note, kind: np.ndarray, side: np.ndarray) -> np.ndarray:
    """Choose by uniform numbers what comes in place of one note; what would be right becomes a neighbour."""
    near = np.array([DEGREES[steps] for steps in neighbour(note.steps, side)], dtype=object)
    tonic = near if note.steps == 0 else DEGREES[0]
    return np.select(
        [kind < NEIGHBOUR, kind < NEIGHBOUR + TONIC, kind < NEIGHBOUR + TONIC + REPEAT],
        [near, tonic, DEGREES[note.before]],
        NO_RESPONSE,
    )
