"""Laws, messages and cross-checks of sizes of a difference of two groups tested twice."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.effects.prepost import FITS_EXACTLY, NOTHING_MOVED, adjusted_g, gain_difference_g, prepost_control_d
from kit.stats.effects.sizes import d_pre, hedges_g
from kit.stats.noncentral import small_sample_correction
from kit.stats.two_tests import two_tests

SIZES = [prepost_control_d, gain_difference_g, adjusted_g]
PRE = np.array([8.0, 10, 12, 14, 9, 11, 13, 12, 7, 10])
POST = np.array([12.0, 13, 17, 18, 12, 12, 15, 13, 10, 11])
PROGRAM = np.arange(10) < 5
laws = settings(max_examples=25, deadline=None)
rows = st.lists(
    st.tuples(st.integers(0, 24), st.integers(0, 24), st.booleans()), min_size=8, max_size=20
).filter(lambda found: all(
    len({a for a, _, c in found if c is who}) > 2 and len({b for _, b, c in found if c is who}) > 2
    for who in (True, False)
))  # fmt: skip


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


def columns(found):
    """Turn rows into three columns."""
    pre, post, program = np.array(found, dtype=float).T
    return pre, post, program == 1


@pytest.mark.parametrize("size", SIZES)
@given(found=rows, shift=st.integers(-50, 50), factor=st.integers(2, 9), seed=st.integers(0, 99))
@laws
def test_size_has_no_scale_and_no_order(size, found, shift, factor, seed):
    """Shifting, stretching or shuffling leaves a size as it is."""
    pre, post, program = columns(found)
    mixed = np.random.default_rng(seed).permutation(len(found))
    moved = size(factor * pre[mixed] + shift, factor * post[mixed] + shift, program[mixed], about="A")
    assert ends(moved) == pytest.approx(ends(size(pre, post, program, about="A")), abs=1e-8)


@pytest.mark.parametrize("size", SIZES)
@given(found=rows)
@laws
def test_swapping_groups_turns_the_sign(size, found):
    """Calling the groups by each other's name turns the sign of a size and its ends."""
    pre, post, program = columns(found)
    there, back = ends(size(pre, post, program, about="A")), ends(size(pre, post, ~program, about="A"))
    assert back == pytest.approx(-there[[0, 2, 1]], abs=1e-9)


@pytest.mark.parametrize("size", SIZES)
@given(found=rows, levels=st.tuples(st.floats(0.5, 0.99), st.floats(0.5, 0.99)))
@laws
def test_higher_level_is_not_narrower(size, found, levels):
    """A higher level is not narrower."""
    inner, outer = (size(*columns(found), about="A", level=level).interval for level in sorted(levels))
    assert outer.low <= inner.low <= inner.high <= outer.high


@pytest.mark.parametrize("size", SIZES)
def test_missing_rows_are_removed_rows(size):
    """A student with a score or the group missing is left out and counted."""
    with_gaps = size([*PRE, np.nan, 9, 9], [*POST, 12, np.nan, 9], [*PROGRAM, 1, 0, np.nan], about="A")
    assert (with_gaps.dropped, with_gaps.n) == (3, 10)
    assert np.array_equal(ends(with_gaps), ends(size(PRE, POST, PROGRAM, about="A")))


def test_gain_difference_is_the_second_g_less_the_first():
    """The difference of the two is that of `hedges_g` at both tests."""
    second, first = (hedges_g(x[PROGRAM], x[~PROGRAM], about="A").value for x in (POST, PRE))
    assert gain_difference_g(PRE, POST, PROGRAM, about="A").value == pytest.approx(second - first, rel=1e-12)


