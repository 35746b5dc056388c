"""The mode of a table, against a general optimizer, and the shares that follow from it."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.special import expit

from kit.stats.learning.pooled_table import MIDDLE_PRIOR, Table, _likely, likely, shares

SIZES = (1.1, 0.6)


def table_of(students=6, items=4, seed=1):
    """Draw a small table, some of whose cells are empty."""
    rng = np.random.default_rng(seed)
    tries = rng.integers(0, 4, (students, items)).astype(float)
    return Table(rng.binomial(tries.astype(int), 0.6).astype(float), tries)


def lost(parameters, table):
    """Minus the log-likelihood with priors, written out; students, middle, items."""
    students, middle, items = parameters[:6], parameters[6], parameters[7:]
    eta = middle + SIZES[0] * students[:, None] + SIZES[1] * items
    fit = (table.hits * np.log(expit(eta)) + (table.tries - table.hits) * np.log(expit(-eta))).sum()
    return (students @ students + items @ items + (middle / MIDDLE_PRIOR) ** 2) / 2 - fit


def test_mode_is_the_general_optimizers():
    """The mode is where scipy's optimizer finds it, and the height is Laplace's, from its definition."""
    table = table_of()
    found = likely(table, SIZES)
    peer = minimize(lost, np.zeros(11), args=(table,), method="BFGS", options={"gtol": 1e-8})
    ours = np.concatenate([found.students, [found.middle], found.items])
    assert ours == pytest.approx(peer.x, abs=2e-3)
    assert lost(ours, table) == pytest.approx(peer.fun, abs=1e-6)
    step = 1e-4 * np.eye(11)
    curvature = [
        [(lost(ours + a + b, table) - lost(ours + a - b, table) - lost(ours - a + b, table) + lost(ours - a - b, table)) / 4e-8
         for a in step] for b in step
    ]  # fmt: skip
    laplace = -lost(ours, table) - np.linalg.slogdet(np.array(curvature))[1] / 2
    assert found.height == pytest.approx(laplace, abs=1e-4)


def test_start_does_not_matter():
    """The mode is the same wherever the climb begins, from another spread or from none."""
    table = table_of()
    far = likely(table, SIZES, likely(table, (3.0, 0.0)).place)
    near = likely(table, SIZES)
    assert far.height == pytest.approx(near.height, abs=1e-4)
    assert far.middle == pytest.approx(near.middle, abs=1e-3)


def test_covariance_of_shares_is_carried_over():
    """The covariance of the shares is that of draws from the normal distribution at the mode (50,000 draws)."""
    table = Table(np.full((6, 4), 12.0) + np.arange(4) * 5, np.full((6, 4), 40.0))
    found = likely(table, SIZES)
    size = 6 + 5
    whole = np.zeros((size, size))
    blocks = found.blocks
    cross = blocks.ratio * blocks.diagonal[:, None]
    factor = np.tril(blocks.factor)
    whole[:6, :6], whole[:6, 6:], whole[6:, :6] = np.diag(blocks.diagonal), cross, cross.T
    whole[6:, 6:] = factor @ factor.T + cross.T @ blocks.ratio
    at = np.concatenate([found.students, [found.middle], found.items])
    draws = np.random.default_rng(2).multivariate_normal(at, np.linalg.inv(whole), 50_000)
    eta = draws[:, 6, None, None] + SIZES[0] * draws[:, :6, None] + SIZES[1] * draws[:, None, 7:]
    share = expit(eta).mean(axis=1)
    each = np.column_stack([share, share.mean(axis=1)])
    logits = np.log(each / (1 - each))
    middle, covariance = shares(found)
    assert middle == pytest.approx(logits.mean(axis=0), abs=0.02)
    assert covariance == pytest.approx(np.cov(logits.T), rel=0.08, abs=2e-4)


def test_odds_stay_finite_far_out():
    """A start a thousand log-odds away, where odds are beyond numbers, comes back to the mode."""
    table = table_of()
    far = np.concatenate([np.linspace(-900, 900, 6), np.linspace(900, -900, 4), [1000.0]])
    assert likely(table, SIZES, far).height == pytest.approx(likely(table, SIZES).height, abs=1e-4)


def test_more_items_than_students_give_the_same():
    """Whichever stand in the diagonal block, mode, height, shares and covariance are the same."""
    table = table_of(students=5, items=12, seed=3)
    found, plain = likely(table, SIZES), _likely(table, SIZES, None)
    assert (found.turned, plain.turned) == (True, False)
    assert found.place == pytest.approx(plain.place, abs=1e-4)
    assert found.height == pytest.approx(plain.height, abs=1e-6)
    for one, other in zip(shares(found), shares(plain), strict=True):
        assert one == pytest.approx(other, abs=1e-4)
    again = likely(table, (0.7, 0.9), found.place)
    assert again.place == pytest.approx(likely(table, (0.7, 0.9)).place, abs=1e-3)
