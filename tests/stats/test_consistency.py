"""Laws, edges, messages and cross-checks of alpha and KR-20."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pingouin
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.consistency import ITEMS_RANK_ALIKE, cronbach_alpha, kr20

laws = settings(max_examples=40, deadline=None)
BOTH = [cronbach_alpha, kr20]
tables = st.integers(2, 5).flatmap(
    lambda k: st.lists(st.lists(st.integers(0, 1), min_size=k, max_size=k), min_size=3, max_size=20)
)


def asked(statistic, scores, **options):
    """Ask, and skip tables in which all totals are the same."""
    try:
        return statistic(scores, about="A", **options)
    except TooFewError:
        assume(False)


def table_with_alpha(alpha, n, k):
    """Make scores with exactly this alpha."""
    rng = np.random.default_rng(5)
    row, rest = rng.normal(size=n), rng.normal(size=(n, k))
    row -= row.mean()
    rest -= rest.mean(axis=1, keepdims=True) + rest.mean(axis=0) - rest.mean()
    row *= np.sqrt((n - 1) / (k * (row**2).sum()))
    rest *= np.sqrt((1 - alpha) * (n - 1) * (k - 1) / (rest**2).sum())
    return row[:, None] + rest


def test_printed_interval():
    """Alpha .85 of 7 items and 89 students has the limits that statpsych prints: .7971 and .8932 (Feldt 1965)."""
    found = cronbach_alpha(table_with_alpha(0.85, 89, 7), about="A")
    assert found.value == pytest.approx(0.85)
    assert (found.interval.low, found.interval.high) == pytest.approx((0.7971, 0.8932), abs=6e-5)


@given(scores=tables, level=st.floats(0.5, 0.99))
@laws
def test_pingouin_agrees(scores, level):
    """Alpha and its limits are pingouin's (to the three decimals that it keeps), and KR-20 is alpha."""
    ours, count = asked(cronbach_alpha, scores, level=level), asked(kr20, scores, level=level)
    assert count.value == pytest.approx(ours.value, abs=1e-12)
    assert count.interval == ours.interval
    theirs, limits = pingouin.cronbach_alpha(pd.DataFrame(scores), ci=level)
    assert ours.value == pytest.approx(theirs, abs=1e-9)
    if ours.interval:
        assert (ours.interval.low, ours.interval.high) == pytest.approx(tuple(limits), abs=6e-4, rel=1e-6)


@pytest.mark.parametrize("statistic", BOTH)
@given(scores=tables, seed=st.integers(0, 99), levels=st.tuples(*[st.floats(0.5, 0.99)] * 2))
@laws
def test_laws(statistic, scores, seed, levels):
    """Order is nothing, missing rows are removed rows, the interval holds the value and widens with the level."""
    inner, outer = (asked(statistic, scores, level=level) for level in sorted(levels))
    rng = np.random.default_rng(seed)
    moved = rng.permutation(rng.permutation(np.array(scores)), axis=1)
    assert asked(statistic, moved).value == pytest.approx(inner.value, abs=1e-9)
    gap = asked(statistic, [*scores, [np.nan] * len(scores[0])], level=min(levels))
    assert (gap.dropped, gap.n, gap.value, gap.interval) == (1, inner.n, inner.value, inner.interval)
    if inner.interval:
        assert outer.interval.low <= inner.interval.low + 1e-12
        assert inner.interval.low < inner.value < inner.interval.high <= outer.interval.high + 1e-12 <= 1 + 1e-9


@given(shift=st.integers(-50, 50), factor=st.integers(2, 9))
@laws
def test_scale_is_nothing(shift, factor):
    """One stretch for all items and any shift of each leave alpha."""
    scores = np.random.default_rng(1).normal(size=(12, 4))
    moved = factor * scores + shift * np.arange(4)
    assert cronbach_alpha(moved, about="A").value == pytest.approx(cronbach_alpha(scores, about="A").value)


def test_feldt_covers():
    """The 90 % interval holds the true alpha of .8 in about 90 of 100 studies of 20 students (2,000 simulated studies)."""
    rng = np.random.default_rng(3)
    held = 0
    for _ in range(2000):
        scores = rng.normal(size=(20, 1)) + rng.normal(size=(20, 4))
        found = cronbach_alpha(scores, about="A", level=0.9).interval
        held += found.low <= 0.8 <= found.high
    assert held / 2000 == pytest.approx(0.9, abs=0.02)


def test_identical_items_have_no_interval():
    """Items that tell students apart in the same way have alpha 1, no interval, and a note."""
    found = cronbach_alpha(np.add.outer([1.0, 3, 4, 9], [0.0, 1, 5]), about="A")
    assert (found.value, found.interval, found.notes) == (1.0, None, (ITEMS_RANK_ALIKE,))


def test_many_students():
    """A million students are no trouble."""
    rng = np.random.default_rng(2)
    found = cronbach_alpha(rng.normal(size=(1_000_000, 1)) + rng.normal(size=(1_000_000, 2)), about="A")
    assert found.interval.low < 2 / 3 < found.interval.high < found.interval.low + 0.01


@pytest.mark.parametrize("statistic", BOTH)
def test_too_few(statistic):
    """One item, one student, equal totals, infinite numbers and an impossible level are refused."""
    name = statistic.__name__
    for scores, message in (
        ([[1], [0]], "needs 2 items. A has 1."),
        ([[1, 0], [np.nan, 1]], "needs 2 students with a score from all items. A has 1."),
        ([[1, 0], [0, 1]], "needs students whose totals differ. A has none."),
    ):
        with pytest.raises(TooFewError) as caught:
            statistic(scores, about="A")
        assert str(caught.value) == f"{name}: {message}"
    with pytest.raises(
        ValueError, match=f"^{name}: scores must be finite numbers, or NaN where missing. Got an infinite"
    ):
        statistic([[1, np.inf], [0, 1]], about="A")
    with pytest.raises(ValueError, match=f"^{name}: level must be between 0 and 1. Got 2.$"):
        statistic([[1, 1], [0, 0]], about="A", level=2)


def test_kr20_takes_right_and_wrong_only():
    """A score of 2 is refused, with the statistic that would take it."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        kr20([[1, 2], [0, 1]], about="A")
    assert str(caught.value) == "kr20: scores must be 0 or 1, or NaN where missing. Got 2.0. Use cronbach_alpha."
