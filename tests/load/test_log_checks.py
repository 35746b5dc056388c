"""Warnings about drill logs."""

import pandas as pd
import pytest

from kit.load.log_checks import KINDS, check_logs
from kit.tables import DRILLS, conform


def log(days, *, file="log.csv", choir="Larch Treble", **columns):
    """Make a drills table with a line on each day."""
    rows = [{"date": pd.Timestamp(day) if day else None, "choir": choir, "file": file, "row": at + 2, "errors_only": False,
             "summary": False} for at, day in enumerate(days)]  # fmt: skip
    return conform(pd.DataFrame(rows).assign(**columns), DRILLS)


SCHOOL_DAYS = [
    f"2025-10-{day:02}" for day in (6, 7, 8, 9, 10, 13, 14, 15, 16, 17, 20, 21, 22, 23, 24, 27, 28, 29, 30, 31)
]


def kinds(table, no_school=()):
    """Name the kinds of warnings."""
    return [finding.kind for finding in check_logs(table, no_school)]


def test_nothing_odd():
    """A plain log gives no warning, and is not touched."""
    table = log(SCHOOL_DAYS, minutes=[5.0, 6.0] * 10, right=[True, False] * 10)
    before = table.copy()
    assert check_logs(table) == []
    pd.testing.assert_frame_equal(table, before)
    assert check_logs(conform(pd.DataFrame(), DRILLS)) == []


@pytest.mark.parametrize(
    ("table", "kind", "said"),
    [
        (log(SCHOOL_DAYS, right=True), "all_right", 'Choir "Larch Treble": all 20 tries are marked right.'),
        (log(SCHOOL_DAYS, right=False), "all_wrong", 'Choir "Larch Treble": all 20 tries are marked wrong.'),
        (log(SCHOOL_DAYS, right=False, errors_only=True), "errors_only",
         "log.csv holds mistakes only (20 lines): it gives no accuracy."),
        (log(SCHOOL_DAYS, minutes=5.0), "same_minutes", 'Choir "Larch Treble": all 20 sessions have 5 minutes.'),
        (log(["2025-10-10", "2025-10-11", "2025-10-12"]), "weekend", "log.csv: 2 lines on a Saturday or Sunday."),
        (log(["2025-10-10", "2025-10-09", "2025-10-13"]), "backward",
         'Choir "Larch Treble": 1 line dated after a line further down.'),
        (log(["2025-10-10", "2025-11-03"]), "gap",
         'Choir "Larch Treble": no line from 11 October 2025 to 2 November 2025 (15 school days).'),
        (pd.concat([log(["2025-10-10"]), log(["2025-10-10"], file="copy.csv")]), "two_logs",
         'Choir "Larch Treble": 1 day in more than one log (copy.csv, log.csv).'),
        (log(["2025-10-10", None]), "no_date", "log.csv: 1 line without a date."),
        (log(["2025-10-10"], summary=True), "summed_up", "log.csv: 1 day from lines that sum up several days."),
    ],
)  # fmt: skip
def test_warnings(table, kind, said):
    """Each oddity gives one warning with its count."""
    (finding,) = check_logs(table)
    assert (finding.kind, finding.found) == (kind, said)
    assert kind in KINDS
    assert finding.do


def test_days_without_school():
    """A line on a declared day without school is told, and such days are no gap."""
    assert kinds(log(["2025-10-09", "2025-10-10"]), ["2025-10-10"]) == ["no_school"]
    assert kinds(log(["2025-10-10", "2025-11-03"]), ["2025-10-13..2025-10-31"]) == []


def test_newest_on_top():
    """A log kept with the newest day on top is in order."""
    assert kinds(log(["2025-10-10", "2025-10-09", "2025-10-08"])) == []


def test_two_weeks_are_no_gap():
    """Ten school days without a line pass; eleven do not."""
    assert kinds(log(["2025-10-03", "2025-10-20"])) == []
    assert kinds(log(["2025-10-03", "2025-10-21"])) == ["gap"]
