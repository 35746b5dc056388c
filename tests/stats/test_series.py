"""Laws, messages and edges of how far two phases lie apart."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.series import PART_OF_THE_TREND, SEPARATION, nap, tau, tau_trend_corrected
from kit.stats.superiority import cliffs_delta, probability_of_superiority

laws = settings(max_examples=40, deadline=None)
phase = st.lists(st.integers(0, 12), min_size=2, max_size=9)
ALL = [nap, tau, tau_trend_corrected]


def numbers(estimate):
    """Give value, ends and p."""
    return [estimate.value, estimate.interval.low, estimate.interval.high, -1 if estimate.p is None else estimate.p]


@given(before=phase, after=phase)
@laws
def test_equal_the_same_sizes_for_two_groups(before, after):
    """Phases compared as two groups of students have the same probability of superiority and the same delta."""
    assert nap(before, after, about="A").value == pytest.approx(
        probability_of_superiority(after, before, about="A").value, abs=1e-12
    )
    assert tau(before, after, about="A").value == pytest.approx(cliffs_delta(after, before, about="A").value, abs=1e-12)


@given(before=phase, after=phase)
@laws
def test_tau_is_nap_on_another_scale(before, after):
    """Tau is twice nonoverlap less one, ends included, with the same p-value."""
    one, two = numbers(nap(before, after, about="A")), numbers(tau(before, after, about="A"))
    assert two[:3] == pytest.approx([2 * part - 1 for part in one[:3]], abs=1e-12)
    assert two[3] == one[3]


@pytest.mark.parametrize("index", ALL)
@given(before=phase, after=phase, shift=st.integers(-50, 50), scale=st.integers(1, 9))
@laws
def test_shift_and_scale_do_not_matter(index, before, after, shift, scale):
    """Only the order of observations counts, not their unit."""
    moved = [[scale * value + shift for value in values] for values in (before, after)]
    assert numbers(index(*moved, about="A")) == numbers(index(before, after, about="A"))


@pytest.mark.parametrize("index", ALL)
@given(before=phase, after=phase)
@laws
def test_lower_is_better_turns_the_scale(index, before, after):
    """Lower as better is higher as better of the negative."""
    turned = index([-value for value in before], [-value for value in after], about="A")
    assert numbers(index(before, after, about="A", better="lower")) == numbers(turned)


@pytest.mark.parametrize("index", ALL)
@given(before=phase, after=phase, at=st.integers(0, 8))
@laws
def test_missing_as_removed_and_wider_at_a_higher_level(index, before, after, at):
    """Missing observations are as if removed, counted, and a higher level is not narrower."""
    whole = index(before, after, about="A")
    gaps = index([*before[:at], np.nan, *before[at:]], [np.nan, *after], about="A")
    assert numbers(gaps) == numbers(whole)
    assert (gaps.n, gaps.dropped, whole.dropped) == (len(before) + len(after), 2, 0)
    wide = index(before, after, about="A", level=0.99).interval
    assert wide.low <= whole.interval.low <= whole.interval.high <= wide.high


@given(before=phase, after=phase, seed=st.integers(0, 9))
@laws
def test_order_counts_only_before_the_change(before, after, seed):
    """Order within a phase does not matter, save that of the first phase where its trend is taken off."""
    mixed = np.random.default_rng(seed).permutation
    assert numbers(nap(mixed(before), mixed(after), about="A")) == numbers(nap(before, after, about="A"))
    assert numbers(tau_trend_corrected(before, mixed(after), about="A")) == numbers(
        tau_trend_corrected(before, after, about="A")
    )


def test_flat_baseline_needs_no_correction():
    """Without a trend in the first phase the correction takes off nothing."""
    assert tau_trend_corrected([3, 3, 3], [2, 4, 5], about="A").value == tau([3, 3, 3], [2, 4, 5], about="A").value


def test_one_line_keeps_a_part_and_says_so():
    """Points on one line throughout: tau 1, corrected still 0.6, and the notes warn of it."""
    corrected = tau_trend_corrected([1, 2, 3, 4, 5], [6, 7, 8, 9, 10], about="A")
    assert tau([1, 2, 3, 4, 5], [6, 7, 8, 9, 10], about="A").value == 1
    assert corrected.value == pytest.approx(0.6, abs=1e-12)
    assert corrected.notes == (SEPARATION, PART_OF_THE_TREND)
    assert nap([1, 2], [3, 4], about="A").notes == (SEPARATION,)


def test_no_overlap_is_not_certainty():
    """Phases wholly apart still have an interval with some width, the wider the fewer observations."""
    few, many = (nap(range(k), range(k, 2 * k), about="A").interval for k in (3, 12))
    assert few.low < many.low < 1
    assert few.high == many.high == 1
    assert nap([5, 6, 7], [1, 2, 3], about="A").interval.low == 0


def test_all_level():
    """Observations that are all level give one half, an interval and no p."""
    flat = nap([4, 4, 4], [4, 4, 4], about="A")
    assert (flat.value, flat.p) == (0.5, None)
    assert flat.interval.low < 0.5 < flat.interval.high


def test_reach_of_the_corrected_tau():
    """Its interval is cut where it cannot go further: falling, then wholly above."""
    reach = tau_trend_corrected([3, 2, 1], [7, 8, 9], about="A")
    assert reach.value == reach.interval.high == pytest.approx(1 + 2 / 6, abs=1e-12)


@pytest.mark.parametrize("index", ALL)
def test_huge(index):
    """Half a million observations are no trouble."""
    rng = np.random.default_rng(1)
    found = index(rng.normal(size=250_000), rng.normal(size=250_000), about="A")
    assert found.interval.high - found.interval.low < 0.02


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: nap([1, 2], [3], about="A"), TooFewError,
         "nap: needs 2 observations in each phase. A, after the change, has 1."),
        (lambda: tau([1, np.nan], [3, 4], about="A"), TooFewError,
         "tau: needs 2 observations in each phase. A, before the change, has 1."),
        (lambda: tau_trend_corrected([1, 2], [], about="A"), TooFewError,
         "tau_trend_corrected: needs 2 observations in each phase. A, after the change, has 0."),
        (lambda: nap([1, 2], [3, np.inf], about="A"), ValueError,
         "nap: after must be finite numbers, or NaN where missing. Got an infinite one."),
        (lambda: nap([1, 2], [3, 4], about="A", better="up"), UnknownChoiceError,
         "nap: better must be one of 'higher', 'lower'. Got 'up'."),
        (lambda: tau([1, 2], [3, 4], about="A", level=95), ValueError,
         "tau: level must be between 0 and 1. Got 95."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What cannot be estimated is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
