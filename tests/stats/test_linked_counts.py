"""What sums give away, against a published table and against trying every table there is; what is then left out."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.linked_counts import Sums, feasible_ranges, known_ends, leave_out

INVESTMENT = np.array([[20, 50, 10], [8, 19, 22], [17, 32, 12]], dtype=float)
"""Investment of enterprises by activity (rows) and region (columns): Fischetti & Salazar-González (2000), figure 1."""


def margins(rows, columns):
    """Say which cells of a table each cell, row sum, column sum and the whole are made of."""
    each = np.arange(rows * columns).reshape(rows, columns)
    groups = [*each.reshape(-1, 1), *each, *each.T, each.ravel()]
    return np.array([np.isin(np.arange(each.size), group) for group in groups], dtype=float)


def a_table(counts, **changed):
    """Lay a table out with its margins, each cell as dear as it is large and the margins always told."""
    counts = np.asarray(counts, dtype=float)
    members = margins(*counts.shape)
    truth = members @ counts.ravel()
    dear = np.arange(len(truth)) >= counts.size
    return Sums(**{
        "members": members, "truth": truth, "low": 0 * truth, "high": np.full(len(truth), np.inf),
        "cost": np.where(dear, np.inf, truth), **changed,
    })  # fmt: skip


def voices():
    """Four voices and their total."""
    members = np.vstack([np.eye(4), np.ones(4)])
    truth = members @ [14, 12, 4, 11]
    return Sums(members, truth, 0 * truth, np.full(5, np.inf), np.array([*truth[:4], np.inf]))


def small_cells(counts, least):
    """Mark each cell of 1 to `least` - 1."""
    flat = np.asarray(counts, dtype=float).ravel()
    return np.eye(flat.size)[(flat > 0) & (flat < least)]


def every_table(sums, hidden, most):
    """Try every table: give those that fit what is told."""
    cells = sums.members.shape[1]
    tries = np.array(list(product(range(most + 1), repeat=cells)), dtype=float)
    low, high = known_ends(sums, hidden)
    fits = tries @ sums.members.T
    return tries[((fits >= low) & (fits <= high)).all(axis=1)]


def test_the_published_pattern_leaves_the_published_range():
    """With four cells hidden, activity II in region C lies between 5 and 30 (Fischetti & Salazar-González 2000).

    The table, the pattern of figure 1 and both ends are from memory; they follow from the sums by hand as well.
    """
    sums = a_table(INVESTMENT)
    hidden = np.isin(np.arange(len(sums.truth)), [3, 5, 6, 8])
    ends = feasible_ranges(sums.members, *known_ends(sums, hidden), np.eye(9)[[5]])
    assert ends.tolist() == [[5.0, 30.0]]


def test_a_single_hidden_cell_is_given_back():
    """Hiding activity II in region C alone leaves exactly its value."""
    sums = a_table(INVESTMENT)
    hidden = np.arange(len(sums.truth)) == 5
    assert feasible_ranges(sums.members, *known_ends(sums, hidden), np.eye(9)[[5]]).tolist() == [[22.0, 22.0]]


def test_four_voices():
    """Soprano 14, Alto 12, Tenor 4, Bass 11, together 41: the Tenors follow by subtraction, so the Basses go too.

    Worked by hand after the advice on complementary suppression of the US Privacy Technical Assistance Center.
    """
    left = leave_out(voices(), small_cells([[14, 12, 4, 11]], 10), width=np.array([10.0]))
    assert np.flatnonzero(left).tolist() == [2, 3]


def test_the_pattern_of_a_table_is_safe_and_none_of_it_is_too_much():
    """In two directions at least four cells are hidden; telling any one of the others again would be too much."""
    sums, secret = a_table(INVESTMENT), np.eye(9)[[5]]
    left = leave_out(sums, secret, width=np.array([10.0]))
    [[low, high]] = feasible_ranges(sums.members, *known_ends(sums, left), secret)
    assert high - low >= 10
    assert left.sum() == 4
    for at in np.flatnonzero(left):
        again = left.copy()
        again[at] = False
        [[low, high]] = feasible_ranges(sums.members, *known_ends(sums, again), secret)
        assert high - low < 10


@given(
    counts=st.lists(st.integers(0, 3), min_size=6, max_size=6),
    hidden=st.lists(st.booleans(), min_size=12, max_size=12),
    asked=st.lists(st.integers(0, 1), min_size=6, max_size=6),
)
@settings(max_examples=25, deadline=None)
def test_ranges_are_those_of_all_tables_that_fit(counts, hidden, asked):
    """Both ends are met by trying every table of up to three in each cell, and none lies outside."""
    counts = np.array(counts, dtype=float).reshape(2, 3)
    # cells of four and more are shut out by what is known of them, so that every table can be tried
    sums = a_table(counts, high=np.where(np.arange(12) < 6, 3.0, np.inf))
    hidden = np.array(hidden)
    told = every_table(sums, hidden, 3) @ np.array(asked, dtype=float)
    [ends] = feasible_ranges(sums.members, *known_ends(sums, hidden), np.array([asked], dtype=float))
    assert ends.tolist() == [told.min(), told.max()]


@given(counts=st.lists(st.integers(0, 30), min_size=12, max_size=12), width=st.integers(1, 6))
@settings(max_examples=25, deadline=None)
def test_no_small_cell_of_any_table_is_given_away(counts, width):
    """After `leave_out`, every small cell has a range as wide as asked, or the table is refused as a whole."""
    counts = np.array(counts, dtype=float).reshape(3, 4)
    sums, secrets = a_table(counts), small_cells(counts, 6)
    try:
        left = leave_out(sums, secrets, width=np.full(len(secrets), float(width)))
    except TooFewError:
        everything = np.isfinite(sums.cost)
        ends = feasible_ranges(sums.members, *known_ends(sums, everything), secrets)
        assert (ends[:, 1] - ends[:, 0]).min() < width
        return
    assert not left[~np.isfinite(sums.cost)].any()
    if len(secrets):
        ends = feasible_ranges(sums.members, *known_ends(sums, left), secrets)
        assert (ends[:, 1] - ends[:, 0] >= width).all()
        assert (ends[:, 0] <= secrets @ counts.ravel()).all()
        assert (ends[:, 1] >= secrets @ counts.ravel()).all()
    else:
        assert not left.any()


@given(counts=st.lists(st.integers(0, 3), min_size=6, max_size=6))
@settings(max_examples=15, deadline=None)
def test_no_small_cell_is_recovered_by_trying_every_table(counts):
    """Whoever tries every table that fits what is left finds two values or more for each small cell."""
    counts = np.array(counts, dtype=float).reshape(2, 3)
    sums, secrets = a_table(counts), small_cells(counts, 3)
    try:
        left = leave_out(sums, secrets, width=np.ones(len(secrets)))
    except TooFewError:
        left = np.isfinite(sums.cost)
        secrets = secrets[[len(set(every_table(sums, left, 5) @ secret)) > 1 for secret in secrets]]
    fitting = every_table(sums, left, 5)
    assert all(len(set(fitting @ secret)) > 1 for secret in secrets)


def test_a_rounded_sum_is_known_between_its_ends():
    """A total of 41 told as about 40 leaves a hidden cell a range of the width of the step."""
    near = {"low": np.array([0, 0, 0, 0, 0, 30.0]), "high": np.array([np.inf] * 5 + [49.0])}
    members = np.vstack([np.eye(4), np.ones((2, 4))])
    truth = members @ [14, 12, 4, 11]
    sums = Sums(members, truth, **near, cost=np.array([14, 12, 1, 11, 0.5, 0.4]))
    left = leave_out(sums, np.eye(4)[[2]], width=np.array([10.0]))
    # the total stands there twice: one is left out, the other rounded, and all but the small voice are told
    assert np.flatnonzero(left).tolist() == [2, 4, 5]
    assert feasible_ranges(members, *known_ends(sums, left), np.eye(4)[[2]]).tolist() == [[0.0, 12.0]]


def test_what_is_left_out_in_any_case_stays_left_out():
    """What was hidden before is not told again, and may be enough."""
    sums = voices()
    before = np.isin(np.arange(len(sums.truth)), [0, 2])
    left = leave_out(sums, np.eye(4)[[2]], width=np.array([10.0]), already=before)
    assert left.tolist() == before.tolist()


def test_nothing_small_nothing_left_out():
    """A table without a small count is told as it is."""
    assert not leave_out(a_table([[14, 12]]), np.zeros((0, 2)), width=np.zeros(0)).any()


def test_a_count_that_nothing_bounds_has_no_upper_end():
    """Without a total a hidden count can be anything from zero on."""
    known = np.array([[1.0, 0.0]])
    assert feasible_ranges(known, np.array([3.0]), np.array([3.0]), np.array([[0, 1.0]])).tolist() == [[0.0, np.inf]]


def test_sums_that_no_counts_have_are_refused():
    """A part larger than its whole."""
    with pytest.raises(TooFewError) as refused:
        feasible_ranges(np.array([[1.0, 0], [1, 1]]), np.array([5.0, 3]), np.array([5.0, 3]), np.array([[0, 1.0]]))
    assert str(refused.value) == "feasible_ranges: needs sums that counts can have. No counts fit these."


def test_a_small_count_that_stays_known_is_refused():
    """Where everything must be told, a small count can be told."""
    with pytest.raises(TooFewError) as refused:
        leave_out(a_table([[14, 4]], cost=np.full(6, np.inf)), np.array([[0, 1.0]]), width=np.array([3.0]))
    assert str(refused.value) == (
        "leave_out: needs sums that may be left out. A small count can be told from the others."
    )
