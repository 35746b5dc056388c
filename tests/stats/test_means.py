"""Laws, messages and cross-checks of means, mean gains and differences of means."""

from __future__ import annotations

import numpy as np
import pingouin
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.weightstats import CompareMeans, DescrStatsW

from kit.errors import TooFewError
from kit.stats.complete import NO_SPREAD_IN_GROUPS, NO_SPREAD_OF_GAINS, NO_SPREAD_OF_SCORES
from kit.stats.means import mean_difference, mean_difference_welch, mean_gain, mean_score, median_gain

PRE = [10.0, 12, 15, 9, 14, 11, 13, 8]
POST = [13.0, 14, 21, 9, 18, 16, 12, 12]
GAINS = [mean_gain, median_gain]
DIFFERENCES = [mean_difference, mean_difference_welch]
COUNTED = {"about": "Treble 1", "unit": "points"}

marks = st.lists(st.tuples(st.integers(0, 24), st.integers(0, 24)), min_size=7, max_size=20).filter(
    lambda rows: len({after - before for before, after in rows}) > 1
)
laws = settings(max_examples=25, deadline=None)


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


@pytest.mark.parametrize("gain", GAINS)
@given(rows=marks, shift=st.integers(-50, 50), factor=st.integers(2, 9))
@laws
def test_gain_follows_the_scale(gain, rows, shift, factor):
    """Adding a constant to all scores leaves a gain; multiplying all scores multiplies it with its ends."""
    pre, post = np.array(rows, dtype=float).T
    plain = gain(pre, post, **COUNTED)
    moved = gain(factor * pre + shift, factor * post + shift, **COUNTED)
    assert ends(moved) == pytest.approx(factor * ends(plain), abs=1e-9)
    assert moved.p == pytest.approx(plain.p, rel=1e-9)


@pytest.mark.parametrize("gain", GAINS)
@given(rows=marks)
@laws
def test_gain_swaps_sign(gain, rows):
    """Swapping the tests turns the sign and the ends, and leaves p."""
    pre, post = np.array(rows, dtype=float).T
    there, back = gain(pre, post, **COUNTED), gain(post, pre, **COUNTED)
    assert ends(back) == pytest.approx(-ends(there)[[0, 2, 1]], abs=1e-12)
    assert back.p == pytest.approx(there.p, rel=1e-12)


@pytest.mark.parametrize("gain", GAINS)
@given(rows=marks, seed=st.integers(0, 99))
@laws
def test_order_of_rows_is_nothing(gain, rows, seed):
    """The order of students does not matter."""
    pre, post = np.array(rows, dtype=float).T
    order = np.random.default_rng(seed).permutation(len(rows))
    plain, shuffled = gain(pre, post, **COUNTED), gain(pre[order], post[order], **COUNTED)
    assert ends(shuffled) == pytest.approx(ends(plain), abs=1e-9)


@pytest.mark.parametrize("gain", GAINS)
@given(rows=marks, levels=st.tuples(st.floats(0.5, 0.98), st.floats(0.5, 0.98)))
@laws
def test_higher_level_is_not_narrower(gain, rows, levels):
    """An interval at a higher level contains the one at a lower level."""
    pre, post = np.array(rows, dtype=float).T
    inner, outer = (gain(pre, post, level=level, **COUNTED).interval for level in sorted(levels))
    assert outer.low <= inner.low + 1e-12
    assert outer.high >= inner.high - 1e-12


@pytest.mark.parametrize("gain", GAINS)
def test_missing_rows_are_removed_rows(gain):
    """A student with one score is left out and counted; every other part is as if the row had never been there."""
    with_gaps = gain([*PRE, np.nan, 11], [*POST, 12, None], **COUNTED)
    without = gain(PRE, POST, **COUNTED)
    assert with_gaps.dropped == 2
    assert without.dropped == 0
    assert {k: v for k, v in with_gaps.as_row().items() if k != "dropped"} == {
        k: v for k, v in without.as_row().items() if k != "dropped"
    }


@pytest.mark.parametrize("difference", DIFFERENCES)
def test_missing_students_of_either_group_are_counted(difference):
    """Missing students of both groups are left out and counted together."""
    with_gaps = difference([*PRE, np.nan], [*POST, np.nan, np.nan], **COUNTED)
    assert with_gaps.dropped == 3
    assert ends(with_gaps) == pytest.approx(ends(difference(PRE, POST, **COUNTED)))


@pytest.mark.parametrize("difference", DIFFERENCES)
@given(rows=marks, shift=st.integers(-50, 50))
@laws
def test_difference_swaps_sign_and_ignores_shift(difference, rows, shift):
    """Swapping the groups turns the sign; a constant added to everybody is nothing."""
    one, two = np.array(rows, dtype=float).T
    one[0] += 0.5  # keeps some spread in each group
    two[1] -= 0.5
    there = difference(one, two, **COUNTED)
    back = difference(two + shift, one + shift, **COUNTED)
    assert ends(back) == pytest.approx(-ends(there)[[0, 2, 1]], abs=1e-9)


def test_mean_gain_equals_libraries():
    """Paired t of scipy and pingouin give the same interval and p (pingouin's interval column is rounded)."""
    ours = mean_gain(PRE, POST, **COUNTED)
    theirs = scipy.stats.ttest_rel(POST, PRE)
    interval = theirs.confidence_interval(0.95)
    assert ends(ours)[1:] == pytest.approx([interval.low, interval.high])
    assert ours.p == pytest.approx(theirs.pvalue)
    assert ours.df == theirs.df
    assert ours.p == pytest.approx(float(pingouin.ttest(POST, PRE, paired=True)["p_val"].iloc[0]))


