"""The grid over the spreads against direct integration."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import trapezoid

from kit.stats.pooled_table import Table, likely
from kit.stats.spread_grid import spread_grid


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
