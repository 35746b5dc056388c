"""The balance of wins over all pairs against the list of the pairs."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.stats.dominance import dominance

laws = settings(max_examples=50, deadline=None)
group = st.lists(st.integers(0, 12), min_size=2, max_size=15)


@given(one=group, two=group)
@laws
def test_counts_are_those_of_the_listed_pairs(one, two):
    """Every student's balance of wins, the mean and the unbiased variance are those of the matrix of all pairs."""
    found = dominance(np.array(one, dtype=float), np.array(two, dtype=float))
    pairs = np.sign(np.subtract.outer(np.array(one), np.array(two)))
    assert found.of_one == pytest.approx(pairs.mean(axis=1))
    assert found.of_two == pytest.approx(pairs.mean(axis=0))
    assert (found.delta, found.level) == (pytest.approx(pairs.mean(), abs=1e-15), (pairs == 0).sum())
    n, k, delta = len(one), len(two), pairs.mean()
    rows, columns = ((pairs.mean(axis=axis) - delta) ** 2 for axis in (1, 0))
    unbiased = k**2 * rows.sum() + n**2 * columns.sum() - ((pairs - delta) ** 2).sum()
    unbiased /= n * k * (n - 1) * (k - 1)
    assert found.variance == pytest.approx(max(unbiased, (1 - delta**2) / (n * k - 1)), abs=1e-12)


def test_error_is_brunner_and_munzels():
    """Distance from one half over the standard error is scipy's Brunner-Munzel statistic; apart groups have no error."""
    one, two = np.array([3.0, 3, 4, 3, 1, 2]), np.array([1.0, 2, 1, 1, 2, 4, 1])
    found = dominance(one, two)
    error, df = found.brunner_munzel()
    theirs = scipy.stats.brunnermunzel(two, one)
    assert found.delta / 2 / error == pytest.approx(theirs.statistic)
    assert 2 * scipy.stats.t.sf(abs(theirs.statistic), df) == pytest.approx(theirs.pvalue)
    assert dominance(one, one + 10).brunner_munzel() == (0.0, None)
