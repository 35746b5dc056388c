"""What a try had behind it."""

import numpy as np
import pandas as pd

from kit.questions.practice.exposed import exposed, last_days, practised
from kit.questions.practice.notes import tries
from kit.tables import DRILLS, empty
from tests.questions.drilled import day, heard, log, meeting


def behind(drills, *, of=None):
    """Give singer, times and days of each try."""
    found = exposed(tries(of if of is not None else drills), drills)
    return [(row.student, row.times, None if np.isnan(row.days) else row.days) for row in found.itertuples(index=False)]


def test_days_before_are_counted_and_not_the_same_day():
    """The first day has nothing behind it; the second has one day, two days ago; two tries of a day are alike."""
    drills = log([
        heard("A", "1 2 3", True), heard("B", "1 2 2", False, on=2), heard("C", "1 2 3", True, on=2), meeting(2, pattern="P1"),
        heard("A", "1 2 3", True, on=7),
    ])  # fmt: skip
    assert behind(drills) == [("A", 0, None), ("B", 1, 2), ("C", 1, 2), ("A", 2, 5)]


def test_a_line_about_the_class_with_several_patterns_is_practice_of_each():
    """Codes with a space between are two patterns; a singer's target with spaces is one."""
    drills = log([meeting(0, pattern="P1 P2"), heard("A", "1 2 3", True, on=1), heard("B", "1 3", True, on=4, pattern="P2", target="1 3"),
                  heard("C", "1 5", True, on=5, pattern="", target="1 5"), heard("C", "1 5", True, on=6, pattern="", target="1 5")])  # fmt: skip
    assert behind(drills) == [("A", 1, 1), ("B", 1, 4), ("C", 0, None), ("C", 1, 1)]
    assert last_days(drills).to_dict() == {"1 5": day(6), "P1": day(1), "P2": day(4)}


def test_practice_of_another_choir_is_not_practice_of_this_one():
    """Choirs practise apart."""
    assert behind(log([meeting(0, pattern="P1", choir="Fir"), heard("A", "1 2 3", True, on=1)])) == [("A", 0, None)]


def test_lines_that_give_no_shares_are_practice_too():
    """The whole log is handed over beside the tries that can be trusted."""
    drills = log([heard("B", "1 2 2", False, errors_only=True), heard("A", "1 2 3", True, on=3)])
    assert behind(drills) == [("A", 1, 3)]


def test_tries_that_are_not_in_the_log_have_nothing_behind_them():
    """A try of a pattern or choir that the log does not have is not known."""
    other = log([heard("A", "1 2 3", True, on=3)])
    found = exposed(tries(other), log([meeting(0, pattern="P9")]))
    assert found[["times", "days"]].isna().all(axis=None)
    assert exposed(tries(other), empty(DRILLS))["times"].isna().all()


def test_undated_tries_are_left_out_and_an_empty_log_is_empty():
    """Without a day there is no order."""
    drills = log([heard("A", "1 2 3", True), heard("B", "1 2 3", True)])
    drills.loc[1, "date"] = pd.NaT
    assert behind(drills) == [("A", 0, None)]
    assert practised(empty(DRILLS)).empty
    assert last_days(empty(DRILLS)).empty
    assert exposed(tries(empty(DRILLS)), empty(DRILLS)).empty
