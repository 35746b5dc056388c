"""Minutes of drill beside growth."""

import numpy as np
import pytest

from kit.questions.practice.dose import FEW, NOT_ALONE, STEP, WITHIN, between, choirs, heard, lines, within
from kit.tables import DRILLS, empty
from tests.questions.drilled import heard as try_of
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


def gained_by(**gains):
    """Line up choirs whose students gain so many of twenty points from ten."""
    return choirs_of(*((choir, "", [10] * len(mine), [10 + one for one in mine]) for choir, mine in gains.items()))


def alone(pairs, **days):
    """Make a log in which the students of each choir are heard alone on so many days."""
    rows = []
    for choir, mine in days.items():
        students = pairs.loc[pairs["choir"] == choir, "student"]
        rows += [try_of(who, "1 2 3", True, choir=choir, on=at) for who, many in zip(students, mine, strict=True)
                 for at in range(many)]  # fmt: skip
    return log(rows)


GAINED = gained_by(A=[0, 1, 2, 3, 4], B=[4, 2, 0, 2, 4], C=[1, 1, 2, 3, 3], D=[9, 9, 9, 9])
HEARD = alone(GAINED, A=[0, 1, 2, 3, 4], B=[5, 3, 1, 3, 6], C=[2, 0, 4, 4, 5], D=[1, 2, 3, 4])


def test_days_heard_alone_stand_beside_the_gain():
    """Different days are counted, a day of several tries once; who was never heard has none; four singers are too few."""
    twice = log([*HEARD.to_dict("records"), HEARD.iloc[0].to_dict() | {"unit": "one"}])
    for drills in (HEARD, twice):
        found = heard(GAINED, drills)
        assert found.groupby("choir")["days"].apply(list).to_dict() == {
            "A": [0, 1, 2, 3, 4], "B": [5, 3, 1, 3, 6], "C": [2, 0, 4, 4, 5],
        }  # fmt: skip
    assert found["gain"].tolist()[:5] == pytest.approx([0, 0.05, 0.1, 0.15, 0.2])
    assert heard(GAINED, HEARD, smallest=6).empty
    assert heard(GAINED, HEARD.assign(errors_only=True)).empty
    assert heard(GAINED, empty(DRILLS)).empty


def test_the_slope_within_choirs_is_least_squares_with_choirs_apart():
    """The slope for five days equals numpy's of days and gains less their choir's averages; each choir's line too."""
    found = heard(GAINED, HEARD)
    away = found[["days", "gain"]] - found.groupby("choir")[["days", "gain"]].transform("mean")
    (slope,) = within(found)
    assert slope.value == pytest.approx((away["days"] @ away["gain"]) / (away["days"] @ away["days"]) * STEP)
    assert (slope.about, slope.unit, slope.n, slope.clusters) == (WITHIN, "share", 15, 3)
    made = lines(found)
    assert made["choir"].tolist() == ["A", "B", "C"]
    mine = found[found["choir"] == "B"]
    assert made["slope"][1] == pytest.approx(np.polyfit(mine["days"], mine["gain"], 1)[0] * STEP)
    assert made["spread"][1] == pytest.approx(mine["days"].std(ddof=0))


def test_nobody_heard_alone_and_one_choir_are_said():
    """The reason stands in place of a number, and no line is drawn."""
    nothing = heard(GAINED, empty(DRILLS))
    assert within(nothing).left_out[0].why == NOT_ALONE
    assert lines(nothing).empty
    one = heard(GAINED, HEARD)
    one = one[one["choir"] == "A"]
    assert "needs 2 choirs" in within(one).left_out[0].why