def test_worked_error_of_a_gain_difference():
    """With g .15 before and .40 after, r .70 and 40 students each: standard error .1753 (WWC supplement's formula)."""
    g_pre, g_post, r, n, h = 0.15, 0.40, 0.70, 40, 78
    of_spread = (g_post**2 + r**2 * g_pre**2 - 2 * r**2 * g_pre * g_post) / (2 * h)
    assert np.sqrt(2 * (1 - r) * 2 / n + of_spread) == pytest.approx(0.1753, abs=5e-5)
    rng = np.random.default_rng(1)
    parts = []
    for away, whole in ((g_pre, 1), (g_post, 1)):  # rows with exactly these sizes, spreads and correlation
        base, other = (rng.normal(size=n) for _ in range(2))
        design = np.column_stack([np.ones(n), base])
        other -= design @ np.linalg.lstsq(design, other, rcond=None)[0]
        parts.append(((base - base.mean()) / base.std(ddof=1), other / other.std(ddof=1), away, whole))
    (b1, o1, _, _), (b2, o2, _, _) = parts
    factor = small_sample_correction(h)
    pre = np.concatenate([b1 + g_pre / factor, b2])
    post = np.concatenate([r * b1 + np.sqrt(1 - r**2) * o1 + g_post / factor, r * b2 + np.sqrt(1 - r**2) * o2])
    found = gain_difference_g(pre, post, np.arange(80) < 40, about="A")
    assert found.value == pytest.approx(0.25)
    half = (found.interval.high - found.interval.low) / 2
    assert half / 1.9908471 == pytest.approx(0.1753, abs=5e-5)  # t, 78 df


def test_prepost_with_one_own_spread_is_the_difference_of_d_pre():
    """Morris's first form is `d_pre` of the program less that of the comparison; with like spreads both forms agree."""
    gain = np.array([1.0, 3, 2, 4, 2])
    pre = np.concatenate([PRE[:5], PRE[:5]])
    post = np.concatenate([PRE[:5] + gain + 2, PRE[:5] + gain])
    ours = prepost_control_d(pre, post, PROGRAM, about="A").value / small_sample_correction(8)
    each = [d_pre(PRE[:5], after, about="A").value for after in (post[:5], post[5:])]
    assert ours == pytest.approx((each[0] - each[1]) / small_sample_correction(4))


@pytest.mark.parametrize(
    ("program", "comparison", "printed"),
    [
        ((20, 30.6, 38.5, 15), (20, 23.1, 19.7, 13.8), 0.7421), ((50, 23.5, 26.8, 3.1), (42, 24.9, 25.3, 4.1), 0.9524),
        ((9, 0.5, 0.7, 0.1), (9, 0.6, 0.6, 0.2), 1.8054), ((10, 53.4, 75.9, 14.5), (11, 55.7, 60.7, 17.3), 1.1514),
        ((14, 35.6, 36.0, 4.7), (14, 34.8, 33.4, 3.1), 0.5050),
    ],
)  # fmt: skip
def test_each_group_in_its_own_spread(program, comparison, printed):
    """Morris (2008), Table 5, size in each group's own first SD: `d_pre` of the program less that of the comparison."""
    sizes = []
    for n, first, second, spread in (program, comparison):
        raw = np.random.default_rng(n).normal(size=n)
        away = spread * (raw - raw.mean()) / raw.std(ddof=1)
        sizes.append(d_pre(first + away, second + away[::-1], about="A").value)
    assert sizes[0] - sizes[1] == pytest.approx(printed, abs=6e-5)


def test_prepost_interval_is_close_to_morris_variance():
    """With one spread throughout and many students, the width is that of Morris's variance (2008, equation 25)."""
    rng = np.random.default_rng(2)
    n, r = 4000, 0.6
    pre = rng.normal(size=2 * n)
    post = r * pre + np.sqrt(1 - r**2) * rng.normal(size=2 * n) + np.where(np.arange(2 * n) < n, 0.8, 0.1)
    found = prepost_control_d(pre, post, np.arange(2 * n) < n, about="A")
    variance = 2 * (1 - r) * (2 / n) + found.value**2 / (2 * 2 * n)
    assert (found.interval.high - found.interval.low) / (2 * 1.959964) == pytest.approx(np.sqrt(variance), rel=0.02)


@given(found=rows, seed=st.integers(0, 99))
@laws
def test_adjusted_equals_statsmodels(found, seed):
    """Coefficient, standard error, p and df are those of statsmodels' least squares, with one covariate or two."""
    pre, post, program = columns(found)
    more = np.random.default_rng(seed).normal(size=len(found))
    for covariates in (pre, np.column_stack([pre, more])):
        theirs = sm.OLS(post, sm.add_constant(np.column_stack([program, covariates]))).fit()
        ours = adjusted_g(covariates, post, program, about="A")
        factor = small_sample_correction(len(found) - 2)
        spread = two_tests("f", pre, post, program, "A").pooled((post[program], post[~program]))
        assert ours.value == pytest.approx(factor * theirs.params[1] / spread, abs=1e-9)
        assert (ours.p, ours.df) == pytest.approx((theirs.pvalues[1], theirs.df_resid), rel=1e-6, abs=1e-12)


