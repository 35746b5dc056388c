"""Laws, edges, messages and cross-checks of plain and chance-corrected agreement on categories."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.special import ndtri
from sklearn.metrics import cohen_kappa_score
from statsmodels.stats.inter_rater import cohens_kappa

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.agreement.categories import PAIRS_ARE_ONE_KIND, kappa_weighted, percent_agreement

WORDS = {"unweighted": None, "linear": "linear", "squared": "quadratic"}
laws = settings(max_examples=40, deadline=None)
pairs = st.lists(st.tuples(st.integers(1, 4), st.integers(1, 4)), min_size=5, max_size=30)


def kappa(rows, **options):
    """Ask, and skip ratings for which kappa has no value."""
    first, second = np.array(rows, dtype=float).T
    try:
        return kappa_weighted(first, second, about="A", **options)
    except TooFewError:
        assume(False)


@given(rows=pairs, weights=st.sampled_from(sorted(WORDS)), level=st.floats(0.5, 0.99))
@laws
def test_kappa_equals_two_libraries(rows, weights, level):
    """Value and standard error are statsmodels', the value scikit-learn's; only the end above 1 is cut off by us."""
    counts = np.zeros((4, 4))
    np.add.at(counts, tuple(np.array(rows).T - 1), 1)
    ours = kappa(rows, weights=weights, categories=[1, 2, 3, 4], level=level)
    with np.errstate(invalid="ignore", divide="ignore"):  # its test divides by zero where one rater never varies
        theirs = cohens_kappa(counts, wt=WORDS[weights])
    assert ours.value == pytest.approx(theirs.kappa, abs=1e-12)
    first, second = np.array(rows).T
    score = cohen_kappa_score(first, second, labels=[1, 2, 3, 4], weights=WORDS[weights])
    assert ours.value == pytest.approx(score, abs=1e-12)
    if ours.interval:
        half = ndtri((1 + level) / 2) * theirs.std_kappa
        assert ours.interval.low == pytest.approx(theirs.kappa - half, abs=1e-9)
        assert ours.interval.high == pytest.approx(min(theirs.kappa + half, 1), abs=1e-9)


@given(rows=pairs, weights=st.sampled_from(sorted(WORDS)), seed=st.integers(0, 99))
@laws
def test_kappa_laws(rows, weights, seed):
    """Order of students, swapping raters and renaming evenly change nothing; missing rows are removed rows."""
    plain = kappa(rows, weights=weights)
    order = np.random.default_rng(seed).permutation(len(rows))
    for moved in (np.array(rows)[order], np.array(rows)[:, ::-1], 10 * np.array(rows) + 3):
        assert kappa(moved, weights=weights).value == pytest.approx(plain.value, abs=1e-12)
    gap = kappa([*rows, (np.nan, 1)], weights=weights)
    assert (gap.dropped, gap.n, gap.value, gap.interval) == (1, plain.n, plain.value, plain.interval)


@given(rows=pairs, levels=st.tuples(*[st.floats(0.5, 0.99)] * 2))
@laws
def test_kappa_widens(rows, levels):
    """A higher level is not narrower, and the interval holds the value."""
    inner, outer = (kappa(rows, level=level) for level in sorted(levels))
    if inner.interval:
        assert outer.interval.low <= inner.interval.low <= inner.value <= inner.interval.high <= outer.interval.high


def test_own_weights_may_be_stretched():
    """A table of linear weights is the word linear, and doubling all weights changes nothing."""
    first, second = [1, 2, 3, 3, 1, 2], [1, 3, 3, 2, 1, 1]
    word = kappa_weighted(first, second, about="A", weights="linear")
    own = np.array([[0, 1, 2], [1, 0, 1], [2, 1, 0]])
    for table in (own, 2 * own):
        found = kappa_weighted(first, second, about="A", weights=table)
        assert found.value == pytest.approx(word.value)
        assert found.interval.low == pytest.approx(word.interval.low)


def test_unused_categories_change_weighted_values_only():
    """A category that nobody used lies between the others and counts for the weights."""
    first, second = [1, 2, 4, 4, 1, 2], [1, 4, 4, 2, 1, 1]
    for weights, same in (("unweighted", True), ("linear", False)):
        with_three = kappa_weighted(first, second, about="A", weights=weights, categories=[1, 2, 3, 4]).value
        assert (with_three == pytest.approx(kappa_weighted(first, second, about="A", weights=weights).value)) is same


def test_perfect_agreement_has_no_interval():
    """Raters who always agree have kappa 1, no interval, and a note."""
    found = kappa_weighted([1, 2, 2, 3], [1, 2, 2, 3], about="A")
    assert (found.value, found.interval, found.notes) == (1.0, None, (PAIRS_ARE_ONE_KIND,))
    apart = kappa_weighted([1, 1, 1], [2, 2, 2], about="A")
    assert (apart.value, apart.interval) == (0.0, None)


def test_a_low_kappa_of_agreeing_raters_is_explained():
    """Where one category prevails, the note gives the observed agreement and the category in whole numbers."""
    first, second = [1] * 85 + [1] * 5 + [2] * 5 + [2] * 5, [1] * 85 + [2] * 5 + [1] * 5 + [2] * 5
    found = kappa_weighted(first, second, about="A")
    assert found.value == pytest.approx((0.9 - 0.82) / 0.18)
    assert found.notes == (
        "The raters gave the same category to 90 of 100 students, and 180 of their 200 ratings are the same category, "
        "1. Where one category prevails so, chance alone makes raters agree often, and kappa is low even for raters "
        "who agree.",
    )
    assert kappa_weighted([1, 2] * 10, [1, 2] * 9 + [2, 1], about="A").notes == ()


def test_kappa_interval_covers():
    """With 100 students and a true kappa of .5 the 90 % interval holds it in about 90 of 100 studies (2,000 studies)."""
    rng = np.random.default_rng(4)
    held = 0
    for _ in range(2000):
        first = rng.integers(0, 3, 100)
        second = np.where(rng.random(100) < 0.5, first, rng.integers(0, 3, 100))
        found = kappa_weighted(first, second, about="A", level=0.9).interval
        held += found.low <= 0.5 <= found.high
    assert held / 2000 == pytest.approx(0.9, abs=0.025)


@given(
    rows=st.lists(st.lists(st.integers(0, 5), min_size=3, max_size=3), min_size=1, max_size=20),
    within=st.integers(0, 3),
)
@laws
def test_percent_agreement_counts(rows, within):
    """The share is a count of students whose ratings all lie within reach; missing rows are removed rows."""
    found = percent_agreement(rows, about="A", within=within)
    assert found.value * len(rows) == pytest.approx(sum(max(row) - min(row) <= within for row in rows))
    assert found.value <= percent_agreement(rows, about="A", within=within + 1).value
    gap = percent_agreement([*rows, [1, np.nan, 1]], about="A", within=within)
    assert (gap.dropped, gap.value, gap.interval) == (1, found.value, found.interval)


def test_rounding_does_not_break_agreement():
    """Ratings a tenth apart agree within a tenth, although 0.3 - 0.2 is a hair more in floating point."""
    assert percent_agreement([[0.1, 0.2], [0.2, 0.3], [0.7, 0.8]], about="A", within=0.1).value == 1


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: kappa_weighted([1, 2], [1, 2], about="A", weights="quadratic"), UnknownChoiceError,
         "kappa_weighted: weights must be one of 'unweighted', 'linear', 'squared'. Got 'quadratic'."),
        (lambda: kappa_weighted([1, 2], [1, 2], about="A", weights=[[0, 1], [1, 1]]), ValueError,
         "kappa_weighted: weights must be a 2 by 2 table of numbers from 0 up, 0 on its diagonal. "
         "Got [[0.0, 1.0], [1.0, 1.0]]."),
        (lambda: kappa_weighted([1, 2], [1, 5], about="A", categories=[1, 2, 3]), ValueError,
         "kappa_weighted: ratings must be one of 1, 2, 3. Got 5."),
        (lambda: kappa_weighted([1, 1], [1, 1], about="A"), TooFewError,
         "kappa_weighted: needs ratings in at least 2 categories. A has 1."),
        (lambda: kappa_weighted([1, np.nan], [1, 2], about="A"), TooFewError,
         "kappa_weighted: needs 2 students with both ratings. A has 1."),
        (lambda: kappa_weighted([1, np.inf], [1, 2], about="A"), ValueError,
         "kappa_weighted: first must be finite numbers, or NaN where missing. Got an infinite one."),
        (lambda: kappa_weighted([1, 2], [1, 2], about="A", level=1), ValueError,
         "kappa_weighted: level must be between 0 and 1. Got 1."),
        (lambda: percent_agreement([[1, 2]], about="A", within=-1), ValueError,
         "percent_agreement: within must be 0 or more. Got -1."),
        (lambda: percent_agreement([[1, np.nan]], about="A"), TooFewError,
         "percent_agreement: needs 1 student with a score from all raters. A has 0."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What cannot be used is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
