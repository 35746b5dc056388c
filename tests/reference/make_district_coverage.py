"""Simulate the invented district again and again, and see how each way to compare its approaches does.

Everything is drawn anew but who sings in which choir: choirs, singers, days, notes, marks, who is away or leaves, and
the lot that deals out the approaches inside each school. Pitch has the difference that the district was made with
(what a perfect evaluation would find is computed by `truth`), rhythm has none. 2, 4 (the district) and 8 schools of
3 choirs; each way is asked as reports ask it. Writes kit/questions/district_coverage.csv. Takes minutes.
"""

from __future__ import annotations

import csv
import sys
from itertools import product
from multiprocessing import Pool
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "synthetic_data"))

from district import ABSENT, LEAVES, LEAVES_AT_NINEPIN  # noqa: E402
from draws import Draws, logistic  # noqa: E402
from melodies import DISTRICT_TEST  # noqa: E402
from plan import CHOIRS, EAR, RHYTHM_BEATS, USUAL  # noqa: E402
from world import (  # noqa: E402
    BASE,
    BONUS,
    GROWTH_PROGRAM,
    LEVEL,
    RIGHT_FAILED,
    WRONG_PASSED,
    Singers,
    ability,
    as_marked,
    draw_choirs,
    draw_persons,
    expected_right,
    mark,
    rhythm_chance,
    sing,
)

from kit.questions.compared import Rows  # noqa: E402
from kit.questions.comparison import ways  # noqa: E402

TARGET = ROOT / "kit" / "questions" / "district_coverage.csv"
SCHOOLS, OUTCOMES = (2, 4, 8), ("pitch", "rhythm")
PROGRAM = [choir for choir in CHOIRS if choir.approach != USUAL]
EACH = 3
"""Choirs of a school."""
WAYS = ("choir means", "choir means, schools apart", "CR2", "CR2, schools apart", "mixed", "wild",
        "shuffled", "shuffled, schools apart", "choirs ignored")  # fmt: skip
COLUMNS = ("schools", "choirs", "outcome", "truth", "way", "draws", "tested", "positives", "covered", "mean", "spread")


def choirs_of(schools: int) -> list:
    """List the choirs of the first schools, the same schools again where there are more than four."""
    return [PROGRAM[at % len(PROGRAM)] for at in range(EACH * schools)]


def truth(schools: int, persons: int = 100_000) -> float:
    """Compute what ear-first adds in December as marked, in points, on average over the students of these choirs."""
    draws, by_level = Draws("truth", "levels"), []
    for level in range(len(LEVEL)):
        able = _able(draws, np.full(persons, level), np.arange(persons))[:, 1]
        both = [
            np.mean([expected_right(DISTRICT_TEST, able, bonus, form).sum(axis=-1) for form in (0, 1)])
            for bonus in (BONUS["strong"][1], 0.0)
        ]
        by_level.append(float(np.subtract(*(as_marked(right, DISTRICT_TEST.most, 1) for right in both))))
    choirs = choirs_of(schools)
    return float(np.average([by_level[choir.level] for choir in choirs], weights=[choir.size for choir in choirs]))


def _able(draws: Draws, level: np.ndarray, choir: np.ndarray) -> np.ndarray:
    """Draw abilities at each test of singers in choirs of these levels."""
    who = np.repeat(choir[:, None], 3, axis=1)
    fixed = Singers(start=BASE + LEVEL[level], growth=np.broadcast_to(GROWTH_PROGRAM, who.shape), choir=who)
    return ability(fixed, draw_choirs(draws, int(choir.max()) + 1), draw_persons(draws, choir.size))


