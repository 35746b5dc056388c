"""Laws, edges, messages and cross-checks of the intraclass correlations."""

from __future__ import annotations

from typing import get_args

import numpy as np
import pandas as pd
import pingouin
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.agreement.intraclass import RATERS_ARE_ONE, Form, icc_average, icc_single
from kit.stats.consistency import cronbach_alpha

BOTH = [icc_single, icc_average]
FORMS = get_args(Form)
SHROUT_FLEISS = np.array([[9.0, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]])
laws = settings(max_examples=40, deadline=None)
tables = st.integers(3, 8).flatmap(
    lambda n: st.integers(2, 4).flatmap(
        lambda k: st.lists(st.lists(st.integers(0, 10), min_size=k, max_size=k), min_size=n, max_size=n)
    )
)


def asked(icc, ratings, **options):
    """Ask, and skip tables for which the number has no value."""
    try:
        return icc(ratings, about="A", **options)
    except TooFewError:
        assume(False)


def table_with(rows, error, n, k, columns=0.0):
    """Make a table with exactly these mean squares."""
    rng = np.random.default_rng(5)
    row, column = rng.normal(size=n), rng.normal(size=k)
    row, column = row - row.mean(), column - column.mean()
    rest = rng.normal(size=(n, k))
    rest -= rest.mean(axis=1, keepdims=True) + rest.mean(axis=0) - rest.mean()
    row *= np.sqrt(rows * (n - 1) / (k * (row**2).sum()))
    column *= np.sqrt(columns * (k - 1) / (n * (column**2).sum()))
    rest *= np.sqrt(error * (n - 1) * (k - 1) / (rest**2).sum())
    return 50 + row[:, None] + column + rest


def test_printed_mean_squares():
    """Mean squares 48.2 and 11.3 of 30 students and 5 raters give what statpsych prints (example of ci.icc)."""
    ratings = table_with(48.2, 11.3, 30, 5)
    one = icc_single(ratings, about="A", form="consistency_fixed")
    assert (one.value, one.interval.low, one.interval.high) == pytest.approx((0.3951, 0.2311, 0.5853), abs=6e-5)
    assert icc_average(ratings, about="A", form="consistency_fixed").value == pytest.approx(0.7656, abs=6e-5)


@pytest.mark.parametrize(("form", "letter"), list(zip(FORMS, ("A", "C", "1"), strict=True)))
@pytest.mark.parametrize("seed", range(4))
@pytest.mark.filterwarnings("ignore:The inplace keyword")  # pingouin with pandas 3.1
def test_pingouin_agrees_on_complete_tables(form, letter, seed):
    """Values equal pingouin's, and limits to the two decimals that it keeps."""
    ratings = np.random.default_rng(seed).normal(size=(15, 3)) + 2 * np.random.default_rng(9).normal(size=(15, 1))
    long = pd.DataFrame(ratings).melt(ignore_index=False).reset_index()
    theirs = pingouin.intraclass_corr(long, "index", "variable", "value").set_index("Type")
    for icc, size in ((icc_single, "1"), (icc_average, "k")):
        name = f"ICC({letter},{size})"
        ours = icc(ratings, about="A", form=form)
        assert ours.value == pytest.approx(theirs.loc[name, "ICC"], abs=1e-10)
        assert (ours.interval.low, ours.interval.high) == pytest.approx(tuple(theirs.loc[name, "CI95"]), abs=0.0051)


