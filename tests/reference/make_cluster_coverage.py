"""Simulate how often each way to compare few choirs is wrong, and how often its interval holds the truth.

Students' scores are normal with SD 1; a share of the variance lies between choirs; both tests correlate 0.6 in and
between choirs; half of the choirs have the program, or 2 of 6 and 3 of 12. Each way is asked as reports ask it: the
wild bootstrap goes through all signs or 9,999 draws, and shuffling through all assignments of whole choirs. Writes
kit/questions/cluster_coverage.csv. Takes about half an hour with one process.
"""

from __future__ import annotations

import csv
import sys
from itertools import product
from multiprocessing import Pool
from pathlib import Path

import numpy as np

from kit.questions.comparison.ways import difference_of
from kit.stats.clusters.choirs import cluster_mean_difference
from kit.stats.clusters.permutation import permutation_clusters
from kit.stats.clusters.robust import cluster_robust
from kit.stats.clusters.wild import cluster_wild
from kit.stats.models import mixed_difference

TARGET = Path(__file__).parents[2] / "kit" / "questions" / "cluster_coverage.csv"
ARMS = ((4, 2), (6, 3), (8, 4), (12, 6), (20, 10), (6, 2), (12, 3))
"""Choirs, and how many of them have the program."""
ALIKE, EFFECT = (0.05, 0.10, 0.20), 0.3
SIZES = {"equal": (25, 25), "unequal": (10, 40)}
WAYS = ("choir means", "CR2", "mixed", "wild", "shuffled", "choirs ignored")
COLUMNS = ("choirs", "program", "sizes", "alike", "way", "draws", "tested", "false_positives", "covered", "found")
CORRELATION = 0.6


def world(arms: tuple[int, int], sizes: str, alike: float, rng: np.random.Generator) -> tuple:
    """Draw one study: second test, choir, program, first test; both arms have choirs of the same sizes."""
    choirs, programs = arms
    each = np.resize(SIZES[sizes], choirs // 2).repeat(2)
    choir = np.repeat(np.arange(choirs), each)
    first, own = (
        np.sqrt(alike) * rng.normal(size=choirs)[choir] + np.sqrt(1 - alike) * rng.normal(size=choir.size)
        for _ in range(2)
    )
    program = ((choir % 2 == 1) & (choir < 2 * programs)).astype(float)
    return CORRELATION * first + np.sqrt(1 - CORRELATION**2) * own, choir, program, first


def asked(
    y: np.ndarray, choir: np.ndarray, program: np.ndarray, first: np.ndarray, rng: np.random.Generator
) -> dict[str, tuple[bool, bool, bool]]:
    """Ask every way whether it tests, whether it holds no difference possible, and a difference of -`EFFECT`."""
    both, options = np.column_stack([program, first]), {"about": "A", "unit": "SD"}
    found = {
        "choir means": cluster_mean_difference(y, choir, program, pretest=first, **options),
        "CR2": cluster_robust(y, choir, both, **options),
        "mixed": mixed_difference(y, choir, both, **options),
        "wild": cluster_wild(y, choir, both, rng=rng, **options),
        # one student a choir: the same method without choirs
        "choirs ignored": cluster_robust(y, np.arange(y.size), both, **options),
    }
    told = {
        way: (one.p is not None, *(one.interval.low <= truth <= one.interval.high for truth in (0, -EFFECT)))
        for way, one in found.items()
    }
    return told | {"shuffled": (True, *(_shuffled(y - truth * program, choir, program, first, rng)
                                        for truth in (0, -EFFECT)))}  # fmt: skip


def _shuffled(
    y: np.ndarray, choir: np.ndarray, program: np.ndarray, first: np.ndarray, rng: np.random.Generator
) -> bool:
    """Tell whether dealing out the approaches again leaves no difference possible."""
    sizes = np.bincount(choir)
    means = np.column_stack([np.bincount(choir, column) / sizes for column in (first, y)])
    arms = np.bincount(choir, program) > 0
    return permutation_clusters(means, arms, rng=rng, statistic=difference_of).p > 0.05


def cell(task: tuple) -> list[tuple]:
    """Simulate one cell of the table, with no difference in truth.

    A difference of `EFFECT` shifts every interval by it and changes nothing else, so one draw answers for both.
    """
    arms, sizes, alike, draws, seed = task
    rng = np.random.default_rng([seed, *arms, len(sizes), round(100 * alike)])
    tested, wrong, held, found = (dict.fromkeys(WAYS, 0) for _ in range(4))
    for _ in range(draws):
        for way, (tests, none, less) in asked(*world(arms, sizes, alike, rng), rng).items():
            tested[way] += tests
            wrong[way] += tests and not none
            held[way] += none
            found[way] += tests and not less
    return [
        (*arms, sizes, alike, way, draws, tested[way], wrong[way] / max(tested[way], 1), held[way] / draws,
         found[way] / draws)
        for way in WAYS
    ]  # fmt: skip


def main(draws: int = 2_000, seed: int = 20261125, processes: int = 1) -> None:
    """Write the table."""
    tasks = [(*one, draws, seed) for one in product(ARMS, SIZES, ALIKE)]
    with Pool(processes) as pool:
        rows = [row for found in pool.imap(cell, tasks) for row in found]
    with TARGET.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        writer.writerows([(*row[:-3], *(f"{share:.4f}" for share in row[-3:])) for row in rows])


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
