"""truth.json: what a perfect evaluation would find, computed by large simulation of the generating model."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
from choir_world import choir_ability
from district import bonus, district_choirs, singers
from draws import SEED, Draws, FloatArray
from melodies import CHOIR_TEST, DISTRICT_TEST
from plan import CHOIR_OF, CHOIRS, EAR, PAGE, USUAL
from world import (
    BONUS,
    Choirs,
    ability,
    as_marked,
    draw_choirs,
    draw_persons,
    expected_right,
    rhythm_chance,
    sing,
)

DISTRICTS, BATCH = 20_000, 10
STUDENTS_PER_CHOIR = 50_000
CHOIR_SINGERS = 400_000
TESTED_DISTRICTS = 500
"""How many districts are also sung note by note, for the spread of the first test."""

PROGRAM = np.array([choir.approach != USUAL for choir in CHOIRS])[CHOIR_OF]
_DRILLED = int(DISTRICT_TEST.drilled[0].sum())
_NOTES = {"all": DISTRICT_TEST.most, "drilled": _DRILLED, "undrilled": DISTRICT_TEST.most - _DRILLED}
_LATER = ((1, "W0-W1"), (2, "W0-W2"))
Means = dict[tuple[str, ...], np.ndarray]
"""What is measured (its path in truth.json) -> one value for each district drawn."""


def write_truth(path: Path, step: Callable[[str], None] = lambda _: None) -> None:
    """Compute everything and write it."""
    truth = {
        "made_by": "python synthetic_data/make.py --truth", "seed": SEED, "districts": DISTRICTS,
        "unit": "percent of notes (beats for rhythm) unless a key says otherwise; both forms weigh the same",
        "error": "monte_carlo_error: standard error of a value that comes from having drawn only so many worlds",
        "two_larches": district_truth(DISTRICTS, step), "one_choir": choir_truth(CHOIR_SINGERS),
    }  # fmt: skip
    truth["two_larches"]["spread_of_first_test"] = first_test_spread(TESTED_DISTRICTS)
    truth["two_larches"]["choirs"] = {choir.name: one_choir_of_the_district(choir.name) for choir in CHOIRS}
    path.write_bytes((json.dumps(truth, indent=1) + "\n").encode())


def district_truth(districts: int, step: Callable[[str], None] = lambda _: None, *, stream: str = "districts") -> dict:
    """Average over many districts what each approach does, to the same students.

    Parameters
    ----------
    districts : int
        How many districts to draw.
    step : callable, optional
        Told how far it is.
    stream : str, optional
        Name of the stream of random numbers; another one gives other districts.

    Returns
    -------
    dict
        ``growth`` for each approach; ``ear_minus_page`` for each variant, wave and kind of note. Growth
        under ear-first is what all twelve choirs of the program would show if all were taught so; page-first
        likewise; as usual is Corduroy Road's.
    """
    draws, found = Draws("truth", stream), []
    for done in range(0, districts, BATCH):
        found.append(dict(_district_means(draws, min(BATCH, districts - done))))
        if done % 2000 == 0:
            step(f"{done:,} of {districts:,} districts")
    return _nested({path: np.concatenate([means[path] for means in found]) for path in found[0]})


def _district_means(draws: Draws, districts: int) -> Iterator[tuple[tuple[str, ...], np.ndarray]]:
    """Give one value for each of several districts, for everything that is measured."""
    choir = np.repeat(CHOIR_OF[:, None], 3, axis=1)
    able = ability(
        singers(choir), draw_choirs(draws, districts, len(CHOIRS)), draw_persons(draws, districts, CHOIR_OF.size)
    )
    usual = able[:, ~PROGRAM]
    able = able[:, PROGRAM]
    page = _percents(able, np.zeros(3), (0, 1, 2))
    yield from _growth(page, PAGE)
    yield from _growth(_percents(usual, np.zeros(3), (0, 1, 2)), USUAL)
    for variant, added in BONUS.items():
        ear = _percents(able, added, (1, 2))
        yield from _growth(page | ear, EAR, variant)
        for (wave, kind, by), values in ear.items():
            yield ("ear_minus_page", variant, f"W{wave}", kind, by), values - page[wave, kind, by]


def _growth(percents: dict, *approach: str) -> Iterator[tuple[tuple[str, ...], np.ndarray]]:
    """Subtract the first test from the later ones."""
    for wave, span in _LATER:
        for kind in (*_NOTES, "rhythm"):
            for by in ("sung", "as_marked"):
                if (wave, kind, by) in percents:
                    yield ("growth", *approach, span, kind, by), percents[wave, kind, by] - percents[0, kind, by]


def _percents(able: FloatArray, added: FloatArray, waves: tuple[int, ...]) -> dict[tuple[int, str, str], np.ndarray]:
    """Expect percents right at some waves, as sung and as the own teacher marks them; able has (..., students, 3)."""
    percents = {}
    for wave in waves:
        at_wave = np.ascontiguousarray(able[..., wave])
        both = [expected_right(DISTRICT_TEST, at_wave, added[wave], form) for form in range(len(DISTRICT_TEST.hard))]
        right = sum(both).mean(axis=-2) / len(both)
        counts = {"all": right.sum(axis=-1), "drilled": right[..., 1], "undrilled": right[..., 0]}
        for kind, notes in _NOTES.items():
            percents[wave, kind, "sung"] = 100 * counts[kind] / notes
            percents[wave, kind, "as_marked"] = 100 * as_marked(counts[kind], notes, wave) / notes
        percents[wave, "rhythm", "sung"] = 100 * rhythm_chance(at_wave).mean(axis=-1)
    return percents


def first_test_spread(districts: int) -> dict:
    """Average the standard deviation of the first test among the students of the program, in percent of notes."""
    draws, spreads = Draws("truth", "spread"), []
    choir = np.repeat(CHOIR_OF[:, None], 3, axis=1)
    for done in range(0, districts, BATCH):
        times = min(BATCH, districts - done)
        able = ability(
            singers(choir), draw_choirs(draws, times, len(CHOIRS)), draw_persons(draws, times, CHOIR_OF.size)
        )[:, PROGRAM, 0]
        right = sing(draws, DISTRICT_TEST, able, 0.0, draws.pick(2, *able.shape)).sum(axis=(-2, -1))
        spreads.append(100 / DISTRICT_TEST.most * right.std(axis=1, ddof=1))
    return _value(np.concatenate(spreads))


def choir_ability_of_the_district(draws: Draws, name: str, *shape: int) -> tuple[FloatArray, FloatArray]:
    """Draw new students of one choir of the district kept here, whose own deviations stay what they are.

    Parameters
    ----------
    draws : Draws
        Stream of random numbers.
    name : str
        Name of the choir.
    *shape : int
        How many students; more than one number draws several choirs of such students.

    Returns
    -------
    able : ndarray, shape (..., students, 3)
        Abilities.
    bonus : ndarray, shape (3,)
        The choir's ear-first bonus at each wave.
    """
    at = [choir.name for choir in CHOIRS].index(name)
    choir = np.full((shape[-1], 3), at)
    kept = district_choirs()
    able = ability(singers(choir), Choirs(start=kept.start, growth=kept.growth), draw_persons(draws, *shape))
    return able, bonus(choir)[0]


def one_choir_of_the_district(name: str, students: int = STUDENTS_PER_CHOIR) -> dict:
    """Expect the gains of one choir of the district kept here, in points of 24, with the forms it sang."""
    choir = next(choir for choir in CHOIRS if choir.name == name)
    able, added = choir_ability_of_the_district(Draws("truth", name), name, students)
    forms = ((0, 1, 0),) if choir.school.one_form else ((0, 1, 0), (1, 0, 1))
    marks = sum(
        np.stack([expected_right(DISTRICT_TEST, able[:, wave], added[wave], form[wave]).sum(axis=-1)
                  for wave in range(3)], axis=-1)
        for form in forms
    ) / len(forms)  # fmt: skip
    spans = {}
    for wave, span in _LATER:
        sung = marks[:, wave] - marks[:, 0]
        marked = as_marked(marks[:, wave], DISTRICT_TEST.most, wave) - as_marked(marks[:, 0], DISTRICT_TEST.most, 0)
        spans[span] = {"sung": _value(sung), "as_marked": _value(marked)}
    return {"approach": choir.approach, "unit": "points of 24", **spans}


def choir_truth(students: int) -> dict:
    """Expect the gain of the small demo choir, in points of 16."""
    able = choir_ability(Draws("truth", "one_choir"), students)
    right = expected_right(CHOIR_TEST, able, 0.0, 0).sum(axis=-1)
    most = CHOIR_TEST.most
    marked = as_marked(right[:, 1], most, 1) - as_marked(right[:, 0], most, 0)
    return {
        "unit": "points of 16", "students": students, "first_test_sung": _value(right[:, 0]),
        "growth": {"sung": _value(right[:, 1] - right[:, 0]), "as_marked": _value(marked)},
    }  # fmt: skip


def _value(values: np.ndarray) -> dict[str, float]:
    """Give the mean of simulated values and its Monte Carlo error."""
    error = float(values.std(ddof=1) / np.sqrt(values.size))
    return {"value": round(float(values.mean()), 6), "monte_carlo_error": round(error, 6)}


def _nested(means: Means) -> dict:
    """Hang each value into the place that its path names."""
    nested: dict = {}
    for path, values in means.items():
        place = nested
        for key in path[:-1]:
            place = place.setdefault(key, {})
        place[path[-1]] = _value(values)
    return nested
