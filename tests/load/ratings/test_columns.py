"""Headings of files of ratings."""

import pytest

from kit.load.columns import plain
from kit.load.declared_music import RatingSource
from kit.load.layout import Header
from kit.load.ratings.columns import known_rating_heading, names_judge, rating_field, suggest_ratings


def suggest(*headings: str, **declared):
    """Understand a header."""
    columns = {plain(heading): at for at, heading in enumerate(headings)}
    return suggest_ratings(RatingSource(file="f", **declared), Header(0, headings, columns, ()), [])


@pytest.mark.parametrize("heading", ["Judge 1", "judge no. 2", "Adjudicator B", "J3", "Juror 1"])
def test_judges(heading):
    """A judge's column is numbered or lettered."""
    assert names_judge(heading)


@pytest.mark.parametrize("heading", ["Judge", "June", "Jan", "Jury 12b", "Judge Grimm"])
def test_headings_of_no_single_judge(heading):
    """The column that names judges, months and persons are not one judge's ratings."""
    assert not names_judge(heading)


def test_a_column_for_each_judge():
    """Judges' columns and the result are found, with the evidence."""
    found = suggest("School", "Judge 1", "Judge 2", "Overall")
    assert (found.source.choir, found.source.judges, found.source.final) == (
        "School",
        ("Judge 1", "Judge 2"),
        "Overall",
    )
    assert found.evidence[-1] == '"Judge 2" holds the ratings of one judge'


def test_a_row_for_each_judge():
    """A column of judges and one of ratings are found; what is declared stays."""
    found = suggest("Choir", "Judge", "Rating", "Division")
    assert (found.source.judge, found.source.rating, found.source.judges) == ("Judge", "Rating", ())
    assert suggest("Choir", "Judge", "Rating", "Division", rating="Division").source.rating == "Division"


def test_nothing_to_go_by():
    """Without ratings that is said."""
    assert suggest("Choir", "Event").decide == ("no column of ratings is recognised",)


def test_known_headings():
    """Other words are no headings of ratings."""
    assert known_rating_heading("Ensemble")
    assert known_rating_heading("J1")
    assert not known_rating_heading("Superior")
    assert rating_field("Grade") == ""
