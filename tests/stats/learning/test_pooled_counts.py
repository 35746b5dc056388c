"""Counts of right tries give what the tries themselves give."""

import numpy as np
import pytest

from kit.errors import TooFewError
from kit.stats.learning.pooled_accuracy import pooled_accuracy
from kit.stats.learning.pooled_counts import ONE_SINGER, pooled_counts


def test_counts_are_the_tries_counted():
    """Tries counted by hand give the same shares, ranges, raw counts and spreads."""
    right, who, what = [1, 1, 1, 0, 1, 0, 0, 0, 1], list("abcabcabc"), ["do"] * 4 + ["fa"] * 5
    hits = [[1, 0], [1, 1], [1, 1]]  # a: do right, wrong, fa wrong; b: do, fa right, wrong; c: do, fa wrong, right
    tries = [[2, 1], [1, 2], [1, 2]]
    one, other = pooled_accuracy(right, who, what, about="x"), pooled_counts(hits, tries, ["do", "fa"], about="x")
    assert one.estimates == other.estimates
    assert one.hits.tolist() == other.hits.tolist() == [3, 2]
    assert one.tries.tolist() == other.tries.tolist() == [4, 5]
    assert one.covariance == pytest.approx(other.covariance)
    assert (one.spread_students, one.spread_items) == (other.spread_students, other.spread_items)


def test_students_without_a_try_are_left_out():
    """A row of zeros changes nothing; singers of an item are those who tried it."""
    hits, tries = np.array([[2.0, 0], [1, 2]]), np.array([[2.0, 0], [2, 3]])
    bare = pooled_counts(hits, tries, "ab", about="x")
    more = pooled_counts(np.vstack([hits, [0, 0]]), np.vstack([tries, [0, 0]]), "ab", about="x")
    assert bare.estimates == more.estimates
    assert more.singers.tolist() == [2, 1]


def test_one_student_is_said_to_be_one():
    """The share of one student is that student's."""
    assert pooled_counts([[2, 1]], [[3, 3]], "ab", about="x").estimates[0].notes == (ONE_SINGER,)


def test_tries_left_out_before_are_told():
    """What the caller left out is told with the estimates."""
    assert pooled_counts([[1]], [[2]], "a", about="x", dropped=4).estimates[0].dropped == 4


@pytest.mark.parametrize(("hits", "tries"), [([[3]], [[2]]), ([[-1]], [[2]]), ([[1, 1]], [[2]]), ([[np.nan]], [[2]])])
def test_impossible_counts_are_refused(hits, tries):
    """More right tries than tries, less than none, other cells, or no number."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        pooled_counts(hits, tries, ["a"], about="x")
    assert str(caught.value) == (
        "pooled_counts: hits and tries must list the same cells, with no more hits than tries."
    )


def test_nothing_tried_is_refused():
    """No try, no share."""
    with pytest.raises(TooFewError) as caught:
        pooled_counts([[0, 0]], [[0, 0]], "ab", about="The choir")
    assert str(caught.value) == "pooled_counts: needs 1 first try. The choir has 0."
