"""Simulate how often each interval holds the truth: normal, skewed and ceiling-bound scores, five sizes.

Students are drawn from the invented towns of kit/questions/coverage/worlds.py, asked in the ways of coverage_ways.py.
Where whole choirs are drawn, the size is their number, and each has 25 students. Writes
kit/questions/interval_coverage.csv. Takes half an hour on two processors.
"""

from __future__ import annotations

import csv
import sys
from itertools import product
from multiprocessing import Pool
from pathlib import Path
from typing import get_args
from zlib import crc32

import numpy as np

from kit.questions.coverage import COLUMNS, row
from kit.questions.coverage.draws import Draw
from kit.questions.coverage.ways import WAYS
from kit.questions.coverage.worlds import Scores, world

TARGET = Path(__file__).parents[2] / "kit" / "questions" / "interval_coverage.csv"
SIZES, IN_A_CHOIR, LEVEL = (5, 10, 20, 40, 100), 25, 0.95
SCORES = get_args(Scores)


def cell(task: tuple[str, str, int, int, int]) -> tuple:
    """Simulate one cell of the table."""
    way, scores, n, draws, seed = task
    rng = np.random.default_rng([seed, crc32(way.encode()), SCORES.index(scores), n])
    students, choirs = (IN_A_CHOIR, n) if WAYS[way].counts == "choirs" else (n, 1)
    return row(way, world(scores), Draw(students, choirs, LEVEL, rng), draws)


def main(draws: int = 4_000, processes: int | None = None, seed: int = 20261125) -> None:
    """Write the table."""
    tasks = [(*one, draws, seed) for one in product(WAYS, SCORES, SIZES)]
    with Pool(processes) as pool, TARGET.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        for *counts, truth in pool.imap(cell, tasks, chunksize=5):
            writer.writerow([*counts, f"{truth:.6g}"])


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
