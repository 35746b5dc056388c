"""The generating model: how well each student sings, which notes come out right, and what the raters write down.

Every function works on whole arrays, so that thousands of worlds can be drawn at once. Leading axes are free (worlds,
students, waves); notes are the last two axes (melodies, notes).
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from draws import BoolArray, Draws, FloatArray, IntArray, logistic
from melodies import Test

LEVEL = np.array([0.0, 0.5, 1.1])
BASE, USUAL_PRACTICE = 0.15, 0.20
CHOIR_SD, STUDENT_SD, OCCASION_SD = 0.35, 1.0, 0.45
CHOIR_GROWTH_SD, STUDENT_GROWTH_SD = 0.20, 0.35
GROWTH_USUAL = np.array([0.0, 0.35, 0.25])
GROWTH_PROGRAM = np.array([0.0, 0.55, 0.35])
"""Mean growth at each wave: as usual, and under both approaches of the program."""
BONUS = {"strong": np.array([0.0, 0.90, 0.85]), "weak": np.array([0.0, 0.45, 0.40]), "null": np.zeros(3)}
"""What ear-first adds on drilled notes at each wave; the files are drawn from ``strong``."""
AFTER_A_WRONG_NOTE = -0.7
WRONG_PASSED = np.array([0.06, 0.12, 0.10])
RIGHT_FAILED = 0.03
BLIND_ERROR = 0.04
"""Teachers pass more wrong notes once they expect progress; the blind rater errs alike both ways."""
RHYTHM_BASE, RHYTHM_SLOPE = 0.5, 0.6
"""Chance of a right beat, as a logit: base + slope x ability; never touched by the ear-first bonus."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Singers:
    """What is fixed about the students before anything is drawn; arrays of shape (students,) or (students, 3).

    Attributes
    ----------
    start : ndarray, shape (students,)
        Mean ability at the first test without the choir's own deviation.
    growth : ndarray, shape (students, 3)
        Mean growth at each wave.
    choir : ndarray of int, shape (students, 3)
        Choir sung in at each wave.
    """

    start: FloatArray
    growth: FloatArray
    choir: IntArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Choirs:
    """Deviations of the choirs: ``start`` and ``growth`` of shape (..., choirs)."""

    start: FloatArray
    growth: FloatArray


def draw_choirs(draws: Draws, *shape: int) -> Choirs:
    """Draw the deviations of the choirs; ``shape`` ends in the number of choirs."""
    return Choirs(start=draws.normal(*shape, sd=CHOIR_SD), growth=draws.normal(*shape, sd=CHOIR_GROWTH_SD))


@dataclass(frozen=True, slots=True)
class Persons:
    """Deviations of the students: ``start`` and ``growth`` of shape (..., students), ``day`` (..., students, 3)."""

    start: FloatArray
    growth: FloatArray
    day: FloatArray = field(repr=False)


def draw_persons(draws: Draws, *shape: int) -> Persons:
    """Draw the deviations of the students; ``shape`` ends in the number of students."""
    return Persons(
        draws.normal(*shape, sd=STUDENT_SD),
        draws.normal(*shape, sd=STUDENT_GROWTH_SD),
        draws.normal(*shape, 3, sd=OCCASION_SD),
    )


def ability(singers: Singers, choirs: Choirs, persons: Persons) -> FloatArray:
    """Add up how well each student sings at each wave, in logits, without any bonus.

    Parameters
    ----------
    singers, choirs, persons : Singers, Choirs, Persons
        What is fixed, and the deviations drawn.

    Returns
    -------
    ndarray, shape (..., students, 3)
        Ability. A student's start goes with the first choir; growth with the choir of each wave.
    """
    start = singers.start + choirs.start[..., singers.choir[:, 0]] + persons.start
    growth = singers.growth + choirs.growth[..., singers.choir] + persons.growth[..., None]
    growth[..., 0] = 0.0
    return start[..., None] + growth + persons.day


def expected_right(test: Test, ability: FloatArray, bonus: FloatArray | float, form: int) -> FloatArray:
    """Expect how many notes of one form come out right.

    Exact for the given ability: the chance of each note is carried along the melody, since a note
    is harder after a wrong one.

    Parameters
    ----------
    test : Test
        The test.
    ability : ndarray, shape (...)
        Ability of each sitting, in logits.
    bonus : ndarray or float
        What is added on drilled notes; broadcast to `ability`.
    form : int
        Which form.

    Returns
    -------
    ndarray, shape (..., 2)
        Expected number of right notes, undrilled and drilled.
    """
    odds = (np.exp(ability), np.exp(ability + bonus))
    right = np.zeros((2, *np.shape(odds[1])))
    for melody, drilled in zip(test.hard[form], test.drilled[form], strict=True):
        chance: FloatArray | float = 1.0
        for hard, drill in zip(melody, drilled, strict=True):
            sure = odds[int(drill)] * np.exp(-hard)
            shaken = sure * np.exp(AFTER_A_WRONG_NOTE)
            after_wrong = shaken / (1.0 + shaken)
            chance = after_wrong + chance * (sure / (1.0 + sure) - after_wrong)
            right[int(drill)] += chance
    return np.moveaxis(right, 0, -1)


def sing(draws: Draws, test: Test, ability: FloatArray, bonus: FloatArray | float, form: IntArray | int) -> BoolArray:
    """Draw which notes come out right.

    Parameters
    ----------
    draws : Draws
        Stream of random numbers.
    test : Test
        The test.
    ability : ndarray, shape (...)
        Ability of each sitting, in logits.
    bonus : ndarray or float
        What is added on drilled notes; broadcast to `ability`.
    form : ndarray of int or int
        Form of each sitting; broadcast to `ability`.

    Returns
    -------
    ndarray of bool, shape (..., melodies, notes)
        Which notes were right.
    """
    form = np.broadcast_to(form, ability.shape)
    right = np.empty((*ability.shape, *test.hard.shape[1:]), dtype=bool)
    for melody in range(test.hard.shape[1]):
        before = np.ones(ability.shape, dtype=bool)
        for place in range(test.hard.shape[2]):
            at = (form, melody, place)
            logit = ability + bonus * test.drilled[at] - test.hard[at] + AFTER_A_WRONG_NOTE * ~before
            before = right[..., melody, place] = draws.chance(logistic(logit))
    return right


def mark(draws: Draws, right: BoolArray, *, passed: FloatArray | float, failed: float) -> BoolArray:
    """Draw what a rater marks as right; ``passed`` is the chance that a wrong note is, broadcast over notes."""
    passed = np.asarray(passed)[..., None, None]
    return draws.chance(np.where(right, 1.0 - failed, passed))


def as_marked(right: FloatArray, notes: FloatArray | float, wave: int) -> FloatArray:
    """Expect what the own teacher marks, of ``notes`` notes of which ``right`` are right."""
    return right * (1.0 - RIGHT_FAILED) + (notes - right) * WRONG_PASSED[wave]


def rhythm_chance(ability: FloatArray) -> FloatArray:
    """Chance of a right beat."""
    return logistic(RHYTHM_BASE + RHYTHM_SLOPE * ability)
