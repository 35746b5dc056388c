"""How often a simulated study of whole choirs notices a difference."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
import scipy.stats
import statsmodels.formula.api as formulas
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.power import TTestIndPower

from kit.errors import TooFewError
from kit.stats.power.clusters import detectable_difference_clusters
from kit.stats.power.simulation import MEANS_ARE_ENOUGH, difference_t, power_simulated


def simulated(**options):
    """Simulate a plan, one that is as usual where nothing else is said."""
    plan = {"choirs": (10, 10), "students": 25, "icc": 0.2, "difference": 0.5, "about": "A"}
    return power_simulated(**(plan | {"rng": np.random.default_rng(7)} | options))


def four_errors(share, draws):
    """Four standard errors of a simulated share."""
    return 4 * math.sqrt(share * (1 - share) / draws)


@pytest.mark.parametrize(("program", "comparison"), [(2, 2), (3, 4), (10, 10)])
@pytest.mark.parametrize("adjusted", [False, True])
def test_t_is_that_of_a_modelling_library(program, comparison, adjusted):
    """The t of every study is the t that statsmodels' regression of the choir means gives."""
    rng = np.random.default_rng(program)
    pre, post = rng.normal(size=(2, 5, program + comparison))
    found = difference_t(post, pre if adjusted else None, program=program)
    for study in range(5):
        means = pd.DataFrame({"pre": pre[study], "post": post[study], "program": np.arange(pre.shape[1]) < program})
        fitted = formulas.ols("post ~ program + pre" if adjusted else "post ~ program", means).fit()
        assert found[study] == pytest.approx(fitted.tvalues["program[T.True]"], rel=1e-9)


@pytest.mark.parametrize("choirs", [(2, 2), (3, 9), (10, 10)])
def test_without_first_test_it_is_the_exact_power(choirs):
    """Without a first test the share is the noncentral-t power that statsmodels computes, within 4 standard errors."""
    apart = 0.5 / math.sqrt(0.2 + 0.8 / 25)
    exact = TTestIndPower().power(apart, choirs[0], 0.05, ratio=choirs[1] / choirs[0])
    assert simulated(choirs=choirs, draws=50_000).value == pytest.approx(exact, abs=four_errors(exact, 50_000))


def one_whole_study(rng, sizes, *, choirs, icc, correlations, difference):
    """Draw every student of one study and give the p-value of statsmodels' regression of the choir means."""
    between, within = ([[1, r], [r, 1]] for r in correlations)
    choir = np.repeat(np.arange(sum(choirs)), rng.permutation(sizes))
    scores = math.sqrt(icc) * rng.multivariate_normal([0, 0], between, sum(choirs))[choir]
    scores += math.sqrt(1 - icc) * rng.multivariate_normal([0, 0], within, choir.size)
    scores[:, 1] += difference * (choir < choirs[0])
    means = pd.DataFrame(scores, columns=["pre", "post"]).groupby(choir).mean()
    means["program"] = (means.index < choirs[0]) * 1.0
    return formulas.ols("post ~ program + pre", means).fit().pvalues["program"]


@pytest.mark.slow
@pytest.mark.parametrize("sizes", [[20] * 10, [5, 5, 10, 10, 20, 20, 40, 40, 60, 80]])
def test_p_values_are_distributed_as_in_a_loop_over_whole_students(sizes):
    """Drawing every student and fitting a library's regression, 1,500 times, notices as often, at three levels."""
    plan = {"choirs": (5, 5), "icc": 0.2, "correlations": (0.8, 0.6), "difference": 0.5}
    rng = np.random.default_rng(3)
    loop = np.array([one_whole_study(rng, sizes, **plan) for _ in range(1500)])
    for level in (0.80, 0.95, 0.99):
        ours = simulated(**plan, students=sizes, level=level, draws=50_000).value
        assert (loop < 1 - level).mean() == pytest.approx(ours, abs=four_errors(ours, 1500))


@pytest.mark.parametrize("choirs", [(2, 2), (4, 4), (2, 10), (30, 30)])
@pytest.mark.parametrize("level", [0.90, 0.95])
def test_nothing_is_noticed_as_often_as_the_level_says(choirs, level):
    """Without a difference, even four choirs give false alarms no more often than promised."""
    correlations = (0.8, 0.6) if sum(choirs) > 6 else None
    found = simulated(choirs=choirs, difference=0, correlations=correlations, level=level, draws=40_000)
    assert found.value == pytest.approx(1 - level, abs=four_errors(1 - level, 40_000))


