"""Laws, messages and cross-checks of an original study beside its replication."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.studies.heterogeneity import heterogeneity_q
from kit.stats.studies.replicating import replication_difference, replication_prediction, replication_q, usable

laws = settings(max_examples=40, deadline=None)
effect, error = st.floats(-3, 3), st.floats(0.05, 1)


@given(original=effect, original_error=error, replication=effect, replication_error=error, level=st.floats(0.5, 0.99))
@laws
def test_prediction_difference_and_q_say_the_same(original, original_error, replication, replication_error, level):
    """Inside the prediction interval, the difference's interval holding zero, and p above 1 - level are one thing."""
    pair = (original, original_error, replication, replication_error)
    ahead = replication_prediction(original, original_error, replication_error, level=level, about="A", unit="SD")
    apart = replication_difference(*pair, level=level, about="A", unit="SD")
    test = replication_q(*pair, about="A")
    inside = ahead.interval.low <= replication <= ahead.interval.high
    assert inside == (apart.interval.low <= 0 <= apart.interval.high) == (test.p >= 1 - level)
    assert apart.p == pytest.approx(test.p, abs=1e-12)
    assert test.value == pytest.approx(heterogeneity_q(pair[::2], pair[1::2], about="A").value, abs=1e-9)


@given(original=effect, original_error=error, replication=effect, replication_error=error)
@laws
def test_swap_and_scale(original, original_error, replication, replication_error):
    """Swapping the studies turns the difference and leaves Q; a new unit stretches the one and leaves the other."""
    pair = np.array([original, original_error, replication, replication_error])
    there, back = (replication_difference(*x, about="A", unit="SD") for x in (pair, pair[[2, 3, 0, 1]]))
    assert (back.value, back.interval.low) == pytest.approx((-there.value, -there.interval.high))
    wide = replication_difference(*(3 * pair), about="A", unit="SD")
    assert (wide.value, wide.interval.high, wide.p) == pytest.approx(
        (3 * there.value, 3 * there.interval.high, there.p)
    )
    assert replication_q(*pair[[2, 3, 0, 1]], about="A").value == pytest.approx(replication_q(*pair, about="A").value)


def test_scatter_of_true_effects_widens_the_prediction():
    """With true effects that scatter by tau the variance grows by twice its square."""
    ahead = replication_prediction(0.5, 0.3, 0.4, between=0.2, about="A", unit="SD")
    assert ahead.interval.high - 0.5 == pytest.approx(1.959964 * math.sqrt(0.09 + 0.16 + 0.08), abs=1e-6)
    assert (ahead.n, ahead.counted) == (2, "studies")


@pytest.mark.slow
def test_prediction_covers_as_often_as_it_says():
    """Where both studies measure one effect, 95 of 100 replications lie within the interval."""
    rng = np.random.default_rng(12)
    draws = rng.normal(0.4, [[0.3], [0.2]], size=(2, 4000))
    ahead = [replication_prediction(first, 0.3, 0.2, about="A", unit="SD").interval for first in draws[0]]
    inside = [interval.low <= again <= interval.high for interval, again in zip(ahead, draws[1], strict=True)]
    assert np.mean(inside) == pytest.approx(0.95, abs=4 * math.sqrt(0.95 * 0.05 / 4000))


def test_refusals_are_said_in_full():
    """A missing, infinite or impossible number is refused."""
    with pytest.raises(TooFewError) as few:
        replication_q(0.5, math.nan, 0.2, 0.2, about="Original and ours")
    assert str(few.value) == "replication_q: needs each effect with its standard error. Original and ours lacks one."
    with pytest.raises(ValueError, match=r"^replication_difference: errors must be above zero. Got 0.$"):
        replication_difference(0.5, 0.1, 0.2, 0, about="A", unit="SD")
    with pytest.raises(ValueError, match=r"^f: effects and errors must be finite. Got \(inf,\) and \(0.1,\).$"):
        usable("f", "A", effects=(math.inf,), errors=(0.1,))
    with pytest.raises(ValueError, match=r"^replication_prediction: between must be a number from zero on. Got -1.$"):
        replication_prediction(0.5, 0.1, 0.2, between=-1, about="A", unit="SD")
    with pytest.raises(ValueError, match=r"^replication_prediction: level must be between 0 and 1. Got 95.$"):
        replication_prediction(0.5, 0.1, 0.2, level=95, about="A", unit="SD")
