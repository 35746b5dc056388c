"""The same thing given twice."""

import openpyxl

from kit.load.declared import ScoreSource
from kit.load.duplicates import content_hash, set_copy_aside
from kit.load.files import load_files
from kit.load.formats.cells import read_book


def book(path, mark=5, width=10):
    """Write a small workbook."""
    made = openpyxl.Workbook()
    for row in (["ID", "Pre"], ["a1", mark], [], ["a2", 7]):
        made.active.append(row)
    made.active.column_dimensions["A"].width = width
    made.save(path)
    return read_book(path)


def test_a_workbook_saved_again_says_the_same(tmp_path):
    """Other bytes, the same cells: one content; another mark: another content."""
    first, again, other = (book(tmp_path / f"{at}.xlsx", *how) for at, how in enumerate([(5, 10), (5, 30), (6, 10)]))
    assert first.fingerprint != again.fingerprint
    assert content_hash(first) == content_hash(again) != content_hash(other)


def test_every_row_of_a_copy_is_set_aside(tmp_path):
    """Rows that hold something are set aside with the reason, blank ones are blank."""
    (account,) = set_copy_aside(book(tmp_path / "b.xlsx"), "a.xlsx")
    assert sorted(account.aside) == [0, 1, 3]
    assert account.kinds == {2: "blank"}
    assert str(account.aside[0]) == (
        'b.xlsx, sheet "Sheet", row 1: The file says the same as a.xlsx. Take one of the two out of study.toml.'
    )


def test_two_layouts_of_one_test(tmp_path):
    """Half of the marks in common is one test in two layouts; a few in common are a test taken again."""
    (tmp_path / "wide.csv").write_text("ID,Pre,Post\na1,5,6\na2,7,8\na3,7,8\n")
    (tmp_path / "long.csv").write_text("ID,Test,Score\na1,Pre,5\na1,Post,6\na2,Pre,7\n")
    (tmp_path / "other.csv").write_text("ID,Test,Score\nb1,Pre,5\nb2,Post,6\na2,Pre,7\n")
    sources = [ScoreSource(file="wide.csv"), ScoreSource(file="long.csv")]
    assert [str(problem) for problem in load_files(tmp_path, sources).problems] == [
        "long.csv: 3 marks stand here with a row for each test, and in wide.csv with a column for each. "
        "Choose one of the two, and take the other one out of study.toml."
    ]
    sources[1] = ScoreSource(file="other.csv")
    assert load_files(tmp_path, sources).problems == ()
