"""Intervals from leaving out each student in turn: laws, what they are of a mean, and statistics that ask for them."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import UnknownChoiceError
from kit.stats.agreement.categories import PAIRS_ARE_ONE_KIND, kappa_weighted
from kit.stats.agreement.intraclass import ONLY_THESE, RATERS_ARE_ONE, icc_average, icc_single
from kit.stats.association import correlation, expected_regression
from kit.stats.consistency import cronbach_alpha, kr20
from kit.stats.effects.sizes import d_average, d_pre
from kit.stats.jackknife import jackknife_interval, jackknife_of
from kit.stats.means import mean_score
from kit.stats.reliability import spearman_brown

laws = settings(max_examples=25, deadline=None)
columns = st.lists(st.integers(0, 24), min_size=4, max_size=20).filter(lambda column: len(set(column)) > 1)
PRE = [10.0, 12, 15, 9, 14, 11, 13, 8]
POST = [13.0, 14, 21, 9, 18, 16, 12, 12]
RATED = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
NOTES = [[1, 1, 1, 0], [0, 0, 1, 0], [1, 0, 1, 1], [0, 0, 0, 0], [1, 1, 1, 1], [1, 1, 0, 1], [0, 1, 0, 0]]
FIRST, SECOND = [1, 1, 2, 2, 3, 3, 3, 1], [1, 1, 2, 3, 3, 3, 2, 1]
ASKED = {
    "correlation": lambda **how: correlation(PRE, POST, about="A", **how),
    "expected_regression": lambda **how: expected_regression(
        PRE, POST, group=[score < 11 for score in PRE], about="A", unit="points", **how
    ),
    "spearman_brown": lambda **how: spearman_brown(PRE, POST, about="A", **how),
    "d_pre": lambda **how: d_pre(PRE, POST, about="A", **how),
    "d_average": lambda **how: d_average(PRE, POST, about="A", **how),
    "cronbach_alpha": lambda **how: cronbach_alpha(RATED, about="A", **how),
    "kr20": lambda **how: kr20(NOTES, about="A", **how),
    "icc_single": lambda **how: icc_single(RATED, about="A", **how),
    "icc_average": lambda **how: icc_average(RATED, about="A", **how),
    "kappa_weighted": lambda **how: kappa_weighted(FIRST, SECOND, about="A", **how),
}


def first_mean(m):
    """Mean of the first column from moments."""
    return m.mean[..., 0]


def pearson(m):
    """Correlation from moments."""
    return m.covariance[..., 0, 1] / np.sqrt(m.covariance[..., 0, 0] * m.covariance[..., 1, 1])


@given(column=columns, level=st.floats(0.5, 0.99))
@laws
def test_of_a_mean_it_is_student(column, level):
    """The jackknife of a mean is Student's t interval."""
    scores = np.array(column, dtype=float)
    ours = jackknife_of([scores], first_mean, scores.mean(), tail=(1 + level) / 2, level=level)
    theirs = mean_score(scores, about="A", unit="points", level=level).interval
    assert (ours.low, ours.high) == pytest.approx((theirs.low, theirs.high), abs=1e-9)


@given(seed=st.integers(0, 99), n=st.integers(5, 25))
@laws
def test_moments_without_each_are_those_of_the_others(seed, n):
    """The correlation without each student is numpy's of the others, and the order of students is nothing."""
    both = np.random.default_rng(seed).normal(size=(2, n)).round(2)
    r = np.corrcoef(both)[0, 1]
    options = {"tail": 0.975, "level": 0.95, "scale": "fisher"}
    without = np.array([np.corrcoef(np.delete(both, at, axis=1))[0, 1] for at in range(n)])
    plain, by_hand = jackknife_of(both, pearson, r, **options), jackknife_interval(r, without, **options)
    turned = jackknife_of(both[:, ::-1], pearson, r, **options)
    assert (plain.low, plain.high) == pytest.approx((by_hand.low, by_hand.high), abs=1e-9)
    assert (plain.low, plain.high) == pytest.approx((turned.low, turned.high), abs=1e-9)


def test_kinds_of_students_count_as_often_as_they_are():
    """One value for each kind of student, with how many there are, is the same as a value for each student."""
    without, times = np.array([0.2, 0.5, 0.4]), np.array([3.0, 1.0, 2.0])
    kinds = jackknife_interval(0.4, without, tail=0.975, level=0.95, times=times)
    each = jackknife_interval(0.4, np.repeat(without, [3, 1, 2]), tail=0.975, level=0.95)
    assert (kinds.low, kinds.high) == pytest.approx((each.low, each.high))


@pytest.mark.parametrize(
    ("value", "without", "scale"),
    [(0.4, [0.3, np.nan, 0.4], "plain"), (0.4, [0.4, 0.4, 0.4], "plain"), (0.4, [0.3, 1.0, 0.4], "fisher"),
     (1.0, [0.3, 0.5, 0.4], "fisher")],
)  # fmt: skip
def test_none_where_there_is_none(value, without, scale):
    """A value that does not exist, or does not move whoever is left out, gives no interval."""
    assert jackknife_interval(value, np.array(without), tail=0.975, level=0.95, scale=scale) is None


