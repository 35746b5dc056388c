"""Laws, messages and edges of the average difference between two forms."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.equating.forms import (
    NO_DRAWS,
    NO_SPREAD,
    ROUGH,
    SAME_IN_ALL,
    equate_equipercentile,
    equate_linear,
    equate_mean,
)
from kit.stats.equating.tables import equipercentile_conversion
from kit.stats.means import mean_difference_welch, mean_gain

laws = settings(max_examples=25, deadline=None)
SAME = {"about": "A", "unit": "points"}
pairs = st.lists(st.tuples(st.integers(0, 20), st.integers(0, 20)), min_size=6, max_size=20).filter(
    lambda rows: len({x for x, _ in rows}) > 1 and len({y for _, y in rows}) > 1 and len({y - x for x, y in rows}) > 1
)
EQUATE = [equate_mean, equate_linear]


def numbers(estimate):
    """Give value, ends, degrees of freedom and p."""
    return [estimate.value, estimate.interval.low, estimate.interval.high, estimate.df, estimate.p]


def classes(n=60, seed=1):
    """Make whole points of n students on two forms."""
    rng = np.random.default_rng(seed)
    skill = rng.normal(12, 3, n)
    return np.rint(skill + rng.normal(0, 1, n)), np.rint(skill + 2 + rng.normal(0, 1, n))


@pytest.mark.parametrize("equate", EQUATE)
@given(rows=pairs, level=st.floats(0.5, 0.99))
@laws
def test_single_and_random_groups_are_the_classic_tests(equate, rows, level):
    """One group is Student's t on the differences, two groups drawn by lot are Welch's t."""
    x, y = np.array(rows, dtype=float).T
    paired = equate(x, y, design="single group", level=level, **SAME)
    assert numbers(paired) == pytest.approx(numbers(mean_gain(x, y, level=level, **SAME)), rel=1e-7, abs=1e-9)
    apart = equate(x, y, design="random groups", level=level, **SAME)
    theirs = mean_difference_welch(y, x, level=level, **SAME)
    assert numbers(apart) == pytest.approx(numbers(theirs), rel=1e-7, abs=1e-9)
    assert (paired.n, apart.n) == (len(rows), 2 * len(rows))


@pytest.mark.parametrize("equate", EQUATE)
@given(rows=pairs, shift=st.integers(-30, 30), scale=st.integers(1, 5))
@laws
def test_shift_scale_swap_and_missing(equate, rows, shift, scale):
    """Points given away on Y pass through, a unit scales, swapping the forms turns the sign, gaps are as if removed."""
    x, y = np.array(rows, dtype=float).T
    first = np.arange(len(rows)) % 2 == 0
    plain = equate(x, y, design="counterbalanced", x_first=first, **SAME)
    moved = equate(scale * x, scale * y + shift, design="counterbalanced", x_first=first, **SAME)
    assert moved.value == pytest.approx(scale * plain.value + shift, abs=1e-9)
    assert equate(y, x, design="counterbalanced", x_first=~first, **SAME).value == pytest.approx(-plain.value, abs=1e-9)
    gaps = equate([*x, np.nan], [*y, 5], design="counterbalanced", x_first=[*first, True], **SAME)
    assert (gaps.value, gaps.dropped, gaps.n) == (plain.value, 1, len(rows))
    wide = equate(x, y, design="counterbalanced", x_first=first, level=0.99, **SAME)
    if plain.interval:
        assert wide.interval.low <= plain.interval.low <= plain.interval.high <= wide.interval.high


def test_equal_anchors_are_random_groups():
    """If both groups did equally well on the items in common, Tucker's difference is the plain one."""
    x, y = classes()
    anchor = np.arange(60) % 7
    tucker = equate_mean(x, y, design="anchor", anchors=(anchor, anchor), **SAME)
    assert tucker.value == pytest.approx(y.mean() - x.mean(), abs=1e-12)


def test_anchor_takes_off_what_the_groups_differ_by():
    """A stronger group on X does not make X look easy when the items in common show that it is stronger."""
    rng = np.random.default_rng(4)
    strong, weak = rng.normal(15, 3, 5000), rng.normal(12, 3, 5000)
    tucker = equate_mean(strong, weak + 1, design="anchor", anchors=(strong, weak), **SAME)
    assert tucker.value == pytest.approx(1, abs=1e-9)
    assert equate_mean(strong, weak + 1, design="random groups", **SAME).value < -1.5


