"""Laws, messages and cross-checks of sizes in standard deviations."""

from __future__ import annotations

import numpy as np
import pingouin
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.effects.sizes import (
    NOT_A_SIZE,
    d_average,
    d_change,
    d_pre,
    hedges_g,
)
from kit.stats.noncentral import small_sample_correction

PRE = [10.0, 12, 15, 9, 14, 11, 13, 8]
POST = [13.0, 14, 21, 9, 18, 16, 12, 12]
PAIRED = [d_pre, d_average, d_change]
laws = settings(max_examples=25, deadline=None)
marks = st.lists(st.tuples(st.integers(0, 24), st.integers(0, 24)), min_size=6, max_size=20).filter(
    lambda rows: (
        min(len({a for a, _ in rows}), len({b for _, b in rows}), len({b - a for a, b in rows})) > 1
        and len({row[1] - row[0] for row in rows}) > 2
    )
)


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


@pytest.mark.parametrize("size", PAIRED)
@given(rows=marks, shift=st.integers(-50, 50), factor=st.integers(2, 9))
@laws
def test_size_has_no_scale(size, rows, shift, factor):
    """Shifting or stretching the scale of the test leaves a size as it is."""
    pre, post = np.array(rows, dtype=float).T
    plain = size(pre, post, about="A")
    assert ends(size(factor * pre + shift, factor * post + shift, about="A")) == pytest.approx(ends(plain), abs=1e-7)


@pytest.mark.parametrize("size", [d_average, d_change])
@given(rows=marks)
@laws
def test_swapping_tests_turns_the_sign(size, rows):
    """Swapping the tests turns the sign; d_pre is left out because its standardiser is the first test."""
    pre, post = np.array(rows, dtype=float).T
    there, back = size(pre, post, about="A"), size(post, pre, about="A")
    # the noncentral t is inverted numerically, to about nine digits
    assert ends(back) == pytest.approx(-ends(there)[[0, 2, 1]], abs=1e-7)


@given(rows=marks)
@laws
def test_swapping_groups_turns_the_sign(rows):
    """Swapping the groups turns the sign of g and its ends."""
    one, two = np.array(rows, dtype=float).T
    assert ends(hedges_g(two, one, about="A")) == pytest.approx(-ends(hedges_g(one, two, about="A"))[[0, 2, 1]])


@pytest.mark.parametrize("size", [*PAIRED, hedges_g])
@given(rows=marks, seed=st.integers(0, 99), levels=st.tuples(st.floats(0.5, 0.99), st.floats(0.5, 0.99)))
@laws
def test_order_and_level(size, rows, seed, levels):
    """The order of students is nothing, and a higher level is not narrower."""
    pre, post = np.array(rows, dtype=float).T
    order = np.random.default_rng(seed).permutation(len(rows))
    inner, outer = (size(pre[order], post[order], level=level, about="A") for level in sorted(levels))
    assert inner.value == pytest.approx(size(pre, post, about="A").value)
    assert outer.interval.low <= inner.interval.low + 1e-9
    assert outer.interval.high >= inner.interval.high - 1e-9


@pytest.mark.parametrize("size", PAIRED)
def test_missing_rows_are_removed_rows(size):
    """A student with one score is left out and counted; the rest is as if the row had never been there."""
    with_gaps, without = size([*PRE, np.nan, 11], [*POST, 12, np.nan], about="A"), size(PRE, POST, about="A")
    assert with_gaps.dropped == 2
    assert np.array_equal(ends(with_gaps), ends(without))
    assert with_gaps.n == without.n == 8


def test_missing_students_of_groups_are_counted():
    """Missing students of both groups are left out and counted together."""
    with_gaps = hedges_g([*PRE, np.nan], [np.nan, *POST, np.nan], about="A")
    assert (with_gaps.dropped, with_gaps.n) == (3, 16)
    assert np.array_equal(ends(with_gaps), ends(hedges_g(PRE, POST, about="A")))


