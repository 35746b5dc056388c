"""Attendance: codes mean what the study declares, days are read by the rules of days, and each day counts once."""

from datetime import datetime
from pathlib import Path

import openpyxl
import pytest

from kit.load.attendance import looks_like
from kit.load.declared import Rules
from kit.load.declared_music import AttendanceSource
from kit.load.files import load_files

CODES = {"P": "present", "A": "absent", "X": "excused"}


def load(folder: Path, text: str, rules: Rules | None = None, **declared):
    """Write a file of attendance and read it."""
    (folder / "attendance.csv").write_text(text, encoding="utf-8")
    return load_files(folder, [AttendanceSource(file="attendance.csv", **declared)], rules=rules)


def rows(loaded) -> list[tuple]:
    """List day and what was noted."""
    table = loaded.attendance
    return list(zip(table.date.dt.strftime("%m-%d"), table.present, strict=True))


def test_a_row_for_each_day(tmp_path):
    """Codes are compared without regard to case; the day is read in the order that the dates show."""
    loaded = load(tmp_path, "ID,Date,Attendance\nR1,15/9/2025,p\nR1,1/10/2025,A\n", codes=CODES)
    assert rows(loaded) == [("09-15", "present"), ("10-01", "absent")]


def test_a_column_called_code(tmp_path):
    """A column called Code holds codes where another one holds ids, and ids where none does."""
    assert rows(load(tmp_path, "ID,Date,Code\nR1,2025-09-15,A\n", codes=CODES)) == [("09-15", "absent")]
    loaded = load(tmp_path, "Code,Date,Attendance\nR1,2025-09-15,A\n", codes=CODES)
    assert rows(loaded) == [("09-15", "absent")]


def test_a_column_for_each_day_of_a_workbook(tmp_path):
    """Headings may be dates of a workbook."""
    book = openpyxl.Workbook()
    for row in (("ID", datetime(2025, 9, 15), datetime(2025, 9, 16)), ("R1", "P", "A"), ("R2", None, "X")):
        book.active.append(row)
    book.save(tmp_path / "attendance.xlsx")
    loaded = load_files(tmp_path, [AttendanceSource(file="attendance.xlsx", codes=CODES)])
    assert loaded.problems == ()
    assert rows(loaded) == [("09-15", "present"), ("09-16", "absent"), ("09-16", "excused")]


def test_codes_that_nobody_explained(tmp_path):
    """Undeclared codes are listed with their counts and the line to write."""
    loaded = load(
        tmp_path, "ID,Date,Attendance\nR1,2025-09-15,P\nR2,2025-09-15,P\nR3,2025-09-15,-\nR4,2025-09-15,absent\n"
    )
    assert [str(problem) for problem in loaded.problems] == [
        "attendance.csv, column Attendance: The study file does not say what these codes mean: "
        '"P" (2), "-" (1). Write codes = {P = "", "-" = ""} beside the file in study.toml, each present, absent, '
        "excused or no_school."
    ]


def test_what_cannot_be_used(tmp_path):
    """A code that is not declared, an empty one, a day that is none, and a day noted twice are set aside."""
    text = (
        "ID,Date,Attendance\nR1,2025-09-15,Q\nR1,2025-09-16,\nR1,someday,P\nR1,,P\nR1,2025-09-17,P\nR1,2025-09-17,A\n"
    )
    loaded = load(tmp_path, text, codes=CODES)
    found = [f"{why}: {text}" for why, text in zip(loaded.set_aside.why, loaded.set_aside.found, strict=True)]
    assert found == [
        'unknown_code: The code is "Q". The study file does not say what this code means.',
        "unknown_code: The row has no code.",
        'date_unread: The date is "someday".',
        "date_unread: The row has no date.",
        "unclear_mark: The day was noted twice for the student, in two ways; the first counts.",
    ]
    assert rows(loaded) == [("09-17", "present")]


def test_single_cells_of_a_row_of_days(tmp_path):
    """In a row of many days one unknown code is set aside by itself, and a long one is not repeated."""
    loaded = load(tmp_path, "ID,2025-09-15,2025-09-16\nR1,P,went home with Ann\n", codes=CODES)
    assert loaded.set_aside[["column", "found"]].to_numpy().tolist() == [
        ["2025-09-16", "The study file does not say what this code means."]
    ]
    assert rows(loaded) == [("09-15", "present")]


def test_days_with_two_readings(tmp_path):
    """A heading that can be two days is refused until the order is declared."""
    text = "ID,9/10/2025,9/11/2025\nR1,P,A\n"
    assert [(problem.why, problem.column) for problem in load(tmp_path, text, codes=CODES).problems] == [
        ("date_unclear", "9/10/2025"), ("date_unclear", "9/11/2025")
    ]  # fmt: skip
    declared = load(tmp_path, text, codes=CODES, date_order="day_first")
    assert rows(declared) == [("10-09", "present"), ("11-09", "absent")]
    by_rules = load(tmp_path, text, Rules(date_order="month_first"), codes=CODES)
    assert rows(by_rules) == [("09-10", "present"), ("09-11", "absent")]


def test_one_student_in_two_choirs(tmp_path):
    """A day is noted once for each choir of a student."""
    text = "ID,Choir,Date,Attendance\nR1,Larch,2025-09-15,P\nR1,Moss,2025-09-15,A\nR1,Moss,2025-09-15,A\n"
    loaded = load(tmp_path, text, codes=CODES)
    assert rows(loaded) == [("09-15", "present"), ("09-15", "absent")]
    assert loaded.set_aside.why.tolist() == ["same_row_twice"]


@pytest.mark.parametrize("text", ["ID,Date\nR1,2025-09-15\n", "ID,Attendance\nR1,P\n"])
def test_neither_codes_nor_days(tmp_path, text):
    """Without codes and days the file is refused."""
    assert [str(problem) for problem in load(tmp_path, text, codes=CODES).problems] == [
        "attendance.csv, row 1: There is neither a column of codes with a column of dates, nor a column for each day. "
        'Name the columns in study.toml, such as date = "Date" and code = "Code".'
    ]


def test_looks_like():
    """Columns of days and a column called Attendance are headings of this kind of file alone."""
    assert looks_like(["ID", "9/15", "9/16", "9/17", "9/18", "9/19"]) == 5
    assert looks_like(["ID", "Date", "Attendance"]) == 1
    assert looks_like(["ID", "Pre", "Post", "Date"]) == 0