@pytest.mark.parametrize(("choirs", "told"), [(8, 0.73), (12, 0.76), (20, 0.78)])
@pytest.mark.parametrize(("icc", "r"), [(0.2, 0.7), (0.05, 0.4)])
def test_the_formula_is_too_hopeful_by_what_is_told(choirs, told, icc, r):
    """At the size that the formula gives for 80 in 100 with a first test, studies notice as often as its note says.

    The formula takes both groups to start alike; chance keeps them apart, whatever ICC and correlation are.
    """
    plan = {"choirs": (choirs // 2, choirs // 2), "students": 25, "icc": icc, "about": "A"}
    # a first test correlated alike at both levels explains the same share at both
    size = detectable_difference_clusters(**plan, explained_between=r**2, explained_within=r**2, covariates=1).value
    found = simulated(**plan, correlations=(r, r), difference=size, draws=50_000).value
    assert found == pytest.approx(told, abs=0.005 + four_errors(told, 50_000))


@given(seed=st.integers(0, 10**6), icc=st.floats(0, 1), r=st.floats(-0.9, 0.9))
@settings(max_examples=25, deadline=None)
def test_laws(seed, icc, r):
    """The sign of the difference is nothing for t but its sign; a wider level notices less; the seed decides all."""
    rng = np.random.default_rng(seed)
    pre, post = rng.normal(size=(2, 3, 9))
    plain = difference_t(post, pre, program=4)
    assert difference_t(-post, pre, program=4) == pytest.approx(-plain, rel=1e-9)
    assert difference_t(3 * post + 5, pre - 2, program=4) == pytest.approx(plain, rel=1e-6)
    options = {"icc": icc, "correlations": (r, r), "draws": 500}
    first = simulated(rng=np.random.default_rng(seed), **options)
    assert simulated(rng=np.random.default_rng(seed), **options) == first
    assert simulated(rng=np.random.default_rng(seed), level=0.99, **options).value <= first.value


def test_one_size_or_a_size_for_each_is_the_same():
    """One number for all choirs is the same plan as that number for each."""
    assert simulated(students=[25] * 20) == simulated(students=25)


def test_unequal_choirs_notice_less():
    """The same number of students in choirs of unequal sizes notices the difference less often."""
    unequal = simulated(students=[1] * 10 + [49] * 10, icc=0.05, draws=50_000).value
    assert unequal < simulated(icc=0.05, draws=50_000).value - 0.05


def test_parts():
    """It counts simulated studies, and has the Wilson interval that scipy gives their share."""
    found = simulated(correlations=(0.8, 0.6), draws=2000)
    assert (found.n, found.counted, found.clusters, found.df) == (2000, "simulated studies", 20, 17.0)
    assert (found.unit, found.notes) == ("share", (MEANS_ARE_ENOUGH,))
    ends = scipy.stats.binomtest(round(found.value * 2000), 2000).proportion_ci(method="wilson")
    assert (found.interval.low, found.interval.high) == pytest.approx(tuple(ends), rel=1e-9)


def test_many_draws_and_choirs_are_bounded():
    """A million draws and a thousand choirs are simulated block by block."""
    assert simulated(choirs=(2, 2), draws=1_000_000).n == 1_000_000
    assert simulated(choirs=(500, 500), draws=200, difference=0.2).value > 0.9


@pytest.mark.parametrize(
    ("options", "error", "message"),
    [
        ({"choirs": (1, 5)}, TooFewError, "needs 2 choirs in each group. A has 1."),
        (
            {"choirs": (3, 3), "correlations": (0.8, 0.6)},
            TooFewError,
            "needs 4 degrees of freedom beside the choir-level covariates. A has 3; leave the covariates out.",
        ),
        (
            {"students": 0},
            ValueError,
            "students must be one number from 1, or one for each of 20 choirs. Got 0.",
        ),
        (
            {"students": [20, 30]},
            ValueError,
            "students must be one number from 1, or one for each of 20 choirs. Got [20, 30].",
        ),
        (
            {"students": float("nan")},
            ValueError,
            "students must be one number from 1, or one for each of 20 choirs. Got nan.",
        ),
        ({"icc": -0.1}, ValueError, "icc must be between 0 and 1. Got -0.1."),
        ({"difference": math.inf}, ValueError, "difference must be finite. Got inf."),
        ({"correlations": (1, 0.5)}, ValueError, "correlations must lie between -1 and 1. Got (1, 0.5)."),
        ({"draws": 99}, ValueError, "draws must be at least 100. Got 99."),
        ({"level": 1}, ValueError, "level must be between 0 and 1. Got 1."),
    ],
)
def test_messages(options, error, message):
    """Plans that cannot be are refused with a sentence."""
    with pytest.raises(error) as caught:
        simulated(**options)
    assert str(caught.value) == f"power_simulated: {message}"
