"""Checks, complete rows, mean squares and the step-up formula."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.formula.api import ols

from kit.errors import TooFewError
from kit.stats.score_tables import complete_table, mean_squares, need_table_spread, stepped_up, whole_table


def test_mean_squares_equal_an_analysis_of_variance():
    """Mean squares of students, raters and rest are those of the two-way analysis of variance in statsmodels."""
    table = np.random.default_rng(3).normal(size=(12, 4)) + np.arange(4)
    long = pd.DataFrame([(i, j, table[i, j]) for i in range(12) for j in range(4)], columns=["row", "column", "x"])
    theirs = sm.stats.anova_lm(ols("x ~ C(row) + C(column)", long).fit())
    expected = theirs["sum_sq"] / theirs["df"]
    ours = mean_squares(table)
    assert (ours.rows, ours.columns, ours.error) == pytest.approx(tuple(expected), rel=1e-12)
    assert ours.within == pytest.approx(theirs["sum_sq"].iloc[1:].sum() / (12 * 3), rel=1e-12)


@given(shift=st.floats(-1e6, 1e6), rater=st.floats(-100, 100))
@settings(max_examples=25, deadline=None)
def test_rounding_leaves_exactly_nothing(shift, rater):
    """Raters who differ by a constant leave an error of exactly zero, wherever the scale starts."""
    students = np.random.default_rng(1).normal(size=8)
    assert mean_squares(np.column_stack([students + shift, students + shift + rater])).error == 0


def test_step_up():
    """Two halves that correlate .70 make a test of reliability .82 (textbook step, 1.4 / 1.7), and back."""
    assert stepped_up(0.7, 2) == pytest.approx(1.4 / 1.7)
    assert stepped_up(stepped_up(0.7, 2), 0.5) == pytest.approx(0.7)
    assert stepped_up(-0.5, 3) == -np.inf
    assert stepped_up(1.0, 7) == 1.0


def test_incomplete_rows_are_left_out():
    """A student with a missing cell is left out and counted."""
    kept, dropped = complete_table("f", "A", columns="raters", ratings=[[1, 2], [3, np.nan], [5, 6]])
    assert (kept.tolist(), dropped) == ([[1, 2], [5, 6]], 1)


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: whole_table("f", "ratings", [1, 2]), ValueError,
         "f: ratings must be a table, one row per student. Got 1 dimensions."),
        (lambda: whole_table("f", "ratings", [[1, np.inf]]), ValueError,
         "f: ratings must be finite numbers, or NaN where missing. Got an infinite one."),
        (lambda: complete_table("f", "A", columns="raters", ratings=[[1], [2]]), TooFewError,
         "f: needs 2 raters. A has 1."),
        (lambda: complete_table("f", "A", columns="items", ratings=[[1, 2], [2, np.nan]]), TooFewError,
         "f: needs 2 students with a score from all items. A has 1."),
        (lambda: need_table_spread("f", "A", 0.0, what="students whose totals differ"), TooFewError,
         "f: needs students whose totals differ. A has none."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """Flat lists, infinite numbers, one rater, one student and no spread are refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
