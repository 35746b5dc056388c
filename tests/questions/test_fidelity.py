"""Meetings planned and logged, week by week."""

import pandas as pd

from kit.questions.fidelity import about_meetings, by_week, program_choirs, silent
from kit.questions.log_honesty import Doubt

FOUND = pd.DataFrame({
    "choir": ["Ash", "Ash", "Birch", "Birch"],
    "week": pd.to_datetime(["2026-01-12", "2026-01-05", "2026-01-05", "2026-01-12"]),
    "possible": [4, 3, 4, 4], "logged": [2, 3, 1, 0], "minutes": [10.0, 18.0, 6.0, 0.0], "enough": [1, 2, 1, 0],
    "timed": [2, 3, 1, 0], "staged": [2, 3, 0, 0],
})  # fmt: skip


def test_weeks_add_up_over_choirs():
    """Each week holds the sums of its choirs, in the order of the weeks, and nothing gets lost."""
    found = by_week(FOUND)
    assert list(found["week"]) == list(pd.to_datetime(["2026-01-05", "2026-01-12"]))
    assert found[["choirs", "possible", "logged", "timed", "staged", "enough"]].to_numpy().tolist() == [
        [2, 7, 4, 4, 3, 3], [2, 8, 2, 2, 2, 1]
    ]  # fmt: skip


def test_no_log_has_no_weeks():
    """Without a log there is an empty table with the same columns."""
    found = by_week(FOUND.iloc[:0])
    assert list(found) == ["week", "choirs", "possible", "logged", "timed", "staged", "enough"]
    assert found.empty


def test_choirs_that_wrote_nothing_are_named():
    """Choirs of the study that the log does not know are listed by name."""
    assert silent(["Cedar", "Ash", "Alder"], FOUND) == ["Alder", "Cedar"]


def test_choirs_of_the_program():
    """The program's side of the comparison; every choir where nothing is compared."""
    compared = pd.DataFrame({"choir": ["Birch", "Ash", "Ash"], "program": [True, False, False]})
    assert program_choirs(compared, ["Ash", "Birch", "Cedar"]) == ["Birch"]
    assert program_choirs(compared.iloc[:0], ["Ash", "Birch"]) == ["Ash", "Birch"]


def test_only_what_changes_the_counts_is_told():
    """A log of mistakes only changes no meeting; minutes that are not believed do."""
    found = [Doubt("errors_only", "Ash", "a.csv", "x", "no_shares"), Doubt("minutes", "Ash", "", "x", "no_minutes")]
    assert about_meetings(found) == found[1:]
