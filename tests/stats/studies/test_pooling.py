"""Laws, messages and cross-checks of effects pooled over studies."""

from __future__ import annotations

import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.meta_analysis import combine_effects

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.studies.pooling import ALL_ALIKE, NARROWER_THAN_NORMAL, pooled_effect, prediction_interval

EFFECTS, ERRORS = [0.1, 0.5, 0.3, 0.8, -0.2], [0.1, 0.2, 0.15, 0.25, 0.2]
ESTIMATORS = ["reml", "paule_mandel", "dersimonian_laird", "none"]
KINDS = [pooled_effect, prediction_interval]
laws = settings(max_examples=25, deadline=None)
some = st.lists(st.tuples(st.integers(-30, 30), st.integers(2, 20)), min_size=3, max_size=12).filter(
    lambda rows: len({effect for effect, _ in rows}) > 1
)


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("estimator", ESTIMATORS)
@given(rows=some, factor=st.sampled_from([0.01, 3, 1000]), moves=st.tuples(st.integers(0, 99), st.integers(-50, 50)))
@laws
def test_shift_scale_sign_and_order(kind, estimator, rows, factor, moves):
    """A new zero or unit moves the answer with it, a turned sign turns it, and the order of studies is nothing."""
    (effects, errors), (seed, shift) = np.array(rows, dtype=float).T, moves
    options = {"estimator": estimator, "about": "A", "unit": "SD"}
    plain = ends(kind(effects, errors, **options))
    near = {"rel": 1e-6, "abs": 1e-6 * (1 + abs(plain).max()) * max(factor, 1)}
    order = np.random.default_rng(seed).permutation(len(rows))
    moved = kind((factor * effects + shift)[order], factor * errors[order], **options)
    assert ends(moved) == pytest.approx(factor * plain + shift, **near)
    assert ends(kind(-effects, errors, **options)) == pytest.approx(-plain[[0, 2, 1]], **near)


@pytest.mark.parametrize("kind", KINDS)
@given(rows=some, levels=st.tuples(st.floats(0.5, 0.99), st.floats(0.5, 0.99)))
@laws
def test_a_higher_level_is_wider(kind, rows, levels):
    """A higher level is never narrower."""
    effects, errors = np.array(rows, dtype=float).T
    inner, outer = (kind(effects, errors, level=level, about="A", unit="SD").interval for level in sorted(levels))
    assert outer.low <= inner.low + 1e-9
    assert outer.high >= inner.high - 1e-9


@pytest.mark.parametrize("kind", KINDS)
def test_missing_studies_are_removed_studies(kind):
    """A study without effect or error is left out and counted; the rest is as if it had never been there."""
    whole = kind(EFFECTS, ERRORS, about="A", unit="SD")
    gaps = kind([*EFFECTS, np.nan, 1], [*ERRORS, 0.1, np.nan], about="A", unit="SD")
    assert (gaps.dropped, gaps.n, gaps.counted) == (2, 5, "studies")
    assert np.array_equal(ends(gaps), ends(whole))


@pytest.mark.parametrize(("estimator", "peer"), [("dersimonian_laird", "chi2"), ("paule_mandel", "iterated")])
def test_pooling_beside_statsmodels(estimator, peer):
    """Normal and Hartung-Knapp intervals equal those of statsmodels (its Paule-Mandel stops at 1e-5)."""
    theirs = combine_effects(np.array(EFFECTS), np.square(ERRORS), method_re=peer, use_t=False)
    normal = pooled_effect(EFFECTS, ERRORS, estimator=estimator, interval="normal", about="A", unit="SD")
    assert ends(normal) == pytest.approx([theirs.mean_effect_re, *theirs.conf_int()[1]], abs=2e-5)
    knapp = combine_effects(np.array(EFFECTS), np.square(ERRORS), method_re=peer, use_t=True)
    ours = pooled_effect(EFFECTS, ERRORS, estimator=estimator, about="A", unit="SD")
    assert ends(ours) == pytest.approx([knapp.mean_effect_re, *knapp.conf_int()[3]], abs=2e-5)


def test_studies_of_one_exactness_are_a_t_test():
    """With equal errors Hartung-Knapp is Student's t on the effects, whatever the estimator."""
    for estimator in ESTIMATORS:
        pooled = pooled_effect(EFFECTS, [0.2] * 5, estimator=estimator, about="A", unit="SD")
        half = 2.776445105 * np.std(EFFECTS, ddof=1) / np.sqrt(5)  # t of 4 degrees of freedom, table: 2.776
        assert ends(pooled) == pytest.approx([0.3, 0.3 - half, 0.3 + half])


def test_alike_studies_say_so():
    """Studies of exactly one effect give no Hartung-Knapp interval; nearly alike ones give a narrow one with a note."""
    alike = pooled_effect([0.3] * 4, ERRORS[:4], about="A", unit="SD")
    assert (alike.interval, alike.p, alike.notes) == (None, None, (ALL_ALIKE,))
    assert alike.value == pytest.approx(0.3)
    near = pooled_effect([0.3, 0.31, 0.29], [0.2, 0.2, 0.2], about="A", unit="SD")
    assert near.notes == (NARROWER_THAN_NORMAL,)
    assert pooled_effect(EFFECTS, ERRORS, about="A", unit="SD").notes == ()


def test_refusals_are_said_in_full():
    """Too few studies, unknown words, infinite numbers and impossible levels are refused."""
    with pytest.raises(TooFewError) as few:
        pooled_effect([0.1], [0.2], about="One study", unit="SD")
    assert str(few.value) == ("pooled_effect: needs 2 studies with an effect and its standard error. One study has 1.")
    with pytest.raises(TooFewError) as few:
        prediction_interval([0.1, 0.2], [0.2, 0.2], about="Two studies", unit="SD")
    assert str(few.value) == (
        "prediction_interval: needs 3 studies with an effect and its standard error. Two studies has 2."
    )
    with pytest.raises(UnknownChoiceError) as word:
        pooled_effect(EFFECTS, ERRORS, interval="t", about="A", unit="SD")
    assert str(word.value) == "pooled_effect: interval must be one of 'hartung_knapp', 'normal'. Got 't'."
    with pytest.raises(UnknownChoiceError) as word:
        prediction_interval(EFFECTS, ERRORS, ends="z", about="A", unit="SD")
    assert str(word.value) == "prediction_interval: ends must be one of 't', 'normal'. Got 'z'."
    with pytest.raises(ValueError, match=r"^pooled_effect: level must be between 0 and 1. Got 1.$"):
        pooled_effect(EFFECTS, ERRORS, level=1, about="A", unit="SD")
    with pytest.raises(ValueError, match=r"effects must be finite numbers, or NaN where missing. Got an infinite one"):
        pooled_effect([0.1, np.inf], [0.2, 0.2], about="A", unit="SD")


def test_a_hundred_thousand_studies_take_no_time():
    """A hundred thousand studies are pooled in a few seconds, and near their true mean."""
    rng = np.random.default_rng(4)
    errors = rng.uniform(0.1, 0.5, 100_000)
    start = time.perf_counter()
    pooled = pooled_effect(
        0.2 + 0.1 * rng.normal(size=100_000) + errors * rng.normal(size=100_000), errors, about="A", unit="SD"
    )
    assert time.perf_counter() - start < 20
    assert pooled.value == pytest.approx(0.2, abs=0.01)
