"""The restricted likelihood, against its definition with the covariance of all rows written out."""

from __future__ import annotations

import numpy as np
import pytest

from kit.stats.mixed.likelihood import as_parameters, by_parameters, evaluate, residual_weights, roots
from kit.stats.mixed.rows import nested_blocks

PLACES = {
    (None,): [0.8],
    (0,): [0.9, -0.3, 0.5],
    (0, None): [0.9, -0.3, 0.5, 0.7],
    (0, 0): [0.9, -0.3, 0.5, 0.7, 0.2, 0.4],
}


def world(slopes, seed=3):
    """Draw choirs of students with several tests each, and lay them out."""
    rng = np.random.default_rng(seed)
    student = np.repeat(np.arange(12), rng.integers(2, 5, 12))
    choir, x = student // 4, rng.normal(size=(student.size, 2))
    y = 50 + x @ [2, -1] + rng.normal(size=student.size)
    clusters = choir if len(slopes) == 2 else None
    blocks = nested_blocks("f", y, student, x, "A", slopes=slopes, clusters=clusters).blocks
    return blocks, y, np.column_stack([x, np.ones(y.size)]), (student, choir)


@pytest.mark.parametrize("slopes", PLACES)
def test_it_is_the_restricted_likelihood(slopes):
    """Deviance, fixed effects and residual variance follow from the covariance of all rows (Patterson & Thompson)."""
    blocks, y, x, labels = world(slopes)
    parameters = np.array(PLACES[slopes])
    covariance = np.eye(y.size)
    for layer, root, unit in zip(blocks.layers, roots(blocks, parameters[None]), labels, strict=False):
        effects = x @ blocks.turn @ layer.basis[:-1] @ root[0]
        covariance += effects @ effects.T * (unit[:, None] == unit)
    weighted = np.linalg.solve(covariance, x)
    coefficients = np.linalg.solve(x.T @ weighted, weighted.T @ y)
    rest, free = y - x @ coefficients, y.size - 3
    variance = rest @ np.linalg.solve(covariance, rest) / free
    logs = np.linalg.slogdet(covariance)[1] + np.linalg.slogdet(x.T @ weighted)[1]
    point = evaluate(blocks, parameters[None])
    offset = -2 * np.linalg.slogdet(blocks.turn)[1]
    assert point.deviance[0] + offset == pytest.approx(logs + free * (1 + np.log(2 * np.pi * variance)))
    assert point.variance[0] == pytest.approx(variance)
    assert blocks.ordinary + blocks.turn @ point.coefficients[0] == pytest.approx(coefficients)
    assert blocks.turn @ point.inverse[0] @ blocks.turn.T == pytest.approx(np.linalg.inv(x.T @ weighted))


@pytest.mark.parametrize("slopes", PLACES)
def test_the_slope_is_exact(slopes):
    """Central differences of the deviance give the slope."""
    blocks, _, _, _ = world(slopes)
    parameters = np.array(PLACES[slopes])
    moves = 1e-5 * np.eye(parameters.size)
    up, down = evaluate(blocks, parameters + moves), evaluate(blocks, parameters - moves)
    assert evaluate(blocks, parameters[None]).slope[0] == pytest.approx((up.deviance - down.deviance) / 2e-5, rel=1e-6)


def test_signs_of_roots_do_not_matter():
    """A root and its mirror image are one covariance."""
    blocks, _, _, _ = world((0,))
    one, other = evaluate(blocks, np.array([[0.9, -0.3, 0.5], [-0.9, 0.3, -0.5]])).deviance
    assert one == pytest.approx(other)


def test_roots_are_symmetric():
    """Three numbers for intercepts and slopes, one for intercepts, there and back; slopes follow from L G + G L."""
    blocks, _, _, _ = world((0, None))
    given = np.array([[1.0, 2.0, 3.0, 4.0]])
    first, second = roots(blocks, given)
    assert first[0].tolist() == [[1, 2], [2, 3]]
    assert second[0].tolist() == [[4]]
    assert as_parameters([first, second]).tolist() == given.tolist()
    slopes = by_parameters([first, second], [np.array([[[1.0, 0.5], [0.5, 2.0]]]), np.array([[[0.1]]])])
    assert slopes[0].tolist() == pytest.approx([2 * (1 + 1), 2 * (0.5 + 4 + 2 + 1.5), 2 * (1 + 6), 0.8])


def test_residual_weights_are_the_signed_coefficients_squared():
    """The residual sum of squares changes with the cross-products as the residuals' own weights say."""
    found = residual_weights(np.array([[2.0, -1.0]]), np.array([4.0]))[0]
    assert found == pytest.approx(np.outer([-2, 1, 1], [-2, 1, 1]) / 4)
