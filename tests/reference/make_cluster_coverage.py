"""Simulate how often each way to compare few choirs is wrong, and how often its interval holds the truth.

Students' scores are normal with SD 1; a share of the variance lies between choirs; both tests correlate 0.6 in and
between choirs; half of the choirs have the program, or 2 of 6 and 3 of 12. Each way is asked as reports ask it: the
wild bootstrap goes through all signs or 9,999 draws, and shuffling through all assignments of whole choirs. The mixed
model drawn anew fits 999 drawings of each study, so it has studies of its own, fewer of them, and only where choirs are
as alike as in the printed table (`DRAWN_ANEW`). Writes kit/questions/cluster_coverage.csv. Takes about half an hour
with one process, and a twentieth of a second more for each study of the mixed model drawn anew; with the word "anew"
only its rows are made again.
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
ANEW = "mixed, drawn anew"
DRAWN_ANEW = {0.10: 500}
"""Share of the variance between choirs -> studies for the mixed model drawn anew; by chance a share of 5 or 95 % of
them has a standard error of 1.0 percentage points."""
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


def anew(task: tuple) -> list[tuple]:
    """Simulate one cell of the table for the mixed model drawn anew, as `cell` does for the others."""
    arms, sizes, alike, draws, seed = task
    rng = stream(arms, sizes, alike, seed)
    told = np.array([asked_anew(*world(arms, sizes, alike, rng), rng) for _ in range(draws)])
    tested = told[:, 0].sum()
    wrong, found = (told[:, 0] & ~told[:, 1]).sum(), (told[:, 0] & ~told[:, 2]).mean()
    return [(*arms, sizes, alike, ANEW, draws, tested, wrong / max(tested, 1), told[:, 1].mean(), found)]


def stream(arms: tuple[int, int], sizes: str, alike: float, seed: int) -> np.random.Generator:
    """Give the mixed model drawn anew draws of its own, so that it can be run without the other ways."""
    return np.random.default_rng([seed, *arms, len(sizes), round(100 * alike), 1])


def asked_anew(
    y: np.ndarray, choir: np.ndarray, program: np.ndarray, first: np.ndarray, rng: np.random.Generator
) -> tuple[bool, bool, bool]:
    """Ask the mixed model drawn anew as `asked` asks the others."""
    both, drawings = np.column_stack([program, first]), np.random.default_rng(rng.integers(1 << 63))
    one = mixed_difference(y, choir, both, about="A", unit="SD", rng=drawings)
    return one.p is not None, *(one.interval.low <= truth <= one.interval.high for truth in (0, -EFFECT))


def written(row: tuple) -> tuple:
    """Write the shares of a row with four digits, and everything as text."""
    return (*map(str, row[:-3]), *(f"{share:.4f}" for share in row[-3:]))


def main(draws: int = 2_000, seed: int = 20261125, processes: int = 1, *, only_anew: bool = False) -> None:
    """Write the table, each cell with the mixed model drawn anew behind the mixed model."""
    cells = list(product(ARMS, SIZES, ALIKE))
    few = [(*one, DRAWN_ANEW[one[-1]], seed) for one in cells if one[-1] in DRAWN_ANEW]
    with Pool(processes) as pool:
        drawn = {task[:3]: rows for task, rows in zip(few, pool.imap(anew, few), strict=True)}
        others = stored() if only_anew else list(pool.imap(cell, [(*one, draws, seed) for one in cells]))
    rows = [
        row for one, own in zip(cells, others, strict=True) for row in (*own[:3], *drawn.get(one, ()), *own[3:])
    ]  # fmt: skip
    with TARGET.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        writer.writerows(map(written, rows))


def stored() -> list[list[tuple]]:
    """Read the rows of the other ways that are stored, cell by cell."""
    with TARGET.open(newline="", encoding="utf-8") as file:
        rows = [tuple(row) for row in list(csv.reader(file))[1:] if ANEW not in row]
    shares = [(*row[:-3], *map(float, row[-3:])) for row in rows]
    return [shares[at : at + len(WAYS)] for at in range(0, len(shares), len(WAYS))]


if __name__ == "__main__":
    words = sys.argv[1:]
    main(*(int(word) for word in words if word != "anew"), only_anew="anew" in words)
