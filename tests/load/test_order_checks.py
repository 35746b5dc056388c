"""Checks across files: order of dates, moves, groups inside choirs, zeros of the absent."""

import pandas as pd

from kit.load.declared import RosterSource, Rules, ScoreSource
from kit.load.files import load_files
from kit.load.order_checks import unlisted, zeros_where_absent


def load(folder, marks, roster=(), rules=None):
    """Load lines of marks and of a roster."""
    sources = []
    for name, lines, kind in (("marks.csv", marks, ScoreSource), ("roster.csv", roster, RosterSource)):
        if lines:
            (folder / name).write_text("\n".join(lines), encoding="utf-8")
            sources.append(kind(file=name))
    return load_files(folder, sources, rules=rules)


DATED = ["ID,Term,Date,Score", "S1,Pre,2025-09-10,11", "S1,Post,2025-12-10,14", "S2,Pre,2025-09-10,7"]


def test_the_message_about_dates_lists_the_rows(tmp_path):
    """Second tests on or before the first are listed by row, and the file is refused."""
    marks = [*DATED, "S2,Post,2025-09-10,9", "S3,Pre,2025-09-10,9", "S3,Post,2025-09-01,9"]
    assert [str(problem) for problem in load(tmp_path, marks).problems] == [
        "marks.csv, row 5: The second test is dated on or before the first one: rows 5, 7. "
        "Correct the dates, or the occasions."
    ]


def test_a_late_first_test_of_another_student_is_no_fault(tmp_path):
    """Dates are compared within a student only."""
    assert not load(tmp_path, [*DATED, "S2,Post,2025-12-12,9", "S3,Pre,2025-12-20,9"]).problems


def test_missing_marks_have_no_order(tmp_path):
    """The date of a test that was not taken is not compared."""
    assert not load(tmp_path, [*DATED, "S2,Post,2025-09-01,absent"]).problems


def test_dates_in_many_spellings_are_read(tmp_path):
    """Text dates are read by the order that the file itself shows; one that cannot be read is set aside alone."""
    loaded = load(tmp_path, ["ID,Term,Date,Score", "S1,Pre,9/22/2025,11", "S2,Pre,9/10/2025,7", "S3,Pre,soon,9"])
    assert loaded.scores.date.dt.strftime("%Y-%m-%d").tolist()[:2] == ["2025-09-22", "2025-09-10"]
    assert loaded.scores.points.tolist() == [11, 7, 9]
    assert loaded.set_aside[["row", "column", "why"]].to_numpy().tolist() == [[4, "Date", "date_unread"]]


ROSTER = ["ID,Choir,School,Approach,Moved to", "S1,Treble,Hobnail,ear,", "S2,Treble,Hobnail,ear,Thimble"]
MARKS = ["ID,Pre,Post", "S1,11,14", "S2,7,12"]


def test_a_mark_after_a_move_is_left_out(tmp_path):
    """The second mark is set aside and the student has left; the first one stays."""
    loaded = load(tmp_path, MARKS, ROSTER)
    assert loaded.set_aside[["row", "column", "why"]].to_numpy().tolist() == [[3, "Post", "moved_school"]]
    assert loaded.scores.missing_reason.tolist() == ["", "", "", "left"]
    assert loaded.set_aside.what_to_do[0] == (
        "Nothing: the tests of one school only are compared. Take the move out of the roster if it is none."
    )


def test_a_move_to_another_choir_is_none(tmp_path):
    """Moving to a choir of the roster is no move to another school."""
    roster = [ROSTER[0], ROSTER[1], "S2,Treble,Hobnail,ear,Mixed", "S3,Mixed,Hobnail,page,-"]
    assert load(tmp_path, MARKS, roster).set_aside.empty


def test_both_approaches_in_one_choir_are_refused(tmp_path):
    """The message names the choir and its two approaches, and the way out."""
    roster = [*ROSTER, "S3,treble,Hobnail,page,"]
    assert [str(problem) for problem in load(tmp_path, MARKS, roster).problems] == [
        'roster.csv, row 4: The choir "Treble" has the approaches "ear" and "page". Correct the label; if students, '
        "not choirs, were assigned to approaches, write groups_inside_choirs = true in study.toml."
    ]
    assert not load(tmp_path, MARKS, roster, Rules(groups_inside_choirs=True)).problems
    assert not load(tmp_path, MARKS, roster, Rules(aliases={"approach": {"page": "ear"}})).problems


def test_two_schools_on_the_roster_are_a_move(tmp_path):
    """A student listed at two schools stays with the first, and has no second mark."""
    loaded = load(tmp_path, MARKS, [*ROSTER[:2], "S2,Treble,Hobnail,ear,", "S2,Tenors,Thimble,ear,"])
    assert sorted(loaded.set_aside.why) == ["moved_school", "moved_school"]
    assert 'The student is also listed at "Hobnail".' in loaded.set_aside.found.tolist()
    assert "Put the row of the school first where the student was tested first." in loaded.set_aside.what_to_do.tolist()


def test_zeros_of_the_absent_are_told():
    """Zeros on days of absence are counted and listed; zeros of those who were there are not."""
    day = pd.Timestamp("2025-09-10")
    scores = pd.DataFrame({
        "student": ["A", "B", "C"], "date": [day] * 3, "points": [0.0, 0.0, 5.0], "share": [0.0, 0.0, 0.5],
        "file": ["marks.csv"] * 3, "row": [2, 3, 4],
    })  # fmt: skip
    attendance = pd.DataFrame(
        {"student": ["A", "B", "C"], "date": [day] * 3, "present": ["absent", "present", "absent"]}
    )
    found = zeros_where_absent(scores, attendance)
    assert str(found) == (
        "1 of 2 marks of zero are of students who were absent that day (marks.csv row 2). "
        "If they were not tested, write abs in place of the zero."
    )
    assert zeros_where_absent(scores[1:], attendance) is None


def test_schools_beside_marks_need_a_list_of_students(tmp_path):
    """Without a roster nothing reads the column; the section to write is given where each student has one row."""
    marks = ["ID,Choir,School,Pre,Post", "S1,Concert,Alder,5,6", "S2,Concert,Cedar,4,6"]
    loaded = load(tmp_path, marks)
    (told,) = unlisted(loaded.suggestions, loaded.scores)
    assert str(told) == (
        'marks.csv: The column "School" of the marks cannot be used, and choirs of one name in several schools would '
        "count as one choir. Declare a list of students, with what these columns say of each, under [[rosters]] in "
        "study.toml."
    )
    assert told.type_this.splitlines() == [
        "[[rosters]]", 'file = "marks.csv"', 'student = "ID"', 'choir = "Choir"', 'school = "School"',
    ]  # fmt: skip
    assert list(unlisted([], loaded.scores)) == []
    listed = load(tmp_path, marks, roster=["ID,Choir", "S1,Concert"])
    assert list(unlisted(listed.suggestions, listed.scores)) == []


def test_a_long_file_of_marks_is_no_list_of_students(tmp_path):
    """Where a student has a row for each test, only the advice is given."""
    marks = ["ID,School,Term,Score", "S1,Alder,Pre,5", "S1,Alder,Post,6"]
    loaded = load(tmp_path, marks)
    (told,) = unlisted(loaded.suggestions, loaded.scores)
    assert told.type_this == ""
