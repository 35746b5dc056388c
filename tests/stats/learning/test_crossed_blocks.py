"""Block equations against the same equations solved as a whole."""

from __future__ import annotations

import numpy as np
import pytest

from kit.stats.learning.crossed_blocks import eliminate, inverse_parts, log_determinant, solve, thin_product


def blocks(students, few, seed=1):
    """Make a positive definite matrix with a diagonal first block, whole and in parts."""
    rng = np.random.default_rng(seed)
    diagonal, cross = rng.uniform(1, 3, students), rng.normal(0, 0.1, (students, few))
    root = rng.normal(size=(few, few))
    dense = root @ root.T + few * np.eye(few)
    return np.block([[np.diag(diagonal), cross], [cross.T, dense]]), (diagonal, cross, dense)


@pytest.mark.parametrize(("students", "few"), [(1, 1), (7, 3), (400, 25)])
def test_blocks_are_the_whole(students, few):
    """Solution, determinant and inverse equal those of the matrix taken as a whole, by numpy."""
    whole, parts = blocks(students, few)
    found = eliminate(*parts)
    right = np.random.default_rng(2).normal(size=students + few)
    assert np.concatenate(solve(found, right[:students], right[students:])) == pytest.approx(
        np.linalg.solve(whole, right), abs=1e-10
    )
    assert log_determinant(found) == pytest.approx(np.linalg.slogdet(whole)[1], abs=1e-9)
    inverse = np.linalg.inv(whole)
    diagonal, cross, dense = inverse_parts(found)
    assert diagonal == pytest.approx(np.diagonal(inverse)[:students], abs=1e-10)
    assert cross == pytest.approx(inverse[:students, students:], abs=1e-10)
    assert dense == pytest.approx(inverse[students:, students:], abs=1e-10)


@pytest.mark.parametrize("rows", [0, 1, 1000, 5000])
def test_thin_product_is_the_product(rows):
    """A product made in stretches is numpy's product."""
    rng = np.random.default_rng(3)
    one, two = rng.normal(size=(rows, 20)), rng.normal(size=(rows, 15))
    assert thin_product(one, two) == pytest.approx(one.T @ two, abs=1e-10)
