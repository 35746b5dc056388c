"""A repeated study: the original beside ours, as it was published and knowing of choirs."""

from dataclasses import replace

import numpy as np
import pytest

from kit.estimate import Estimate, Interval
from kit.questions.answers import LeftOut
from kit.questions.compared import between
from kit.questions.replication.compare import compare
from kit.questions.replication.original import Original
from kit.questions.replication.originals import original_effect, original_size
from kit.questions.replication.ours import ours_of_gains, ours_of_groups
from kit.questions.replication.repeated import AS_PUBLISHED, BY_HAND, KNOWING_CHOIRS, NO_CHOIRS, NO_GROUPS, repeat
from tests.questions.worlds import choirs_of, pairs_of

GROUPS = Original(
    study="Early", design="two_groups", n=(38, 38), direction="higher", means=("14.2", "11.9"), sds=("5.9", "6.1"),
    t="1.67", df="74", p=".099",
)  # fmt: skip
GAIN = Original(study="Early", design="one_group", n=(30,), direction="higher", means=("10.1", "13.0"),
                sds=("4.2", "4.4"), t="5.10")  # fmt: skip
PRE = [5, 6, 7, 8, 9, 10]
PAIRS = choirs_of(("A", "ear", PRE, [12, 13, 15, 14, 16, 18]), ("B", "page", PRE, [9, 12, 11, 14, 13, 15]))
AWARE = Estimate(
    about="aware", name="hedges_g", value=0.4, unit="SD", n=12, source="student-1908", df=4.0,
    interval=Interval(low=-0.2, high=1.0, level=0.95, method="t", source="student-1908"),
)  # fmt: skip


def test_without_an_original_there_is_nothing():
    """No original, no comparison."""
    assert repeat(None, PAIRS, knowing_choirs=None) is None


def test_two_groups_as_published():
    """As published equals the comparison of students taken as independent."""
    compared = between(PAIRS)
    found = repeat(GROUPS, compared, knowing_choirs=None, rule="prediction")
    ours = ours_of_groups([12, 13, 15, 14, 16, 18], [9, 12, 11, 14, 13, 15])
    assert found.as_published == compare(original_size(GROUPS), ours, rule="prediction")
    assert found.effect == original_effect(GROUPS)
    assert found.knowing_choirs == LeftOut(KNOWING_CHOIRS, NO_CHOIRS)
    assert [one.about for one in found.ours] == [AS_PUBLISHED]
    assert [check.fit for check in found.found] == ["fits"] * 3


def test_knowing_of_choirs():
    """The estimate's half interval over its quantile is the standard error; 2.776 is t(.975) of 4 (any t table)."""
    found = repeat(GROUPS, between(PAIRS), knowing_choirs=AWARE).knowing_choirs
    assert found.ours.error == pytest.approx(0.6 / 2.7764, rel=1e-4)
    assert (found.ours.value, found.ours.df, found.verdict) == (0.4, 4.0, "none_declared")


def test_one_group_is_a_gain():
    """An original of one group is put beside our gain."""
    pairs = pairs_of(PRE, [9, 12, 11, 14, 13, 15])
    found = repeat(GAIN, pairs, knowing_choirs=None)
    assert found.as_published == compare(
        original_size(GAIN), ours_of_gains(np.array(PRE), np.array([9, 12, 11, 14, 13, 15]))
    )


def test_what_cannot_be_put_beside_each_other_says_why():
    """No two approaches; a correlation; an interval that is missing."""
    assert repeat(GROUPS, pairs_of(PRE, PRE), knowing_choirs=None).as_published == LeftOut(AS_PUBLISHED, NO_GROUPS)
    letters = Original(study="Early", design="correlation", n=(30,), direction="higher", r=".41")
    assert repeat(letters, PAIRS, knowing_choirs=None).as_published == LeftOut(AS_PUBLISHED, BY_HAND)
    bare = replace(AWARE, interval=None, notes=("Too few choirs.",))
    assert repeat(GROUPS, between(PAIRS), knowing_choirs=bare).knowing_choirs.why == "Too few choirs."
