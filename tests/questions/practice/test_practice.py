"""Meetings, minutes and weeks of drill logs."""

from datetime import timedelta

import numpy as np
import pandas as pd
import pytest

from kit.questions.practice import NO_LOG, fidelity, gaps, in_a_week, meetings, weeks
from kit.questions.practice.days import choir_days, dated, different, numbered, places
from kit.questions.practice.plan import Practice
from kit.tables import DRILLS, empty
from tests.questions.drilled import day, heard, log, meeting

PLAN = Practice(minutes_before_notation=5, meetings_per_week=3)


def told(frame):
    """Give a frame as rows, with None for what is missing."""
    return [tuple(None if pd.isna(one) else one for one in row) for row in frame.itertuples(index=False)]


def test_minutes_of_a_meeting_are_those_of_the_class():
    """Lines about the class add up, single singers are inside them, and only before notation counts as before."""
    drills = log([
        meeting(0, 6, stage="before_notation", class_rating=2), meeting(0, 4, stage="with_notation", class_rating=3),
        heard("A", "1 2 3", True, minutes=2), meeting(1), heard("A", "1 2 3", True, on=2, minutes=3),
        heard("B", "1 2 3", True, on=2, minutes=4), meeting(3, 60, summary=True), meeting(4, 5, choir=""),
        meeting(5, 5) | {"date": pd.NaT, "on": 5},
    ])  # fmt: skip
    drills.loc[len(drills) - 1, "date"] = pd.NaT
    assert told(meetings(drills)) == [
        ("Larch", day(0), 10.0, 6.0, 2.5), ("Larch", day(1), None, None, None), ("Larch", day(2), 7.0, 0.0, None),
    ]  # fmt: skip


def test_weeks_count_what_was_possible():
    """A short week has fewer possible meetings, a week without school has no row, a silent week has zero logged."""
    drills = log([
        meeting(0, 6, stage="before_notation"), meeting(1, 3, stage="before_notation"), meeting(2),
        meeting(21, 8, stage="before_notation"), meeting(7, 5, choir="Fir"),
    ])  # fmt: skip
    closed = [(day(14) + timedelta(days=at)).date() for at in range(5)] + [day(21 + at).date() for at in range(1, 5)]
    found = weeks(drills, PLAN, closed)
    rows = [(row.choir, (row.week - day(0)).days, row.possible, row.logged, row.minutes, row.enough, row.timed)
            for row in found.itertuples(index=False)]  # fmt: skip
    assert rows == [
        ("Fir", 0, 3, 0, 0, 0, 0), ("Fir", 7, 3, 1, 5, 0, 1), ("Fir", 21, 1, 0, 0, 0, 0),
        ("Larch", 0, 3, 3, 9, 1, 2), ("Larch", 7, 3, 0, 0, 0, 0), ("Larch", 21, 1, 1, 8, 1, 1),
    ]  # fmt: skip
    assert [(choir, (week - day(0)).days) for choir, week in told(gaps(found))] == [
        ("Fir", 0), ("Fir", 21), ("Larch", 7),
    ]  # fmt: skip
    assert in_a_week(found) == 3


def test_without_a_declared_week_the_fullest_week_counts():
    """Nobody said how many meetings a week has, so the most that any choir logged is possible."""
    drills = log([meeting(0), meeting(1), meeting(7, choir="Fir")])
    found = weeks(drills, Practice())
    assert found["possible"].tolist() == [2, 2, 2, 2]


def test_one_meeting_is_one_week():
    """A log of a single day has one week, and nothing is missing."""
    found = weeks(log([meeting(2, 4)]), PLAN)
    assert (len(found), found["logged"].tolist(), len(gaps(found))) == (1, [1], 0)


def test_a_meeting_beyond_the_plan_was_possible():
    """Four meetings in a week of three possible ones make four possible."""
    found = weeks(log([meeting(at) for at in range(4)]), PLAN)
    assert found["possible"].tolist() == [4]


def test_fidelity_counts_all_choirs_and_each():
    """Logged of possible, with minutes of logged, planned minutes, and minutes, first for all and then by choir.

    Fir's log tells no stages, so whether its ear training came before notation is not known.
    """
    drills = log([meeting(0, 6, stage="before_notation"), meeting(1, 3), meeting(2), meeting(0, 7.4, choir="Fir")])
    found = fidelity(weeks(drills, PLAN))
    assert [(one.about, one.value, one.n) for one in found] == [
        ("all choirs, meetings logged", 4, 6), ("all choirs, meetings with minutes", 3, 4),
        ("all choirs, meetings with the planned minutes before notation", 1, 2), ("all choirs, minutes logged", 16, 16),
        ("Fir, meetings logged", 1, 3), ("Fir, meetings with minutes", 1, 1),
        ("Fir, meetings with the planned minutes before notation", 0, 0), ("Fir, minutes logged", 7, 7),
        ("Larch, meetings logged", 3, 3), ("Larch, meetings with minutes", 2, 3),
        ("Larch, meetings with the planned minutes before notation", 1, 2), ("Larch, minutes logged", 9, 9),
    ]  # fmt: skip


def test_a_single_choir_has_no_total_beside_it():
    """With one choir the total would say the same twice."""
    assert [one.about for one in fidelity(weeks(log([meeting(0)]), PLAN))] == [
        "Larch, meetings logged", "Larch, meetings with minutes",
        "Larch, meetings with the planned minutes before notation", "Larch, minutes logged",
    ]  # fmt: skip


@pytest.mark.parametrize("drills", [empty(DRILLS), log([meeting(0, 5, choir="")])])
def test_without_meetings_the_reason_stands(drills):
    """No log, or a log without choirs, is said and not counted as zero."""
    found = weeks(drills, PLAN)
    assert found.empty
    assert fidelity(found).left_out[0].why == NO_LOG
    assert gaps(found).empty
    assert in_a_week(found) == 4


def test_days_of_choirs_are_numbered_by_name_and_day():
    """Lines of one choir and day share a number; a line without day or choir has none."""
    rows = pd.DataFrame({
        "choir": ["Larch", "Fir", "Larch", "", "Fir"],
        "date": [day(1), day(2), day(1) + pd.Timedelta(hours=9), day(1), pd.NaT],
    })  # fmt: skip
    found = choir_days(rows)
    assert found.at.tolist() == [1, 0, 1, -1, -1]
    assert told(found.days) == [("Fir", day(2)), ("Larch", day(1))]
    assert found.total(np.arange(5.0), np.ones(5, bool)).tolist() == [1.0, 2.0]


@pytest.mark.parametrize("most", [10, 10**9])
def test_numbered_is_the_same_however_wide_the_keys(most):
    """Counting and sorting give the same numbers."""
    found, place = numbered(np.array([7, 3, 7, 5]), most)
    assert (found.tolist(), place.tolist()) == ([3, 5, 7], [2, 0, 2, 1])
    assert different(np.array([7, 3, 7, 5]), most).tolist() == [3, 5, 7]
    assert places(found, np.array([5, 4, -1, 7, 9]), most).tolist() == [1, -1, -1, 2, -1]
    assert places(found[:0], np.array([5]), most).tolist() == [-1]


def test_a_log_whose_days_are_all_known_is_not_copied():
    """Lines without a day are left out; without any the very table comes back."""
    lines = pd.DataFrame({"date": [day(1), pd.NaT]})
    assert dated(lines).index.tolist() == [0]
    assert dated(lines[:0]).empty
    whole = lines[:1]
    assert dated(whole) is whole
