"""Tries of drill logs, and the single notes inside them."""

import pandas as pd

from kit.questions.practice.notes import kinds, notes, notes_of_test, tries
from kit.tables import DRILLS, ITEMS, empty
from tests.questions.drilled import day, heard, log, marked, meeting
from tests.questions.worlds import students


def rows_of(frame, *columns):
    """Give columns as rows of plain texts and numbers."""
    return [tuple(row) for row in frame[list(columns)].astype(object).itertuples(index=False)]


def test_first_marked_tries_of_single_singers_are_taken_in_order_of_time():
    """Lines about the class, second tries, unmarked lines, lines without a student and refusals are no first tries."""
    drills = log([
        heard("B", "1 2 3", True, on=3), heard("A", "1 2 2", False, on=1), heard("A", "1 2 3", True, attempt=2, on=1),
        heard("A", "1 2 3", None), heard("", "1 2 3", True), heard("C", "", False, response="declined"),
        meeting(0, 5, right=True), heard("D", "1 2 3", True, attempt=None, date=pd.NaT, on=9) | {"on": 9},
    ])  # fmt: skip
    found = tries(drills)
    assert rows_of(found, "student", "date", "right") == [
        ("A", day(1), False),
        ("B", day(3), True),
        ("D", day(9), True),
    ]


def test_logs_of_mistakes_count_only_where_no_share_is_made():
    """A log of mistakes gives no first tries for shares, and its misses where misses are compared with misses."""
    drills = log([heard("A", "1 2 2", False, errors_only=True), heard("B", "1 2 3", True)])
    assert tries(drills)["student"].tolist() == ["B"]
    assert tries(drills, accuracy=False)["student"].tolist() == ["A", "B"]


def test_a_pattern_without_a_name_goes_by_its_notes():
    """The code names a pattern; where there is none, its notes do."""
    found = tries(log([heard("A", "1 2 3", True), heard("A", "1 3", True, pattern="", target="1 3")]))
    assert found["pattern"].tolist() == ["P1", "1 3"]


def test_without_a_log_there_are_no_tries_and_no_notes():
    """An empty log gives empty tables with their columns."""
    found = tries(empty(DRILLS))
    assert found.empty
    assert notes(found).empty
    assert notes(found).attrs == {"wrong": 0, "unplaced": 0}


def test_notes_are_laid_beside_what_was_asked():
    """A wrong try shows which note was missed and how it was reached; a right one counts as sung as asked."""
    found = notes(tries(log([heard("A", "1 3 5", True, target="1 3 5"), heard("B", "1 2 5", False, target="1 3 5")])))
    assert rows_of(found, "student", "note", "sung", "reached", "interval", "right", "times") == [
        ("A", "1", "1", "", "", True, 1), ("A", "3", "3", "tonic-chord skip", "do to mi", True, 1),
        ("A", "5", "5", "tonic-chord skip", "mi to so", True, 1), ("B", "1", "1", "", "", True, 1),
        ("B", "3", "2", "tonic-chord skip", "do to mi", False, 1),
        ("B", "5", "5", "tonic-chord skip", "mi to so", True, 1),
    ]  # fmt: skip


def test_equal_tries_of_a_student_are_counted_together():
    """Three equal tries are one row a note, with three times."""
    found = notes(tries(log([heard("A", "1 2", True, target="1 2")] * 3)))
    assert rows_of(found, "note", "times") == [("1", 3), ("2", 3)]


def test_wrong_tries_that_do_not_say_which_note_was_missed_are_counted_apart():
    """Nothing written down, another length, or the very pattern: no note can be named as missed."""
    drills = log([
        heard("A", "", False), heard("A", "1 2", False), heard("A", "1 2 3", False), heard("A", "1 2 2", False),
        heard("A", "", False, response="flat"), heard("A", "", True),
    ])  # fmt: skip
    found = notes(tries(drills))
    assert found.attrs == {"wrong": 5, "unplaced": 4}
    assert found["times"].sum() == 6
    assert kinds(tries(drills)).unplaced == 4


def test_no_answer_is_one_on_the_first_note():
    """Where the log notes that nothing was sung, the first note is missed and the others are not asked."""
    found = notes(tries(log([heard("A", "", False, response="none")])))
    assert rows_of(found, "note", "sung", "right") == [("1", "no answer", False)]


def test_rests_holds_and_notes_not_heard_are_no_notes():
    """Rests and holds are passed over; what could not be heard is neither right nor wrong."""
    found = notes(tries(log([heard("A", "1 ? 4 5", False, target="1 0 2 - 3 5")])))
    assert rows_of(found, "note", "sung", "right", "interval") == [
        ("1", "1", True, ""), ("3", "4", False, "re to mi"), ("5", "5", True, "mi to so"),
    ]  # fmt: skip


def test_an_octave_that_is_not_written_down_is_the_nearest():
    """Ti beside do is the one below; so asked as so is so."""
    found = notes(tries(log([heard("A", "7* 5* 1", False, target="1 5 1")])))
    assert rows_of(found, "note", "sung", "right")[:2] == [("1", "7,", False), ("5", "5", True)]


def test_notes_of_a_test_are_those_of_its_rater():
    """Marked notes of one occasion and rater, with the choir of the student, signs, and how each is reached."""
    items = marked([
        {"student": "A", "occasion": "pre", "measure": "pitch", "rater": "own", "melody": "1", "item": 1, "degree": 4,
         "alter": 1, "approached_by": "triad_skip", "right": True, "drilled": True},
        {"student": "A", "occasion": "pre", "measure": "pitch", "rater": "blind", "melody": "1", "item": 1, "degree": 4,
         "right": False},
        {"student": "B", "occasion": "pre", "measure": "pitch", "rater": "own", "melody": "1", "item": 2, "degree": 2,
         "right": False},
        {"student": "A", "occasion": "pre", "measure": "pitch", "rater": "own", "melody": "1", "item": 3, "degree": 1},
        {"student": "A", "occasion": "post", "measure": "pitch", "rater": "own", "melody": "1", "item": 1, "degree": 1,
         "right": True},
        {"student": "A", "occasion": "pre", "measure": "rhythm", "rater": "own", "melody": "1", "item": 1,
         "right": True},
    ])  # fmt: skip
    people = students([{"student": "A", "choir": "Larch"}, {"student": "A", "choir": "Fir"}])
    found = notes_of_test(items, people, occasion="pre", rater="own")
    assert rows_of(found, "student", "choir", "note", "reached", "right") == [
        ("A", "Larch", "#4", "tonic-chord skip", True), ("B", "", "2", "", False),
    ]  # fmt: skip
    assert len(notes_of_test(items, people, occasion="pre")) == 3
    assert notes_of_test(empty(ITEMS), people, occasion="pre").empty
