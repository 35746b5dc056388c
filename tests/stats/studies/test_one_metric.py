"""Sizes turned into one another, beside published examples and beside the sizes of raw scores."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.stats.effects.sizes import d_change, hedges_g
from kit.stats.noncentral import small_sample_correction
from kit.stats.studies.from_printed import d_average_from_summary
from kit.stats.studies.one_metric import (
    Size,
    correlation_of_printed,
    in_standard_deviations,
    size_of_correlation,
    size_of_gains,
    size_of_groups,
    t_of_means,
    t_of_p,
)

laws = settings(max_examples=25, deadline=None)
PRE = np.array([10.0, 12, 15, 9, 14, 11, 13, 8])
POST = np.array([13.0, 14, 21, 9, 18, 16, 12, 12])


def test_groups_as_published():
    """Borenstein et al. (2009), pp. 26-27 (from memory): g 0.5924 with variance 0.0411, d 0.5970 with 0.0418."""
    t = t_of_means(103, 100, 5.5, 4.5, n_program=50, n_comparison=50)
    size = size_of_groups(t, n_program=50, n_comparison=50)
    assert size.value == pytest.approx(0.5924, abs=6e-5)
    assert size.error**2 == pytest.approx(0.0411, abs=6e-5)
    correct = small_sample_correction(98)
    assert size.value / correct == pytest.approx(0.597, abs=6e-5)
    assert (size.error / correct) ** 2 == pytest.approx(0.0418, abs=6e-5)


def test_gains_as_published():
    """Borenstein et al. (2009), pp. 28-30 (from memory): matched d 0.4225, variance 0.0131; g 0.4160, variance 0.0127."""
    size = size_of_gains(3 / (5.5 / math.sqrt(50)), n=50, correlation=0.7)
    correct = small_sample_correction(49)
    assert size.value / correct == pytest.approx(0.4225, abs=6e-5)
    assert (size.error / correct) ** 2 == pytest.approx(0.0131, abs=6e-5)
    # their J is the approximation 1 - 3/(4 df - 1) = 0.9846, ours is exact
    assert correct == pytest.approx(0.9846, abs=6e-5)
    assert (size.value, size.error) == pytest.approx((0.416, 0.1126), abs=6e-5)


def test_conversions_as_published():
    """Borenstein et al. (2009), chapter 7 (from memory): log odds .9069 (V .0676) is d .5000 (.0205); r .50 is 1.1547."""
    odds = Size(value=0.9069, error=math.sqrt(0.0676), metric="log odds", n=100, df=None, per_t=math.sqrt(0.0676))
    size = in_standard_deviations(odds, index="logistic")
    assert (size.value, size.error**2) == pytest.approx((0.5, 0.0205), abs=6e-5)
    r = Size(value=math.atanh(0.5), error=math.sqrt(0.0058) / 0.75, metric="Fisher's z", n=100, df=None, per_t=0.1)
    size = in_standard_deviations(r)
    assert (size.value, size.error**2) == pytest.approx((1.1547, 0.0550), abs=6e-5)
    # Cox's index: log odds over 1.65
    assert in_standard_deviations(odds).value == pytest.approx(0.9069 / 1.65)
    assert in_standard_deviations(size) is size


def test_repeated_measures_on_open_data():
    """Rouder's data (tests of the open package effectsize): d_z -1.353713 is -0.8357347 in root-mean-square SD."""
    # 25 persons' means of 50 trials: 0.832256 (SD 0.058770963) and 0.884554 (SD 0.066165889), summarised from the data
    spreads, gain, t = (0.06616588887536133, 0.05877096278492183), -0.0522984, -1.353713 * math.sqrt(25)
    r = correlation_of_printed(gain, *spreads, t, n=25)
    assert r == pytest.approx(0.8151217619653401, abs=1e-6)
    size = d_average_from_summary(0.8845544, 0.832256, *spreads, correlation=r, n=25, about="Rouder")
    assert size.value / math.sqrt(23 / 24) == pytest.approx(-0.8357347, abs=1e-5)
    # taking both spreads to be equal, as where none was printed, is off by 1.5 percent here
    assert size_of_gains(t, n=25, correlation=r).value / small_sample_correction(24) == pytest.approx(
        -0.8357347, rel=0.02
    )


@given(rows=st.lists(st.tuples(st.integers(0, 24), st.integers(0, 24)), min_size=4, max_size=20))
@laws
def test_sizes_are_those_of_raw_scores(rows):
    """The t of groups gives the g of their scores, t of gains the d_change, and means and SDs give t back."""
    one, two = np.array(rows, dtype=float).T
    if min(one.std(), two.std(), (two - one).std()) == 0:
        return
    t = scipy.stats.ttest_ind(one, two).statistic
    size = size_of_groups(t, n_program=one.size, n_comparison=one.size)
    assert size.value == pytest.approx(hedges_g(one, two, about="A").value)
    again = t_of_means(
        one.mean(), two.mean(), one.std(ddof=1), two.std(ddof=1), n_program=one.size, n_comparison=one.size
    )
    assert again == pytest.approx(t)
    gains = size_of_gains(scipy.stats.ttest_rel(two, one).statistic, n=one.size)
    assert gains.metric == "SD of gains"
    assert gains.value / small_sample_correction(one.size - 1) == pytest.approx(d_change(one, two, about="A").value)


def test_the_correlation_comes_back():
    """Means, SDs and t give the correlation that the scores have."""
    t = scipy.stats.ttest_rel(POST, PRE).statistic
    r = correlation_of_printed((POST - PRE).mean(), PRE.std(ddof=1), POST.std(ddof=1), t, n=8)
    assert r == pytest.approx(np.corrcoef(PRE, POST)[0, 1])


def test_fishers_z():
    """Fisher's z and its standard error are artanh r and 1 / sqrt(n - 3)."""
    size = size_of_correlation(0.4, n=40)
    assert (size.value, size.error) == pytest.approx((0.42365, 1 / math.sqrt(37)), abs=1e-5)


def test_t_of_p_goes_back():
    """The t of a p has that p; a p of nothing or above 1 is refused."""
    assert 2 * scipy.stats.t(12).sf(t_of_p(0.013, 12)) == pytest.approx(0.013)
    assert 2 * scipy.stats.norm.sf(t_of_p(0.2, None)) == pytest.approx(0.2)
    with pytest.raises(ValueError, match=r"^t_of_p: p must be above 0 and at most 1. Got 0.$"):
        t_of_p(0, 12)


def test_standardised_gains_have_no_way_back():
    """SD of gains cannot be turned into SD without the correlation of the tests."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        in_standard_deviations(size_of_gains(2.0, n=20))
    assert str(caught.value) == (
        "in_standard_deviations: size must not be in SD of gains. Give the correlation of the tests."
    )


@pytest.mark.slow
def test_errors_are_the_spread_of_sizes():
    """Over many samples the sizes spread about as their standard errors say."""
    rng = np.random.default_rng(3)
    one, two = rng.normal(0.5, 1, (4000, 30)), rng.normal(0, 1, (4000, 30))
    sizes = [
        size_of_groups(t, n_program=30, n_comparison=30) for t in scipy.stats.ttest_ind(one, two, axis=1).statistic
    ]
    assert np.std([size.value for size in sizes]) == pytest.approx(np.mean([size.error for size in sizes]), rel=0.05)
