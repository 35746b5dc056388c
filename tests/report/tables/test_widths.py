"""What the columns of a table hold, and how they share the width of the page."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.report.tables.widths import ROOM, SPARE, balanced, kind, lines_of, longest, needed, shared_out, widths

NEEDS = st.lists(st.tuples(st.floats(1, 60), st.floats(0, 200)), min_size=1, max_size=9)
SENTENCE = "How alike singers of one choir are, and what that means for the next study."


@pytest.mark.parametrize(
    ("cells", "what"),
    [(["13.2 points", "–", "0.57 SD", "62 %"], "number"), (["2.0 to 4.5", "less than 1 % to 3 %", "at least 2"], "number"),
     (["[0.25, 0.74]", "[−0.39, 0.90]"], "number"), (["almost sure", "likely"], "short"), ([SENTENCE, "3"], ""), ([], "")],
)  # fmt: skip
def test_what_a_column_holds(cells, what):
    """Numbers with signs and units, words that are never broken, or sentences."""
    assert kind(cells) == what


def test_sentences_share_the_width_by_their_length():
    """A column of long sentences gets more than one of short ones; numbers and short words take what they need."""
    shares = widths(
        ["Item", "Asks for", "Where", "n"], [["1a", "1b"], [SENTENCE] * 2, ["What this report can say"] * 2, ["3", "4"]]
    )
    assert shares == []
    shares = widths(
        ["Item", "Asks for", "Where", "n"],
        [["1a", "1b"], [SENTENCE] * 2, ["What this report can and cannot say"] * 2, ["3", "4"]],
    )
    assert (shares[0], shares[3]) == (0, 0)
    assert shares[1] > shares[2] > 0
    assert sum(shares) <= 100


def test_one_column_of_sentences_takes_what_is_left():
    """Where only one column holds sentences, and where there are no rows, nothing is shared out."""
    assert widths(["What", "Estimate"], [[SENTENCE], ["2.2 points"]]) == []
    assert widths(["What", "Why"], [[], []]) == []


def test_many_long_columns_still_leave_no_room_beyond_the_page():
    """However much short columns take, sentences get a third of the width, and all shares together no more than that."""
    short = [["x" * 24]] * 5
    shares = widths([*"abcdefg"], [[SENTENCE], *short, [SENTENCE]])
    assert sum(shares) == pytest.approx(33, abs=1)
    assert shares[0] == shares[-1]


def test_the_longest_line_counts():
    """A cell of two lines is as wide as the longer of them."""
    assert longest(["one\nthree", "two"]) == 5
    assert longest([]) == 0


def test_the_longest_piece_of_a_cell():
    """Lines may be broken at blanks, strokes and hyphens; those of numbers and short words never are."""
    assert needed(["mean_gain/all-choirs", "n"]) == (10, 20)
    assert needed(["mean_gain/all-choirs"], whole=True) == (20, 20)
    assert needed(["ab cd"], bold=True) == pytest.approx((2.16, 5.4))
    assert needed([]) == (0, 0)


@given(NEEDS)
@settings(max_examples=50, deadline=None)
def test_a_width_is_shared_out_wholly_and_no_piece_is_broken(needs):
    """Together columns have the width and no more; each has its longest piece where all these fit, none needs more than it wishes."""
    least, wished = [one for one, _ in needs], [one + more for one, more in needs]
    wide = shared_out(least, wished, ROOM)
    assert sum(wide) <= ROOM + 1e-6
    if sum(wished) > ROOM:
        assert sum(wide) == pytest.approx(ROOM)
    if sum(least) < ROOM:
        assert all(has >= piece - 1e-6 for has, piece in zip(wide, least, strict=True))
        assert all(has <= SPARE * line + 1e-6 for has, line in zip(wide, wished, strict=True))


def test_short_columns_keep_their_line_before_long_ones_share_the_rest():
    """Of a label, a number and who stands behind it, only the label is broken."""
    wide = shared_out([16, 12, 29], [64, 12, 29], 95)
    assert wide == pytest.approx([54, 12, 29])


def test_lines_that_fit_are_left_to_the_browser():
    """Where every line fits beside the others no width is set."""
    assert widths(["What", "Where"], [["x" * 30], ["y" * 30]]) == []
    assert widths(["What", "Where"], [["xx " * 30], ["yy " * 30]]) == [50, 50]


def test_width_goes_where_it_makes_a_table_lower():
    """A column of a few long words gives to one of sentences; nothing is broken that need not be."""
    rows = [[["numbers.csv: value"], ["word " * 14], ["as in the column unit"]]] * 5
    wide = balanced([30, 30, 30], [12, 8, 8], rows, between=3)
    assert sum(wide) == 90
    assert wide[1] > 40
    assert balanced([30, 60], [12, 8], [[["short"], ["as well"]]], between=3) == [30, 60]


@given(NEEDS, st.integers(1, 4))
@settings(max_examples=25, deadline=None)
def test_balancing_never_makes_a_table_higher(needs, number):
    """The width stays the same in all, no column gets less than it needs, and the rows are at most as high as before."""
    least = [one for one, _ in needs]
    cells = [[["word " * (int(more) // 5 + at)] for at, (_, more) in enumerate(needs)] for _ in range(number)]
    before = [one + 5 for one in least]
    wide = balanced(before, least, cells, between=2)
    assert sum(wide) == pytest.approx(sum(before))
    assert all(has >= one for has, one in zip(wide, least, strict=True))

    def height(widths):
        return sum(max(lines_of(c, max(1, w - 2)) for c, w in zip(row, widths, strict=True)) for row in cells)

    assert height(wide) <= height(before)


@pytest.mark.parametrize(
    ("cell", "room", "lines"),
    [
        ([], 5, 1), (["as in the column"], 16, 1), (["as in the column counted"], 10.5, 3), (["x" * 30], 10, 3),
        (["mean_gain/all-choirs"], 12, 2), (["one", "two words here"], 9, 3),
    ],
)  # fmt: skip
def test_lines_of_a_cell_are_broken_where_a_sheet_breaks_them(cell, room, lines):
    """At blanks, strokes and hyphens, and inside a word only where it is longer than its room."""
    assert lines_of(cell, room) == lines
