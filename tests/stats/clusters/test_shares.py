"""Laws and messages of a share of students who come in choirs."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.clusters.shares import ALL_THE_SAME, share_clusters
from kit.stats.proportions.shares import share_exact

laws = settings(max_examples=40, deadline=None)
choirs = st.lists(st.lists(st.booleans(), min_size=1, max_size=12), min_size=2, max_size=8)


def laid_out(groups):
    """Give the students of all choirs, and their choirs."""
    return np.concatenate(groups), np.repeat(np.arange(len(groups)), [len(group) for group in groups])


def ends(estimate):
    """Give value and ends."""
    return [estimate.value, estimate.interval.low, estimate.interval.high]


@given(groups=choirs, levels=st.tuples(st.floats(0.5, 0.99), st.floats(0.5, 0.99)))
@laws
def test_it_mirrors_and_widens(groups, levels):
    """The share of the others is the mirror image, within 0 to 1, and a higher level is not narrower."""
    holds, codes = laid_out(groups)
    low, high = sorted(levels)
    inner, outer = (share_clusters(holds, codes, about="A", level=level) for level in (low, high))
    value, *limits = ends(share_clusters(~holds, codes, about="A", level=low))
    assert ends(inner) == pytest.approx([1 - value, 1 - limits[1], 1 - limits[0]], abs=1e-9)
    assert 0 <= outer.interval.low <= inner.interval.low + 1e-9
    assert inner.interval.high - 1e-9 <= outer.interval.high <= 1
    assert inner.interval.low <= inner.value <= inner.interval.high


@given(groups=choirs, seed=st.integers(0, 99))
@laws
def test_order_and_names_of_choirs_do_not_matter(groups, seed):
    """Shuffled students and renamed choirs give the same."""
    holds, codes = laid_out(groups)
    order = np.random.default_rng(seed).permutation(holds.size)
    names = np.array([f"choir {code}" for code in codes])
    assert ends(share_clusters(holds[order], names[order], about="A")) == pytest.approx(
        ends(share_clusters(holds, codes, about="A")), abs=1e-9
    )


@given(groups=choirs)
@laws
def test_choirs_never_make_it_narrower_than_independent_students(groups):
    """Whatever the choirs, the interval holds the exact one of independent students."""
    holds, codes = laid_out(groups)
    clustered, exact = share_clusters(holds, codes, about="A"), share_exact(int(holds.sum()), holds.size, about="A")
    assert clustered.interval.low <= exact.interval.low + 1e-9
    assert clustered.interval.high >= exact.interval.high - 1e-9


def test_everybody_or_nobody():
    """Where all choirs say the same, each counts once, and a sentence says so."""
    none = share_clusters([0] * 6, list("aabbcc"), about="A")
    assert (none.value, none.interval.low) == (0, 0)
    assert none.interval.high > share_exact(0, 6, about="A").interval.high
    assert none.notes == (ALL_THE_SAME,)


def test_a_million_students_take_no_time():
    """Ten to the six students in a thousand choirs are one pass."""
    holds = np.random.default_rng(1).random(10**6) < 0.3
    assert share_clusters(holds, np.arange(10**6) % 1000, about="A").clusters == 1000


@pytest.mark.parametrize(("error", "arguments", "message"), [
    (TooFewError, ([1, 0], ["a", "a"]), "share_clusters: needs 2 choirs. A has 1."),
    (TooFewError, ([], []), "share_clusters: needs 2 choirs. A has 0."),
    (ValueError, ([1, 0], ["a"]), "share_clusters: holds and clusters must list the same students. Got 2 and 1."),
])  # fmt: skip
def test_what_is_refused(error, arguments, message):
    """Each refusal says what is needed and what came."""
    with pytest.raises(error) as refused:
        share_clusters(*arguments, about="A")
    assert str(refused.value) == message
