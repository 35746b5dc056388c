"""Sizes from printed statistics equal those of the scores behind them; messages."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.association import correlation
from kit.stats.effects.sizes import NOT_A_SIZE, d_average, d_change, hedges_g
from kit.stats.studies.from_printed import correlation_from_r, d_average_from_summary, d_change_from_t, hedges_g_from_t

laws = settings(max_examples=25, deadline=None)
marks = st.lists(st.tuples(st.integers(0, 24), st.integers(0, 24)), min_size=5, max_size=20).filter(
    lambda rows: (
        min(len({a for a, _ in rows}), len({b for _, b in rows}), len({b - a for a, b in rows}),
            len({b + a for a, b in rows})) > 1
        and abs(np.corrcoef(*np.array(rows, dtype=float).T)[0, 1]) < 0.999
    )
)  # fmt: skip


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


@given(rows=marks, level=st.floats(0.5, 0.99))
@laws
def test_printed_sizes_are_those_of_the_scores(rows, level):
    """t, or means, SDs and correlation, give the very size and interval that the scores give."""
    one, two = np.array(rows, dtype=float).T
    options, n = {"about": "A", "level": level}, one.size
    groups, gains = scipy.stats.ttest_ind(one, two), scipy.stats.ttest_rel(two, one)
    printed = hedges_g_from_t(groups.statistic, n_program=n, n_comparison=n, **options)
    assert ends(printed) == pytest.approx(ends(hedges_g(one, two, **options)), abs=1e-7)
    assert (printed.p, printed.df) == pytest.approx((groups.pvalue, groups.df))
    printed = d_change_from_t(gains.statistic, n=n, **options)
    assert ends(printed) == pytest.approx(ends(d_change(one, two, **options)), abs=1e-7)
    assert (printed.p, printed.notes) == (pytest.approx(gains.pvalue), (NOT_A_SIZE,))
    r = np.corrcoef(one, two)[0, 1]
    summary = (one.mean(), two.mean(), one.std(ddof=1), two.std(ddof=1))
    printed = d_average_from_summary(*summary, correlation=r, n=n, **options)
    assert ends(printed) == pytest.approx(ends(d_average(one, two, **options)))
    printed, raw = correlation_from_r(r, n=n, **options), correlation(one, two, **options)
    assert (*ends(printed), printed.p) == pytest.approx((*ends(raw), raw.p), abs=1e-12)


def test_derived_values_of_two_published_studies():
    """Henry (2004), t(66) = 4.38: d_z .54 [.28, .79]. McClung (2008), 10.37 (4.23), 10.84 (3.96): d_av .11, r .56."""
    henry = d_change_from_t(4.38, n=67, about="Henry 2004")
    assert ends(henry) == pytest.approx([0.54, 0.28, 0.79], abs=0.006)
    mcclung = d_average_from_summary(10.37, 10.84, 4.23, 3.96, correlation=0.5649, n=38, about="McClung 2008")
    assert mcclung.value == pytest.approx(0.11, abs=0.006)
    assert ends(correlation_from_r(0.5649, n=38, about="both")) == pytest.approx([0.56, 0.30, 0.75], abs=0.006)


def test_refusals_are_said_in_full():
    """Missing and infinite numbers, impossible spreads and correlations, and too few students are refused."""
    with pytest.raises(TooFewError, match=r"^hedges_g_from_t: needs t. The original lacks it.$"):
        hedges_g_from_t(math.nan, n_program=5, n_comparison=5, about="The original")
    with pytest.raises(TooFewError, match=r"^hedges_g_from_t: needs 2 students in each group. The original has 1.$"):
        hedges_g_from_t(2, n_program=5, n_comparison=1, about="The original")
    with pytest.raises(ValueError, match=r"^d_change_from_t: t must be finite. Got inf.$"):
        d_change_from_t(math.inf, n=5, about="A")
    with pytest.raises(TooFewError, match=r"^d_change_from_t: needs 2 students tested twice. A has 1.$"):
        d_change_from_t(2, n=1, about="A")
    with pytest.raises(TooFewError, match=r"^d_average_from_summary: needs sd_pre and sd_post. A lacks them.$"):
        d_average_from_summary(1, 2, math.nan, math.nan, correlation=0.5, n=9, about="A")
    with pytest.raises(ValueError, match=r"^d_average_from_summary: spreads must be above zero. Got 0.$"):
        d_average_from_summary(1, 2, 0, 1, correlation=0.5, n=9, about="A")
    with pytest.raises(ValueError, match=r"^d_average_from_summary: correlation must be between -1 and 1. Got 1.5.$"):
        d_average_from_summary(1, 2, 1, 1, correlation=1.5, n=9, about="A")
    with pytest.raises(ValueError, match=r"^correlation_from_r: r must be between -1 and 1. Got 1.$"):
        correlation_from_r(1, n=9, about="A")
    with pytest.raises(TooFewError, match=r"^correlation_from_r: needs 4 students. A has 3.$"):
        correlation_from_r(0.5, n=3, about="A")
