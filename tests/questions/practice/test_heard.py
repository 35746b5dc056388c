"""Whole-class ratings beside single tries, and who has not been heard."""

import pandas as pd

from kit.questions.practice.heard import class_and_singers, not_heard
from kit.questions.practice.notes import tries
from kit.tables import DRILLS, empty
from tests.questions.drilled import day, heard, log, meeting
from tests.questions.worlds import students

PEOPLE = students([
    *({"student": name, "choir": "Larch"} for name in "ABCD"), {"student": "E", "choir": "Fir"},
    {"student": "A", "choir": "Fir"},
])  # fmt: skip


def test_tries_are_set_beside_the_rating_of_their_day():
    """Two days rated 4 and one rated 2 by the mean of two lines; days of one kind only do not count."""
    drills = log([
        meeting(0, class_rating=4), heard("A", "1 2 3", True), heard("B", "1 2 2", False), meeting(1, class_rating=4),
        heard("A", "1 2 3", True, on=1), meeting(2, class_rating=1), meeting(2, class_rating=3),
        heard("C", "1 2 2", False, on=2), meeting(3, class_rating=1), heard("D", "1 2 3", True, on=4),
        heard("E", "1 2 3", True, on=0, choir="Fir"),
    ])  # fmt: skip
    found = class_and_singers(drills, tries(drills))
    assert found.to_numpy().tolist() == [[2.0, 1, 1, 1, 0.0], [4.0, 2, 3, 2, 2 / 3]]
    assert class_and_singers(drills, tries(drills), smallest=2)["rating"].tolist() == [4.0]
    assert class_and_singers(drills, tries(drills), smallest=3).empty


def test_without_ratings_or_tries_there_is_no_row():
    """Nothing to set side by side gives the same columns without a row."""
    for drills in (empty(DRILLS), log([heard("A", "1 2 3", True)]), log([meeting(0, class_rating=3)])):
        found = class_and_singers(drills, tries(drills))
        assert found.empty
        assert list(found.columns) == ["rating", "days", "tries", "singers", "share"]


def test_who_has_not_been_heard_is_listed_longest_ago_first():
    """Never heard first, then by day; two weeks to the day are not yet long ago; other choirs' logs do not count."""
    drills = log([
        heard("A", "1 2 3", True), heard("B", "1 2 3", True, on=6), heard("C", "1 2 3", None, on=5, attempt=2),
        meeting(20), meeting(40, choir="Fir"),
    ])  # fmt: skip
    found = not_heard(drills, PEOPLE)
    assert [tuple(None if pd.isna(one) else one for one in row) for row in found.itertuples(index=False)] == [
        ("D", "Larch", None, None), ("A", "Larch", day(0), 20), ("C", "Larch", day(5), 15),
    ]  # fmt: skip


def test_logs_that_hear_nobody_alone_list_nobody():
    """Lines about the class, logs of mistakes and empty logs do not say who was heard."""
    for rows in ([meeting(0)], [heard("A", "1 2 2", False, errors_only=True)], []):
        found = not_heard(log(rows) if rows else empty(DRILLS), PEOPLE)
        assert found.empty
        assert list(found.columns) == ["student", "choir", "last", "days"]


def test_everyone_heard_lately_is_an_empty_list():
    """Nobody waits."""
    assert not_heard(log([heard(name, "1 2 3", True) for name in "ABCD"]), PEOPLE).empty
