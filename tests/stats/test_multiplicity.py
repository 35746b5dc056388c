"""Laws, messages and cross-checks of p-values adjusted together."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.multitest import multipletests

from kit.errors import TooFewError
from kit.stats.multiplicity import benjamini_hochberg, holm

laws = settings(max_examples=50, deadline=None)
lists = st.lists(st.one_of(st.floats(0, 1), st.sampled_from([0.0, 0.01, 0.05, 1.0])), min_size=1, max_size=30)

# Benjamini & Hochberg (1995), J. R. Stat. Soc. B 57, 289-300, section 4: 15 p-values of a thrombolysis trial (from
# memory; recomputed in R 4.2.2 by p.adjust).
TRIAL = [0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528, 0.759,
         1.0]  # fmt: skip


def test_published_trial():
    """Benjamini and Hochberg's own example: 4 findings by theirs, 3 by Holm; R's p.adjust gives the fourth p-value."""
    theirs, strict = benjamini_hochberg(TRIAL), holm(TRIAL)
    assert (theirs.found.sum(), strict.found.sum()) == (4, 3)
    assert theirs.p[3] == pytest.approx(0.035625, abs=1e-9)
    assert strict.p[3] == pytest.approx(0.114, abs=1e-9)
    assert (theirs.tests, theirs.source, theirs.method) == (15, "benjamini-hochberg-1995", "Benjamini-Hochberg")
    assert (strict.tests, strict.source, strict.method) == (15, "holm-1979", "Holm")


def test_on_the_line_counts_as_found():
    """With p-values on or below k * 0.05 / 8 throughout, all 8 are found; a strict comparison would find 5.

    R 4.2.2, p.adjust(c(.006, .013, .019, .025, .031, .038, .044, .050), "BH").
    """
    adjusted = benjamini_hochberg([0.006, 0.013, 0.019, 0.025, 0.031, 0.038, 0.044, 0.050])
    assert adjusted.p == pytest.approx([0.048, 0.0496, 0.0496, 0.0496, 0.0496, 0.05, 0.05, 0.05], abs=1e-12)
    assert adjusted.found.all()
    assert benjamini_hochberg([0.002, 0.009, 0.034]).p == pytest.approx([0.006, 0.0135, 0.034], abs=1e-12)


@pytest.mark.parametrize("k", range(1, 40))
def test_exactly_on_the_line_whatever_rounding_does(k):
    """Every p-value exactly on its line is found, however the computer rounds it."""
    assert benjamini_hochberg([j * 0.05 / k for j in range(1, k + 1)]).found.all()
    assert holm([0.05 / (k - j) for j in range(k)]).found.all()


@pytest.mark.parametrize(("adjust", "method"), [(holm, "holm"), (benjamini_hochberg, "fdr_bh")])
@given(p_values=lists)
@laws
def test_equals_statsmodels(adjust, method, p_values):
    """The library statsmodels gives the same adjusted p-values."""
    assert adjust(p_values).p == pytest.approx(multipletests(p_values, method=method)[1], abs=1e-12)


@pytest.mark.parametrize("adjust", [holm, benjamini_hochberg])
@given(p_values=lists, gaps=st.integers(0, 3), seed=st.integers(0, 99))
@laws
def test_missing_and_order(adjust, p_values, gaps, seed):
    """Missing p-values are no tests, unlike in statsmodels, and the order given does not matter."""
    whole = adjust(p_values)
    mixed = np.random.default_rng(seed).permutation([*p_values, *[np.nan] * gaps])
    again = adjust(mixed)
    assert np.sort(again.p[~np.isnan(mixed)]) == pytest.approx(np.sort(whole.p), abs=0)
    assert np.isnan(again.p).sum() == gaps
    assert (again.tests, again.found.sum()) == (len(p_values), whole.found.sum())


@given(p_values=lists)
@laws
def test_order_of_strictness(p_values):
    """Adjusting never lowers a p-value, Holm is never laxer, and one test is left alone."""
    strict, lax = holm(p_values).p, benjamini_hochberg(p_values).p
    assert (strict >= lax - 1e-12).all()
    assert (lax >= np.array(p_values) - 1e-12).all()
    assert (strict <= 1).all()
    assert holm(p_values[:1]).p[0] == benjamini_hochberg(p_values[:1]).p[0] == p_values[0]


@given(p_values=lists)
@laws
def test_higher_level_finds_no_more(p_values):
    """What is found at a higher level is found at a lower one."""
    for adjust in (holm, benjamini_hochberg):
        assert (adjust(p_values, level=0.99).found <= adjust(p_values, level=0.9).found).all()


def test_huge():
    """A million tests are no trouble."""
    assert benjamini_hochberg(np.linspace(0, 1, 10**6)).tests == 10**6


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: holm([0.1, 1.2]), ValueError,
         "holm: p_values must be between 0 and 1, or NaN where missing. Got 1.2."),
        (lambda: holm([[0.1]]), ValueError, "holm: p_values must be one flat list of numbers. Got 2 dimensions."),
        (lambda: benjamini_hochberg([np.inf]), ValueError,
         "benjamini_hochberg: p_values must be between 0 and 1, or NaN where missing. Got inf."),
        (lambda: benjamini_hochberg([0.1], level=1), ValueError,
         "benjamini_hochberg: level must be between 0 and 1. Got 1."),
        (lambda: benjamini_hochberg([np.nan]), TooFewError, "benjamini_hochberg: needs 1 p-value. There is none."),
        (lambda: holm([]), TooFewError, "holm: needs 1 p-value. There is none."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What cannot be adjusted is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
