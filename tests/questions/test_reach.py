"""Whom a program reached: counts only."""

from datetime import date

import pandas as pd

from kit.questions.reach import NO_LOG, NO_MINUTES, by_approach, meetings, reach
from kit.tables import DRILLS, empty
from tests.questions.worlds import choirs_of, students, table_of


def counts(estimates):
    """Give about -> value."""
    return {one.about: (one.value, one.n) for one in estimates}


PAIRS = choirs_of(("A", "ear", [1, 2, 3], [2, 3, None]), ("B", "page", [1, 2], [4, 4]))


def test_schools_choirs_and_students():
    """Named schools and choirs are counted once, students all."""
    people = students([{"student": "S1", "school": "North"}, {"student": "S2", "school": "North"}, {"student": "S3"}])
    assert counts(reach(PAIRS, people)) == {
        "schools": (1, 1), "choirs": (2, 2), "students": (5, 5), "tested both times": (4, 5),
    }  # fmt: skip


def test_a_choir_in_which_nobody_took_both_tests_is_counted():
    """One of two choirs has no second test at all."""
    pairs = choirs_of(("A", "ear", [1, 2], [2, 3]), ("B", "page", [1, 2], [None, None]))
    assert counts(reach(pairs, students([{"student": "S1"}])))["choirs without both tests"] == (1, 2)


def test_without_schools_none_are_named():
    """What nobody wrote down is not counted as one."""
    assert "schools" not in counts(reach(PAIRS, students([{"student": "S1"}])))


def test_each_approach():
    """Approaches by name, those tested twice, and no total from which the others would follow."""
    assert counts(by_approach(PAIRS)) == {"ear, tested both times": (2, 2), "page, tested both times": (2, 2)}


def drills(rows):
    """Make a drill log."""
    return table_of(rows, DRILLS)


def test_meetings_are_days_of_a_choir():
    """Several lines of one day and choir are one meeting; minutes of single students' lines are not added."""
    day = pd.Timestamp(date(2026, 9, 7))
    log = drills([
        {"choir": "A", "date": day, "minutes": 30.0}, {"choir": "A", "date": day, "minutes": 40.0},
        {"choir": "A", "date": day, "minutes": 60.0, "student": "S1"}, {"choir": "B", "date": day, "minutes": 20.0},
    ])  # fmt: skip
    assert counts(meetings(log)) == {"meetings logged": (2, 2), "hours logged": (2, 2)}


def test_no_log_and_no_minutes_are_told():
    """What cannot be counted says why."""
    assert meetings(empty(DRILLS)).left_out[0].why == NO_LOG
    log = drills([{"choir": "A", "date": pd.Timestamp(date(2026, 9, 7))}])
    assert meetings(log).left_out[0].why == NO_MINUTES
