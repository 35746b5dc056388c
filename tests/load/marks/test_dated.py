"""Marks that became dates: read back all together, or not at all."""

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.load.declared import MarkColumn
from kit.load.formats.cells import Sheet
from kit.load.ledger import Account
from kit.load.marks.dated import read_dates_back
from kit.load.marks.mark import read_mark
from kit.load.sheets import Row

COLUMN = MarkColumn(column="Pre", occasion="pre")


def read_back(values, most=None, declared=""):
    """Read a column of cells; gives the account and the marks."""
    account = Account(Sheet("marks.xlsx", "Marks", [["Pre"], *([value] for value in values)], list(range(1, 99))))
    cells = [(Row(account, at, f"S{at}", "", "", {}), value, read_mark(value)) for at, value in enumerate(values, 1)]
    return account, [mark for _, _, mark in read_dates_back(account, COLUMN, cells, most=most, declared=declared)]


@pytest.mark.parametrize(
    ("day", "most", "points"),
    [(datetime(2026, 5, 20), 20, 5), (datetime(1930, 2, 1), 30, 2), (datetime(1945, 10, 1), 45, 10),
     (datetime(2025, 5, 10), 10, 5), (datetime(2025, 10, 5), 10, 5)],
)  # fmt: skip
def test_the_maximum_tells_how_a_date_was_typed(day, most, points):
    """5/20, 2/30, 10/45 and 5/10 are read back in whichever way gives the known maximum."""
    _, (mark,) = read_back([day], most)
    assert (mark.points, mark.max_points) == (points, most)


def test_one_date_that_does_not_fit_spoils_all():
    """Where one date has another maximum, none of the column is read back."""
    _, marks = read_back([datetime(2026, 5, 20), datetime(2026, 7, 12), "17/20"], 20)
    assert [mark.fault for mark in marks] == ["unclear_mark", "unclear_mark", ""]


def test_a_column_of_dates_without_a_maximum_is_refused():
    """The message says both readings and what to type for each."""
    account, marks = read_back([datetime(2025, 5, 10), datetime(2025, 7, 10)])
    assert [mark.fault for mark in marks] == ["unclear_mark", "unclear_mark"]
    assert [str(problem) for problem in account.problems] == [
        'marks.xlsx, sheet "Marks", column Pre: All marks of the column are dates, such as a spreadsheet program makes '
        'of 5/10. Write date_marks = "month_is_points" in study.toml if 5/10 became the tenth of May, '
        '"day_is_points" if it became the fifth of October; or type the marks again in cells formatted as text.'
    ]


@pytest.mark.parametrize(("declared", "expected"), [("month_is_points", (5, 7)), ("day_is_points", (10, 10))])
def test_declared_without_a_maximum(declared, expected):
    """A declared reading holds where it gives all cells one maximum."""
    _, marks = read_back([datetime(2025, 5, 10), datetime(2025, 7, 10)], declared=declared)
    points = tuple(mark.points for mark in marks)
    assert points == (expected if declared == "month_is_points" else (None, None))


@settings(max_examples=50, deadline=None)
@given(st.lists(st.integers(1, 12), min_size=1, max_size=8), st.integers(13, 28))
def test_what_is_read_back_is_what_was_typed(points, most):
    """Points of a maximum above 12 that a program made into dates come back as they were."""
    _, marks = read_back([datetime(2026, month, most) for month in points], most)
    assert [mark.points for mark in marks] == points
