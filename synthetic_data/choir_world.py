"""The small demo choir: one melody of 16 notes, sung before and after a term, marked by the own teacher."""

from __future__ import annotations

import numpy as np
from draws import BoolArray, Draws, FloatArray
from melodies import CHOIR_TEST
from world import (
    BASE,
    GROWTH_PROGRAM,
    OCCASION_SD,
    RIGHT_FAILED,
    STUDENT_GROWTH_SD,
    STUDENT_SD,
    WRONG_PASSED,
    mark,
    sing,
)

SINGERS = 22


def choir_ability(draws: Draws, *shape: int) -> FloatArray:
    """Draw abilities of beginning singers before and after a term; shape (..., students, 2)."""
    start, growth = draws.normal(*shape, sd=STUDENT_SD), draws.normal(*shape, sd=STUDENT_GROWTH_SD)
    able = BASE + start[..., None] + draws.normal(*shape, 2, sd=OCCASION_SD)
    able[..., 1] += GROWTH_PROGRAM[1] + growth
    return able


def choir_marks(draws: Draws, able: FloatArray) -> BoolArray:
    """Draw which notes the teacher marks as right; shape (..., students, 2, 1, 16)."""
    right = sing(draws, CHOIR_TEST, able, 0.0, 0)
    return mark(draws, right, passed=WRONG_PASSED[:2], failed=RIGHT_FAILED)


def choir_points(draws: Draws, *shape: int) -> np.ndarray:
    """Draw marks of ``shape`` singers of 16 points, before and after; shape (..., students, 2)."""
    return choir_marks(draws, choir_ability(draws, *shape)).sum(axis=(-2, -1))
