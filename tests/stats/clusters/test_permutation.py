"""The permutation of whole choirs against scipy's, against published smallest p-values, and its refusals."""

from __future__ import annotations

import time

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.clusters.permutation import permutation_clusters
from kit.stats.power.permutation import smallest_permutation_p

MEANS = [16.5, 13.75, 14.25, 16.0, 15.75, 13.5, 19.5, 11.0]
FIRST = [11.25, 11.5, 10.0, 13.5, 10.5, 11.5, 13.5, 9.5]
PROGRAM = np.array([True, False] * 4)


def seeded(seed=1):
    """Make a generator."""
    return np.random.default_rng(seed)


def plain_difference(x, y, axis=-1):
    """Difference of means for scipy."""
    return x.mean(axis) - y.mean(axis)


@given(
    values=st.lists(st.integers(0, 40), min_size=4, max_size=9),
    inside=st.integers(2, 7),
)
@settings(max_examples=50, deadline=None)
def test_equals_scipy_where_every_assignment_is_listed(values, inside):
    """The two one-sided p-values of scipy's exact test give ours: as far from zero on either side."""
    inside = min(inside, len(values) - 2)
    program = np.arange(len(values)) < inside
    ours = permutation_clusters(values, program, rng=seeded())
    scores = np.array(values, dtype=float)
    theirs = scipy.stats.permutation_test(
        (scores[program], scores[~program]), plain_difference, permutation_type="independent", vectorized=True,
        n_resamples=np.inf, alternative="greater",
    )  # fmt: skip
    null, size = theirs.null_distribution, abs(theirs.statistic)
    assert ours.observed == pytest.approx(theirs.statistic, abs=1e-12)
    assert ours.assignments == null.size
    assert ours.p == pytest.approx(np.mean(np.abs(null) >= size - 1e-9))


def test_pairs_equal_scipys_paired_test():
    """Within pairs, p is that of scipy's test that swaps within pairs, all 16 swaps listed."""
    pairs = np.repeat(np.arange(4), 2)
    ours = permutation_clusters(MEANS, PROGRAM, within=pairs, rng=seeded())
    theirs = scipy.stats.permutation_test(
        (np.array(MEANS)[PROGRAM], np.array(MEANS)[~PROGRAM]), plain_difference, permutation_type="samples",
        vectorized=True, n_resamples=np.inf,
    )  # fmt: skip
    assert (ours.assignments, ours.smallest) == (16, 0.125)
    assert ours.p == pytest.approx(theirs.pvalue)
    assert ours.method == "all 16 assignments of whole choirs within 4 pairs or schools"


def test_eight_choirs_reach_the_floor():
    """The gains of eight choirs, all of the program above all others, reach the smallest p there is: 2 of 70."""
    found = permutation_clusters(np.subtract(MEANS, FIRST), PROGRAM, rng=seeded())
    assert found.observed == pytest.approx(3.125)
    assert (found.p, found.smallest) == (2 / 70, 2 / 70)


@pytest.mark.parametrize(("program", "comparison", "smallest"), [
    (1, 1, 1.0), (2, 2, 0.333), (3, 3, 0.1), (4, 4, 0.029), (5, 5, 0.0079), (1, 5, 0.167), (2, 6, 0.036),
])  # fmt: skip
def test_smallest_p_is_the_planned_one(program, comparison, smallest):
    """The smallest p of groups wholly apart is the one that a plan is told before anything is known."""
    marks = np.arange(program + comparison) < program
    values = 2.0 ** np.arange(program + comparison)[::-1]
    found = permutation_clusters(values, marks, rng=seeded())
    planned = smallest_permutation_p([(program, comparison)], about="the plan").value
    assert found.smallest == found.p == pytest.approx(planned)
    assert round(planned, 4 if planned < 0.01 else 3) == smallest


def test_turned_signs_of_one_group():
    """First and second means within each choir: turning the signs of 6 gains, all upward, gives 2 of 64."""
    first, gains = np.array([10.0, 12, 9, 11, 14, 8]), np.array([1.0, 2, 1.5, 3, 0.5, 2.5])
    values = np.concatenate([first + gains, first])
    found = permutation_clusters(values, np.arange(12) < 6, within=np.tile(np.arange(6), 2), rng=seeded())
    assert (found.observed, found.p, found.smallest) == (pytest.approx(gains.mean()), 2 / 64, 2 / 64)


