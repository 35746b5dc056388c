"""The smallest p that a permutation of choirs can reach."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import permutation_test

from kit.errors import TooFewError
from kit.stats.power.permutation import COUNTED_ARRANGEMENTS, smallest_permutation_p


@pytest.mark.parametrize(("program", "comparison"), [(2, 2), (3, 3), (4, 4), (2, 6), (3, 4)])
def test_scipy_gets_no_lower(program, comparison):
    """An exact permutation test of scipy on groups as far apart as can be gives exactly this p."""
    groups = (1000 + np.sqrt(np.arange(program)), np.log1p(np.arange(comparison)))
    found = permutation_test(groups, lambda x, y, axis: abs(x.mean(axis) - y.mean(axis)), vectorized=True,
                             alternative="greater", n_resamples=np.inf)  # fmt: skip
    assert smallest_permutation_p([(program, comparison)], about="A").value == pytest.approx(found.pvalue, rel=1e-12)


@pytest.mark.parametrize("pairs", [2, 5, 6])
def test_scipy_gets_no_lower_with_pairs(pairs):
    """An exact sign-flipping test of scipy on gains that all point one way gives exactly this p."""
    gains = 3.0 ** np.arange(pairs)
    found = permutation_test((gains,), lambda x, axis: abs(x.mean(axis)), vectorized=True, alternative="greater",
                             permutation_type="samples", n_resamples=np.inf)  # fmt: skip
    assert smallest_permutation_p([(1, 1)] * pairs, about="A").value == pytest.approx(found.pvalue, rel=1e-12)


@given(st.lists(st.integers(0, 2), min_size=2, max_size=4).filter(any))
@settings(max_examples=25, deadline=None)
def test_starting_dates_are_counted(dates):
    """With several starting dates it is one over the number of different orders, listed one by one."""
    order = [date for date, choirs in enumerate(dates) for _ in range(choirs)]
    different = len(set(itertools.permutations(order)))
    mirrored = 2 if len(dates) == 2 and dates[0] == dates[1] else 1
    assert smallest_permutation_p([dates], about="A").value == pytest.approx(min(1, mirrored / different), rel=1e-12)


@given(st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6)), min_size=1, max_size=4))
@settings(max_examples=50, deadline=None)
def test_laws(schools):
    """Swapping approaches or schools changes nothing, and assigning across schools reaches at least as far."""
    if not any(map(sum, schools)):
        return
    plain = smallest_permutation_p(schools, about="A").value
    assert 0 < plain <= 1
    assert smallest_permutation_p([(b, a) for a, b in schools], about="A").value == pytest.approx(plain, rel=1e-12)
    assert smallest_permutation_p(schools[::-1], about="A").value == pytest.approx(plain, rel=1e-12)
    together = [tuple(map(sum, zip(*schools, strict=True)))]
    assert smallest_permutation_p(together, about="A").value <= 2 * plain * (1 + 1e-12)


def test_one_way_to_assign_is_one():
    """Where choirs could be assigned in one way only, nothing can be surprising."""
    assert smallest_permutation_p([(1, 1)], about="A").value == 1
    assert smallest_permutation_p([(3, 0)], about="A").value == 1


def test_a_million_choirs_are_bounded():
    """A huge plan is answered at once; its p is too small for a number and is zero."""
    assert smallest_permutation_p([(500_000, 500_000)], about="A").value == 0


def test_parts():
    """It counts choirs, and says why it has no interval."""
    found = smallest_permutation_p([(2, 2), (1, 3)], about="A")
    assert (found.n, found.clusters, found.counted, found.unit) == (8, 8, "choirs", "share")
    assert (found.interval, found.notes) == (None, (COUNTED_ARRANGEMENTS,))


@pytest.mark.parametrize(
    ("schools", "error", "message"),
    [
        ([], TooFewError, "smallest_permutation_p: needs 1 choir. A has 0."),
        ([(0, 0)], TooFewError, "smallest_permutation_p: needs 1 choir. A has 0."),
        ([(4,)], TooFewError, "smallest_permutation_p: needs 2 approaches. A has 1."),
        (
            [(2, -1)],
            ValueError,
            "smallest_permutation_p: schools must hold whole numbers from 0. Got [(2, -1)].",
        ),
        (
            [(2, 1.5)],
            ValueError,
            "smallest_permutation_p: schools must hold whole numbers from 0. Got [(2, 1.5)].",
        ),
        (
            [(2, 1), (1, 1, 1)],
            ValueError,
            "smallest_permutation_p: schools must list the same approaches. Got [(2, 1), (1, 1, 1)].",
        ),
    ],
)
def test_messages(schools, error, message):
    """Plans that cannot be are refused with a sentence."""
    with pytest.raises(error) as caught:
        smallest_permutation_p(schools, about="A")
    assert str(caught.value) == message