@pytest.mark.parametrize("icc", BOTH)
@pytest.mark.parametrize("form", FORMS)
@given(ratings=tables, scale=st.tuples(st.integers(-50, 50), st.integers(2, 9)), seed=st.integers(0, 99))
@laws
def test_no_scale_and_no_order(icc, form, ratings, scale, seed):
    """Shifting, stretching and reordering students and raters change nothing."""
    plain = asked(icc, ratings, form=form)
    rng = np.random.default_rng(seed)
    moved = rng.permutation(rng.permutation(scale[1] * np.array(ratings, dtype=float) + scale[0]), axis=1)
    again = asked(icc, moved, form=form)
    assert again.value == pytest.approx(plain.value, rel=1e-9, abs=1e-9)
    assert (again.interval is None) == (plain.interval is None)
    if plain.interval:
        assert again.interval.low == pytest.approx(plain.interval.low, rel=1e-6, abs=1e-6)
        assert again.interval.high == pytest.approx(plain.interval.high, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("icc", BOTH)
@pytest.mark.parametrize("form", FORMS)
@given(ratings=tables, levels=st.tuples(*[st.floats(0.5, 0.99)] * 2))
@example(ratings=[[0, 0, 6], [0, 0, 7], [0, 6, 0]], levels=(0.5, 0.5))  # degrees of freedom next to none
@laws
def test_interval_holds_the_value_and_widens(icc, form, ratings, levels):
    """The interval holds the value, its end is 1 at most, and a higher level is not narrower."""
    inner, outer = (asked(icc, ratings, form=form, level=level) for level in sorted(levels))
    if inner.interval is None:
        assert inner.notes == (RATERS_ARE_ONE,)
        return
    assert inner.interval.low - 1e-9 <= inner.value <= inner.interval.high + 1e-9
    assert inner.interval.high <= 1 + 1e-9
    assert outer.interval.low <= inner.interval.low + 1e-9
    assert outer.interval.high >= inner.interval.high - 1e-9


@pytest.mark.parametrize("icc", BOTH)
@pytest.mark.parametrize("form", FORMS)
def test_missing_rows_are_removed_rows(icc, form):
    """A student with a missing rating is left out and counted."""
    with_gap = icc([*SHROUT_FLEISS.tolist(), [3, np.nan, 4, 5]], about="A", form=form)
    whole = icc(SHROUT_FLEISS, about="A", form=form)
    assert (with_gap.dropped, with_gap.n, with_gap.value, with_gap.interval) == (1, 6, whole.value, whole.interval)


def test_average_by_consistency_is_alpha():
    """The average of fixed raters has the reliability that Cronbach's alpha gives, interval and all."""
    ours, alpha = (
        icc_average(SHROUT_FLEISS, about="A", form="consistency_fixed"),
        cronbach_alpha(SHROUT_FLEISS, about="A"),
    )
    assert ours.value == pytest.approx(alpha.value)
    assert (ours.interval.low, ours.interval.high) == pytest.approx((alpha.interval.low, alpha.interval.high))


def test_a_severe_rater_counts_only_as_disagreement():
    """A rater two points stricter lowers agreement and leaves consistency at 1 without an interval."""
    students = np.array([3.0, 5, 8, 9, 4, 7])
    ratings = np.column_stack([students, students - 2])
    strict = icc_single(ratings, about="A")
    assert strict.interval.low < strict.value < strict.interval.high < 1
    fixed = icc_single(ratings, about="A", form="consistency_fixed")
    assert (fixed.value, fixed.interval, fixed.notes) == (1.0, None, (RATERS_ARE_ONE,))
    same = icc_average(np.column_stack([students, students]), about="A")
    assert (same.value, same.interval, same.notes) == (1.0, None, (RATERS_ARE_ONE,))


@pytest.mark.parametrize("form", FORMS)
def test_intervals_cover(form):
    """The 90 % interval holds the true value in about 90 of 100 simulated studies (1,000 studies, true value .5)."""
    rng = np.random.default_rng(8)
    noise = {"agreement_random": (0.5, 0.5), "consistency_fixed": (0.0, 1.0), "one_way_random": (0.0, 1.0)}[form]
    held = 0
    for _ in range(1000):
        severity = np.sqrt(noise[0]) * rng.normal(size=4)
        ratings = rng.normal(size=(15, 1)) + severity + np.sqrt(noise[1]) * rng.normal(size=(15, 4))
        found = icc_single(ratings, about="A", form=form, level=0.9).interval
        held += found.low <= 0.5 <= found.high
    assert held / 1000 == pytest.approx(0.9, abs=0.035)


def test_many_students():
    """A million students are no trouble."""
    rng = np.random.default_rng(2)
    ratings = rng.normal(size=(1_000_000, 1)) + rng.normal(size=(1_000_000, 2))
    found = icc_single(ratings, about="A")
    assert found.interval.low < 0.5 < found.interval.high
    assert found.interval.high - found.interval.low < 0.01


@pytest.mark.parametrize("icc", BOTH)
def test_messages(icc):
    """A misspelt form, one rater, one student, equal students and an impossible level are refused."""
    name = icc.__name__
    with pytest.raises(UnknownChoiceError) as caught:
        icc(SHROUT_FLEISS, about="A", form="random")
    assert str(caught.value) == (
        f"{name}: form must be one of 'agreement_random', 'consistency_fixed', 'one_way_random'. Got 'random'."
    )
    with pytest.raises(ValueError, match=rf"^{name}: level must be between 0 and 1. Got 95.$"):
        icc(SHROUT_FLEISS, about="A", level=95)
    with pytest.raises(TooFewError, match=rf"^{name}: needs 2 raters. A has 1.$"):
        icc([[1], [2]], about="A")
    with pytest.raises(TooFewError, match=rf"^{name}: needs 2 students with a score from all raters. A has 1.$"):
        icc([[1, 2]], about="A")
    with pytest.raises(TooFewError, match=rf"^{name}: needs students whose average ratings differ. A has none.$"):
        icc([[1, 2], [2, 1]], about="A")


def test_an_average_without_reliability_is_refused():
    """Where raters differ far more than students, the average has no reliability at all, and a sentence says so."""
    with pytest.raises(TooFewError) as caught:
        icc_average([[0, 10], [10, 0], [0, 10.1]], about="A")
    assert str(caught.value) == (
        "icc_average: needs students on whom raters differ less than students differ from one another. A has none."
    )


def test_limits_where_the_degrees_of_freedom_vanish():
    """Raters who disagree beyond chance leave Satterthwaite next to nothing; the interval is still one."""
    for level in (0.5, 0.75, 0.95):
        found = icc_single([[0, 0, 4], [0, 0, 4], [0, 4, 1]], about="A", level=level)
        assert found.interval.low <= found.value <= found.interval.high <= 1
