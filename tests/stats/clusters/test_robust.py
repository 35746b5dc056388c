"""Laws and edges of CR2 with Satterthwaite degrees of freedom."""

from __future__ import annotations

import math
import shutil
import subprocess
from io import StringIO

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import t as student

from kit.errors import TooFewError
from kit.stats.clusters.choirs import NO_SPREAD_OF_CHOIRS, cluster_mean_difference
from kit.stats.clusters.crossproducts import crossed
from kit.stats.clusters.robust import ALONE, FEW_DF, NO_RESIDUALS, cluster_robust, robust

laws = settings(max_examples=25, deadline=None)
DRINKING_AGE = """
library(clubSandwich)
data(MortalityRates)
write.csv(subset(MortalityRates, cause == "Motor Vehicle" & year < 1984 & !is.na(beertaxa)), row.names = FALSE)
"""


def world(seed, groups=8, size=5):
    """Make choirs of unequal size with a program, a first score and an outcome."""
    rng = np.random.default_rng(seed)
    g = np.repeat(np.arange(groups), rng.integers(2, size + 1, groups))
    program, pre = (g % 2).astype(float), rng.normal(10, 3, g.size)
    return pre + 2 * program + rng.normal(0, 1, groups)[g] + rng.normal(0, 2, g.size), g, program, pre


def ask(y, g, x, **options):
    """Ask with the usual words."""
    return cluster_robust(y, g, x, about="A", unit="points", **options)


def ends(found):
    """Give value and ends."""
    return np.array([found.value, found.interval.low, found.interval.high])


@given(seed=st.integers(0, 10_000), shift=st.floats(-50, 50), scale=st.floats(0.1, 20))
@laws
def test_it_shifts_and_scales(seed, shift, scale):
    """A shift of the outcome changes nothing, a scale scales, and p and df stay."""
    y, g, program, pre = world(seed)
    x = np.column_stack([program, pre])
    one, other = ask(y, g, x), ask(shift + scale * y, g, x)
    assert ends(other) == pytest.approx(scale * ends(one), rel=1e-7, abs=1e-7)
    assert other.df == pytest.approx(one.df, rel=1e-7)


@given(seed=st.integers(0, 10_000))
@laws
def test_swapping_the_groups_turns_it_round(seed):
    """Comparison minus program is the mirror image; order of rows and names of choirs do not matter."""
    y, g, program, pre = world(seed)
    one, other = ask(y, g, np.column_stack([program, pre])), ask(y, g, np.column_stack([1 - program, pre]))
    assert ends(other) == pytest.approx(-ends(one)[[0, 2, 1]], rel=1e-7, abs=1e-9)
    order = np.random.default_rng(seed).permutation(y.size)
    shuffled = ask(y[order], np.char.add("c", g.astype(str))[order], np.column_stack([program, pre])[order])
    assert ends(shuffled) == pytest.approx(ends(one), rel=1e-9)


@given(seed=st.integers(0, 10_000))
@laws
def test_the_value_is_least_squares(seed):
    """The library statsmodels gives the same coefficient."""
    y, g, program, pre = world(seed)
    theirs = sm.OLS(y, np.column_stack([program, pre, np.ones(y.size)])).fit()
    assert ask(y, g, np.column_stack([program, pre])).value == pytest.approx(theirs.params[0], rel=1e-9)


@given(seed=st.integers(0, 10_000))
@laws
def test_equal_choirs_without_a_first_score_give_students_t(seed):
    """With choirs of one size CR2 of two approaches is Student's t on the averages of the choirs."""
    rng = np.random.default_rng(seed)
    g = np.repeat(np.arange(8), 4)
    y, program = rng.normal(size=32) + rng.normal(size=8)[g], (g % 2).astype(float)
    one, other = ask(y, g, program), cluster_mean_difference(y, g, program, about="A", unit="points")
    assert ends(one) == pytest.approx(ends(other), rel=1e-8, abs=1e-10)
    assert (one.df, one.p) == pytest.approx((other.df, other.p), rel=1e-8)


@given(seed=st.integers(0, 10_000), scale=st.sampled_from([1e-6, 1e-3, 1e3, 1e6]))
@laws
def test_the_unit_of_a_predictor_is_no_matter(seed, scale):
    """A first score in other units, however large or small, leaves value, ends and degrees of freedom as they are."""
    y, g, program, pre = world(seed)
    one, other = (ask(y, g, np.column_stack([program, first])) for first in (pre, scale * pre))
    assert ends(other) == pytest.approx(ends(one), rel=1e-8, abs=1e-8)
    assert other.df == pytest.approx(one.df, rel=1e-8)


@given(seed=st.integers(0, 10_000))
@laws
def test_the_order_of_rows_is_no_matter(seed):
    """Rows of a choir need not stand together."""
    y, g, program, pre = world(seed)
    order = np.random.default_rng(seed).permutation(g.size)
    mixed = ask(y[order], g[order], np.column_stack([program, pre])[order])
    plain = ask(y, g, np.column_stack([program, pre]))
    assert ends(mixed) == pytest.approx(ends(plain), rel=1e-9, abs=1e-9)
    assert mixed.df == pytest.approx(plain.df)


def test_below_four_degrees_of_freedom_no_p_is_given():
    """Two treated choirs of eight have 1.87 degrees of freedom; the estimate stays, the p-value does not."""
    y, g, _, pre = world(4)
    found = ask(y, g, np.column_stack([np.isin(g, [0, 2]), pre]))
    assert found.p is None
    assert found.notes == (FEW_DF.format(df=found.df),)


