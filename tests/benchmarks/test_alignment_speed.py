"""How fast a log of sung answers is aligned with its targets, against a general edit-distance library row by row."""

from __future__ import annotations

import gc
import time

import numpy as np
import pandas as pd
import pytest
from rapidfuzz.distance import Levenshtein

from kit.load.melody.alignment import align

ROWS, TARGETS, SLIPPED = 1_000_000, 400, 280_000
RIGHT, SUBSTITUTED, OMITTED = range(3)


def answers(rng):
    """Make a log: three in five answers right, the rest with one to three slips, early slips of the pool more often."""
    melodies = [[str(degree) for degree in rng.integers(1, 8, rng.integers(3, 13))] for _ in range(TARGETS)]
    pool = [slipped(rng, melodies[which]) for which in rng.integers(0, TARGETS, SLIPPED)]
    right = rng.random(ROWS) < 0.62
    plain, drawn = rng.integers(0, TARGETS, ROWS), (rng.random(ROWS) ** 2 * SLIPPED).astype(int)
    targets = [" ".join(melody) for melody in melodies]
    rows = [(targets[p], targets[p]) if ok else pool[d] for ok, p, d in zip(right, plain, drawn, strict=True)]
    return [asked for asked, _ in rows], [sung for _, sung in rows]


def slipped(rng, melody):
    """Give a melody and a version with one to three notes substituted, left out or added."""
    sung = list(melody)
    for _ in range(rng.integers(1, 4)):
        place, kind, note = int(rng.integers(0, len(sung))), rng.random(), str(rng.integers(1, 8))
        if kind < 0.15 and len(sung) > 1:
            del sung[place]
        elif kind < 0.3:
            sung.insert(place, note)
        else:
            sung[place] = note
    return " ".join(melody), " ".join(sung)


def marks(target, sung):
    """Mark one answer by the general library: the outcome of each note, what was sung instead, the notes added."""
    asked, heard = target.replace(" ", ""), sung.replace(" ", "")
    outcome, instead, added = [RIGHT] * len(asked), list(asked), 0
    for step in Levenshtein.editops(asked, heard):
        if step.tag == "insert":
            added += 1
        elif step.tag == "replace":
            outcome[step.src_pos], instead[step.src_pos] = SUBSTITUTED, heard[step.dest_pos]
        else:
            outcome[step.src_pos], instead[step.src_pos] = OMITTED, ""
    return outcome, instead, added


def cost_of(run):
    """Time one run in seconds of processor time, without Python's collection of garbage, as timeit does."""
    gc.collect()
    gc.disable()
    start = time.process_time()
    run()
    took = time.process_time() - start
    gc.enable()
    return took


@pytest.mark.benchmark
def test_alignment_is_faster_than_the_library_row_by_row(capsys):
    """A million answers with marks for each note: two million a second, five times faster than row by row.

    Both start from canonical texts: the kit from columns, as a drill log holds them, the library from a Python text
    for each row. The notes of these melodies are single characters, which is the library's fastest way; notes with
    octave marks would have to be split into lists.
    """
    targets, sung = answers(np.random.default_rng(1))
    columns = pd.Series(targets, dtype="str"), pd.Series(sung, dtype="str")
    took = {"columns": [], "lists": [], "library": []}
    for turn in range(5):
        some = slice(turn * ROWS // 10, (turn + 1) * ROWS // 10)
        took["columns"].append(cost_of(lambda: align(*columns)))
        took["lists"].append(cost_of(lambda: align(targets, sung)))
        took["library"].append(10 * cost_of(lambda some=some: list(map(marks, targets[some], sung[some]))))
    middle = {name: float(np.median(times)) for name, times in took.items()}
    pairs = len(align(*columns).cost)
    with capsys.disabled():
        print(f"\n{ROWS:,} answers, {pairs / ROWS:.1%} different pairs, CPU seconds, median of 5 (least-most):")
        for name, times in took.items():
            rate, times_as_long = ROWS / middle[name] / 1e6, middle[name] / middle["columns"]
            print(f"  {name}: {middle[name]:.2f} ({min(times):.2f}-{max(times):.2f}), {rate:.1f} million a second, "
                  f"{times_as_long:.1f} times as long")  # fmt: skip
    assert 0.10 < pairs / ROWS < 0.16
    assert ROWS / middle["columns"] >= 2e6
    assert middle["library"] / middle["columns"] >= 5
