"""What is written in drawings: the same numbers as in tables, and room for it."""

import math
from types import SimpleNamespace

import pytest

from kit.figures import labels
from kit.report.numbers import bare
from tests.report import terms


@pytest.mark.parametrize(
    "unit", ["points", "share", "SD", "students", "choirs", "correlation", "SD of gains", "minutes"]
)
@pytest.mark.parametrize(
    "value",
    [0, 0.001, 0.0001, -0.0001, -0.9999, 0.004999, 0.005, 0.42, 0.994, 0.9951, 1, 1.25, 12.349, -0.04, -0.0, -3.2],
)
def test_numbers_are_written_as_in_tables(value, unit):
    """A drawing writes each number as the tables of the report do."""
    for n in (None, 300, 301):
        assert labels.written(value, unit, n=n) == bare(value, unit, n=n)
        assert labels.written(value, unit, signed=True, n=n) == bare(value, unit, signed=True, n=n)


def test_interval_is_written_under_the_value():
    """Value and interval stand below each other; a missing interval is said."""
    assert labels.with_interval(terms.CHOIRS[0]) == "−1.2\n(−3.0 to 0.6)"
    assert labels.with_interval(terms.estimate("x", "mean_gain", 1.0)) == "1.0\n(no interval)"
    open_end = terms.estimate("x", "mean_gain", 1.0, (0.5, math.inf))
    assert labels.with_interval(open_end) == "1.0\n(0.5 to no limit)"
    assert (
        labels.with_interval(terms.estimate("x", "share_wilson", 0.62, (0.5, 0.73), unit="share"))
        == "62 %\n(50 to 73 %)"
    )


def test_bands_are_named_by_their_ends():
    """A band ends under the next one; the last holds its upper end."""
    assert labels.band_names(terms.BANDS, "points")[::3] == ["0 to under 6", "18 to 24"]
    assert labels.band_names(terms.BANDS / 24, "share")[::3] == ["0 to under 25", "75 to 100"]


def test_reasons_are_written_out():
    """A reason is written so that a principal understands it."""
    assert labels.reason(terms.count(2, "after: voice")) == "2 voice change or illness"
    assert labels.reason(terms.count(2, "after: not enrolled")) == "2 not enrolled"


def test_groups_are_found_as_whole_words():
    """The starting group is read from what the estimate is about; "lower" is not "lowest", nor "slower"."""
    assert labels.group(terms.estimate("pitch, lower starters", "mean_gain", 1.0)) == "lower"
    assert labels.group(terms.estimate("slower tempo, highest starters", "mean_gain", 1.0)) == "highest"
    assert labels.group(terms.estimate("lowest starting third", "mean_gain", 1.0)) == "lowest"
    assert labels.group(terms.estimate("everybody", "mean_gain", 1.0)) == "everybody"


def test_long_labels_are_broken():
    """No line of a label is longer than its room."""
    broken = labels.wrapped("Hobnail Lane Middle School experienced mixed ensemble", 2.0)
    assert labels.room([broken]) <= 2.0
    assert labels.lines(broken) > 1


def test_a_measure_that_all_share_is_not_repeated():
    """In a picture of one measure the choirs stand by their names; two measures keep theirs."""

    def about(*words):
        return [SimpleNamespace(about=word) for word in words]

    assert labels.abouts(about("pitch, Treble 2", "pitch, Bass, men")) == ["Treble 2", "Bass, men"]
    assert labels.abouts(about("pitch, Treble 2", "rhythm, Treble 2")) == ["pitch, Treble 2", "rhythm, Treble 2"]
    assert labels.abouts(about("alone")) == ["alone"]
