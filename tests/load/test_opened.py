"""Files opened by their declared or known headings, and words compared."""

from pathlib import Path

from kit.load.declared_music import PatternSource
from kit.load.formats.cells import read_book
from kit.load.items.columns import known_pattern_heading, suggest_patterns
from kit.load.opened import open_file, quoted, word_key

FIELDS = ("pattern", "notes")


def opened(path: Path, text: str, **declared):
    """Write a list of patterns and open it."""
    path.write_text(text, encoding="utf-8")
    source = PatternSource(file=path.name, **declared)
    return open_file(read_book(path), source, FIELDS, suggest_patterns, known_pattern_heading)


def test_accounts_of_all_sheets(tmp_path):
    """Each sheet has an account, read or not; what was understood is said of those that are read."""
    found = opened(tmp_path / "p.csv", "Code,Notes\nP1,do\n")
    assert len(found.accounts) == len(found.reads) == len(found.suggestions) == 1
    assert [read.source.notes for read in found.complete(FIELDS, "")] == ["Notes"]


def test_a_declared_heading_that_is_not_there(tmp_path):
    """A declared heading that the file lacks is a problem of its sheet."""
    found = opened(tmp_path / "p.csv", "Code,Notes\nP1,do\n", notes="Melody", pattern="Code")
    assert found.reads == []
    assert [problem.why for problem in found.accounts[0].problems] == ["column_missing"]


def test_incomplete_sheets_are_refused(tmp_path):
    """A sheet without a needed column is refused with the columns to name."""
    found = opened(tmp_path / "p.csv", "Code,Pattern\nP1,do\n")
    assert list(found.complete(FIELDS, 'notes = "Notes"')) == []
    assert str(found.accounts[0].problems[0]) == (
        'p.csv, row 1: No column is known to hold the notes. Name the columns in study.toml, such as notes = "Notes".'
    )


def test_word_key():
    """Words are compared without regard to case, spaces and how a number is stored."""
    assert word_key(" Form  A ") == "form a"
    assert word_key(1.0) == word_key(1) == word_key("1") == "1"
    assert (word_key(None), word_key(True)) == ("", "true")


def test_quoted():
    """A long cell is not repeated whole."""
    assert quoted(3.0) == '"3"'
    assert quoted("a" * 100) == '"' + "a" * 24 + '..."'