def test_equipercentile_is_the_mean_of_its_table():
    """The average move is that of the table, weighted by those who took X; the interval holds it and is reproducible."""
    x, y = classes(200)
    found = equate_equipercentile(x, y, design="random groups", rng=np.random.default_rng(1), **SAME)
    table = equipercentile_conversion(x, y, design="random groups", about="A")
    assert found.value == pytest.approx((table.convert(x) - x).mean(), abs=1e-12)
    assert found.interval.low < found.value < found.interval.high
    assert found == equate_equipercentile(x, y, design="random groups", rng=np.random.default_rng(1), **SAME)
    assert found.notes == ()


@pytest.mark.parametrize("design", ["single group", "random groups", "counterbalanced"])
def test_equipercentile_interval_is_near_the_classic_one(design):
    """Where forms differ by a constant the percentile bootstrap comes near Student's or Welch's t."""
    x, y = classes(300, seed=2)
    options = {"design": design, "x_first": np.arange(300) % 2 == 0 if design == "counterbalanced" else None, **SAME}
    ours = equate_equipercentile(x, y, rng=np.random.default_rng(3), **options).interval
    plain = equate_mean(x, y, **options).interval
    assert [ours.low, ours.high] == pytest.approx([plain.low, plain.high], abs=0.1)
    wide = equate_equipercentile(x, y, rng=np.random.default_rng(3), level=0.99, **options).interval
    assert wide.low < ours.low < ours.high < wide.high


def test_notes():
    """Without draws, with few students, or without any spread, a note says so."""
    x, y = classes(20)
    assert equate_equipercentile(x, y, design="single group", **SAME).notes == (NO_DRAWS, ROUGH)
    same = equate_equipercentile([5, 5], [7, 7], design="single group", rng=np.random.default_rng(1), **SAME)
    assert (same.value, same.interval, same.notes) == (2, None, (SAME_IN_ALL, ROUGH))
    level = equate_mean(x, x + 0.1, design="single group", **SAME)
    assert (level.interval, level.p, level.df, level.notes) == (None, None, None, (NO_SPREAD,))
    assert level.value == pytest.approx(0.1, abs=1e-12)


@pytest.mark.parametrize("equate", EQUATE)
def test_perfect_correlation_still_has_the_right_error(equate):
    """If Y is X doubled, the difference varies as X does."""
    x = np.arange(10.0)
    found = equate(x, 2 * x, design="single group", **SAME)
    assert numbers(found) == pytest.approx(numbers(mean_gain(x, 2 * x, **SAME)), rel=1e-9)


@pytest.mark.parametrize("equate", [equate_mean, equate_linear, equate_equipercentile])
def test_huge(equate):
    """A million students are no trouble."""
    points = np.random.default_rng(1).integers(0, 41, (2, 10**6))
    options = {"rng": np.random.default_rng(1), "draws": 100} if equate is equate_equipercentile else {}
    assert abs(equate(*points, design="random groups", **options, **SAME).value) < 0.1


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: equate_mean([1], [2], design="single group", **SAME), TooFewError,
         "equate_mean: needs 2 students with complete scores. A, the smallest group, has 1."),
        (lambda: equate_mean([1, 2], [2, 3], design="anchor", anchors=([1, 1], [1, 2]), **SAME), TooFewError,
         "equate_mean: needs scores on the items in common that differ. A has none that do."),
        (lambda: equate_linear([1, 1], [2, 3], design="single group", **SAME), TooFewError,
         "equate_linear: needs scores on form X that differ. A has none that do."),
        (lambda: equate_linear([1, 2], [2, 3], design="single group", level=0, **SAME), ValueError,
         "equate_linear: level must be between 0 and 1. Got 0."),
        (lambda: equate_equipercentile([1, 2], [2, 3.5], design="single group", **SAME), ValueError,
         "equate_equipercentile: scores must be whole points. Got 3.5. Where half points are given, double all "
         "scores."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What cannot be equated is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
