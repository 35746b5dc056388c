"""Minutes of drill beside growth."""

import numpy as np
import pytest

from kit.questions.practice.dose import FEW, between, choirs
from kit.tables import DRILLS, empty
from tests.questions.drilled import log, meeting
from tests.questions.worlds import choirs_of

MINUTES = {"A": 50, "B": 40, "C": 30, "D": 20}
PAIRS = choirs_of(
    ("A", "", [2, 4], [4, 6]), ("B", "", [6, 8], [10, 10]), ("C", "", [10, 10], [11, 15]), ("D", "", [12, None], [20, 9])
)  # fmt: skip
LOG = log([meeting(0, minutes, choir=choir) for choir, minutes in MINUTES.items()])


def test_choirs_stand_with_minutes_start_and_gain():
    """Means by hand, of students tested both times; points of 20 as shares."""
    found = choirs(PAIRS, LOG)
    assert found["choir"].tolist() == list("ABCD")
    assert found["minutes"].tolist() == [50, 40, 30, 20]
    assert found["start"].tolist() == pytest.approx([0.15, 0.35, 0.5, 0.6])
    assert found["gain"].tolist() == pytest.approx([0.1, 0.15, 0.15, 0.4])
    assert found["students"].tolist() == [2, 2, 2, 1]


def test_fewer_than_four_choirs_are_not_compared():
    """A choir without minutes, or with too few students, is left out; three are too few."""
    assert choirs(PAIRS, LOG.iloc[:3]).empty
    assert choirs(PAIRS, LOG, smallest=2).empty
    assert choirs(PAIRS, empty(DRILLS)).empty
    blank = LOG.assign(minutes=np.where(LOG["choir"] == "A", np.nan, LOG["minutes"]))
    assert choirs(PAIRS, blank).empty


def test_minutes_go_with_growth_and_start_by_the_plain_correlation():
    """Both correlations equal numpy's on the four choirs; choirs are counted, not students."""
    found = choirs(PAIRS, LOG)
    growth, start = between(found)
    assert growth.about == "minutes and growth, choirs"
    assert start.about == "minutes and first scores, choirs"
    assert growth.value == pytest.approx(np.corrcoef(found["minutes"], found["gain"])[0, 1])
    assert start.value == pytest.approx(np.corrcoef(found["minutes"], found["start"])[0, 1])
    assert (growth.n, growth.counted) == (4, "choirs")


def test_too_few_choirs_and_equal_minutes_are_said():
    """The reason stands in place of a number."""
    assert between(choirs(PAIRS, empty(DRILLS))).left_out[0].why == FEW
    same = between(choirs(PAIRS, LOG).assign(minutes=30.0))
    assert same == []
    assert len(same.left_out) == 2
