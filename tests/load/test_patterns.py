"""Lists of patterns: codes and notes, in the order of teaching."""

from datetime import datetime
from pathlib import Path

import openpyxl

from kit.load.declared import Rules
from kit.load.declared_music import PatternSource, Syllables
from kit.load.files import load_files
from kit.load.formats.cells import read_book
from kit.load.patterns import looks_like, read_patterns

SYSTEM = Syllables(system="movable_i_up_e_down")


def read(path: Path, text: str = "", **declared):
    """Write a list of patterns and read it."""
    if text:
        path.write_text(text, encoding="utf-8")
    source = PatternSource(file=path.name, syllables=SYSTEM, **declared)
    return read_patterns(read_book(path), source, Rules())


def said(found) -> list[str]:
    """List what was refused or set aside, in sentences."""
    account = found.accounts[0]
    return [str(problem) for problem in (*account.problems, *account.aside.values())]


def test_patterns(tmp_path):
    """Each row is a code and its notes in scale degrees, in the order of the file."""
    table = read(tmp_path / "p.csv", "Code,Notes\nP02,do re mi\nP01,low so do\n").table()
    assert table[["pattern", "notes", "row"]].to_numpy().tolist() == [["P02", "1 2 3", 2], ["P01", "5, 1", 3]]


def test_rows_without_a_code_or_notes(tmp_path):
    """Rows that lack either, cannot be read, or are listed twice, are set aside."""
    found = read(tmp_path / "p.csv", "Code,Notes\nP1,\n,do\nP2,do re\np2,do re\nP3,do zu\n")
    assert said(found)[:3] == [
        "p.csv, row 2: The row has no notes. Fill in both, or delete the row.",
        "p.csv, row 3: The row has no code. Fill in both, or delete the row.",
        "p.csv, row 5: The pattern is listed twice. Delete one row.",
    ]
    assert [problem.why for problem in found.accounts[0].aside.values()][3:] == ["syllable_unknown"]
    assert len(found.table()) == 1


def test_one_code_for_two_patterns(tmp_path):
    """One code for two patterns is refused."""
    assert said(read(tmp_path / "p.csv", "Code,Notes\nP1,do re\nP1,do mi\n")) == [
        'p.csv, row 3: The pattern "P1" is "1 2" in an earlier row and "1 3" here. Give each pattern a code of its own.'
    ]


def test_a_pattern_that_became_a_date(tmp_path):
    """Notes that a spreadsheet program made a date are lost, and the row says so."""
    book = openpyxl.Workbook()
    for row in (("Code", "Notes"), ("P1", datetime(2005, 1, 3)), ("P2", "do re")):
        book.active.append(row)
    book.save(tmp_path / "p.xlsx")
    assert said(read(tmp_path / "p.xlsx")) == [
        'p.xlsx, sheet "Sheet", row 2: The notes have become a date. Format the column as text, and type the notes again.'
    ]


def test_columns_that_are_not_known(tmp_path):
    """Without both columns the file is refused with what to name."""
    assert said(read(tmp_path / "p.csv", "Pattern,Code\nP1,do\n")) == [
        "p.csv, row 1: No column is known to hold the notes. "
        'Name the columns in study.toml, such as pattern = "Code" and notes = "Notes".'
    ]


def test_looks_like():
    """A short list of codes and notes is one of patterns; a log with a pattern column is none."""
    assert looks_like(["pattern", "notes"]) == 2
    assert looks_like(["date", "student", "pattern", "notes", "minutes"]) == 0
    assert looks_like(["ID", "Pre", "Post"]) == 0


def test_patterns_in_minor_are_counted_from_the_key_note(tmp_path):
    """Where la is the key note of minor, la do mi is the triad 1 b3 5."""
    (tmp_path / "patterns.csv").write_text("pattern,notes\nM1,la do mi\n")
    minor = Syllables(system="movable_i_up_e_down", mode="minor", minor_base="la")
    loaded = load_files(tmp_path, [PatternSource(file="patterns.csv", syllables=minor)])
    assert [text.replace(",", "").replace("'", "") for text in loaded.patterns.notes] == ["1 b3 5"]