def world(schools: int, draws: Draws) -> dict[str, Rows]:
    """Draw one district: the students tested both times, by outcome."""
    choirs = choirs_of(schools)
    choir = np.repeat(np.arange(len(choirs)), [one.size for one in choirs])
    level, one_form, at_ninepin = (
        np.array(column)[choir]
        for column in zip(*((c.level, c.school.one_form, c.school.name.startswith("Ninepin")) for c in choirs), strict=True)
    )  # fmt: skip
    lots = [draws.order(EACH) < sum(one.approach == EAR for one in choirs[at : at + EACH])
            for at in range(0, len(choirs), EACH)]  # fmt: skip
    ear = np.concatenate(lots)[choir]
    able = _able(draws, level, choir)[:, :2]
    first = np.where(one_form, 0, draws.pick(2, choir.size))
    right = sing(draws, DISTRICT_TEST, able, ear[:, None] * BONUS["strong"][:2], np.stack([first, 1 - first], axis=1))
    marks = mark(draws, right, passed=WRONG_PASSED[:2], failed=RIGHT_FAILED).sum(axis=(-2, -1))
    beats = (draws.uniform(choir.size, 2, RHYTHM_BEATS) < rhythm_chance(able)[..., None]).sum(axis=-1)
    base, slope = LEAVES_AT_NINEPIN
    standard = (marks[:, 0] - marks[:, 0].mean()) / marks[:, 0].std()
    leaves = draws.chance(np.where(at_ninepin, logistic(base + slope * standard), LEAVES))
    here = ~leaves & ~draws.chance(np.full(marks.shape, ABSENT)).any(axis=1)
    names, school = (np.array([f"{at:02}" for at in places])[choir][here]
                     for places in (range(len(choirs)), np.arange(len(choirs)) // EACH))  # fmt: skip
    return {
        outcome: Rows(pre=scores[here, 0].astype(float), post=scores[here, 1].astype(float), program=ear[here],
                      choir=names, block=school, unit="points", nameless=0)
        for outcome, scores in zip(OUTCOMES, (marks, beats), strict=True)
    }  # fmt: skip


def asked(rows: Rows, rng: np.random.Generator) -> dict[str, object]:
    """Ask the ways that a report asks, adjusted for the first test, as the lot allows.

    The mixed model drawn anew is left out, since it would take longer than all others together.
    """
    options = {"model": "adjusted", "about": "A"}
    return {
        "choir means": ways.choir_means_difference(rows, level=0.95, **options),
        "choir means, schools apart": ways.choir_means_difference(rows, level=0.95, schools=True, **options),
        "CR2": ways.sandwich(rows, level=0.95, **options),
        "CR2, schools apart": ways.sandwich(rows, level=0.95, schools=True, **options),
        "mixed": ways.mixed(rows, level=0.95, **options),
        "wild": ways.wild(rows, level=0.95, rng=rng, draws=9_999, **options),
        "shuffled": ways.shuffled(rows, rng=rng, draws=9_999, **options)[0],
        "shuffled, schools apart": ways.shuffled(rows, rng=rng, draws=9_999, schools=True, **options)[0],
        "choirs ignored": ways.one_by_one(rows, level=0.95, **options),
    }


def cell(task: tuple[int, int, int]) -> list[tuple]:
    """Simulate districts of some schools, both outcomes."""
    schools, draws, seed = task
    stream, rng = Draws("district coverage", seed, schools), np.random.default_rng([seed, schools])
    true = {"pitch": truth(schools), "rhythm": 0.0}
    told: dict[tuple[str, str], list[tuple]] = {key: [] for key in product(OUTCOMES, WAYS)}
    for _ in range(draws):
        for outcome, rows in world(schools, stream).items():
            for way, one in asked(rows, rng).items():
                told[outcome, way].append(_judged(one, true[outcome]))
    return [_row(schools, outcome, true[outcome], way, np.array(found)) for (outcome, way), found in told.items()]


def _judged(one: object, true: float) -> tuple[float, bool, bool, bool]:
    """Give the difference found, whether it was tested, whether it came out apart from zero, whether it held the truth.

    Shuffling has no interval; what it holds is judged where nothing differs.
    """
    tested = one.p is not None
    if one.interval is None:
        return one.value, tested, one.p <= 0.05, one.p > 0.05
    low, high = one.interval.low, one.interval.high
    return one.value, tested, tested and not low <= 0 <= high, low <= true <= high


def _row(schools: int, outcome: str, true: float, way: str, found: np.ndarray) -> tuple:
    """Sum up the draws of one way; shares are of those tested."""
    value, tested, apart, held = found.T
    known = "" if way.startswith("shuffled") and true else f"{held.mean():.4f}"
    return (
        schools, EACH * schools, outcome, f"{true:.4f}", way, len(found), int(tested.sum()),
        f"{apart.sum() / max(tested.sum(), 1):.4f}", known, f"{value.mean():.4f}", f"{value.std(ddof=1):.4f}",
    )  # fmt: skip


def main(draws: int = 2_000, seed: int = 20261125, processes: int = 1) -> None:
    """Write the table."""
    with Pool(processes) as pool:
        rows = [row for found in pool.imap(cell, [(schools, draws, seed) for schools in SCHOOLS]) for row in found]
    with TARGET.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        writer.writerows(rows)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
