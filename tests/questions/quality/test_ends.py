"""How far does the average gain hang on students at the top or the bottom."""

import numpy as np
import pytest

from kit.questions import quality
from kit.questions.quality.choirs import EACH_CHOIR_ONCE, NAMELESS
from kit.questions.quality.ends import NOBODY_THERE, NOT_GUARANTEED, TOP_NOT_KNOWN
from kit.stats.means import mean_gain
from tests.questions.worlds import choirs_of, named, pairs_of

PRE, POST = [0, 5, 8, 20, 12, 9, 0, 15], [4, 9, 8, 19, 20, 12, 0, 18]


def about(what):
    """Give a key of an estimate."""
    return "mean_gain", f"total, gain {what}"


def test_leaving_out_the_ends():
    """Who was at an end at either test is left out, counted, and the gain of the others is a mean gain."""
    found = named(quality.without_the_ends(pairs_of(PRE, POST)))
    assert found[about("of everybody")].value == mean_gain(PRE, POST, about="x", unit="points").value
    for end, at in (("top", [3, 4]), ("bottom", [0, 6])):
        rest = mean_gain(np.delete(PRE, at), np.delete(POST, at), about="x", unit="points")
        one = found[about(f"without students at the {end}")]
        assert (one.value, one.interval, one.n, one.dropped) == (rest.value, rest.interval, 6, 2)
        assert found["count", f"total, tested twice and at the {end}"].value == 2


def test_bounds():
    """At most: the largest gain of the others for who ended at the top or began at the bottom; at least: the smallest."""
    found = named(quality.without_the_ends(pairs_of(PRE, POST)))
    most, least = [4, 4, 0, -1, 8, 3, 4, 3], [4, 4, 0, -1, 8, 3, 0, 3]
    # others' gains: 4, 0, 3, 3; the gain of eight is already larger than four, that of minus one smaller than none
    assert found[about("at most")].value == pytest.approx(np.mean(most))
    assert found[about("at least")].value == pytest.approx(np.mean(least))
    assert NOT_GUARANTEED in found[about("at most")].notes


def test_bounds_hold_the_gain_between_them():
    """The gain of everybody is never outside the bounds."""
    rng = np.random.default_rng(7)
    for _ in range(20):
        pre, post = (rng.integers(0, 21, 15).astype(float) for _ in range(2))
        pre[0], post[1] = 20, 20
        found = named(quality.without_the_ends(pairs_of(list(pre), list(post))))
        assert found[about("at least")].value <= found[about("of everybody")].value <= found[about("at most")].value


def test_nobody_at_an_end():
    """Where nobody was at an end there is nothing to leave out and nothing to bound."""
    found = quality.without_the_ends(pairs_of([5, 6, 7], [8, 8, 9]))
    assert [one.about for one in found] == ["total, gain of everybody"]
    assert [one.why for one in found.left_out] == [NOBODY_THERE, NOBODY_THERE]


def test_an_unknown_top():
    """Without the most points nobody is known to be at the top; the bottom is known."""
    found = quality.without_the_ends(pairs_of(PRE, POST, most=None))
    assert about("without students at the bottom") in named(found)
    assert [(one.about, one.why) for one in found.left_out] == [
        ("total, gain without students at the top", TOP_NOT_KNOWN),
    ]  # fmt: skip


def test_everybody_at_an_end():
    """All at the top: without them too few are left, and nobody else tells what their gain may have been."""
    found = quality.without_the_ends(pairs_of([20] * 5, [20] * 5))
    assert [one.about for one in found] == ["total, gain of everybody", "total, tested twice and at the top"]
    assert len(found.left_out) == 2


def test_each_choir_counts_once():
    """With several choirs the gains are those of choirs, and who names no choir is told."""
    pairs = choirs_of(("Bass", "", PRE, POST), ("Treble", "", POST, PRE), ("", "", [5], [9]))
    one = named(quality.without_the_ends(pairs))[about("without students at the top")]
    kept = [at for at in range(8) if at not in (3, 4)]
    gain = np.subtract(POST, PRE)[kept].mean()
    assert one.value == pytest.approx((gain - gain) / 2, abs=1e-12)
    assert (one.n, one.counted, one.clusters) == (2, "choirs", 2)
    assert {EACH_CHOIR_ONCE.format(number=2), NAMELESS.format(number=1)} <= set(one.notes)