def test_unrelated_covariate_changes_nothing():
    """A covariate unrelated to group and score leaves the size of `hedges_g`."""
    pre, post = [1, 1, 2, 2, 1, 1, 2, 2], [5, 7, 5, 7, 4, 6, 4, 6]
    program = [True] * 4 + [False] * 4
    plain = hedges_g(post[:4], post[4:], about="A").value
    assert adjusted_g(pre, post, program, about="A").value == pytest.approx(plain)


def test_nothing_to_make_an_interval_from():
    """Students who all keep their place, or scores fitted exactly, give a value, no interval and the reason."""
    found = gain_difference_g(PRE, PRE + 3, PROGRAM, about="A")
    assert (found.value, found.interval, found.p, found.notes) == (
        pytest.approx(0, abs=1e-12),
        None,
        None,
        (NOTHING_MOVED,),
    )
    found = adjusted_g(PRE, PRE + 0.0, PROGRAM, about="A")
    assert found.value == pytest.approx(0, abs=1e-12)
    exact = adjusted_g([1, 2, 1, 2, 1, 2], [1, 2, 1, 2, 1, 2], [1, 1, 1, 0, 0, 0], about="A")
    assert exact.value == pytest.approx(0, abs=1e-12)
    assert exact.notes in {(), (FITS_EXACTLY,)}


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("n", [10, 20, 40])
def test_interval_covers(size, n):
    """The 95 % interval covers the true size, 0.5, in 92.5 to 98 % of 4,000 samples."""
    rng, covered, program = np.random.default_rng(n), 0, np.arange(2 * n) < n
    for _ in range(4000):
        pre = rng.normal(size=2 * n)
        post = 0.7 * pre + np.sqrt(0.51) * rng.normal(size=2 * n) + 0.5 * program
        interval = size(pre, post, program, about="A").interval
        covered += interval.low <= 0.5 <= interval.high
    assert 0.925 <= covered / 4000 <= 0.98


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (
            lambda: prepost_control_d([1, 2, 3], [2, 3, 4], [1, 1, 0], about="A"),
            TooFewError,
            "prepost_control_d: needs 2 students with both scores in each group. A, comparison group, has 1.",
        ),
        (
            lambda: prepost_control_d([1, 1, 2, 2], [2, 3, 4, 5], [1, 1, 0, 0], about="A"),
            TooFewError,
            "prepost_control_d: needs first scores within a group that differ. A has none that do.",
        ),
        (
            lambda: gain_difference_g([1, 2, 2, 3], [4, 4, 5, 5], [1, 1, 0, 0], about="A"),
            TooFewError,
            "gain_difference_g: needs second scores within a group that differ. A has none that do.",
        ),
        (
            lambda: gain_difference_g(PRE, POST, [2, *PROGRAM[1:]], about="A"),
            ValueError,
            "gain_difference_g: program must be True or False for each student. Got 2.0.",
        ),
        (
            lambda: adjusted_g([1, 2, 3, 4], [2, 3, 4, 6], [1, 1, 0, 0], about="A"),
            TooFewError,
            "adjusted_g: needs 5 students with all numbers. A has 4.",
        ),
        (
            lambda: adjusted_g([1, 2, 3, 4], [2, 3, 4, 6], [1, 1, 1, 0], about="A"),
            TooFewError,
            "adjusted_g: needs 2 students with all numbers in each group. A, comparison group, has 1.",
        ),
        (
            lambda: adjusted_g(PROGRAM, POST, PROGRAM, about="A"),
            TooFewError,
            "adjusted_g: needs first scores, or covariates, within a group that differ. A has none that do.",
        ),
        (
            lambda: adjusted_g(PRE[:9], POST, PROGRAM, about="A"),
            ValueError,
            "adjusted_g: post and program and pre must list the same students. Got 10 and 10 and 9 numbers.",
        ),
        (
            lambda: adjusted_g(PRE, POST, PROGRAM, about="A", level=0),
            ValueError,
            "adjusted_g: level must be between 0 and 1. Got 0.",
        ),
    ],
)
def test_messages(call, error, message):
    """Each refusal says what is needed and what was found."""
    with pytest.raises(error) as caught:
        call()
    assert str(caught.value) == message
