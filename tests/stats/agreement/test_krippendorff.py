"""Laws, edges, messages and cross-checks of Krippendorff's alpha."""

from __future__ import annotations

from typing import get_args

import krippendorff
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from statsmodels.stats.inter_rater import aggregate_raters
from statsmodels.stats.tests.test_inter_rater import diagnoses

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.agreement.categories import kappa_weighted
from kit.stats.agreement.krippendorff import NO_DRAWS, SAME_IN_ALL, Metric, krippendorff_alpha

METRICS = get_args(Metric)
laws = settings(max_examples=40, deadline=None)
cell = st.one_of(st.integers(0, 5), st.just(np.nan))
tables = st.lists(st.lists(cell, min_size=3, max_size=3), min_size=4, max_size=15)


def alpha(ratings, metric, **options):
    """Ask, and skip tables for which alpha has no value."""
    try:
        return krippendorff_alpha(ratings, metric=metric, about="A", **options)
    except TooFewError:
        assume(False)


@pytest.mark.parametrize("metric", METRICS)
@given(ratings=tables)
@laws
def test_alpha_equals_the_library(metric, ratings):
    """On any table with gaps, each metric gives the alpha of the package krippendorff."""
    ours = alpha(ratings, metric)
    theirs = krippendorff.alpha(np.array(ratings, dtype=float).T, level_of_measurement=metric)
    assert ours.value == pytest.approx(theirs, abs=1e-10)


@pytest.mark.parametrize("metric", METRICS)
@given(ratings=tables, seed=st.integers(0, 99))
@laws
def test_order_is_nothing(metric, ratings, seed):
    """Order of students and of raters changes nothing; a student with one rating is left out and counted."""
    plain, rng = alpha(ratings, metric), np.random.default_rng(seed)
    moved = rng.permutation(rng.permutation(np.array(ratings, dtype=float)), axis=1)
    assert alpha(moved, metric).value == pytest.approx(plain.value, abs=1e-10)
    more = alpha([*ratings, [3, np.nan, np.nan]], metric)
    assert (more.value, more.n, more.dropped) == (plain.value, plain.n, plain.dropped + 1)


@given(ratings=tables, shift=st.integers(1, 50), factor=st.integers(2, 9))
@laws
def test_each_metric_has_its_scale(ratings, shift, factor):
    """Names may be changed for nominal, order kept for ordinal, shifted and stretched for interval, stretched for ratio."""
    table = np.array(ratings, dtype=float)
    for metric, moved in (
        ("nominal", (table * 7 + 3) % 11), ("ordinal", table**3), ("interval", factor * table + shift),
        ("ratio", factor * table),
    ):  # fmt: skip
        assert alpha(moved, metric).value == pytest.approx(alpha(table, metric).value, abs=1e-9)


def test_fleiss_kappa_follows_from_it():
    """On the diagnoses of Fleiss (1971), Psychological Bulletin 76, 378-382, Fleiss' kappa .4302445 (R irr) follows from alpha."""
    counts = aggregate_raters(diagnoses)[0]
    rows = np.array([np.repeat(np.arange(counts.shape[1]), row.astype(int)) for row in counts])
    found = krippendorff_alpha(rows, metric="nominal", about="30 patients")
    total = rows.size
    assert rows.shape == (30, 6)
    assert 1 - (1 - found.value) * total / (total - 1) == pytest.approx(0.4302445, abs=5e-8)


def test_two_raters_many_students_is_nearly_kappa():
    """For two raters with like habits and many students, alpha comes close to kappa."""
    rng = np.random.default_rng(6)
    first = rng.integers(0, 3, 50_000)
    second = np.where(rng.random(50_000) < 0.6, first, rng.integers(0, 3, 50_000))
    found = krippendorff_alpha(np.column_stack([first, second]), metric="nominal", about="A")
    assert found.value == pytest.approx(kappa_weighted(first, second, about="A").value, abs=1e-3)


