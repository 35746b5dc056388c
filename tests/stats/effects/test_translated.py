"""Laws, messages and cross-checks of sizes made from shares and read as percentiles."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import ndtr
from statsmodels.stats.contingency_tables import Table2x2

from kit.errors import TooFewError
from kit.stats.effects.sizes import hedges_g
from kit.stats.effects.translated import PERCENTILE_ASSUMES, cox_index, percentile_gain

laws = settings(max_examples=25, deadline=None)
cells = st.tuples(*[st.integers(1, 60)] * 4)


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


@given(table=cells, level=st.floats(0.5, 0.99))
@laws
def test_cox_index_equals_statsmodels_over_165(table, level):
    """Log odds ratio, its interval and p are those of statsmodels, over 1.65."""
    a, b, c, d = table
    theirs, ours = Table2x2([[a, b], [c, d]]), cox_index(a, a + b, c, c + d, about="A", level=level)
    expected = [theirs.log_oddsratio, *theirs.log_oddsratio_confint(1 - level)]
    assert 1.65 * ends(ours) == pytest.approx(expected, abs=1e-9)
    assert ours.p == pytest.approx(theirs.log_oddsratio_pvalue(), abs=1e-12)
    assert ours.n == sum(table)


@given(table=cells, levels=st.tuples(st.floats(0.5, 0.99), st.floats(0.5, 0.99)))
@laws
def test_cox_index_turns_and_widens(table, levels):
    """Swapping groups, or hits and misses, turns the sign; a higher level is not narrower."""
    a, b, c, d = table
    inner, outer = (cox_index(a, a + b, c, c + d, about="A", level=level) for level in sorted(levels))
    for back in (cox_index(c, c + d, a, a + b, about="A", level=min(levels)),
                 cox_index(b, a + b, d, c + d, about="A", level=min(levels))):  # fmt: skip
        assert ends(back) == pytest.approx(-ends(inner)[[0, 2, 1]], abs=1e-12)
    assert outer.interval.low <= inner.interval.low <= inner.interval.high <= outer.interval.high


@pytest.mark.parametrize(
    ("g", "percentiles"),
    [(0.05, 2), (0.10, 4), (0.20, 8), (0.25, 10), (0.40, 16), (0.50, 19), (0.80, 29), (-0.25, -10)],
)
def test_percentiles_of_common_sizes(g, percentiles):
    """The improvement index of common sizes in whole percentiles, as the What Works Clearinghouse prints them."""
    raw = np.random.default_rng(1).normal(size=4000)
    raw = (raw - raw.mean()) / raw.std(ddof=1)
    assert round(percentile_gain(raw + g, raw, about="A").value) == percentiles


def test_percentile_gain_is_hedges_g_read_off_the_curve():
    """Value and ends are those of `hedges_g`, read off the normal curve; missing students are counted."""
    one, two = [13, 14, 21, 9, np.nan], [10, 12, 15, 9]
    g, found = hedges_g(one, two, about="A", level=0.9), percentile_gain(one, two, about="A", level=0.9)
    assert ends(found) == pytest.approx(100 * ndtr(ends(g)) - 50, abs=1e-9)
    assert (found.n, found.dropped, found.notes) == (8, 1, (PERCENTILE_ASSUMES,))


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (
            lambda: cox_index(10, 10, 3, 10, about="A"),
            TooFewError,
            "cox_index: needs a share between 0 and 1 in each group. A has one of 0 or 1.",
        ),
        (
            lambda: cox_index(3, 10, 0, 10, about="A"),
            TooFewError,
            "cox_index: needs a share between 0 and 1 in each group. A has one of 0 or 1.",
        ),
        (lambda: cox_index(0, 0, 3, 10, about="A"), TooFewError, "cox_index: needs 1 student. A has 0."),
        (
            lambda: cox_index(3, 10, 11, 10, about="A"),
            ValueError,
            "cox_index: comparison_hits must be a whole number from 0 to 10. Got 11.",
        ),
        (
            lambda: percentile_gain([1, 1], [3, 3], about="A"),
            TooFewError,
            "percentile_gain: needs scores within a group that differ. A has none that do.",
        ),
        (
            lambda: percentile_gain([1, np.inf], [3, 3], about="A"),
            ValueError,
            "percentile_gain: program must be finite numbers, or NaN where missing. Got an infinite one.",
        ),
        (
            lambda: percentile_gain([1, 2], [3, 4], about="A", level=2),
            ValueError,
            "percentile_gain: level must be between 0 and 1. Got 2.",
        ),
    ],
)
def test_messages(call, error, message):
    """Each refusal says what is needed and what was found."""
    with pytest.raises(error) as caught:
        call()
    assert str(caught.value) == message