def test_any_statistic_of_choir_means():
    """The adjusted difference of choir means: p from listing all assignments and fitting a line by least squares."""
    table = np.column_stack([MEANS, FIRST])

    def adjusted(values, assigned):
        post, pre = values.T
        found = np.empty(len(assigned))
        for i, program in enumerate(assigned):
            found[i] = np.linalg.lstsq(np.column_stack([np.ones(8), pre, program]), post, rcond=None)[0][2]
        return found

    found = permutation_clusters(table, PROGRAM, statistic=adjusted, rng=seeded())
    assert found.assignments == 70
    assert found.observed == pytest.approx(adjusted(table, PROGRAM[None, :])[0])
    theirs = scipy.stats.permutation_test(
        (np.arange(8)[PROGRAM], np.arange(8)[~PROGRAM]),
        lambda one, two: adjusted(table, np.isin(np.arange(8), one)[None, :])[0],  # scipy shuffles the choirs' places
        permutation_type="independent", n_resamples=np.inf,
    )  # fmt: skip
    assert found.p == pytest.approx(np.mean(np.abs(theirs.null_distribution) >= abs(theirs.statistic) - 1e-9))


def test_default_statistic_is_the_difference_of_means():
    """Given as a function, the difference of means has the p of the fast way, listed and drawn."""

    def difference(values, assigned):
        return np.array([values[row, 0].mean() - values[~row, 0].mean() for row in assigned])

    for size in (8, 26):
        values = np.round(seeded(size).normal(12, 3, size), 1)
        marks = np.arange(size) % 2 == 0
        fast, slow = (
            permutation_clusters(values, marks, rng=seeded(), statistic=way, draws=500) for way in (None, difference)
        )
        assert fast.p == slow.p
        assert fast.observed == pytest.approx(slow.observed)


def test_many_choirs_are_drawn():
    """Too many assignments to list are drawn: p near the t test's, never 0, and the smallest is that of the draws."""
    values = seeded(4).normal(size=60)
    marks = np.arange(60) < 30
    found = permutation_clusters(values, marks, rng=seeded(), draws=20_000)
    assert found.p == pytest.approx(scipy.stats.ttest_ind(values[:30], values[30:]).pvalue, abs=0.015)
    assert found.source == "phipson-smyth-2010"
    apart = permutation_clusters(values + 100 * marks, marks, rng=seeded(), draws=999)
    assert apart.p == apart.smallest == 1 / 1000


@given(shift=st.integers(-50, 50), factor=st.integers(2, 9), seed=st.integers(0, 99))
@settings(max_examples=25, deadline=None)
def test_scale_order_and_names(shift, factor, seed):
    """Shift, stretch, order of choirs and which group is called the program leave p as it is."""
    mixed = np.random.default_rng(seed).permutation(8)
    plain = permutation_clusters(MEANS, PROGRAM, rng=seeded())
    moved = permutation_clusters(factor * np.array(MEANS)[mixed] + shift, PROGRAM[mixed], rng=seeded())
    other = permutation_clusters(MEANS, ~PROGRAM, rng=seeded())
    assert plain.p == moved.p == other.p
    assert other.observed == pytest.approx(-plain.observed)


def test_listing_is_quick():
    """All 184,756 assignments of 20 choirs are looked at within 5 seconds."""
    start = time.perf_counter()
    found = permutation_clusters(seeded().normal(size=20), np.arange(20) < 10, rng=seeded())
    assert found.assignments == 184_756
    assert time.perf_counter() - start < 5


@pytest.mark.parametrize(
    ("options", "error", "message"),
    [
        ({"values": [1, 2, np.nan]}, ValueError, "values must have no missing number. Got 1 choirs with one."),
        ({"values": [1, 2]}, ValueError, "program and values_0 must list the same students. Got 3 and 2 numbers."),
        ({"program": [1, 0, 2]}, ValueError, "program must be True or False for each student. Got 2.0."),
        ({"program": [0, 0, 0]}, TooFewError, "needs 1 choir in each group. The program group has 0."),
        ({"program": [1, 1, 1]}, TooFewError, "needs 1 choir in each group. The comparison group has 0."),
        ({"values": [], "program": []}, TooFewError, "needs 1 choir in each group. The program group has 0."),
        ({"values": np.zeros((0, 2)), "program": []}, TooFewError,
         "needs 1 choir in each group. The program group has 0."),
        ({"within": [1, 2]}, ValueError, "within must have one label per choir, 3. Got 2."),
        ({"within": [1, 2, 3]}, TooFewError, "needs choirs that could have been assigned in another way. These could not."),
        ({"draws": 9}, ValueError, "draws must be at least 100. Got 9."),
        ({"statistic": lambda values, assigned: np.log(-assigned[:, 0].astype(float))}, TooFewError,
         "needs a statistic defined in every assignment. It is not in 3."),
    ],
)  # fmt: skip
def test_messages(options, error, message):
    """Each refusal says what is needed and what was found."""
    data = {"values": [1, 2, 4], "program": [True, False, False]} | options
    with pytest.raises(error) as caught:
        permutation_clusters(**data, rng=seeded())
    assert str(caught.value) == f"permutation_clusters: {message}"
