"""Adjusted differences and differences of gains: named answers of the regression that knows of choirs."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.clusters.adjusted import adjusted_difference, gain_difference
from kit.stats.clusters.robust import cluster_robust

laws = settings(max_examples=25, deadline=None)
BOTH = [adjusted_difference, gain_difference]


def world(seed, choirs=8):
    """Draw students of uneven choirs: first and second scores, program, choir."""
    rng = np.random.default_rng(seed)
    choir = np.repeat(np.arange(choirs), rng.integers(2, 7, choirs))
    pre, program = rng.normal(10, 3, choir.size), (choir % 2).astype(float)
    post = 4 + 0.7 * pre + 2 * program + rng.normal(0, 1, choirs)[choir] + rng.normal(0, 1, choir.size)
    return pre, post, program, choir


def ask(function, pre, post, program, choir=None, **options):
    """Ask with the usual words."""
    return function(pre, post, program, clusters=choir, about="A", unit="points", **options)


def ends(found):
    """Give value and ends."""
    return np.array([found.value, found.interval.low, found.interval.high])


@given(seed=st.integers(0, 10_000))
@laws
def test_values_are_those_of_least_squares(seed):
    """Statsmodels gives the adjusted difference, and averages of gains the other one, with choirs and without."""
    pre, post, program, choir = world(seed)
    theirs = sm.OLS(post, np.column_stack([program, pre, np.ones(pre.size)])).fit().params[0]
    gains = post - pre
    for clusters in (choir, None):
        assert ask(adjusted_difference, pre, post, program, clusters).value == pytest.approx(theirs, rel=1e-8)
        apart = gains[program == 1].mean() - gains[program == 0].mean()
        assert ask(gain_difference, pre, post, program, clusters).value == pytest.approx(apart, rel=1e-8)


@pytest.mark.parametrize("function", BOTH)
@given(seed=st.integers(0, 10_000), shift=st.floats(-50, 50), scale=st.floats(0.1, 20))
@laws
def test_they_shift_scale_and_turn(function, seed, shift, scale):
    """A shift of a test changes nothing, a scale of both scales, the other approach is the mirror image."""
    pre, post, program, choir = world(seed)
    one = ask(function, pre, post, program, choir)
    other = ask(function, scale * pre, shift + scale * post, 1 - program, choir)
    assert ends(other) == pytest.approx(-scale * ends(one)[[0, 2, 1]], rel=1e-6, abs=1e-7)


@pytest.mark.parametrize("function", BOTH)
@given(seed=st.integers(0, 10_000))
@laws
def test_missing_students_are_as_if_not_there(function, seed):
    """Students with one score are counted and change nothing; a higher level is wider."""
    pre, post, program, choir = world(seed)
    pre[0], post[3] = np.nan, np.nan
    kept = ~np.isnan(pre + post)
    one, other = (
        ask(function, pre, post, program, choir),
        ask(function, *(c[kept] for c in (pre, post, program, choir))),
    )
    assert ends(one) == pytest.approx(ends(other))
    assert (one.dropped, one.n, one.name) == (2, int(kept.sum()), function.__name__)
    wide = ask(function, pre, post, program, choir, level=0.99)
    assert wide.interval.low < one.interval.low
    assert one.interval.high < wide.interval.high


@pytest.mark.parametrize("function", BOTH)
@given(seed=st.integers(0, 10_000), shift=st.floats(-50, 50))
@laws
def test_what_sets_blocks_apart_changes_nothing(function, seed, shift):
    """A block that scores higher at the second test changes nothing; marks of blocks are further predictors."""
    pre, post, program, choir = world(seed)
    blocks = np.where(choir < 3, "North", "South")
    one = ask(function, pre, post, program, choir, blocks=blocks)
    other = ask(function, pre, post + shift * (choir < 3), program, choir, blocks=blocks)
    assert ends(other) == pytest.approx(ends(one), rel=1e-6, abs=1e-7)
    adjusted = function is adjusted_difference
    predictors = np.column_stack([program, *([pre] if adjusted else []), choir >= 3])
    by_hand = cluster_robust(post if adjusted else post - pre, choir, predictors, about="A", unit="points")
    assert (one.value, one.df, one.p) == (by_hand.value, by_hand.df, by_hand.p)
    pre[choir < 3] = np.nan
    assert ends(ask(function, pre, post, program, choir, blocks=blocks)) == pytest.approx(
        ends(ask(function, pre, post, program, choir))
    )


def test_regression_to_the_mean_parts_them():
    """Where groups began apart, gains and adjusted scores differ by the slope's distance from one (Lord 1967)."""
    pre = np.tile([-6.0, 0, 6], 4) + np.repeat([50.0, 55], 6)
    program = np.repeat([1.0, 0], 6)
    post = np.where(program == 1, 55 + 0.6 * (pre - 50), 58 + 0.6 * (pre - 55)) + np.tile([0.1, -0.2, 0.1], 4)
    assert ask(gain_difference, pre, post, program).value == pytest.approx(2)
    assert ask(adjusted_difference, pre, post, program).value == pytest.approx(0, abs=1e-9)
    assert ask(gain_difference, pre, post, program).clusters is None


@pytest.mark.parametrize("function", BOTH)
def test_what_is_refused_names_who_was_asked(function):
    """Other lengths, infinite scores, one choir, one approach: each refusal begins with the function's name."""
    pre, post, program, choir = world(1)
    name = function.__name__
    with pytest.raises(ValueError, match=rf"^{name}: pre and (program|post) must list the same students\.$"):
        ask(function, pre[:-1], post, program, choir)
    with pytest.raises(ValueError, match=rf"^{name}: outcome, clusters and predictors must list the same rows"):
        ask(function, pre, np.where(pre > 0, np.inf, post), program, choir)
    with pytest.raises(TooFewError, match=rf"^{name}: needs 2 choirs\. A has 1\.$"):
        ask(function, pre, post, program, np.zeros(pre.size))
    with pytest.raises(
        TooFewError, match=rf"^{name}: needs predictors that do not follow from one another\. A has some"
    ):
        ask(function, pre, post, np.ones(pre.size), choir)
    with pytest.raises(ValueError, match=rf"^{name}: blocks must list the same students\.$"):
        ask(function, pre, post, program, choir, blocks=choir[1:])
    with pytest.raises(ValueError, match=rf"^{name}: level must be between 0 and 1\. Got 2\.$"):
        ask(function, pre, post, program, choir, level=2)