@pytest.mark.parametrize("metric", METRICS)
def test_bootstrap_equals_a_plain_loop(metric):
    """The interval is that of a plain loop over redrawn students with the package krippendorff, up to chance."""
    rng = np.random.default_rng(11)
    ratings = np.clip(np.round(rng.normal(5, 2, (30, 1)) + rng.normal(0, 1, (30, 3))), 1, 9)
    ratings[[2, 7], [0, 1]] = np.nan
    ours = krippendorff_alpha(ratings, metric=metric, about="A", rng=np.random.default_rng(1)).interval
    drawn = [
        krippendorff.alpha(ratings[rng.integers(0, 30, 30)].T, level_of_measurement=metric, value_domain=None)
        for _ in range(600)
    ]
    low, high = np.quantile(drawn, [0.025, 0.975])
    width = high - low
    assert (ours.low, ours.high) == pytest.approx((low, high), abs=0.15 * width)
    assert ours.method == "percentile bootstrap, 10000 resamples of students"


def test_interval_is_repeatable_and_widens():
    """The same seed gives the same interval, and a higher level is not narrower."""
    ratings = np.random.default_rng(3).integers(0, 4, (25, 3))
    asked = {"metric": "ordinal", "about": "A", "draws": 500}
    one, two = (krippendorff_alpha(ratings, rng=np.random.default_rng(1), **asked).interval for _ in range(2))
    assert one == two
    wide = krippendorff_alpha(ratings, rng=np.random.default_rng(1), level=0.99, **asked).interval
    assert wide.low <= one.low < one.high <= wide.high


def test_where_there_is_no_interval_a_note_says_why():
    """Without draws, with perfect agreement, and where some draws leave one value only, a note stands for the interval."""
    rng = np.random.default_rng(1)
    assert krippendorff_alpha([[1, 1], [2, 3]], metric="nominal", about="A").notes == (NO_DRAWS,)
    perfect = krippendorff_alpha(np.repeat(np.arange(40), 2).reshape(-1, 2), metric="nominal", about="A", rng=rng)
    assert (perfect.value, perfect.interval, perfect.notes) == (1.0, None, (SAME_IN_ALL,))
    few = krippendorff_alpha([[1, 1], [1, 1], [1, 2]], metric="nominal", about="A", rng=rng, draws=1000)
    assert few.interval is None
    assert few.notes[0].startswith("In ")
    assert few.notes[0].endswith(
        " of 1000 redrawn groups of students all ratings were the same and agreement has no value, so there is no interval."
    )


def test_many_students():
    """A million students with three ratings of many different values are no trouble."""
    rng = np.random.default_rng(2)
    ratings = rng.normal(size=(300_000, 1)) + rng.normal(size=(300_000, 3))
    assert krippendorff_alpha(ratings, metric="interval", about="A").value == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: krippendorff_alpha([[1, 2], [2, 2]], metric="rank", about="A"), UnknownChoiceError,
         "krippendorff_alpha: metric must be one of 'nominal', 'ordinal', 'interval', 'ratio'. Got 'rank'."),
        (lambda: krippendorff_alpha([[1, 2], [2, 2]], metric="nominal", about="A", draws=10), ValueError,
         "krippendorff_alpha: draws must be at least 100. Got 10."),
        (lambda: krippendorff_alpha([[1, 2], [2, -2]], metric="ratio", about="A"), ValueError,
         "krippendorff_alpha: ratings on a ratio scale must be 0 or more. Got -2.0."),
        (lambda: krippendorff_alpha([[1, 2], [2, np.nan]], metric="nominal", about="A"), TooFewError,
         "krippendorff_alpha: needs 2 students with 2 ratings. A has 1."),
        (lambda: krippendorff_alpha([[1], [2]], metric="nominal", about="A"), TooFewError,
         "krippendorff_alpha: needs 2 raters. A has 1."),
        (lambda: krippendorff_alpha([[1, 1], [1, 1]], metric="nominal", about="A"), TooFewError,
         "krippendorff_alpha: needs ratings that differ. A has none that do."),
        (lambda: krippendorff_alpha([[1, 1], [1, np.inf]], metric="nominal", about="A"), ValueError,
         "krippendorff_alpha: ratings must be finite numbers, or NaN where missing. Got an infinite one."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What cannot be used is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
