"""Percentile ranks on two forms: published equivalents, gaps, mirror images and resamples."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import UnknownChoiceError
from kit.stats.equating.equipercentile import equipercentile_forms

laws = settings(max_examples=50, deadline=None)
scores = st.lists(st.integers(0, 12), min_size=2, max_size=20)


def forms(x, y, design="random groups", draws=100, x_first=None):
    """Count whole points on two forms."""
    return equipercentile_forms("equate_equipercentile", x, y, design=design, x_first=x_first, about="A", draws=draws)


def equated(x, y, at=None):
    """Give the equivalents of the scores on form X."""
    whole = forms(x, y)
    return whole.equated(whole.x if at is None else np.array(at, dtype=float), *whole.shares(list(whole.counts)))


def test_published_five_points():
    """Kolen & Brennan (2004), chapter 2, tables 2.3 and 2.4 (from memory, recomputed in R 4.2.2)."""
    x, y = np.repeat(range(5), [2, 3, 2, 2, 1]), np.repeat(range(5), [1, 2, 2, 3, 2])
    assert equated(x, y) == pytest.approx([0.5, 1.75, 2.8333, 3.5, 4.25], abs=6e-5)


@given(x=scores)
@laws
def test_a_form_with_itself_changes_nothing_and_shifts_pass(x):
    """A form equated with itself keeps every score that someone has; one 3 points easier moves it by 3."""
    held = sorted(set(x))
    assert equated(x, x, held) == pytest.approx(held, abs=1e-9)
    assert equated(x, [value + 3 for value in x], held) == pytest.approx([value + 3 for value in held], abs=1e-9)


@given(x=scores, y=scores)
@laws
def test_mirror_and_order(x, y):
    """Turning both scales round turns the equivalents round; higher scores are never worth less."""
    there = equated(x, y)
    turned = equated([-value for value in x], [-value for value in y])
    assert there == pytest.approx(-turned[::-1], abs=1e-9)
    assert (np.diff(there) >= -1e-9).all()
    assert min(y) - 0.5 <= there[0] <= there[-1] <= max(y) + 0.5


def test_middle_of_a_gap():
    """Where nobody has the score at that rank, the middle of the gap is taken: half of X below, Y at 0 and 10."""
    assert equated([1, 1, 2, 3, 3], [0, 0, 10, 10], at=[2.0]) == pytest.approx([5.0])


def test_both_orders_count_half():
    """Counterbalanced, each order counts half whatever its size."""
    x_first = [1, 1, 0, 0, 0, 0]
    whole = forms([0, 0, 1, 1, 1, 1], [1, 1, 0, 0, 0, 0], design="counterbalanced", x_first=x_first)
    of_x, of_y = whole.shares(list(whole.counts))
    assert of_x == pytest.approx([0.5, 0.5])
    assert of_y == pytest.approx([0.5, 0.5])


def test_resamples_redraw_within_groups():
    """Resampled shares add up to 1, average the observed ones, and scatter as counts out of n do."""
    x, y = np.repeat([0, 1, 2], [10, 20, 10]), np.repeat([1, 2], [30, 50])
    whole = forms(x, y)
    of_x, of_y = whole.resampled(np.random.default_rng(1), 20_000)
    assert of_x.sum(axis=1) == pytest.approx(1)
    assert of_x.mean(axis=0) == pytest.approx([0.25, 0.5, 0.25], abs=0.003)
    assert of_y.std(axis=0) == pytest.approx([(30 / 80 * 50 / 80 / 80) ** 0.5] * 2, rel=0.03)


def test_single_group_keeps_pairs_together():
    """Students redrawn bring both of their scores: equal scores on both forms stay equal in every resample."""
    whole = forms([0, 1, 2, 2], [0, 1, 2, 2], design="single group")
    of_x, of_y = whole.resampled(np.random.default_rng(1), 100)
    assert (of_x == of_y).all()


def test_huge():
    """A million students are no trouble."""
    points = np.random.default_rng(1).integers(0, 41, (2, 10**6))
    assert equated(*points)[20] == pytest.approx(20, abs=0.1)
    assert forms(*points).resampled(np.random.default_rng(1), 1000)[0].shape == (1000, 41)


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: forms([1, 2.5], [1, 2]), ValueError,
         "equate_equipercentile: scores must be whole points. Got 2.5. Where half points are given, double all "
         "scores."),
        (lambda: forms([1, 20_000], [1, 2]), ValueError,
         "equate_equipercentile: scores of a form must lie within 10000 points. Got 19999.0."),
        (lambda: forms([1, 2], [1, 2], draws=10), ValueError,
         "equate_equipercentile: draws must be at least 100. Got 10."),
        (lambda: forms([1, 2], [1, 2], design="anchor"), UnknownChoiceError,
         "equate_equipercentile: design must be one of 'single group', 'random groups', 'counterbalanced'. "
         "Got 'anchor'."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What cannot be counted is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