def test_no_residuals():
    """Where the model fits exactly there is a value and no interval."""
    program = np.repeat([0.0, 1.0], 6)
    found = ask(3 + 2 * program, np.repeat(np.arange(6), 2), program)
    assert found.value == pytest.approx(2)
    assert (found.interval, found.notes) == (None, (NO_RESIDUALS,))


def test_choirs_that_end_alike():
    """Where choirs of one approach average the same but singers differ, the note speaks of choirs."""
    y, choir = np.tile([1.0, 3.0], 4), np.repeat(np.arange(4), 2)
    found = ask(y + 2 * (choir > 1), choir, (choir > 1) * 1.0)
    assert (found.value, found.interval, found.notes) == (pytest.approx(2), None, (NO_SPREAD_OF_CHOIRS,))


def test_one_choir_alone_with_the_program():
    """Nothing tells how far one choir lies from others of its kind, so there is no answer; a pair is enough."""
    y, g, _, pre = world(4)
    with pytest.raises(TooFewError) as refused:
        ask(y, g, np.column_stack([g == 0, pre]))
    assert str(refused.value) == ALONE.format(function="cluster_robust", about="A")
    assert ask(y, g, np.column_stack([g < 2, pre])).df < 4
    marks = g[:, None] == np.arange(1, 8)  # a mark of each choir but one: inside choirs the first score tells
    assert ask(y, g, np.column_stack([pre, marks])).interval is not None


def test_scales_are_no_matter():
    """A predictor in tiny or huge units, and scores far from zero or tiny, lose neither interval nor p."""
    y, g, program, pre = world(3)
    one = ask(y, g, np.column_stack([pre, program]))
    for unit in (1e-9, 1e9):
        other = ask(y, g, np.column_stack([pre * unit, program]))
        assert ends(other) * unit == pytest.approx(ends(one), rel=1e-6)
        assert ends(ask(y * unit, g, np.column_stack([pre, program]))) == pytest.approx(ends(one) * unit, rel=1e-6)
    assert ends(ask(y + 1e7, g, np.column_stack([pre + 1e7, program]))) == pytest.approx(ends(one), rel=1e-6)


def test_a_hundred_thousand_rows():
    """Size is no matter: one pass over the rows."""
    rng = np.random.default_rng(1)
    g = rng.integers(0, 4000, 100_000)
    assert ask(rng.normal(size=100_000), g, (g % 2).astype(float)).clusters == 4000


def test_a_contrast_must_fit():
    """A weight for each predictor."""
    y, g, program, _ = world(1)
    told = r"^cluster_robust: contrast must have a weight for each of 1 predictors, not all zero\.$"
    for contrast in ([1, 2], [0], [np.nan]):
        with pytest.raises(ValueError, match=told):
            ask(y, g, program, contrast=contrast)
    with pytest.raises(ValueError, match=told.replace("1 pred", "0 pred")):
        ask(y, g, np.empty((y.size, 0)))


def test_sines_and_tangents():
    """Kolesar's test data in R package dfadjust: slope, intercept, CR2 errors and degrees of freedom to 6 digits.

    The method is that of Bell and McCaffrey (2002); the numbers are those of clubSandwich's "Satterthwaite" there.
    """
    y = np.concatenate([np.cos(np.arange(10)), np.tan(np.arange(1, 11))])
    x = np.concatenate([np.sin(np.arange(1, 11)), np.sin(np.arange(2, 12))])
    groups = np.tile([2, 1, 3, 2, 2, 3, 3, 1, 1, 2], 2)
    model = crossed("robust", y, groups, x, "A")
    middle, off = model.centre[0], model.centre[2]
    slope, intercept = (robust(model, np.array(weights)) for weights in ([1, 0], [-middle, 1]))
    assert (slope.value, off + intercept.value) == pytest.approx((0.324118311, -0.4456202905), abs=1e-6)
    errors = math.sqrt(slope.variance), math.sqrt(intercept.variance)
    assert errors == pytest.approx((0.215674776869714, 0.480197186468647), abs=1e-6)
    assert (slope.df, intercept.df) == pytest.approx((1.79737032512114, 1.99884718317379), abs=1e-6)


@pytest.mark.skipif(shutil.which("Rscript") is None, reason="R, which carries the data, is not installed here.")
@pytest.mark.parametrize(("at", "value", "error", "df", "p"), [
    (0, 7.59, 2.51, 24.58, 0.00583), (1, 3.82, 5.27, 5.77, 0.49663),
])  # fmt: skip
def test_published_drinking_age(at, value, error, df, p):
    """Deaths on the road by minimum drinking age and beer tax in 50 states: the printed numbers, with p to five digits.

    Pustejovsky and Tipton (2018), J. Bus. Econ. Stat. 36:672-683; numbers as printed in the vignette "panel-data-CRVE"
    of the R package clubSandwich (from memory), with states and years held apart. The package carries the 700 rows.
    """
    told = subprocess.run(["Rscript", "-e", DRINKING_AGE], capture_output=True, text=True, check=False)
    if told.returncode:
        pytest.skip("R is here without the package clubSandwich.")
    rows = pd.read_csv(StringIO(told.stdout))
    apart = pd.get_dummies(rows[["state", "year"]].astype(str), drop_first=True, dtype=float)
    x = np.column_stack([rows["legal"], rows["beertaxa"], apart])
    found = ask(rows["mrate"], rows["state"], x, contrast=np.eye(x.shape[1])[at])
    half = (found.interval.high - found.interval.low) / 2
    assert (found.n, found.clusters) == (700, 50)
    assert found.value == pytest.approx(value, abs=0.006)
    assert half / student.ppf(0.975, found.df) == pytest.approx(error, abs=0.006)
    assert found.df == pytest.approx(df, abs=0.006)
    assert found.p == pytest.approx(p, abs=6e-6)