def test_an_end_is_cut_off_at_the_highest_value():
    """No end lies above the highest value that there can be."""
    found = jackknife_interval(0.9, np.array([0.8, 0.95, 0.9]), tail=0.975, level=0.95, most=1.0)
    assert found.high == 1.0
    assert found.low < 0.9


@pytest.mark.parametrize("name", ASKED)
def test_value_stays_and_the_method_is_told(name):
    """The method changes the interval and nothing else, says its name, and a higher level is wider."""
    plain, asked = ASKED[name](), ASKED[name](method="jackknife")
    assert (plain.value, plain.n, plain.p) == (asked.value, asked.n, asked.p)
    assert plain.interval.method != asked.interval.method
    assert asked.interval.method.startswith("jackknife")
    assert asked.interval.low <= asked.value <= asked.interval.high
    wider = ASKED[name](method="jackknife", level=0.99).interval
    assert wider.low < asked.interval.low
    assert wider.high >= asked.interval.high


@pytest.mark.parametrize("name", ASKED)
def test_other_methods_are_refused(name):
    """A misspelt method is refused with the list of those that there are."""
    with pytest.raises(UnknownChoiceError) as caught:
        ASKED[name](method="jacknife")
    function = "correlation" if name == "spearman_brown" else name
    assert str(caught.value).startswith(f"{function}: method must be one of '")
    assert str(caught.value).endswith("', 'jackknife'. Got 'jacknife'.")


@pytest.mark.parametrize(
    ("found", "method"),
    [
        (lambda how: d_pre([3, 3, 4], [4, 6, 8], about="A", **how), "Bonett's interval, SD of the first test"),
        (
            lambda how: d_pre([0, 0, 1, 1], [1, 1, 2, 2.001], about="A", **how),
            "Bonett's interval, SD of the first test",
        ),
        (lambda how: d_average([3, 3, 4], [5, 5, 6], about="A", **how), "Bonett's interval, average SD of both tests"),
        (lambda how: correlation([1, 1, 1, 2], [1, 2, 3, 2], about="A", **how), "Fisher's z"),
        (lambda how: cronbach_alpha([[1, 2], [2, 4]], about="A", **how), "Feldt's interval"),
        (lambda how: kr20([[1, 1, 0], [0, 0, 0], [1, 1, 0]], about="A", **how), "Feldt's interval"),
        (lambda how: icc_single([[1, 2], [2, 4]], about="A", **how), "F limits, Satterthwaite's degrees of freedom"),
        (lambda how: kappa_weighted([1, 1, 1, 2], [1, 1, 1, 3], about="A", **how), "large-sample standard error"),
    ],
)
def test_where_it_cannot_be_had_it_is_the_other(found, method):
    """Where the number does not exist without a student, or the jackknife misses it, the other interval is given."""
    assert found({"method": "jackknife"}).interval == found({}).interval
    assert found({"method": "jackknife"}).interval.method == method


def test_no_scatter_stays_no_interval():
    """Perfect agreement has no interval by any method, and says why."""
    alike = [[3, 3], [2, 2], [5, 5], [1, 1]]
    single = icc_single(alike, about="A", method="jackknife")
    assert (single.interval, single.notes) == (None, (RATERS_ARE_ONE,))
    kappa = kappa_weighted([1, 2, 3], [1, 2, 3], about="A", method="jackknife")
    assert (kappa.interval, kappa.notes) == (None, (PAIRS_ARE_ONE_KIND,))


def test_agreement_says_that_it_is_of_these_raters():
    """The note is printed with the interval that holds for just these raters, and only with it."""
    for statistic in (icc_single, icc_average):
        assert statistic(RATED, about="A", method="jackknife").notes == (ONLY_THESE,)
        assert statistic(RATED, about="A").notes == ()
    assert ONLY_THESE == "The range is for just these raters; how far others would agree is not known."


def test_a_million_students():
    """A million students are no burden."""
    pre, gain = np.random.default_rng(2).normal(size=(2, 1_000_000))
    found = d_pre(pre, pre + gain + 0.5, about="A", method="jackknife")
    assert found.interval.low < 0.5 < found.interval.high
    assert found.interval.high - found.interval.low < 0.01


@pytest.mark.slow
def test_skewed_scores_do_not_fool_it():
    """With skewed scores it holds the truth where Fisher's interval does not (simulated, 1,000 groups of 40)."""
    rng = np.random.default_rng(8)
    able = np.exp(rng.normal(size=(2, 200_000)) * 0.7)
    x, y = able[0], 0.8 * able[0] + 0.6 * able[1]
    truth, held = np.corrcoef(x, y)[0, 1], {"fisher": 0, "jackknife": 0}
    for places in rng.integers(0, x.size, (1000, 40)):
        for method in held:
            ends = correlation(x[places], y[places], about="A", method=method).interval
            held[method] += ends.low <= truth <= ends.high
    assert held["jackknife"] > 890
    assert held["fisher"] < 830


def test_points_on_a_line_without_one_student_give_no_jackknife_in_any_order():
    """Where the others lie on a line but for rounding, the interval is the other one, however the rows are ordered."""
    rows = [(4, 5), (10, 15), (10, 17), (4, 5), (10, 15)]
    for order in permutations(rows):
        x, y = zip(*order, strict=True)
        assert correlation(x, y, about="five", method="jackknife").interval.method == "Fisher's z"
