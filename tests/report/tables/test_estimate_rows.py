"""Estimates as rows: no column without a word in it, and what a row is about in plain words."""

from kit.estimate import Estimate, Interval
from kit.report.tables.estimate_rows import laid_out, notes_below

GAIN = Estimate(
    about="total, Treble 2", name="mean_gain", value=2.25, unit="points", n=1, source="student-1908",
    interval=Interval(low=1.0, high=3.5, level=0.9, method="Student's t", source="student-1908"),
)  # fmt: skip
COUNT = Estimate(
    about="tested both times", name="count", value=22, unit="students", n=22, source="counting", notes=("Counted.",)
)


def test_a_row_says_what_how_much_how_sure_and_how_many():
    """The level stands in the heading; one student is no plural; the name of the only score is left out."""
    assert laid_out([GAIN], 0.9).to_dict("records") == [
        {
            "What": "average gain: Treble 2",
            "Estimate": "2.2 points",
            "90 % interval": "1.0 to 3.5",
            "Based on": "1 student",
        }
    ]


def test_plain_counts_need_no_other_columns():
    """Nothing is estimated in a count, so it has no interval, and says itself on how many it rests."""
    assert laid_out([COUNT], 0.95).to_dict("records") == [{"What": "tested both times", "Estimate": "22 students"}]
    assert list(laid_out([COUNT, GAIN], 0.95).columns) == ["What", "Estimate", "95 % interval", "Based on"]


def test_a_count_needs_no_text():
    """No formula stands behind a count, so none is cited."""
    assert not any("Counting" in note for note in notes_below([COUNT]))
    assert notes_below([GAIN, COUNT])[1] == "Sources: Student (1908)."
