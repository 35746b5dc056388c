"""What the columns of a table hold, and how they share the width of the page."""

import pytest

from kit.report.tables.widths import kind, longest, widths

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
    """However much short columns take, sentences get a third of the width, and all shares together no more than all of it."""
    short = [["x" * 24]] * 5
    shares = widths([*"abcdefg"], [[SENTENCE], *short, [SENTENCE]])
    assert 0 < sum(shares) <= 34


def test_the_longest_line_counts():
    """A cell of two lines is as wide as the longer of them."""
    assert longest(["one\nthree", "two"]) == 5
    assert longest([]) == 0
