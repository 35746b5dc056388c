"""Wilson's, Newcombe's and Tango's limits and the corrected correlation."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from kit.stats.score_limits import corrected_phi, newcombe_limits, tango_limits, wilson_limits


@pytest.mark.parametrize(("hits", "n"), [(0, 5), (1, 5), (5, 5), (17, 40), (399, 400)])
def test_wilson_equals_statsmodels(hits, n):
    """The library statsmodels gives the same Wilson limits."""
    assert wilson_limits(hits, n, 0.975) == pytest.approx(proportion_confint(hits, n, method="wilson"), abs=1e-12)


def test_newcombe_equals_statsmodels():
    """Without correlation the limits are statsmodels' for independent groups."""
    theirs = confint_proportions_2indep(12, 30, 9, 41, method="newcomb")
    assert newcombe_limits(12, 30, 9, 41, tail=0.975, phi=0.0) == pytest.approx(theirs)


@pytest.mark.parametrize(
    ("table", "phi"),
    [((0, 0, 5, 9), 0.0), ((5, 5, 5, 5), 0.0), ((6, 4, 4, 6), 0.1), ((2, 8, 8, 2), -0.6), ((10, 0, 0, 10), 0.9)],
)
def test_phi(table, phi):
    """Empty margins give 0, positive numerators lose n/2, negative ones do not (Newcombe 1998c; by hand)."""
    assert corrected_phi(*table) == pytest.approx(phi)


@given(counts=st.tuples(st.integers(0, 40), st.integers(0, 40), st.integers(0, 40)), level=st.floats(0.5, 0.99))
@settings(max_examples=50, deadline=None)
def test_tango_limits_are_where_the_score_test_turns(counts, level):
    """At each limit inside -1 to 1, the score of the likeliest shares given that difference is the normal deviate."""
    up, down, same = counts
    n = up + down + same
    if n == 0:
        return
    tail = (1 + level) / 2
    for limit, side in zip(tango_limits(up, down, n, tail=tail), (1, -1), strict=True):
        if abs(limit) > 1 - 1e-6:
            continue
        shares = np.linspace(max(0.0, -limit), (1 - limit) / 2, 200_001)[1:-1]  # of those who fell, by brute force
        likely = up * np.log(shares + limit) + down * np.log(shares) + same * np.log(1 - 2 * shares - limit)
        share = shares[likely.argmax()]
        score = (up - down - n * limit) / np.sqrt(n * (2 * share + limit * (1 - limit)))
        assert score == pytest.approx(side * scipy.stats.norm.ppf(tail), abs=2e-3)
