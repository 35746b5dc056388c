"""Targets of a grant: promised beside reached, and whether that settles it."""

import pytest

from kit.questions.answers import LeftOut
from kit.questions.targets import Target, targets
from kit.stats.clusters.shares import share_clusters
from kit.stats.proportions.shares import share_wilson
from tests.questions.worlds import choirs_of, pairs_of


def asked(pairs, **options):
    """Ask one target."""
    target = Target(says="promise", **({"students": 0.7, "reach": 0.8} | options))
    return targets(lambda _: pairs, [target])[0]


def test_one_choir_is_a_plain_share():
    """In one choir the interval is Wilson's, of all students with a second mark."""
    found = asked(pairs_of([1] * 20, [16] * 10 + [15] * 9 + [None]))
    expected = share_wilson(10, 19, about="promise")
    assert found.actual == expected
    assert found.met == "too close to call"


def test_several_choirs_are_the_units():
    """With several choirs the interval knows of them."""
    pairs = choirs_of(("A", "x", [1] * 10, [16] * 9 + [2]), ("B", "y", [1] * 10, [16] * 2 + [2] * 8))
    found = asked(pairs)
    holds = [True] * 9 + [False] + [True] * 2 + [False] * 8
    assert found.actual == share_clusters(holds, ["A"] * 10 + ["B"] * 10, about="promise")
    assert found.met == "too close to call"


@pytest.mark.parametrize(("promised", "met"), [(0.3, "met"), (0.85, "too close to call"), (0.99, "not met")])
def test_the_interval_decides(promised, met):
    """Met above the whole interval, not met below it, else open."""
    assert asked(pairs_of([1] * 40, [20] * 34 + [3] * 6), students=promised).met == met


def test_exactly_the_mark_counts():
    """19.2 of 24 points are 80 percent, whatever the last bit of a division says."""
    assert asked(pairs_of([1] * 4, [19.2] * 4, most=24)).actual.value == 1


def test_one_approach_only_and_the_first_test():
    """A target may name an approach and the first test."""
    pairs = choirs_of(("A", "ear", [18, 2, 18], [1, 1, 1]), ("B", "page", [1, 1, 1], [20, 20, 20]))
    found = asked(pairs, approach="ear", test="first")
    assert (found.actual.value, found.actual.n) == (pytest.approx(2 / 3), 3)


def test_nobody_to_count():
    """Without a mark there is no share; the reason is told."""
    found = asked(pairs_of([1, 2], [None, None]))
    assert found.met == "not measured"
    assert isinstance(found.actual, LeftOut)
    assert found.actual.why == "share_wilson: needs 1 students. promise has 0." or found.actual.why.startswith(
        "The share"
    )
