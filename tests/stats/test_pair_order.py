"""The middle and the limits of pairs, found without listing them, against the list."""

from __future__ import annotations

import numpy as np
import pytest

from kit.stats import pair_order
from kit.stats.pair_order import typical_average, typical_difference


def test_listed_pairs_are_numpys():
    """Middle and limits are the median and the ordered differences and averages that numpy lists."""
    one, two = np.array([5.0, 7, 7, 2]), np.array([1.0, 4, 6])
    listed = np.sort(np.subtract.outer(one, two).ravel())
    assert typical_difference(one, two, 2) == (np.median(listed), (listed[1], listed[-2]))
    averages = np.sort([(one[i] + one[j]) / 2 for i in range(4) for j in range(i, 4)])
    assert typical_average(one, 3) == (np.median(averages), (averages[2], averages[-3]))
    assert typical_average(one, 0) == (np.median(averages), None)


@pytest.mark.parametrize("decimals", [0, 3, 15])
def test_halving_finds_the_listed_pairs(monkeypatch, decimals):
    """Without listing pairs the middle and the limits are, to the digit, those of the list, ties or none."""
    rng = np.random.default_rng(decimals)
    one, two = np.round(rng.normal(12, 4, 81), decimals), np.round(rng.normal(13, 3, 60), decimals)
    listed = typical_difference(one, two, 700), typical_average(one, 900), typical_difference(one, two, 0)
    monkeypatch.setattr(pair_order, "LISTED_UP_TO", 10)
    halved = typical_difference(one, two, 700), typical_average(one, 900), typical_difference(one, two, 0)
    for (middle, limits), (other, others) in zip(listed, halved, strict=True):
        assert other == pytest.approx(middle, rel=1e-14)
        assert others == (limits and pytest.approx(limits, rel=1e-14))
