"""Rubin's rules against a published run, and filled-in numbers against the regression that they come from."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import stdtrit

from kit.errors import TooFewError
from kit.stats.chained_equations import completed, rubin

laws = settings(max_examples=50, deadline=None)
lists = st.lists(st.tuples(st.floats(-50, 50), st.floats(0.1, 20)), min_size=2, max_size=30)

# SAS/STAT User's Guide, PROC MIANALYZE, example "Reading means and standard errors" (variable Oxygen, 5 imputations,
# EDF = 30): estimates and standard errors seen on the page; pooled output from memory, recomputed in R 4.2.2.
OXYGEN = [47.012, 47.2407, 47.4995, 47.1485, 47.0042]
ERRORS = [0.95984, 0.9354, 1.00766, 0.95439, 0.96528]


def test_published_run():
    """Rubin's rules give SAS's mean, both variances, standard error, increase, degrees of freedom and limits."""
    pooled = rubin(OXYGEN, ERRORS, complete_df=30)
    assert pooled.value == pytest.approx(47.180993, abs=2e-5)
    assert pooled.between == pytest.approx(0.041478, abs=2e-5)
    assert pooled.within == pytest.approx(0.930853, abs=2e-5)
    assert pooled.error**2 == pytest.approx(0.980626, abs=2e-5)
    assert pooled.error == pytest.approx(0.990266, abs=2e-5)
    assert pooled.increase == pytest.approx(0.053471, abs=3e-5)
    assert pooled.df == pytest.approx(26.298, abs=0.002)
    half = stdtrit(pooled.df, 0.975) * pooled.error
    assert [pooled.value - half, pooled.value + half] == pytest.approx([45.1466, 49.2154], abs=2e-4)


def test_published_share_of_missing_information():
    """SAS's fraction of missing information follows from the parts, with Rubin's large-sample degrees of freedom."""
    pooled = rubin(OXYGEN, ERRORS)
    assert (pooled.increase + 2 / (pooled.df + 3)) / (pooled.increase + 1) == pytest.approx(0.051977, abs=3e-5)


@given(sets=lists, df=st.floats(3, 500), shift=st.floats(-10, 10), scale=st.floats(0.1, 10))
@laws
def test_laws_of_pooling(sets, df, shift, scale):
    """Shift and scale pass through, order does not matter, and degrees of freedom stay below those of complete data."""
    values, errors = np.array(sets).T
    one, two = rubin(values, errors, complete_df=df), rubin(scale * values[::-1] + shift, scale * errors[::-1])
    assert two.value == pytest.approx(scale * one.value + shift, abs=1e-9)
    assert two.error == pytest.approx(scale * one.error, rel=1e-9)
    assert 0 < one.df < df
    assert one.error**2 >= one.within * (1 - 1e-12)
    assert one.df <= rubin(values, errors, complete_df=2 * df).df <= two.df * (1 + 1e-9)


def test_nothing_varies():
    """Equal estimates add nothing: the standard error is the complete one, without an end to large-sample df."""
    pooled = rubin([5, 5, 5], [2, 2, 2])
    assert (pooled.error, pooled.df, pooled.increase) == (2, np.inf, 0)


def test_what_is_there_is_untouched():
    """Filling in changes gaps only, leaves none, and repeats with the same seed."""
    rng = np.random.default_rng(4)
    table = rng.normal(size=(60, 3))
    table[rng.random((60, 3)) < 0.2] = np.nan
    one, two = (completed(table, np.random.default_rng(9), 5) for _ in range(2))
    assert (one == two).all()
    assert not np.isnan(one).any()
    assert (one[~np.isnan(table)] == table[~np.isnan(table)]).all()
    assert np.isnan(table).any()


def test_draws_follow_the_regression():
    """Filled-in numbers scatter around the prediction of statsmodels' regression with its prediction error."""
    rng = np.random.default_rng(2)
    first = rng.normal(50, 10, 40)
    second = 20 + 0.7 * first + rng.normal(0, 5, 40)
    second[:2] = np.nan
    there = sm.OLS(second[2:], sm.add_constant(first[2:])).fit()
    theirs = there.get_prediction(sm.add_constant(first)[:2])
    drawn = np.array([completed(np.column_stack([first, second]), rng, 3)[:2, 1] for _ in range(4_000)])
    spread = theirs.se_obs * np.sqrt(36 / 34)  # a t distribution with 36 degrees of freedom
    assert drawn.mean(axis=0) == pytest.approx(theirs.predicted_mean, abs=0.35)
    assert drawn.std(axis=0) == pytest.approx(spread, rel=0.05)


def test_exact_line_and_repeated_columns():
    """On an exact line the gap is filled exactly; a column that repeats another, or never differs, does no harm."""
    first = np.arange(10.0)
    table = np.column_stack([first, 2 * first, np.full(10, 3.0), 5 + 4 * first])
    table[4, 3] = np.nan
    assert completed(table, np.random.default_rng(1), 2)[4, 3] == pytest.approx(21, abs=1e-6)


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: rubin([1, 2], [1, 0]), ValueError,
         "rubin: values must be finite, and errors finite and above 0. Got others."),
        (lambda: rubin([1, np.nan], [1, 1]), ValueError,
         "rubin: values must be finite, and errors finite and above 0. Got others."),
        (lambda: rubin([1, 2], [1, 1], complete_df=0), ValueError, "rubin: complete_df must be above 0. Got 0."),
        (lambda: rubin([1], [1]), TooFewError, "rubin: needs 2 completed data sets. The list has 1."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What cannot be put together is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
