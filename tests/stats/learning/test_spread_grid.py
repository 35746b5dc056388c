"""The grid over the spreads against direct integration."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import trapezoid

import kit.stats.learning.spread_grid as spread_grid_module
from kit.stats.learning.pooled_table import Table, likely
from kit.stats.learning.spread_grid import spread_grid


def test_one_spread_is_integrated():
    """With one student, mean and SD of the items' spread are those of scipy's integral over a fine grid."""
    table = Table(np.array([[3.0, 8, 5, 9, 2, 6]]), np.full((1, 6), 10.0))
    points, weights = spread_grid(table)
    spreads = np.array([point.sizes[1] for point in points])

    grid = np.linspace(0.005, 8, 300)
    density = np.exp([likely(table, (0.0, size)).height - size for size in grid])
    mean = trapezoid(grid * density, grid) / trapezoid(density, grid)
    variance = trapezoid((grid - mean) ** 2 * density, grid) / trapezoid(density, grid)
    assert weights.sum() == pytest.approx(1)
    assert weights @ spreads == pytest.approx(mean, rel=0.03)
    assert weights @ (spreads - mean) ** 2 == pytest.approx(variance, rel=0.2)
    assert {point.sizes[0] for point in points} == {0.0}


def test_nothing_differs_with_one_student_and_one_item():
    """One student at one item leaves no spread to look for."""
    points, weights = spread_grid(Table(np.array([[2.0]]), np.array([[3.0]])))
    assert points[0].sizes == (0.0, 0.0)
    assert weights.tolist() == [1.0]


@pytest.mark.parametrize("hits", [0.0, 5.0])
def test_all_right_or_all_wrong_stays_finite(hits):
    """All right or all wrong leaves the spreads to the prior, and finite."""
    points, weights = spread_grid(Table(np.full((4, 3), hits), np.full((4, 3), 5.0)))
    mean = weights @ [point.sizes[0] for point in points]
    assert 0.2 < mean < 3
    assert len(points) < 400


@pytest.mark.parametrize(("students", "items", "tries"), [(12, 3, 60_000), (20, 7, 24_000), (700, 20, 60_000)])
def test_students_who_are_all_alike_have_a_likely_spread(students, items, tries):
    """Where nobody differs, the likely spread of students is small, and inside what is looked at."""
    cell = np.random.default_rng(2).integers(0, students * items, tries)
    right = np.random.default_rng(3).random(tries) < 0.6
    table = Table(*(
        np.bincount(cell, weights=weights, minlength=students * items).reshape(students, items)
        for weights in (right.astype(float), np.ones(tries))
    ))  # fmt: skip
    points, weights = spread_grid(table)
    sizes = np.array([point.sizes[0] for point in points])
    assert weights.sum() == pytest.approx(1)
    assert sizes.min() > 0.009
    assert weights @ sizes < 0.2


@pytest.mark.parametrize(("students", "items", "tries"), [(700, 20, 6_000), (1_500, 8, 40_000), (700, 1, 3_000)])
def test_few_points_give_what_the_grid_gives(monkeypatch, students, items, tries):
    """Of a large table few points an axis give the mean spreads of the full grid within two hundredths."""
    rng = np.random.default_rng(items)
    who, what = rng.integers(0, students, tries), rng.integers(0, items, tries)
    logit = 0.4 + rng.normal(0, 0.9, students)[who] + rng.normal(0, 0.5, items)[what]
    cell, shape = who * items + what, (students, items)
    right = rng.random(tries) < 1 / (1 + np.exp(-logit))
    table = Table(*(
        np.bincount(cell, weights=weights, minlength=students * items).reshape(shape)
        for weights in (right.astype(float), np.ones(tries))
    ))  # fmt: skip
    means = []
    for many, most in ((100, 25), (10**9, 400)):
        monkeypatch.setattr(spread_grid_module, "MANY", many)
        points, weights = spread_grid(table)
        assert len(points) <= most
        assert weights.sum() == pytest.approx(1)
        means.append([weights @ [point.sizes[at] for point in points] for at in (0, 1)])
    assert means[0] == pytest.approx(means[1], rel=0.02, abs=1e-12)
