"""Laws, messages and cross-checks of how far studies lie apart."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.meta_analysis import combine_effects

from kit.errors import TooFewError
from kit.stats.studies.heterogeneity import (
    A_TEST_NUMBER,
    CLOSER_THAN_CHANCE,
    OUTSIDE_ITS_INTERVAL,
    heterogeneity,
    heterogeneity_q,
    heterogeneity_share,
)

EFFECTS, ERRORS = [0.1, 0.5, 0.3, 0.8, -0.2], [0.1, 0.2, 0.15, 0.25, 0.2]
laws = settings(max_examples=25, deadline=None)
some = st.lists(st.tuples(st.integers(-30, 30), st.integers(2, 20)), min_size=3, max_size=12)


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


@given(rows=some, shift=st.integers(-50, 50), factor=st.sampled_from([0.01, 3, 1000]), seed=st.integers(0, 99))
@laws
def test_shift_scale_and_order(rows, shift, factor, seed):
    """A new zero changes nothing, a new unit stretches tau and leaves the share and Q, the order is nothing."""
    effects, errors = np.array(rows, dtype=float).T
    order = np.random.default_rng(seed).permutation(len(rows))
    moved = ((factor * effects + shift)[order], factor * errors[order])
    tau = heterogeneity(effects, errors, about="A", unit="SD")
    near = {"rel": 1e-5, "abs": 1e-5 * factor * (1 + ends(tau).max())}
    assert ends(heterogeneity(*moved, about="A", unit="SD")) == pytest.approx(factor * ends(tau), **near)
    share = heterogeneity_share(effects, errors, about="A")
    assert ends(heterogeneity_share(*moved, about="A")) == pytest.approx(ends(share), abs=1e-6)
    q = heterogeneity_q(effects, errors, about="A")
    assert heterogeneity_q(*moved, about="A").value == pytest.approx(q.value, rel=1e-6, abs=1e-6)
    assert 0 <= share.interval.low <= share.interval.high < 1
    assert q.p == tau.p == share.p


@given(rows=some, levels=st.tuples(st.floats(0.5, 0.99), st.floats(0.5, 0.99)))
@laws
def test_a_higher_level_is_wider(rows, levels):
    """A higher level is never narrower."""
    effects, errors = np.array(rows, dtype=float).T
    inner, outer = (heterogeneity(effects, errors, level=x, about="A", unit="SD").interval for x in sorted(levels))
    assert outer.low <= inner.low + 1e-9
    assert outer.high >= inner.high - 1e-9


def test_missing_studies_are_removed_studies():
    """A study without effect or error is left out and counted."""
    gaps = ([*EFFECTS, np.nan, 1], [*ERRORS, 0.1, np.nan])
    assert np.array_equal(
        ends(heterogeneity(*gaps, about="A", unit="SD")), ends(heterogeneity(EFFECTS, ERRORS, about="A", unit="SD"))
    )
    assert np.array_equal(
        ends(heterogeneity_share(*gaps, about="A")), ends(heterogeneity_share(EFFECTS, ERRORS, about="A"))
    )
    assert (heterogeneity_q(*gaps, about="A").dropped, heterogeneity_q(*gaps, about="A").n) == (2, 5)


def test_q_and_share_beside_statsmodels():
    """Q, its p and (Q - df)/Q equal those of statsmodels."""
    theirs = combine_effects(np.array(EFFECTS), np.square(ERRORS), method_re="chi2")
    q = heterogeneity_q(EFFECTS, ERRORS, about="A")
    assert (q.value, q.p) == pytest.approx((theirs.q, theirs.test_homogeneity().pvalue))
    assert q.notes == (A_TEST_NUMBER,)
    share = heterogeneity_share(EFFECTS, ERRORS, estimator="dersimonian_laird", about="A")
    assert share.value == pytest.approx(theirs.i2)
    assert share.value == pytest.approx((q.value - 4) / q.value)


def test_surprising_intervals_say_so():
    """Studies closer than chance have both ends at zero and a note; an estimate outside its interval has one too."""
    close = heterogeneity([0.3, 0.3001, 0.2999], [0.2, 0.2, 0.2], about="A", unit="SD")
    assert (*ends(close), *close.notes) == (0, 0, 0, CLOSER_THAN_CHANCE)
    narrow = heterogeneity(EFFECTS, ERRORS, level=0.02, estimator="none", about="A", unit="SD")
    assert narrow.notes == (OUTSIDE_ITS_INTERVAL,)
    assert heterogeneity(EFFECTS, ERRORS, about="A", unit="SD").notes == ()


@pytest.mark.parametrize("name", ["heterogeneity", "heterogeneity_share", "heterogeneity_q"])
def test_too_few_studies_are_refused(name):
    """One study has nothing to differ from."""
    function = {"heterogeneity": lambda *a, **k: heterogeneity(*a, unit="SD", **k), "heterogeneity_q": heterogeneity_q,
                "heterogeneity_share": heterogeneity_share}[name]  # fmt: skip
    with pytest.raises(TooFewError) as few:
        function([0.1, 0.3], [0.2, np.nan], about="Mine")
    assert str(few.value) == f"{name}: needs 2 studies with an effect and its standard error. Mine has 1."
