"""Wilson's and Newcombe's limits and the corrected correlation."""

from __future__ import annotations

import pytest
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from kit.stats.score_limits import corrected_phi, newcombe_limits, wilson_limits


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
