"""Widths of printed tables: every column has its longest word, nothing is wider than the sheet."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.report.document.columns import BETWEEN, MOST_LINES, ROOM, SMALLEST, columns_of
from kit.report.document.parts import Box, Grid, Run

CELLS = st.lists(
    st.lists(st.text("ab cd-/", max_size=60), min_size=1, max_size=6), min_size=1, max_size=8
)  # fmt: skip


def grid(*rows, head=(), whole=False):
    """Make a table of texts."""

    def made(texts, heads=False):
        return tuple(Box((Run(text),) if text else (), heads=heads, whole=whole) for text in texts)

    return Grid(head=(made(head, heads=True),) if head else (), rows=tuple(made(row) for row in rows))


@given(CELLS)
@settings(max_examples=50, deadline=None)
def test_no_table_is_wider_than_the_sheet(rows):
    """Shares are positive and add up to at most one, whatever the cells hold and however uneven the rows are."""
    columns = columns_of(grid(*rows))
    assert sum(columns.shares) <= 1 + 1e-9
    assert min(columns.shares) > 0
    assert len(columns.shares) == max(map(len, rows))


@given(CELLS)
@settings(max_examples=50, deadline=None)
def test_the_longest_word_fits_unless_all_words_together_do_not(rows):
    """A word is broken only where even the longest words side by side are wider than the sheet."""
    columns = columns_of(grid(*rows))
    room = ROOM * (1.12 if columns.dense else 1) / columns.size
    for at, share in enumerate(columns.shares):
        words = [word for row in rows if at < len(row) for word in row[at].replace("/", " ").replace("-", " ").split()]
        longest = max(map(len, words), default=0)
        assert columns.squeezed or share * room >= longest + BETWEEN - 1e-6


def test_a_short_table_is_as_wide_as_it_needs():
    """Two short columns do not fill the sheet, and have some white beside them."""
    columns = columns_of(grid(["one", "two"], head=["a", "b"]))
    assert columns.shares == pytest.approx((0.069, 0.069))
    assert not columns.dense


def test_long_text_leaves_short_columns_whole():
    """Numbers keep their one line, and the long text takes what is left."""
    columns = columns_of(grid(["word " * 40, "314 students (26 left out)", "0.5"]))
    room = ROOM * 1.12
    assert columns.dense
    assert columns.shares[1] * room == pytest.approx(26 + BETWEEN)
    assert sum(columns.shares) == pytest.approx(1)


def test_whole_cells_count_with_their_blanks():
    """A cell that is never broken needs its whole line."""
    texts = ["a b c d e f g h i j k l m n o p q r s t u v w x y z " * 3] * 2
    assert columns_of(grid(texts, whole=True)).squeezed
    assert not columns_of(grid(texts)).squeezed


def test_only_a_short_table_is_kept_on_one_sheet():
    """Many rows, or few rows of very long text, may be parted; else rows below the end of the sheet would be lost."""
    assert columns_of(grid(*[["a"]] * (MOST_LINES - 1))).kept
    assert not columns_of(grid(*[["a"]] * MOST_LINES)).kept
    assert not columns_of(grid(["word " * 900])).kept


def test_many_columns_are_set_smaller_before_words_are_broken():
    """Fourteen words side by side get smaller type; forty are broken."""
    some, many = (columns_of(grid(["alphabet"] * count)) for count in (14, 40))
    assert some.size == pytest.approx(ROOM * 1.12 / (14 * (8 + BETWEEN)))
    assert not some.squeezed
    assert many.size == SMALLEST
    assert many.squeezed


def test_a_table_without_cells():
    """A user's empty table has no column and breaks nothing."""
    assert columns_of(Grid()).shares == ()
