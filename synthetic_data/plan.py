"""The invented district Two Larches Unified: schools, choirs, calendar, and who teaches how. Facts only, no draws."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

WAVES = ("W0", "W1", "W2")
WAVE_WORDS = ("Sept", "Dec", "Feb")
WAVE_DAYS = (date(2025, 9, 15), date(2025, 12, 8), date(2026, 2, 2))
"""Monday of the week of each test."""
EAR, PAGE, USUAL = "ear-first", "page-first", "as usual"
LEVELS = ("beginning", "developing", "experienced")
RHYTHM_BEATS = 24


@dataclass(frozen=True, slots=True)
class School:
    """A school and its one choir teacher, known by a role only."""

    name: str
    teacher: str
    grades: tuple[int, ...]
    one_form: bool = False
    """Whether everybody sang form A first and form B second."""


@dataclass(frozen=True, slots=True)
class Choir:
    """A choir: its school, how advanced it is, how it is taught, how many sing in it."""

    name: str
    school: School
    level: int
    approach: str
    size: int


_SCHOOLS = (
    (School("Hobnail Lane Middle", "T1", (6, 7, 8)), (EAR, PAGE, EAR), (28, 24, 20)),
    (School("Wicket Lane Middle", "T2", (6, 7, 8), one_form=True), (PAGE, EAR, PAGE), (26, 22, 18)),
    (School("Thimble Hill High", "T3", (9, 10, 11, 12)), (PAGE, EAR, EAR), (30, 27, 21)),
    (School("Ninepin Row High", "T4", (9, 10, 11, 12)), (EAR, PAGE, PAGE), (32, 25, 17)),
    (School("Corduroy Road Middle", "T5", (6, 7, 8)), (USUAL, USUAL), (26, 24)),
)
_KINDS = ("Treble", "Concert", "Chamber")

SCHOOLS = tuple(school for school, _, _ in _SCHOOLS)
CHOIRS = tuple(
    Choir(f"{school.name.split()[0]} {_KINDS[level]}", school, level, approach, size)
    for school, approaches, sizes in _SCHOOLS
    for level, (approach, size) in enumerate(zip(approaches, sizes, strict=True))
)
CHOIR_NAMES = tuple(choir.name for choir in CHOIRS)
CHOIR_OF = np.repeat(np.arange(len(CHOIRS)), [choir.size for choir in CHOIRS])
"""Index of the choir of each student, in the order of the choirs; shape (students,)."""

TWO_CHOIRS = 14
TRANSFERS = 9

_DRILL_WEEKS = (0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 15)
"""Weeks after the first drill week: not the short week in November, not the test week, not the break."""
FIRST_DRILL_DAY = date(2025, 9, 22)
SESSIONS_A_WEEK = 4
DRILL_DAYS = tuple(
    FIRST_DRILL_DAY + timedelta(weeks=week, days=day) for week in _DRILL_WEEKS for day in range(SESSIONS_A_WEEK)
)
BREAK = (date(2025, 12, 20), date(2026, 1, 4))
