"""Laws, messages and cross-checks of the tests of being too small to matter."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.weightstats import ttost_ind, ttost_paired

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.complete import NO_SPREAD_IN_GROUPS, NO_SPREAD_OF_GAINS
from kit.stats.studies.equivalence import equivalence, equivalence_gain, equivalence_groups, one_sided_ps

PRE = [10.0, 12, 15, 9, 14, 11, 13, 8]
POST = [11.0, 12, 16, 9, 13, 12, 13, 9]
YIELDS = json.loads((Path(__file__).parents[2] / "reference" / "equivalence_groups.json").read_text(encoding="utf-8"))
laws = settings(max_examples=25, deadline=None)
BOTH = [equivalence_gain, equivalence_groups]
marks = st.lists(st.tuples(st.integers(0, 24), st.integers(0, 24)), min_size=3, max_size=15).filter(
    lambda rows: min(len({a for a, _ in rows}), len({b for _, b in rows}), len({b - a for a, b in rows})) > 1
)


def ends(estimate):
    """Give value, ends and p."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high, estimate.p])


def test_both_one_sided_tests_as_published():
    """Both p-values of the published examples are met, not only the larger one."""
    # Lakens (2017): t(182) = 3.4804, p = .0003, and t(182) = -3.0254, p = .00142
    low, high = one_sided_ps(0.03, 0.13188200, 182.0, bound=0.429)
    assert low == pytest.approx(0.0003, abs=6e-5)
    assert high == pytest.approx(0.00142, abs=6e-6)
    data = next(case["data"] for case in YIELDS["cases"] if case["id"] == "yields")
    difference = equivalence_groups(**data, bound=110, spreads="pooled", about="A", unit="points")
    # NCSS manual, p. 197-8: .02821 and .01436, standard error 51.114285
    assert one_sided_ps(difference.value, 51.114285, 27.0, bound=110) == pytest.approx((0.02821, 0.01436), abs=6e-6)


def test_paired_one_sided_tests_as_published():
    """The smaller p of the published paired example is met too."""
    error = 0.350782 / 0.4 / np.sqrt(65)
    # TOSTER, TOSTpaired: t 3.960381, p 9.531728e-05, and t -2.489426, p .00770235
    assert one_sided_ps(0.08, error, 64.0, bound=0.350782) == pytest.approx((9.531728e-05, 0.00770235), abs=1e-6)


@given(rows=marks, bound=st.floats(0.5, 8))
@laws
def test_beside_statsmodels(rows, bound):
    """The larger p equals that of statsmodels, for groups and for gains."""
    one, two = np.array(rows, dtype=float).T
    for spreads, word in (("own", "unequal"), ("pooled", "pooled")):
        ours = equivalence_groups(one, two, bound=bound, spreads=spreads, about="A", unit="points")
        assert ours.p == pytest.approx(ttost_ind(one, two, -bound, bound, usevar=word)[0], abs=1e-10)
    ours = equivalence_gain(two, one, bound=bound, about="A", unit="points")
    assert ours.p == pytest.approx(ttost_paired(one, two, -bound, bound)[0], abs=1e-10)


@pytest.mark.parametrize("test", BOTH)
@given(rows=marks, bound=st.floats(0.5, 12), level=st.floats(0.5, 0.99))
@laws
def test_p_is_small_just_where_the_interval_is_inside(test, rows, bound, level):
    """Both tests reject at (1 - level)/2 just where the interval lies within the bounds."""
    found = test(*np.array(rows, dtype=float).T, bound=bound, level=level, about="A", unit="points")
    inside = -bound < found.interval.low and found.interval.high < bound
    assert inside == (found.p < (1 - level) / 2)


@pytest.mark.parametrize("test", BOTH)
@given(rows=marks, factor=st.integers(2, 9), shift=st.integers(-20, 20), seed=st.integers(0, 99))
@laws
def test_scale_swap_and_order(test, rows, factor, shift, seed):
    """A new unit stretches all but p, swapped columns turn the sign, a shift and the order are nothing."""
    one, two = np.array(rows, dtype=float).T
    plain = ends(test(one, two, bound=3, about="A", unit="points"))
    order = np.random.default_rng(seed).permutation(len(rows))
    moved = test(factor * one[order] + shift, factor * two[order] + shift, bound=3 * factor, about="A", unit="points")
    assert ends(moved) == pytest.approx(plain * [factor, factor, factor, 1], abs=1e-8)
    back = ends(test(two, one, bound=3, about="A", unit="points"))
    assert back == pytest.approx(plain[[0, 2, 1, 3]] * [-1, -1, -1, 1], abs=1e-9)


