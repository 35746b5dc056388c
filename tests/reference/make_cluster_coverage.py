"""Simulate how often each way to compare few choirs is wrong, and how often its interval holds the truth.

Students' scores are normal with SD 1; a share of the variance lies between choirs; both tests correlate 0.6 in and
between choirs; half of the choirs have the program. Writes kit/questions/cluster_coverage.csv. Takes minutes.
"""

from __future__ import annotations

import csv
import sys
from itertools import product
from multiprocessing import Pool
from pathlib import Path

import numpy as np

from kit.stats.cluster_robust import cluster_robust
from kit.stats.cluster_wild import cluster_wild
from kit.stats.clusters import cluster_mean_difference

TARGET = Path(__file__).parents[2] / "kit" / "questions" / "cluster_coverage.csv"
CHOIRS, ALIKE, EFFECT = (4, 6, 8, 12, 20), (0.05, 0.10, 0.20), 0.3
SIZES = {"equal": (25, 25), "unequal": (10, 40)}
WAYS = ("choir means", "CR2", "wild", "choirs ignored")
COLUMNS = ("choirs", "sizes", "alike", "way", "draws", "tested", "false_positives", "covered", "found")
CORRELATION = 0.6


def world(choirs: int, sizes: str, alike: float, rng: np.random.Generator) -> tuple:
    """Draw one study: second test, choir, program, first test."""
    each = np.resize(SIZES[sizes], choirs // 2).repeat(2)
    choir = np.repeat(np.arange(choirs), each)
    first, own = (
        np.sqrt(alike) * rng.normal(size=choirs)[choir] + np.sqrt(1 - alike) * rng.normal(size=choir.size)
        for _ in range(2)
    )
    program = (choir % 2).astype(float)
    return CORRELATION * first + np.sqrt(1 - CORRELATION**2) * own, choir, program, first


def asked(y: np.ndarray, choir: np.ndarray, program: np.ndarray, first: np.ndarray, rng: np.random.Generator) -> dict:
    """Ask every way; each gives p (or None) and the ends of its interval."""
    both, options = np.column_stack([program, first]), {"about": "A", "unit": "SD"}
    found = {
        "choir means": cluster_mean_difference(y, choir, program, pretest=first, **options),
        "CR2": cluster_robust(y, choir, both, **options),
        "wild": cluster_wild(y, choir, both, rng=rng, draws=399, **options),
        # one student a choir: the same method without choirs
        "choirs ignored": cluster_robust(y, np.arange(y.size), both, **options),
    }
    return {way: (one.p, one.interval.low, one.interval.high) for way, one in found.items()}


def cell(task: tuple) -> list[tuple]:
    """Simulate one cell of the table, with no difference in truth.

    A difference of `EFFECT` shifts every interval by it and changes nothing else, so one draw answers for both.
    """
    choirs, sizes, alike, draws, seed = task
    rng = np.random.default_rng([seed, choirs, len(sizes), round(100 * alike)])
    tested, wrong, held, found = (dict.fromkeys(WAYS, 0) for _ in range(4))
    for _ in range(draws):
        for way, (p, low, high) in asked(*world(choirs, sizes, alike, rng), rng).items():
            tested[way] += p is not None
            wrong[way] += p is not None and not low <= 0 <= high
            held[way] += low <= 0 <= high
            found[way] += p is not None and not low <= -EFFECT <= high
    return [
        (choirs, sizes, alike, way, draws, tested[way], wrong[way] / max(tested[way], 1), held[way] / draws,
         found[way] / draws)
        for way in WAYS
    ]  # fmt: skip


def main(draws: int = 2_000, seed: int = 20261125) -> None:
    """Write the table."""
    tasks = [(*one, draws, seed) for one in product(CHOIRS, SIZES, ALIKE)]
    with Pool() as pool, TARGET.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        for rows in pool.imap(cell, tasks):
            writer.writerows([(*row[:-3], *(f"{share:.4f}" for share in row[-3:])) for row in rows])


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
