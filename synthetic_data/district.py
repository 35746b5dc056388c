"""One district drawn from the model: who is there, who sings which form when, and everything that was sung."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from draws import BoolArray, Draws, FloatArray, IntArray, logistic
from melodies import DISTRICT_TEST
from plan import CHOIR_OF, CHOIRS, EAR, RHYTHM_BEATS, TRANSFERS, TWO_CHOIRS, USUAL
from world import (
    BASE,
    BLIND_ERROR,
    BONUS,
    GROWTH_PROGRAM,
    GROWTH_USUAL,
    LEVEL,
    RIGHT_FAILED,
    USUAL_PRACTICE,
    WRONG_PASSED,
    Choirs,
    Singers,
    ability,
    draw_choirs,
    draw_persons,
    mark,
    rhythm_chance,
    sing,
)

STUDENTS = CHOIR_OF.size
ABSENT = 0.02
LEAVES = 0.035
"""Chance of being away on a test day, and of leaving between two tests."""
LEAVES_AT_NINEPIN = (-2.3, -1.0)
"""At Ninepin Row low starters leave more: logit of leaving = base + slope x standardised first mark."""
BLIND_SAMPLE = 0.30

_LETTERS, _DIGITS = "BCDFGHJKLMNPQRSTVWXZ", "23456789"
_IS_EAR = np.array([choir.approach == EAR for choir in CHOIRS])
_IS_USUAL = np.array([choir.approach == USUAL for choir in CHOIRS])
_LEVEL_OF = np.array([choir.level for choir in CHOIRS])
_ONE_FORM = np.array([choir.school.one_form for choir in CHOIRS])
_AT_NINEPIN = np.array([choir.school.name.startswith("Ninepin") for choir in CHOIRS])


@dataclass(frozen=True, slots=True, kw_only=True)
class District:
    """A district as drawn; S students, 3 waves, 3 melodies of 8 notes.

    Attributes
    ----------
    ids : list of str
        Random codes.
    choir : ndarray of int, shape (S, 3)
        Choir at each wave; the first is the one the student was assigned to.
    second_choir : ndarray of int, shape (S,)
        A second choir, or -1.
    form : ndarray of int, shape (S, 3)
        0 for A, 1 for B.
    state : ndarray of str, shape (S, 3)
        "tested", "absent" or "left".
    start : ndarray, shape (S,)
        Ability at the beginning without the day's deviation.
    right, marked, blind : ndarray of bool, shape (S, 3, 3, 8)
        Notes right, marked right by the own teacher, marked right by the blind rater.
    double : ndarray of bool, shape (S, 3)
        Whether the blind rater heard the recording.
    rhythm : ndarray of int, shape (S, 3)
        Right beats.
    """

    ids: list[str]
    choir: IntArray
    second_choir: IntArray
    form: IntArray
    state: np.ndarray
    start: FloatArray
    right: BoolArray
    marked: BoolArray
    blind: BoolArray
    double: BoolArray
    rhythm: IntArray


def singers(choir: IntArray) -> Singers:
    """Say what is fixed about students of these choirs; ``choir`` has shape (students, 3)."""
    first = choir[:, 0]
    start = BASE + LEVEL[_LEVEL_OF[first]] + USUAL_PRACTICE * _IS_USUAL[first]
    growth = np.where(_IS_USUAL[choir], GROWTH_USUAL, GROWTH_PROGRAM)
    return Singers(start=start, growth=growth, choir=choir)


def bonus(choir: IntArray, variant: str = "strong") -> FloatArray:
    """Give the ear-first bonus of students of these choirs at each wave; shape (students, 3)."""
    return np.where(_IS_EAR[choir], BONUS[variant], 0.0)


def district_choirs() -> Choirs:
    """Draw the choirs' deviations of the district whose files are kept here."""
    return draw_choirs(Draws("two_larches", "choirs"), len(CHOIRS))


def draw_district() -> District:
    """Draw the district whose files are kept here; always the same one."""
    choir, second = _memberships(Draws("two_larches", "memberships"))
    form = _forms(Draws("two_larches", "forms"))
    choirs, persons = district_choirs(), draw_persons(Draws("two_larches", "persons"), STUDENTS)
    fixed = singers(choir)
    able = ability(fixed, choirs, persons)
    right = sing(Draws("two_larches", "notes"), DISTRICT_TEST, able, bonus(choir), form)
    marks = Draws("two_larches", "marks")
    marked = mark(marks, right, passed=WRONG_PASSED, failed=RIGHT_FAILED)
    beats = Draws("two_larches", "rhythm").uniform(STUDENTS, 3, RHYTHM_BEATS)
    return District(
        ids=draw_ids(Draws("two_larches", "ids"), STUDENTS), choir=choir, second_choir=second, form=form,
        state=_states(Draws("two_larches", "states"), marked, choir, second), right=right, marked=marked,
        start=fixed.start + choirs.start[choir[:, 0]] + persons.start,
        blind=mark(marks, right, passed=BLIND_ERROR, failed=BLIND_ERROR),
        double=marks.chance(np.full((STUDENTS, 3), BLIND_SAMPLE)),
        rhythm=(beats < rhythm_chance(able)[..., None]).sum(axis=-1),
    )  # fmt: skip


def draw_ids(draws: Draws, size: int) -> list[str]:
    """Draw different random codes: a letter, a digit, two letters."""
    codes: dict[str, None] = {}
    while len(codes) < size:
        first, third, fourth = (_LETTERS[at] for at in draws.pick(len(_LETTERS), 3))
        codes[first + _DIGITS[int(draws.pick(len(_DIGITS), 1)[0])] + third + fourth] = None
    return list(codes)


def _memberships(draws: Draws) -> tuple[IntArray, IntArray]:
    """Draw transfers (after the second test, within a school, to the next choir) and members of two choirs."""
    choir = np.repeat(CHOIR_OF[:, None], 3, axis=1)
    second = np.full(STUDENTS, -1)
    middle = ((_LEVEL_OF == 1) & ~_IS_USUAL)[CHOIR_OF]
    lower = ((_LEVEL_OF < 2) & ~_IS_USUAL & ~_ONE_FORM)[CHOIR_OF]
    order = draws.order(STUDENTS)
    both = order[middle[order]][:TWO_CHOIRS]
    second[both] = CHOIR_OF[both] + 1
    free = order[lower[order] & (second[order] < 0)]
    moving = free[-TRANSFERS:]
    choir[moving, 2] += 1
    return choir, second


def _forms(draws: Draws) -> IntArray:
    """Draw the first form of each student and cross over; in one school all sing A, B, A."""
    first = draws.pick(2, STUDENTS)
    first[_ONE_FORM[CHOIR_OF]] = 0
    return np.stack([first, 1 - first, first], axis=1)


def _states(draws: Draws, marked: BoolArray, choir: IntArray, second: IntArray) -> np.ndarray:
    """Draw who was away on a test day and who left; movers and members of two choirs stay."""
    first = marked[:, 0].sum(axis=(-2, -1))
    standard = (first - first.mean()) / first.std()
    base, slope = LEAVES_AT_NINEPIN
    leaves = np.where(_AT_NINEPIN[CHOIR_OF], logistic(base + slope * standard), LEAVES)
    stays = (choir[:, 0] != choir[:, 2]) | (second >= 0)
    gone = draws.chance(np.stack([leaves, leaves], axis=1)) & ~stays[:, None]
    away = draws.chance(np.full((STUDENTS, 3), ABSENT))
    state = np.where(away, "absent", "tested")
    state[gone[:, 0], 1:] = "left"
    state[gone[:, 1], 2] = "left"
    return state
