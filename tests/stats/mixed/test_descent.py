"""The way down, against the general library's search, for one data set and for many at once."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import minimize

from kit.errors import NotConvergedError
from kit.stats.mixed import descent as mixed_descent
from kit.stats.mixed.descent import curvature, descend
from kit.stats.mixed.likelihood import evaluate
from kit.stats.mixed.rows import nested_blocks


def world(seed=1, students=20, spread=1.0):
    """Lay out students with levels and paces of their own."""
    rng = np.random.default_rng(seed)
    student, time = np.repeat(np.arange(students), 5), np.tile(np.arange(5.0), students)
    y = rng.normal(0, 2, students)[student] + spread * rng.normal(0, 1, students)[student] * time
    return nested_blocks("f", y + rng.normal(size=y.size), student, time, "A", slopes=(0,)).blocks


def test_it_ends_where_the_general_library_ends():
    """The library scipy finds the same minimum without slopes."""
    blocks, start = world(), np.array([1.0, 0.0, 1.0])
    theirs = minimize(
        lambda at: evaluate(blocks, at[None]).deviance[0], start, method="Nelder-Mead",
        options={"xatol": 1e-8, "fatol": 1e-11, "maxiter": 4000, "maxfev": 4000},
    )  # fmt: skip
    found = descend(blocks, start[None], evaluate(blocks, start[None]), np.eye(3) / 50)
    assert found.deviance[0] == pytest.approx(theirs.fun, abs=1e-9)
    assert np.abs(found.parameters[0]) == pytest.approx(np.abs(theirs.x), abs=1e-5)
    assert np.abs(found.slope).max() < 1e-4


def test_many_at_once_are_each_by_itself():
    """Data sets of one design that are searched together end where each ends alone."""
    alone = [world(seed) for seed in (1, 2, 3)]
    first = alone[0]
    together = first.__class__(
        first.layers, first.inside, np.concatenate([one.rows for one in alone]),
        np.concatenate([one.totals for one in alone]), first.n, first.p, first.turn, first.ordinary, first.products,
    )  # fmt: skip
    start = np.array([[2.0, 0.0, 2.0]])
    starts = np.repeat(start, 3, axis=0)
    found = descend(together, starts, evaluate(together, starts), np.eye(3) / 50)
    for at, one in enumerate(alone):
        single = descend(one, start, evaluate(one, start), np.eye(3) / 50)
        assert found.deviance[at] == pytest.approx(single.deviance[0], abs=1e-9)
        assert found.coefficients[at] == pytest.approx(single.coefficients[0], abs=1e-6)


def test_curvature_is_that_of_the_deviance():
    """Second differences of the deviance give the curvature."""
    blocks, at, step = world(), np.array([1.5, 0.2, 1.1]), 1e-3
    moves = step * np.eye(3)
    second = np.array([
        [evaluate(blocks, (at + a + b)[None]).deviance[0] - evaluate(blocks, (at + a - b)[None]).deviance[0]
         - evaluate(blocks, (at - a + b)[None]).deviance[0] + evaluate(blocks, (at - a - b)[None]).deviance[0]
         for b in moves] for a in moves
    ]) / (4 * step**2)  # fmt: skip
    assert curvature(blocks, at)[1] == pytest.approx(second, rel=1e-3, abs=1e-3)


def test_a_search_that_does_not_end_is_an_error(monkeypatch):
    """With one step allowed there is no answer, and no number."""
    blocks, start = world(), np.array([[1.0, 0.0, 1.0]])
    monkeypatch.setattr(mixed_descent, "LONGEST", 1)
    with pytest.raises(NotConvergedError) as refused:
        descend(blocks, start, evaluate(blocks, start), np.eye(3) / 50)
    assert str(refused.value) == "the search for the best spreads did not end."


def test_a_slope_that_leads_nowhere_is_an_error(monkeypatch):
    """Where no part of a step lowers the deviance there is no answer either."""
    blocks = world()
    point, start = evaluate(blocks, np.array([[1.0, 0.0, 1.0]])), np.array([1.0, 0.0, 1.0])
    rising = lambda _, at: replace(point, deviance=point.deviance + (at != start).any(axis=1))  # noqa: E731
    monkeypatch.setattr(mixed_descent, "evaluate", rising)
    with pytest.raises(NotConvergedError) as refused:
        descend(blocks, start[None], point, np.eye(3) / 50)
    assert str(refused.value) == "no step lowers the deviance, and the slope is not zero."