def test_raw_scores_and_their_estimate_agree():
    """The test of a mean gain is the test of its estimate with standard error and df."""
    gains = np.subtract(POST, PRE)
    error = gains.std(ddof=1) / np.sqrt(8)
    of_estimate = equivalence(gains.mean(), error, df=7, bound=1, n=8, about="A", unit="points")
    assert ends(equivalence_gain(PRE, POST, bound=1, about="A", unit="points")) == pytest.approx(ends(of_estimate))
    assert of_estimate.notes == ("Too small to matter was set at less than 1 points in either direction.",)


def test_missing_students_are_removed_students():
    """Students with a score missing are left out and counted."""
    gaps = equivalence_gain([*PRE, np.nan], [*POST, 12], bound=1, about="A", unit="points")
    assert (gaps.dropped, gaps.n) == (1, 8)
    assert np.array_equal(ends(gaps), ends(equivalence_gain(PRE, POST, bound=1, about="A", unit="points")))
    groups = equivalence_groups([*PRE, np.nan], [np.nan, *POST], bound=1, about="A", unit="points")
    assert (groups.dropped, groups.n) == (2, 16)
    assert np.array_equal(ends(groups), ends(equivalence_groups(PRE, POST, bound=1, about="A", unit="points")))


def test_without_spread_there_is_no_test():
    """Where nothing differs there is neither interval nor p, and a note says so."""
    same = equivalence_gain([1, 2, 3], [2, 3, 4], bound=2, about="A", unit="points")
    assert (same.value, same.interval, same.p, same.df, same.notes[-1]) == (1, None, None, None, NO_SPREAD_OF_GAINS)
    for spreads in ("own", "pooled"):
        flat = equivalence_groups([3, 3], [2, 2], bound=2, spreads=spreads, about="A", unit="points")
        assert (flat.interval, flat.p, flat.df, flat.notes[-1]) == (None, None, None, NO_SPREAD_IN_GROUPS)


def test_refusals_are_said_in_full():
    """Impossible bounds, errors and words, and missing estimates are refused."""
    with pytest.raises(ValueError, match=r"^equivalence: bound must be a number above zero. Got 0.$"):
        equivalence(0.1, 0.1, bound=0, n=3, about="A", unit="SD")
    with pytest.raises(ValueError, match=r"^equivalence: error must be above zero. Got 0.$"):
        equivalence(0.1, 0, bound=1, n=3, about="A", unit="SD")
    with pytest.raises(ValueError, match=r"^equivalence: value and error must be finite. Got inf and 0.1.$"):
        equivalence(np.inf, 0.1, bound=1, n=3, about="A", unit="SD")
    with pytest.raises(ValueError, match=r"^equivalence: df must be above zero, or None for the normal. Got nan.$"):
        equivalence(0.1, 0.1, bound=1, n=3, df=np.nan, about="A", unit="SD")
    with pytest.raises(ValueError, match=r"^equivalence: counts must be whole numbers. Got inf.$"):
        equivalence(0.1, 0.1, bound=1, n=np.inf, about="A", unit="SD")
    with pytest.raises(TooFewError, match=r"^equivalence: needs an estimate with its standard error. Ours lacks one.$"):
        equivalence(np.nan, 0.1, bound=1, n=3, about="Ours", unit="SD")
    with pytest.raises(UnknownChoiceError) as word:
        equivalence_groups(PRE, POST, bound=1, spreads="equal", about="A", unit="points")
    assert str(word.value) == "equivalence_groups: spreads must be one of 'own', 'pooled'. Got 'equal'."
    with pytest.raises(TooFewError) as few:
        equivalence_gain([1], [2], bound=1, about="Mine", unit="points")
    assert str(few.value) == "equivalence_gain: needs 2 students with both scores. Mine has 1."
