"""The shape of a sheet: hidden columns, two tables, totals and sections."""

import pytest

from kit.load.formats.cells import Sheet
from kit.load.layout import find_header, sort_rows
from kit.load.ledger import Account


def account(rows, **more):
    """Make the account of a sheet of rows."""
    return Account(Sheet("a.xlsx", "Marks", rows, list(range(1, len(rows) + 1)), **more))


def test_a_hidden_column_is_left_out_unless_it_is_named():
    """An older mark in a hidden column is seen by no reader, not even where its heading is that of another column."""
    rows = [["ID", "Pre", "Post", "Pre"], ["a1", 5, 6, 2]]
    header = find_header(account(rows, hidden_columns=frozenset({3})))
    assert (header.headings, header.left_out) == (("ID", "Pre", "Post", ""), ((3, "Pre"),))
    assert find_header(account(rows, hidden_columns=frozenset({1})), ["ID", "Pre"]).column("Pre") == 3
    rows[0][3] = "Old pre"
    named = find_header(account(rows, hidden_columns=frozenset({3})), ["ID", "Old pre"])
    assert (named.column("Old pre"), named.left_out) == (3, ())


def test_two_tables_side_by_side():
    """The cells of each table are told, and how to read one of them."""
    rows = [["ID", "Pre", None, "ID", "Pre"], ["a1", 5, None, "b1", 6], ["a2", 5, None, None, None], []]
    read = account(rows)
    assert find_header(read) is None
    assert str(read.problems[0]) == (
        'a.xlsx, sheet "Marks", row 1: Two tables stand side by side: A1:B3 and D1:E3. '
        'Put each on a sheet of its own, or write cells = "A1:B3" in study.toml to read one of them.'
    )


def test_two_columns_of_one_name_are_no_two_tables():
    """Without an empty column between them, or with data in it, equal headings are equal headings."""
    for rows in ([["ID", "Pre", "Pre"], ["a1", 5, 6]], [["ID", "Pre", None, "ID", "Pre"], ["a1", 5, "x", "b1", 6]]):
        read = account(rows)
        assert find_header(read) is None
        assert [problem.why for problem in read.problems] == ["column_twice"]


@pytest.mark.parametrize(
    ("first", "kind"),
    [("Soprano", "total"), ("ALTO 2", "total"), ("Basses", "total"), ("Tenor section", "total"), ("Alto mean", "total"),
     ("Subtotal", "total"), ("Soprano 1 average", "total"), ("Average alto", "total"), ("Sopranova", None),
     ("Boys avg", "total"), ("Section mean", "total"), ("Concert Choir average", "total"), ("Ji Min", None),
     ("Alton", None), ("a7", None)],
)  # fmt: skip
def test_sections_between_students(first, kind):
    """The name of a voice alone in its row is a title; a student without marks is not."""
    rows = [["ID", "Pre", "Post"], ["a1", 5, 6], [first, None, None]]
    read = account(rows)
    sort_rows(read, find_header(read), student=0, names=())
    assert read.kinds.get(2) == kind


def test_a_student_whose_id_is_a_voice_keeps_the_marks():
    """A row with marks is a student's, whatever its id."""
    rows = [["ID", "Pre", "Post"], ["alto", 5, 6]]
    read = account(rows)
    sort_rows(read, find_header(read), student=0, names=())
    assert read.data == [1]
