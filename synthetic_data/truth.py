"""What is true in the synthetic worlds, by a large simulation of the same model, each number with its Monte Carlo error."""

from __future__ import annotations

import json
from pathlib import Path

import choir_file
import numpy as np
from district import (
    BONUS,
    CHOIR_GROWTH_SPREAD,
    CHOIR_SPREAD,
    DAY_SPREAD,
    FORMS,
    LEVELS,
    RHYTHM,
    RHYTHM_GROWTH,
    RHYTHM_SHARED,
    Choir,
    draw_abilities,
)
from scipy.special import expit
from world import Array, expected_right, marked_by_teacher, sing, stream

SEED = 2026
STUDENTS = 200_000
"""Simulated students, each in a choir of their own, so that choirs vary as in the model."""
MEANING = (
    "Expectations over all students and choirs that the model could draw, one third of the choirs at each level, both "
    "forms sung equally often. Approaches are compared on the same drawn students. Shares are of notes sung right, "
    "except where 'as marked' says that the choir's own teacher marked them. error: one Monte Carlo standard error; "
    "0 where the model makes the number exact."
)
_LATER = ((1, "December"), (2, "February"))


def truth(students: int = STUDENTS) -> dict:
    """Compute every known truth.

    Parameters
    ----------
    students : int, optional
        How many students to simulate for each number.

    Returns
    -------
    dict
        Nested by world; each number is ``{"value", "error", "unit"}``. Singers are drawn; their notes are
        not, since the probability of each note is worked out.
    """
    before, after = choir_file.expected_points(stream(SEED, "one choir"), students)
    one_choir = {"score in September": before, "score in December": after, "gain": after - before}
    return {
        "meaning": MEANING,
        "students": students,
        "one_choir": {name: _number(values, "points of 16") for name, values in one_choir.items()},
        "two_larches": {setting: district_truth(setting, students) for setting in BONUS},
    }


def write_truth(folder: Path) -> None:
    """Write ``truth.json``."""
    (folder / "truth.json").write_bytes((json.dumps(truth(), indent=1) + "\n").encode())


def district_truth(setting: str, students: int) -> dict[str, dict]:
    """Compute the truths of the district.

    Parameters
    ----------
    setting : str
        Size of the ear-first bonus, a key of ``district.BONUS``.
    students : int
        How many students to simulate.

    Returns
    -------
    dict
        What -> number.
    """
    sung = {approach: _shares(approach, setting, students) for approach in ("ear-first", "page-first", "usual")}
    ear, page = sung["ear-first"], sung["page-first"]
    found = {"spread of scores in September": _spread(students)}
    for when, month in _LATER:
        for approach, shares in sung.items():
            after, before = shares["all"][when], shares["all"][0]
            found[f"gain to {month}, {approach}"] = _number(after - before, "share")
            marked = marked_by_teacher(after, when) - marked_by_teacher(before, 0)
            found[f"gain to {month} as marked, {approach}"] = _number(marked, "share")
        for notes in ("all", "drilled", "undrilled", "rhythm"):
            found[f"ear-first minus page-first in {month}, {notes}"] = _number(ear[notes][when] - page[notes][when], "share")
    return found


def choir_gain(choir: Choir, *, level: float, growth: float, setting: str, students: int) -> dict:
    """Compute one choir's expected gain to December, as its own teacher marks, in points of 24.

    The truth is about all students that the model could put into this choir: what the choir adds is held
    fixed, students are drawn. An interval from its tested students is an interval for this number.

    Parameters
    ----------
    choir : Choir
        Its level and approach.
    level, growth : float
        What the choir adds to ability and growth, in logits.
    setting : str
        Size of the ear-first bonus.
    students : int
        How many students to simulate.

    Returns
    -------
    dict
        The number.
    """
    rng, members = stream(SEED, "choir"), np.zeros(students, dtype=int)
    theta, _ = draw_abilities(rng, members, (choir,), np.array([level]), np.array([growth]))
    bonus = BONUS[setting][0] * (choir.approach == "ear-first")
    points = []
    for when, extra in ((0, 0.0), (1, bonus)):
        chance = np.mean([expected_right(theta[:, when], items, bonus=extra) for items in FORMS], axis=0)
        points.append(marked_by_teacher(chance, when).sum(axis=1))
    return _number(points[1] - points[0], "points of 24")


def _shares(approach: str, setting: str, students: int) -> dict[str, list[Array]]:
    """Work out each student's expected shares on the three occasions; the same students for every approach."""
    theta, shared = _population(approach, students)
    shares: dict[str, list[Array]] = {"all": [], "drilled": [], "undrilled": [], "rhythm": []}
    for when in range(3):
        bonus = (0.0, *BONUS[setting])[when] * (approach == "ear-first")
        chances = [expected_right(theta[:, when], items, bonus=bonus) for items in FORMS]
        for notes, kept in (("all", (True, False)), ("drilled", (True,)), ("undrilled", (False,))):
            parts = [c[:, np.isin(items.drilled, kept)] for c, items in zip(chances, FORMS, strict=True)]
            shares[notes].append(np.mean([part.mean(axis=1) for part in parts], axis=0))
        day = stream(SEED, f"rhythm {when}").normal(0, DAY_SPREAD, students)
        shares["rhythm"].append(expit(RHYTHM + RHYTHM_SHARED * shared + RHYTHM_GROWTH[when] + day))
    return shares


def _population(approach: str, students: int) -> tuple[Array, Array]:
    """Draw students, one third of each level, each in a choir of their own."""
    rng = stream(SEED, "district")
    choirs = tuple(Choir("", "", level, approach, "") for level in LEVELS)
    level, growth = rng.normal(0, CHOIR_SPREAD, students), rng.normal(0, CHOIR_GROWTH_SPREAD, students)
    none = np.zeros(len(choirs))
    theta, shared = draw_abilities(rng, np.arange(students) % len(choirs), choirs, none, none)
    theta += level[:, None]
    theta[:, 1:] += growth[:, None]
    return theta, shared + level


def _spread(students: int) -> dict:
    """Find the standard deviation of first scores; here the notes are drawn too, half of the singers on each form."""
    rng = stream(SEED, "spread")
    theta, _ = _population("page-first", students)
    halves = np.array_split(rng.permutation(students), 2)
    scores = np.concatenate([sing(theta[h, 0], items, rng).mean(axis=1) for h, items in zip(halves, FORMS, strict=True)])
    return {"value": float(scores.std(ddof=1)), "error": float(scores.std(ddof=1) / np.sqrt(2 * students)), "unit": "share"}


def _number(values: Array, unit: str) -> dict:
    """Give a mean with its Monte Carlo standard error."""
    return {"value": float(values.mean()), "error": float(values.std(ddof=1) / np.sqrt(values.size)), "unit": unit}
