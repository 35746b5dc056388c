"""Sheets that no list of faults foresees: what the kit understands of them, and what it says of the rest."""

from __future__ import annotations

import openpyxl

from kit.load.declared import ScoreSource
from kit.load.declared_music import AttendanceSource, DrillSource, ItemSource
from kit.load.files import load_files
from kit.load.kinds import guess_sources


def load(folder, text, source=None):
    """Load one text file, its kind guessed unless it is given."""
    (folder / "a.csv").write_text(text, encoding="utf-8")
    return load_files(folder, [source] if source else guess_sources(folder / "a.csv"))


def test_two_tests_below_each_other_are_refused(tmp_path):
    """The second table is no second try of the first test: the sheet is refused, naming where it begins."""
    loaded = load(tmp_path, "FALL,\nID,Score (20)\n1,11\n2,12\n,\nSPRING,\nID,Score (20)\n1,13\n2,14\n")
    assert [str(problem) for problem in loaded.problems] == [
        'a.csv, row 6: The table of another test begins here: "SPRING". '
        "Put each test on a sheet of its own, or into a column of its own."
    ]
    assert len(loaded.students) == 2


def test_headings_for_a_new_page_are_no_new_test(tmp_path):
    """A choir's name above repeated headings begins no other test, and a student without marks is still one."""
    loaded = load(tmp_path, "ID,Pre,Post\n1,11,12\n2,,\nID,Pre,Post\n3,13,14\n")
    assert not loaded.problems
    assert len(loaded.students) == 3


def test_columns_that_are_not_read_are_named(tmp_path):
    """Headings that mean nothing to the kit are listed with the sheet."""
    loaded = load(tmp_path, "ID,Pre,Rank,Post,Remarks\n1,11,2,12,sang in F\n2,13,1,14,\n")
    assert [suggestion.unread for suggestion in loaded.suggestions] == [("Rank", "Remarks")]


def test_questions_of_a_form(tmp_path):
    """Headings written as questions are read: the student's id, and two tests with their most points."""
    asks = "how many notes did you get right (out of 16)?"
    loaded = load(tmp_path, f"Stamp,What is your student ID?,Before: {asks},After: {asks}\nx,551,10,12\ny,552,11,13\n")
    scores = loaded.scores
    assert list(zip(scores.occasion, scores.points, scores.max_points, strict=True)) == [
        ("pre", 10, 16), ("post", 12, 16), ("pre", 11, 16), ("post", 13, 16)
    ]  # fmt: skip
    assert set(scores.measure) == {"total"}


def test_numbers_as_headings_of_single_notes(tmp_path):
    """Columns headed 1, 2, 3... hold a note each, below a line that names the notes."""
    loaded = load(tmp_path, ",,d,r,m,f\nID,When,1,2,3,4\na1,pre,1,1,0,1\na1,post,1,1,1,1\n")
    assert isinstance(loaded.suggestions[0].source, ItemSource)
    assert loaded.items.groupby("occasion").right.sum().to_dict() == {"pre": 3, "post": 4}


def test_a_few_days_as_headings_are_no_attendance(tmp_path):
    """Three columns headed by days may be three tests; five or more are attendance."""
    days = [f"2025-09-{day:02}" for day in (8, 9, 10, 11, 12)]
    rows = "S1,1,2,3\nS2,1,2,3\n"
    (tmp_path / "few.csv").write_text(f"ID,{','.join(days[:3])}\n{rows}")
    (tmp_path / "many.csv").write_text(f"ID,{','.join(days)}\nS1,P,P,A,P,P\n")
    assert guess_sources(tmp_path / "few.csv") == [ScoreSource(file="few.csv")]
    assert guess_sources(tmp_path / "many.csv") == [AttendanceSource(file="many.csv")]


def test_sheets_of_several_kinds(tmp_path):
    """A workbook with a drill log, tests and remarks is read sheet by sheet, each as its own kind."""
    book = openpyxl.Workbook()
    book.active.title = "Log"
    for row in (["Date", "Choir", "Minutes", "Activity"], ["2025-09-22", "Treble", 5, "echo"]):
        book.active.append(row)
    for row in (["ID", "Choir", "Pre", "Post"], ["a1", "Treble", 3, 4]):
        book["Tests"].append(row) if "Tests" in book.sheetnames else book.create_sheet("Tests").append(row)
    book.create_sheet("To do").append(["remember to print"])
    book.save(tmp_path / "all.xlsx")
    sources = guess_sources(tmp_path / "all.xlsx")
    assert sources == [
        DrillSource(file="all.xlsx", sheets=("Log",)), ScoreSource(file="all.xlsx", sheets=("Tests",))
    ]  # fmt: skip
    loaded = load_files(tmp_path, sources)
    assert (len(loaded.drills), len(loaded.scores), len(loaded.problems)) == (1, 2, 0)


def test_a_short_log_is_no_file_of_marks(tmp_path):
    """A log of what was sung on which day, and whether it was right, is a log though a column is called Correct."""
    (tmp_path / "log.csv").write_text("Date,Choir,Student,Sung,Correct\n2025-09-22,Treble,a1,do mi so,1\n")
    assert guess_sources(tmp_path / "log.csv") == [DrillSource(file="log.csv")]
