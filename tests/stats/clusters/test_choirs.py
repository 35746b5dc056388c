"""Laws, edges and messages of likeness inside choirs and of the difference of choir averages."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pingouin
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.clusters.choirs import (
    NO_SPREAD,
    NO_SPREAD_OF_CHOIRS,
    cluster_mean_difference,
    design_effect,
    icc_clusters,
)
from kit.stats.means import mean_difference
from tests.stats.clusters.test_robust import ends, world

laws = settings(max_examples=25, deadline=None)


def difference(y, g, program, **options):
    """Ask with the usual words."""
    return cluster_mean_difference(y, g, program, about="A", unit="points", **options)


@pytest.mark.filterwarnings("ignore::FutureWarning", "ignore::DeprecationWarning")  # pingouin's use of pandas
@given(seed=st.integers(0, 10_000))
@settings(max_examples=10, deadline=None)
def test_equal_choirs_equal_pingouin(seed):
    """The library pingouin gives the same one-way correlation and ends, to its two printed decimals."""
    rng = np.random.default_rng(seed)
    scores = rng.normal(size=(6, 5)) + rng.normal(size=(6, 1))
    table = pd.DataFrame({"choir": np.repeat(range(6), 5), "seat": np.tile(range(5), 6), "score": scores.ravel()})
    theirs = pingouin.intraclass_corr(table, targets="choir", raters="seat", ratings="score").iloc[0]
    found = icc_clusters(scores.ravel(), table["choir"], about="A")
    low_high = next(theirs[name] for name in ("CI95%", "CI95") if name in theirs)
    assert found.value == pytest.approx(theirs["ICC"], abs=1e-6)
    assert [found.interval.low, found.interval.high] == pytest.approx(list(low_high), abs=0.0051)


@given(seed=st.integers(0, 10_000), shift=st.floats(-9, 9), scale=st.floats(0.1, 9))
@laws
def test_likeness_has_no_unit(seed, shift, scale):
    """Shift, scale, order and names of choirs do not matter; a higher level is not narrower."""
    y, g, _, _ = world(seed)
    order = np.random.default_rng(seed).permutation(y.size)
    one = icc_clusters(y, g, about="A")
    other = icc_clusters((shift + scale * y)[order], np.char.add("c", g.astype(str))[order], about="A")
    assert ends(other) == pytest.approx(ends(one), abs=1e-7)
    wide = icc_clusters(y, g, about="A", level=0.99).interval
    assert wide.low <= one.interval.low
    assert one.interval.high <= wide.high


def test_likeness_within_approaches_forgets_how_far_they_lie_apart():
    """Moving one approach as a whole changes nothing within approaches."""
    y, g, program, _ = world(3)
    one = icc_clusters(y, g, arms=program, about="A")
    assert ends(icc_clusters(y + 9 * program, g, arms=program, about="A")) == pytest.approx(ends(one), abs=1e-9)


def test_missing_scores_are_left_out_and_counted():
    """A missing score is as if the student were not there."""
    y, g, program, pre = world(6)
    kept = np.arange(y.size) != 2
    holed = np.where(kept, y, np.nan)
    for statistic, more in ((icc_clusters, {}), (design_effect, {})):
        found = statistic(holed, g, about="A", **more)
        assert ends(found) == pytest.approx(ends(statistic(y[kept], g[kept], about="A")))
        assert found.dropped == 1
    found = difference(holed, g, program, pretest=pre)
    assert ends(found) == pytest.approx(ends(difference(y[kept], g[kept], program[kept], pretest=pre[kept])))
    assert found.dropped == 1


@given(seed=st.integers(0, 10_000))
@laws
def test_choir_averages_are_students_t(seed):
    """Without a first score it is the difference of two groups of averages."""
    y, g, program, _ = world(seed)
    means = np.array([y[g == choir].mean() for choir in range(8)])
    theirs = mean_difference(means[1::2], means[::2], about="A", unit="points")
    found = difference(y, g, program)
    assert ends(found) == pytest.approx(ends(theirs), rel=1e-7, abs=1e-9)
    assert (found.df, found.p) == pytest.approx((theirs.df, theirs.p), rel=1e-7)
    assert (found.n, found.clusters) == (y.size, 8)


def test_no_spread():
    """All alike inside, and averages without spread, give a value and say why there is no interval."""
    g = np.repeat(range(4), 3)
    assert icc_clusters(g, g, about="A").notes == (NO_SPREAD,)
    assert design_effect(g, g, about="A").value == 3
    found = difference(np.repeat([1.0, 1.0, 3.0, 3.0], 3), g, g >= 2)
    assert found.value == pytest.approx(2)
    assert found.notes == (NO_SPREAD_OF_CHOIRS,)


Y, G = [1.0, 2.0, 3.0, 5.0], ["a", "a", "b", "b"]


@pytest.mark.parametrize(("error", "ask", "message"), [
    (TooFewError, lambda: icc_clusters(Y, ["a"] * 4, about="A"),
     "icc_clusters: needs 2 choirs in each approach. A has 1."),
    (TooFewError, lambda: icc_clusters(Y, list("abcd"), about="A"),
     "icc_clusters: needs 2 students in a choir. A has 1."),
    (TooFewError, lambda: icc_clusters([1] * 4, G, about="A"),
     "icc_clusters: needs scores that differ. A has one score only."),
    (TooFewError, lambda: icc_clusters([], [], about="A"), "icc_clusters: needs 2 choirs in each approach. A has 0."),
    (ValueError, lambda: icc_clusters([1, np.inf, 2, 3], G, about="A"),
     "icc_clusters: scores, clusters and arms must list the same students, in finite numbers."),
    (TooFewError, lambda: difference(Y, G, [0, 0, 1, 1]),
     "cluster_mean_difference: needs 2 choirs in each approach. A has 1."),
    (ValueError, lambda: difference(Y, G, [0, 1, 1, 1]),
     "cluster_mean_difference: program must be the same for all students of a choir."),
    (ValueError, lambda: difference(Y, G[:3], [0, 1, 1, 1]),
     "cluster_mean_difference: outcome, clusters and program must list the same students, in finite numbers."),
])  # fmt: skip
def test_what_is_refused(error, ask, message):
    """Each refusal says what is needed and what came."""
    with pytest.raises(error) as refused:
        ask()
    assert str(refused.value) == message


@given(seed=st.integers(0, 10_000), shift=st.floats(-30, 30))
@laws
def test_what_sets_blocks_apart_is_no_part_of_it(seed, shift):
    """Held apart, a block whose scores all lie higher changes nothing; not held apart, it does unless shares are equal."""
    y, g, program, pre = world(seed)
    blocks = np.where(g < 3, "one", "other")
    before, after = (difference(y + moved, g, program, blocks=blocks) for moved in (0, shift * (g < 3)))
    assert ends(after) == pytest.approx(ends(before), rel=1e-7, abs=1e-7)
    assert (after.df, after.p) == (before.df, pytest.approx(before.p, rel=1e-5))
    assert before.df == 8 - 3
    with_first = difference(y, g, program, pretest=pre, blocks=blocks)
    assert with_first.df == 8 - 4


def test_one_block_is_none():
    """A single block, and one whose students all have a missing number, change nothing."""
    y, g, program, _ = world(3)
    plain = difference(y, g, program)
    assert ends(difference(y, g, program, blocks=["a"] * g.size)) == pytest.approx(ends(plain))
    lost = np.where(g == 0, np.nan, y)
    without = difference(lost, g, program, blocks=np.where(g == 0, "a", "b"))
    assert ends(without) == pytest.approx(ends(difference(lost, g, program)))
    assert without.df == 7 - 2


@pytest.mark.parametrize(("error", "blocks", "message"), [
    (ValueError, lambda g: g[1:] < 3, "cluster_mean_difference: blocks must list the same students."),
    (ValueError, lambda g: np.arange(g.size) % 3,
     "cluster_mean_difference: blocks must be the same for all students of a choir."),
    (TooFewError, lambda g: g % 2, "cluster_mean_difference: needs a block with both approaches. A has none."),
    (TooFewError, lambda g: g, "cluster_mean_difference: needs 10 choirs. A has 8."),
])  # fmt: skip
def test_blocks_that_are_refused(error, blocks, message):
    """Each refusal says what is needed."""
    y, g, program, _ = world(3)
    with pytest.raises(error) as refused:
        difference(y, g, program, blocks=blocks(g))
    assert str(refused.value) == message


@pytest.mark.parametrize("nobody", [None, np.nan])
def test_students_without_a_choir_are_no_choir(nobody):
    """A student whose choir is not known is left out and counted, by all three."""
    y, g, program, _ = world(2)
    named = np.array([f"choir {one}" for one in g], dtype=object)
    named[[0, 7]] = nobody
    kept = ~np.isin(np.arange(y.size), (0, 7))
    likeness = icc_clusters(y, named, about="A"), icc_clusters(y[kept], g[kept], about="A")
    cost = design_effect(y, named, about="A"), design_effect(y[kept], g[kept], about="A")
    options = {"about": "A", "unit": "points"}
    apart = [
        cluster_mean_difference(y, named, program, blocks=np.where(g < 4, "North", "South"), **options),
        cluster_mean_difference(y[kept], g[kept], program[kept], blocks=g[kept] < 4, **options),
    ]
    for one, other in (likeness, cost, apart):
        assert (one.value, one.dropped, one.clusters) == (pytest.approx(other.value), 2, other.clusters)
