"""Random effects taken out unit by unit, against the covariance of all rows written out in full."""

from __future__ import annotations

import numpy as np
import pytest

from kit.stats.mixed.blocks import take_out, way_back
from kit.stats.mixed.rows import nested_blocks

SPREADS = {
    "levels": ((None,), [[[0.7]]]),
    "paces": ((0,), [[[0.7, 0.2], [0.2, 0.3]]]),
    "levels in levels": ((None, None), [[[0.7]], [[0.4]]]),
    "paces in levels": ((0, None), [[[0.7, 0.2], [0.2, 0.3]], [[0.4]]]),
    "paces in paces": ((0, 0), [[[0.7, 0.2], [0.2, 0.3]], [[0.5, -0.1], [-0.1, 0.2]]]),
    "none at all": ((0, 0), [[[0.0, 0.0], [0.0, 0.0]], [[0.5, 0.0], [0.0, 0.0]]]),
}


def world(seed=1):
    """Draw uneven choirs of students with one to four tests each."""
    rng = np.random.default_rng(seed)
    student = np.repeat(np.arange(14), rng.integers(1, 5, 14))
    choir = (student * 3) // 14
    return rng.normal(size=student.size), student, choir, rng.normal(size=(student.size, 2))


def laid_out(slopes):
    """Give the blocks, and everything they stand for: turned rows and the columns of effects of every layer."""
    y, student, choir, x = world()
    two = len(slopes) == 2
    blocks = nested_blocks("f", y, student, x, "A", slopes=slopes, clusters=choir if two else None).blocks
    whole = np.column_stack([x, np.ones(y.size)])
    table = np.column_stack([whole @ blocks.turn, y - whole @ blocks.ordinary])
    labels = (student, choir)[: len(slopes)]
    return blocks, table, [
        (unit[:, None] == np.unique(unit)) for unit in labels
    ]  # fmt: skip


def rooted(spreads):
    """Give lower triangular roots, of singular covariances too."""
    found = []
    for spread in spreads:
        sizes, turns = np.linalg.eigh(np.asarray(spread))
        lower = np.linalg.qr((turns * np.sqrt(np.maximum(sizes, 0))).T)[1].T
        found.append(lower[None])
    return found


def dense(table, blocks, members, spreads):
    """Write out the covariance of all rows."""
    total = np.eye(len(table))
    for layer, member, spread in zip(blocks.layers, members, spreads, strict=True):
        effects = table @ layer.basis
        total += (effects @ np.asarray(spread) @ effects.T) * (member @ member.T)
    return total


@pytest.mark.parametrize("kind", SPREADS)
def test_what_is_left_is_weighted_by_the_inverse_covariance(kind):
    """Cross-products and log-determinant equal those of the full covariance of all rows."""
    slopes, spreads = SPREADS[kind]
    blocks, table, members = laid_out(slopes)
    left, logs, _ = take_out(blocks, rooted(spreads))
    covariance = dense(table, blocks, members, spreads)
    assert left[0] == pytest.approx(table.T @ np.linalg.solve(covariance, table), abs=1e-9)
    assert logs[0] == pytest.approx(np.linalg.slogdet(covariance)[1], abs=1e-9)


@pytest.mark.parametrize("kind", [kind for kind in SPREADS if kind != "none at all"])
@pytest.mark.parametrize("determinant", [True, False])
def test_the_way_back_is_the_derivative(kind, determinant):
    """A small change of one covariance moves a function of what is left as the derivative says."""
    slopes, spreads = SPREADS[kind]
    blocks, _, _ = laid_out(slopes)
    given = [np.asarray(spread) for spread in spreads]
    weights = np.random.default_rng(2).normal(size=(1, 4, 4))
    weights = weights + weights.swapaxes(1, 2)

    def height(depth, step):
        moved = [one + step if at == depth else one for at, one in enumerate(given)]
        left, logs, _ = take_out(blocks, rooted(moved))
        return (weights * left).sum() + (logs[0] if determinant else 0)

    found = way_back(take_out(blocks, rooted(given))[2], weights, determinant=determinant)
    for depth, slope in enumerate(found):
        size = slope.shape[-1]
        for row, column in zip(*np.tril_indices(size), strict=True):
            step = np.zeros((size, size))
            step[row, column] = step[column, row] = 1e-5
            change = (height(depth, step) - height(depth, -step)) / 2e-5
            assert change == pytest.approx((slope[0] * step / 1e-5).sum(), rel=1e-5, abs=1e-6)


def test_many_spreads_at_once_are_each_by_itself():
    """A leading axis of spreads gives for each what it gives alone."""
    blocks, _, _ = laid_out((0, 0))
    first, second = rooted(SPREADS["paces in paces"][1]), rooted(SPREADS["none at all"][1])
    both = [np.concatenate(pair) for pair in zip(first, second, strict=True)]
    left, logs, taken = take_out(blocks, both)
    slopes = way_back(taken, np.repeat(np.eye(4)[None], 2, axis=0), determinant=True)
    for at, alone in enumerate((first, second)):
        one = take_out(blocks, alone)
        assert left[at] == pytest.approx(one[0][0])
        assert logs[at] == pytest.approx(one[1][0])
        for many, single in zip(slopes, way_back(one[2], np.eye(4)[None], determinant=True), strict=True):
            assert many[at] == pytest.approx(single[0])


def test_picked_data_sets_keep_their_order():
    """One data set stands for all; of several, those asked for are kept."""
    blocks, _, _ = laid_out((0,))
    assert blocks.picked(np.array([0, 0])) is blocks
    twice = blocks.__class__(
        blocks.layers, blocks.inside, np.concatenate([blocks.rows, 2 * blocks.rows]),
        np.concatenate([blocks.totals, 2 * blocks.totals]), blocks.n, blocks.p, blocks.turn, blocks.ordinary, blocks.products,
    )  # fmt: skip
    assert (twice.picked(np.array([1])).rows == 2 * blocks.rows).all()
