"""Blank workbooks: filled with their own examples, they load without any declaration; they hold nothing else."""

from datetime import datetime

import openpyxl
import pytest

from kit.blank import BLANKS, DICTIONARY, blank_workbook, write_blanks
from kit.load.columns import field_of, mark_heading
from kit.load.declared import RosterSource, ScoreSource
from kit.load.declared_music import DrillSource, ItemSource
from kit.load.drills.columns import drill_field
from kit.load.files import load_files
from kit.load.items.columns import looks_like_items
from kit.tables import NORMALISED

SOURCES = {"roster": RosterSource, "scores": ScoreSource, "items": ItemSource, "drills": DrillSource}
TABLES = {"roster": "students", "scores": "scores", "items": "items", "drills": "drills"}
LINES = 12


def filled(name, folder, *, dates="text"):
    """Fill a blank workbook with rows like its examples, about different students, and save it."""
    book = blank_workbook(name)
    for at in range(LINES):
        row = [column.example for column in BLANKS[name]]
        for place, column in enumerate(BLANKS[name]):
            if column.heading == "student id":
                row[place] = f"{400 + at:05}"
            if column.heading == "date" and dates == "date":
                row[place] = datetime.fromisoformat(column.example)
        book[name].append(row)
    book.save(folder / f"{name}.xlsx")


def loaded(name, folder):
    """Load one filled workbook, nothing declared but its name."""
    return load_files(folder, [SOURCES[name](file=f"{name}.xlsx")])


@pytest.mark.parametrize("dates", ["text", "date"])
@pytest.mark.parametrize("name", BLANKS)
def test_a_filled_blank_loads_without_any_declaration(name, dates, tmp_path):
    """Every row is used, no cell is set aside, and the dictionary is left unread."""
    filled(name, tmp_path, dates=dates)
    read = loaded(name, tmp_path)
    assert [str(problem) for problem in read.problems] == []
    assert read.set_aside["found"].tolist() == []
    assert len(getattr(read, TABLES[name])) == LINES
    ledger = read.ledger.set_index("sheet")
    assert ledger.loc[name, "used"] == LINES
    assert ledger.loc[DICTIONARY, "unread"] == ledger.loc[DICTIONARY, "rows"]


def test_every_heading_reaches_its_column(tmp_path):
    """No column of a filled blank is lost on the way."""
    expected = {
        "roster": {"choir": "Treble 2", "school": "Hobnail Lane Middle", "grade": "7", "voice_part": "Alto",
                   "approach": "ear-first", "consent": True},
        "scores": {"choir": "Treble 2", "occasion": "pre", "date": datetime(2025, 9, 15), "form": "A",
                   "rater": "own teacher", "attempt": 1, "measure": "total", "points": 17, "max_points": 24},
        "items": {"occasion": "pre", "form": "A", "rater": "own teacher", "melody": "1", "item": 3, "right": False,
                  "syllable_right": False, "sung": "4"},
        "drills": {"date": datetime(2025, 9, 22), "choir": "Treble 2", "unit": "one", "activity": "echo",
                   "stage": "before_notation", "minutes": 5, "pattern": "P01", "target": "1 3 5", "sung": "1 4 5",
                   "attempt": 1, "right": False, "syllable_right": True, "correction": "slower", "right_after": True},
    }  # fmt: skip
    for name, values in expected.items():
        filled(name, tmp_path)
        first = getattr(loaded(name, tmp_path), TABLES[name]).iloc[0]
        assert {column: first[column] for column in values} == values


def test_all_blanks_of_one_folder_make_one_study(tmp_path):
    """Ids of all four workbooks lead to the same students."""
    for name in BLANKS:
        filled(name, tmp_path)
    read = load_files(tmp_path, [SOURCES[name](file=f"{name}.xlsx") for name in BLANKS])
    students = set(read.students["student"])
    assert len(students) == LINES
    for table in NORMALISED:
        rows = getattr(read, table.name)
        if "student" in rows and len(rows):
            assert set(rows["student"]) == students


@pytest.mark.parametrize("name", BLANKS)
def test_nothing_but_a_header_row(name, tmp_path):
    """One header row of different headings; no colour, no formula, no merged cell, no example."""
    write_blanks(tmp_path)
    sheet = openpyxl.load_workbook(tmp_path / f"{name}.xlsx")[name]
    assert sheet.max_row == 1
    headings = [cell.value for cell in sheet[1]]
    assert len(set(headings)) == len(headings) == len(BLANKS[name])
    assert not sheet.merged_cells.ranges
    assert all(cell.fill.fill_type is None and cell.font.color in (None, cell.font.color) for cell in sheet[1])
    assert {cell.data_type for cell in sheet[1]} == {"s"}


@pytest.mark.parametrize("name", BLANKS)
def test_the_dictionary_describes_every_column(name, tmp_path):
    """Each heading has a row in the dictionary, in the same order, with an example."""
    write_blanks(tmp_path)
    rows = list(openpyxl.load_workbook(tmp_path / f"{name}.xlsx")[DICTIONARY].values)
    assert rows[0] == ("heading", "what it holds", "words to choose from", "can be left out", "for example")
    assert [row[0] for row in rows[1:]] == [f"“{column.heading}”" for column in BLANKS[name]]
    assert all(all(cell not in (None, "") for cell in row) for row in rows)


@pytest.mark.parametrize("name", BLANKS)
def test_no_word_of_the_dictionary_is_taken_for_a_heading(name):
    """Whatever kind of table a reader looks for, the dictionary has none of its headings."""
    cells = [cell for row in blank_workbook(name)[DICTIONARY].values for cell in row]
    taken = [c for c in cells if field_of(c) or mark_heading(c) or drill_field(c) or looks_like_items([c])]
    assert taken == []


def test_columns_of_ids_are_text_and_of_days_are_dates(tmp_path):
    """Leading zeros stay and days are shown year-month-day, whatever is typed."""
    write_blanks(tmp_path)
    sheet = openpyxl.load_workbook(tmp_path / "scores.xlsx")["scores"]
    formats = {cell.value: sheet.column_dimensions[cell.column_letter].number_format for cell in sheet[1]}
    assert formats["student id"] == "@"
    assert formats["date"] == "yyyy-mm-dd"
    assert formats["score"] == "General"


def test_a_filled_workbook_is_never_written_over(tmp_path):
    """What is there stays; only the missing ones are written."""
    (tmp_path / "scores.xlsx").write_bytes(b"mine")
    written = write_blanks(tmp_path)
    assert sorted(path.name for path in written) == ["drills.xlsx", "items.xlsx", "roster.xlsx"]
    assert (tmp_path / "scores.xlsx").read_bytes() == b"mine"