def test_sizes_beside_pingouin():
    """Uncorrected sizes equal pingouin's; its "paired" Cohen's d is d_average, not d_change, and its J approximate."""
    of_pairs = pingouin.compute_effsize(POST, PRE, paired=True, eftype="cohen")
    assert d_average(PRE, POST, about="A").value == pytest.approx(of_pairs * np.sqrt(6 / 7))
    of_groups = pingouin.compute_effsize(POST, PRE, eftype="cohen")
    assert hedges_g(POST, PRE, about="A").value == pytest.approx(of_groups * small_sample_correction(14))
    assert hedges_g(POST, PRE, about="A").value == pytest.approx(
        pingouin.compute_effsize(POST, PRE, eftype="hedges"), rel=1e-3
    )


def test_d_change_is_t_over_root_n():
    """d_change times the root of n is scipy's paired t."""
    t = scipy.stats.ttest_rel(POST, PRE).statistic
    assert d_change(PRE, POST, about="A").value * np.sqrt(8) == pytest.approx(t)


def test_d_change_is_no_size():
    """The note that must be printed says that it is no size, and the unit is not that of a size."""
    found = d_change(PRE, POST, about="A")
    assert found.notes == (NOT_A_SIZE,)
    assert found.unit == "SD of gains"
    assert NOT_A_SIZE == "This says how alike the students' gains are, not how large they are."


def test_nearly_constant_gain_still_has_ends():
    """Nearly equal gains make t huge; the interval still brackets the value."""
    found = d_change(PRE, np.add(PRE, 3) + 1e-4 * np.array([0, 1, 0, 1, 0, 1, 1, 0]), about="A")
    assert found.value > 1e4
    assert found.interval.low < found.value < found.interval.high


def test_constant_gain_has_a_size():
    """If everyone gains the same, the size against the first test still has an interval."""
    found = d_pre(PRE, np.add(PRE, 2), about="A")
    assert found.interval.low < found.value < found.interval.high


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (
            lambda: d_pre([1, 2], [2, 3], about="A"),
            TooFewError,
            "d_pre: needs 3 students with both scores. A has 2.",
        ),
        (
            lambda: d_pre([2, 2, 2], [2, 3, 4], about="A"),
            TooFewError,
            "d_pre: needs first scores that differ. A has none that do.",
        ),
        (
            lambda: d_average([2, 2, 2], [3, 3, 3], about="A"),
            TooFewError,
            "d_average: needs scores that differ. A has none that do.",
        ),
        (
            lambda: d_change([1, 2, 3], [3, 4, 5], about="A"),
            TooFewError,
            "d_change: needs gains that differ. A has none that do.",
        ),
        (
            lambda: hedges_g([1, 2], [3], about="A"),
            TooFewError,
            "hedges_g: needs 2 students with a score in each group. A, comparison group, has 1.",
        ),
        (
            lambda: hedges_g([1, 1], [3, 3], about="A"),
            TooFewError,
            "hedges_g: needs scores within a group that differ. A has none that do.",
        ),
        (lambda: d_pre(PRE, POST, about="A", level=0), ValueError, "d_pre: level must be between 0 and 1. Got 0."),
    ],
)
def test_messages(call, error, message):
    """Each refusal says what is needed and what was found."""
    with pytest.raises(error) as caught:
        call()
    assert str(caught.value) == message


@pytest.mark.slow
@pytest.mark.parametrize(("n", "r", "true"), [(12, 0.7, 0.5), (20, 0.7, 0.5), (40, 0.5, 0.3), (20, 0.8, 1.0)])
def test_d_pre_covers(n, r, true):
    """The 95 % interval of d_pre covers the true size in 93 to 98 % of 4,000 samples (Monte Carlo error 0.35 %)."""
    rng = np.random.default_rng(5)
    covered = 0
    for _ in range(4000):
        one = rng.normal(size=n)
        post = true + r * one + np.sqrt(1 - r**2) * rng.normal(size=n)
        interval = d_pre(one, post, about="A").interval
        covered += interval.low <= true <= interval.high
    assert 0.93 <= covered / 4000 <= 0.98