def test_differences_equal_libraries():
    """The libraries scipy and statsmodels give the same pooled and Welch intervals."""
    both = CompareMeans(DescrStatsW(PRE), DescrStatsW(POST))
    for ours, theirs, spread in (
        (mean_difference(PRE, POST, **COUNTED), scipy.stats.ttest_ind(PRE, POST), "pooled"),
        (mean_difference_welch(PRE, POST, **COUNTED), scipy.stats.ttest_ind(PRE, POST, equal_var=False), "unequal"),
    ):
        assert ends(ours)[1:] == pytest.approx(both.tconfint_diff(usevar=spread))
        assert ours.p == pytest.approx(theirs.pvalue)
        assert ours.df == pytest.approx(theirs.df)
        assert ours.n == 16


def test_median_gain_equals_scipy_without_ties():
    """Without ties scipy's exact signed-rank p is ours; with ties and zeros it is not, and ours is the exact one."""
    gains = np.array([1.5, -0.7, 2.2, 3.1, 0.4, 5.0, -1.1, 2.7])
    ours = median_gain(np.zeros(8), gains, **COUNTED)
    assert ours.p == pytest.approx(scipy.stats.wilcoxon(gains, method="exact").pvalue)


def test_constant_gain_is_undefined_not_certain():
    """If everyone gains the same, there is no t: no interval and no p (scipy and pingouin say t = inf, p = 0)."""
    for pre in ([10.0, 12, 15], [0.1, 0.2, 0.7]):
        gain = mean_gain(pre, np.add(pre, 0.3), **COUNTED)
        assert gain.value == pytest.approx(0.3)
        assert (gain.interval, gain.p, gain.df) == (None, None, 2.0)
        assert gain.notes == (NO_SPREAD_OF_GAINS,)


def test_no_spread_elsewhere():
    """Equal scores give the mean or the difference, without an interval and with a note."""
    assert mean_score([7, 7, 7], **COUNTED).notes == (NO_SPREAD_OF_SCORES,)
    for difference in DIFFERENCES:
        flat = difference([7, 7], [4, 4, 4], **COUNTED)
        assert (flat.value, flat.interval, flat.p) == (3.0, None, None)
        assert flat.notes == (NO_SPREAD_IN_GROUPS,)


def test_median_gain_names_the_level_it_attains():
    """Ranks reach only certain levels: the one attained is named, and too few students get no interval."""
    nine = median_gain([*PRE, 10], [*POST, 15], **COUNTED)
    assert nine.interval.method == "exact signed-rank interval, attained level 96.1 %"
    assert nine.interval.level == 0.95
    five = median_gain(PRE[:5], POST[:5], **COUNTED)
    assert five.interval is None
    assert five.notes == ("With 5 students, ranks reach a level of 93.8 % at most, not the 95 % asked for.",)
    assert five.value == 3.0


def test_median_gain_of_nobody_moving():
    """If nobody changed, the typical gain is zero and there is nothing to test."""
    still = median_gain(PRE, PRE, **COUNTED)
    assert (still.value, still.interval.low, still.interval.high, still.p) == (0.0, 0.0, 0.0, None)


def test_large_groups_use_the_normal_approximation():
    """Beyond 200 students the approximation agrees with scipy's p and says what it is."""
    gains = np.random.default_rng(3).normal(0.1, 1, 400)
    ours = median_gain(np.zeros(400), gains, **COUNTED)
    theirs = scipy.stats.wilcoxon(gains, method="asymptotic", correction=True)
    assert ours.p == pytest.approx(theirs.pvalue)
    assert ours.interval.method == "signed-rank interval, normal approximation, attained level 95.0 %"
    t = mean_gain(np.zeros(400), gains, **COUNTED).interval
    assert ours.interval.high - ours.interval.low == pytest.approx(t.high - t.low, rel=0.1)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: mean_score([3, np.nan], **COUNTED), "mean_score: needs 2 students with a score. Treble 1 has 1."),
        (
            lambda: mean_gain([1, 2, np.nan], [np.nan, 3, 4], **COUNTED),
            "mean_gain: needs 2 students with both scores. Treble 1 has 1.",
        ),
        (lambda: median_gain([], [], **COUNTED), "median_gain: needs 2 students with both scores. Treble 1 has 0."),
        (
            lambda: mean_difference([1, 2], [3], **COUNTED),
            "mean_difference: needs 2 students with a score in each group. Treble 1, comparison group, has 1.",
        ),
        (
            lambda: mean_difference_welch([1], [3, 4], **COUNTED),
            "mean_difference_welch: needs 2 students with a score in each group. Treble 1, program group, has 1.",
        ),
    ],
)
def test_too_few(call, message):
    """Too few students are refused with a sentence that says who and how many."""
    with pytest.raises(TooFewError) as caught:
        call()
    assert str(caught.value) == message


@pytest.mark.parametrize("function", [*GAINS, *DIFFERENCES])
def test_level_is_checked(function):
    """A level that is no proportion is refused."""
    with pytest.raises(ValueError, match=f"^{function.__name__}: level must be between 0 and 1. Got 95.$"):
        function(PRE, POST, level=95, **COUNTED)
