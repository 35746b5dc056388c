"""Headers of one row and of several."""

from datetime import datetime

import pytest

from kit.load.formats.cells import Sheet
from kit.load.header import find_rows, heading_text, is_half_header
from kit.load.layout import find_header, known_heading
from kit.load.ledger import Account

PEOPLE = [["a1", 11, 8, 14, 9], ["a2", 7, 7, 12, 10]]


def sheet(rows, *merged, name="Marks", **more):
    """Make a sheet of rows."""
    return Sheet("a.xlsx", name, rows, list(range(1, len(rows) + 1)), merged=merged, **more)


def headings(rows, *merged, wanted=()):
    """Read the header of rows."""
    return find_rows(sheet(rows, *merged), set(wanted), known_heading)


def test_a_heading_reaches_as_far_as_it_is_merged():
    """Fall over two columns counts for both; the heading beside it, not merged, for its own column only."""
    rows = [["ID", "Fall", None, "Choir", "Spring"], [None, "Pitch", "Rhythm", None, "Pitch"], *PEOPLE]
    found = headings(rows, (0, 1, 0, 2))
    assert found.headings == ("ID", "Fall Pitch", "Fall Rhythm", "Choir", "Spring Pitch")
    assert (found.top, found.index) == (0, 1)


def test_cells_merged_downwards_are_read_once():
    """ID over two rows is one heading, not ID ID."""
    rows = [["ID", "Pitch", None, "Rhythm", None], [None, "Fall", "Spring", "Fall", "Spring"], *PEOPLE]
    found = headings(rows, (0, 0, 1, 0), (0, 1, 0, 2), (0, 3, 0, 4))
    assert found.headings == ("ID", "Pitch Fall", "Pitch Spring", "Rhythm Fall", "Rhythm Spring")


def test_a_merged_title_is_no_heading():
    """A title over the whole table, or over the column of the singer, belongs to no heading."""
    rows = [["Reading test, Fall", None, None], ["ID", "Pre", "Post"], ["a1", 5, 6]]
    assert headings(rows, (0, 0, 0, 2)).headings == ("ID", "Pre", "Post")


def test_marks_below_a_merged_heading_are_no_headings():
    """Two columns under one heading without names of their own stay one row of header, numbers or words."""
    for marks in ([5, 6], ["abs", "abs"], ["absent", "excused"]):
        rows = [["ID", "Pre", None], ["a1", *marks], ["a2", 7, 8]]
        assert headings(rows, (0, 1, 0, 2)).index == 0


def test_a_text_above_each_of_two_equal_headings_tells_them_apart():
    """Where every repeated heading has its own text above it, nothing is filled in, and nothing is unclear."""
    rows = [[None, "Fall", "Fall", "Spring", "Spring"], ["ID", "Pitch", "Rhythm", "Pitch", "Rhythm"], *PEOPLE]
    assert headings(rows).headings == ("ID", "Fall Pitch", "Fall Rhythm", "Spring Pitch", "Spring Rhythm")


def test_half_a_header_is_seen():
    """Fall over the first of two columns, not merged, may reach over both: that is not guessed."""
    rows = [[None, "Fall", None, "Spring", None], ["ID", "Pitch", "Rhythm", "Pitch", "Rhythm"], *PEOPLE]
    assert is_half_header(sheet(rows), 1)
    account = Account(sheet(rows))
    assert find_header(account) is None
    assert [str(problem) for problem in account.problems] == [
        'a.xlsx, sheet "Marks", row 2: The header has two rows. Row 1 reads: "Fall", "Spring". '
        'Row 2 reads: "ID", "Pitch", "Rhythm", "Pitch", "Rhythm". '
        'Write the headings into one row, such as "Fall Pitch", "Fall Rhythm".'
    ]


@pytest.mark.parametrize("above", [["Reading test, Fall"], [None, "Choir 3"], []])
def test_titles_are_no_half_header(above):
    """A title above the singer's column, or one that names no test, is a title."""
    assert not is_half_header(sheet([above, ["ID", "Pitch", "Rhythm"]]), 1)


def test_three_rows_are_refused_with_what_was_read():
    """A row of days between test and part makes three rows: the columns are listed, and a person declares them."""
    day = datetime(2025, 9, 15)
    rows = [[None, "Fall", None], [None, day, None], ["ID", "Pitch", "Rhythm"], ["a1", 5, 6]]
    account = Account(sheet(rows, (0, 1, 0, 2), (1, 1, 1, 2)))
    assert find_header(account) is None
    assert str(account.problems[0]) == (
        'a.xlsx, sheet "Marks", row 1: The header spreads over rows 1 to 3. Read together: "ID", '
        '"Fall 2025-09-15 Pitch", "Fall 2025-09-15 Rhythm". Write the headings into one row, or name the columns of '
        "marks in study.toml as they are listed here."
    )
    declared = Account(sheet(rows, (0, 1, 0, 2), (1, 1, 1, 2)))
    header = find_header(declared, ["ID", "Fall 2025-09-15 Pitch", "Fall 2025-09-15 Rhythm"])
    assert (header.index, header.column("fall 2025-09-15 rhythm")) == (2, 2)
    assert header.joined[0] == ("Fall / 2025-09-15 / Pitch", "Fall 2025-09-15 Pitch")


def test_days_as_headings():
    """A heading that is a day is written without its time."""
    assert heading_text(datetime(2025, 9, 15)) == "2025-09-15"
    assert heading_text("\ufeffID  no ") == "ID no"
