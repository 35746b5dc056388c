"""Fieller's limits against the paired t test that defines them."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.stats.fieller import ratio_limits


@given(seed=st.integers(0, 10_000), n=st.integers(5, 30), level=st.sampled_from([0.8, 0.95, 0.99]))
@settings(max_examples=25, deadline=None)
def test_the_t_test_just_rejects_at_either_end(seed, n, level):
    """At either limit scipy's t test of ``top - ratio * bottom`` has p = 1 - level; between them p is larger."""
    rng = np.random.default_rng(seed)
    bottom = rng.normal(30, 4, n)
    top = 0.6 * bottom + rng.normal(0, 3, n)
    low, high = ratio_limits(top, bottom, tail=(1 + level) / 2)
    for ratio in (low, high):
        assert scipy.stats.ttest_1samp(top - ratio * bottom, 0).pvalue == pytest.approx(1 - level, rel=1e-6)
    assert low < top.mean() / bottom.mean() < high


def test_no_ends_where_the_bottom_could_be_zero():
    """If the bottom's mean is not clearly above zero, every ratio is possible and there are no ends."""
    assert ratio_limits(np.array([1.0, 2, 0]), np.array([0.0, 0, 1]), tail=0.975) is None
