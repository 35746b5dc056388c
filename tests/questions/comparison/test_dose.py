"""How much each approach had."""

import pandas as pd

from kit.questions.comparison.dose import dose
from kit.tables import DRILLS
from tests.questions.comparisons import compared
from tests.questions.worlds import numbers, scores, table_of

FOUR = (("A", "ear", [1, 2], [3, None]), ("B", "page", [4], [5]))
MARKS = scores([
    {"student": "S0000", "occasion": "pre", "points": 1, "measure": "pitch"},
    {"student": "S0000", "occasion": "pre", "points": 1, "measure": "rhythm", "rater": "other"},
    {"student": "S0000", "occasion": "pre", "points": 2, "attempt": 2},
    {"student": "S0001", "occasion": "post", "missing_reason": "absent"},
    {"student": "S0002", "occasion": "later", "points": 3},
    {"student": "nobody", "occasion": "pre", "points": 3},
])  # fmt: skip
LOG = table_of([
    {"choir": "A", "date": pd.Timestamp("2025-10-01"), "minutes": 10},
    {"choir": "A", "date": pd.Timestamp("2025-10-01"), "minutes": 5},
    {"choir": "A", "date": pd.Timestamp("2025-10-01"), "student": "S0000", "minutes": 5},
    {"choir": "A", "date": pd.Timestamp("2025-10-02"), "minutes": 7},
    {"choir": "Z", "date": pd.Timestamp("2025-10-02"), "minutes": 70},
], DRILLS)  # fmt: skip


def test_a_sitting_is_one_test():
    """Two measures and two raters of one sitting are one test; a second attempt is another; an absence is none."""
    assert numbers(dose(compared(FOUR), MARKS)) == {
        "ear, students": 2, "ear, tests taken": 2, "page, students": 1, "page, tests taken": 1,
    }  # fmt: skip


def test_meetings_are_days_and_minutes_those_of_the_class():
    """A day with a line is a meeting; minutes of single students are inside those of the class."""
    found = dose(compared(FOUR), MARKS, LOG)
    told = numbers(found)
    assert (told["ear, meetings logged"], told["ear, minutes logged"], told["ear, choirs with a log"]) == (2, 22, 1)
    assert [(one.about, one.why) for one in found.left_out] == [
        ("page, meetings logged", "No line of the drill log is about a choir of this approach.")
    ]


def test_without_log_or_comparison_the_reason_stands():
    """No log, or nothing compared, is said and not counted as zero."""
    found = dose(compared(FOUR), MARKS, LOG.iloc[:0])
    assert {one.why for one in found.left_out} == {"No drill log was read with this study."}
    nothing = dose(compared(FOUR[:1]), MARKS)
    assert nothing.left_out[0].why == "Only one approach has students, so there is nothing to compare."
