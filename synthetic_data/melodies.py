"""The test melodies: forms A and B of 3 melodies x 8 scored notes, their tags, and how hard each note is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

DEGREES = {-4: "low fa", -3: "low so", -2: "low la", -1: "low ti", 0: "do", 1: "re", 2: "mi", 3: "fa", 4: "so",
           5: "la", 6: "ti", 7: "high do", 8: "high re"}  # fmt: skip
"""Steps above do -> name."""

FORMS = {
    "A": ((1, 2, 3, 4, 2, 0, -3, 0), (1, 3, 2, 4, 5, 4, 2, 0), (4, 7, 6, 5, 3, 1, 2, 0)),
    "B": ((4, 5, 3, 2, 0, -3, 2, 0), (1, 3, 4, 2, 3, 1, 2, 0), (1, 2, 4, 7, 6, 5, 4, 0)),
}
"""Steps above do; do itself is sounded before each melody and is not scored."""
CHOIR_MELODY = ((1, 2, 3, 4, 2, 0, -3, 0, 4, 7, 6, 5, 3, 1, 2, 0),)
"""The one melody of the small demo choir, 16 scored notes."""

_TRIAD = {-3, 0, 2, 4, 7}
_DEGREE_HARD = {-3: 0.5, 0: -1.3, 1: -0.5, 2: -0.6, 3: 0.5, 4: -0.3, 5: 0.4, 6: 0.8, 7: 0.1}
_APPROACH_HARD = {"step": 0.0, "triad skip": 0.4, "other skip": 0.9}
_FORM_HARD = {"A": 0.0, "B": 0.30}


@dataclass(frozen=True, slots=True)
class Note:
    """One scored note: where it is, how it is reached, and whether such notes are drilled in the program."""

    form: str
    melody: int
    place: int
    before: int
    steps: int

    @property
    def degree(self) -> str:
        """Name of the degree."""
        return DEGREES[self.steps]

    @property
    def approach(self) -> str:
        """How the note is reached: step, triad skip or other skip."""
        if abs(self.steps - self.before) == 1:
            return "step"
        return "triad skip" if {self.steps, self.before} <= _TRIAD else "other skip"

    @property
    def drilled(self) -> bool:
        """Whether the note is reached by step inside do-so, or by a skip inside the tonic triad."""
        inside = min(self.steps, self.before) >= 0 and max(self.steps, self.before) <= 4
        return self.approach == "triad skip" or (self.approach == "step" and inside)

    @property
    def hard(self) -> float:
        """How hard the note is, in logits."""
        return _DEGREE_HARD[self.steps] + _APPROACH_HARD[self.approach] + _FORM_HARD[self.form]


def notes(form: str, melodies: tuple[tuple[int, ...], ...]) -> list[list[Note]]:
    """Lay out the notes of the melodies of a form."""
    return [
        [Note(form, number, place, before, steps)
         for place, (before, steps) in enumerate(zip((0, *melody[:-1]), melody, strict=True), 1)]
        for number, melody in enumerate(melodies, 1)
    ]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Test:
    """A test as the model needs it: arrays of shape (forms, melodies, notes).

    Attributes
    ----------
    hard : ndarray of float
        How hard each note is, in logits.
    drilled : ndarray of bool
        Whether such notes are drilled.
    """

    hard: np.ndarray
    drilled: np.ndarray

    @property
    def most(self) -> int:
        """Most points of one form."""
        return int(self.hard[0].size)


def test_of(*forms: list[list[Note]]) -> Test:
    """Gather forms of one length into a test."""
    hard = [[[note.hard for note in melody] for melody in form] for form in forms]
    drilled = [[[note.drilled for note in melody] for melody in form] for form in forms]
    return Test(np.array(hard), np.array(drilled))


NOTES = {form: notes(form, melodies) for form, melodies in FORMS.items()}
DISTRICT_TEST = test_of(NOTES["A"], NOTES["B"])
CHOIR_TEST = test_of(notes("A", CHOIR_MELODY))
