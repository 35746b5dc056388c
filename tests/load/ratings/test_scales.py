"""Ratings: labels carry their direction, numbers do not, and signs and mistyped numerals are never guessed."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.load.declared_music import RatingSource
from kit.load.ratings.scales import Rating, RatingScale, ScaleFault, read_rating, scale_of


def scale(values, **declared):
    """Find the scale of a column."""
    return scale_of(values, RatingSource(file="ratings.csv", **declared))


def numbers(values, **declared):
    """Read a column by its own scale."""
    found = scale(values, **declared)
    return [read_rating(value, found).value for value in values]


# labels and their order: common practice, no source
@pytest.mark.parametrize(
    ("values", "expected"),
    [
        (["I", "II", "III", "IV", "V"], [1, 2, 3, 4, 5]),
        (["Superior", "Excellent", "Good", "Fair", "Poor", "Needs improvement"], [1, 2, 3, 4, 5, 5]),
        (["Division 1", "Division II", "Div. 3"], [1, 2, 3]),
        (["Gold", "silver", "BRONZE", "Participation"], [1, 2, 3, 4]),
        (["A", "B", "C", "D", "E"], [1, 2, 3, 4, 5]),
        (["I", 2, "3", "Superior", "Division 4"], [1, 2, 3, 1, 4]),
        (["l", "ll", "III", "lV", 11, "1V"], [1, 2, 3, 4, 2, 4]),
    ],
)
def test_labels(values, expected):
    """Labels are numbered from 1 for the best."""
    assert numbers(values) == expected
    assert scale(values).best == 1


def test_ends_of_the_scales():
    """Medals are a scale of four, the others of five, and declared labels of as many as there are."""
    assert (scale(["Gold"]).worst, scale(["II"]).worst, scale(["A", "B"]).worst) == (4, 5, 5)
    assert scale(["Blue", "Red"], labels=("Blue", "Red", "White")).worst == 3


def test_plain_numbers_need_a_direction():
    """Without higher_is_better plain numbers are refused, and beyond 5 the ends must be declared too."""
    assert scale([1, 2, 3]) == ScaleFault(
        "rating_direction", "The ratings are plain numbers, and nothing tells whether 1 or 5 is the best.",
        "Write best = 1 and worst = 5, or best = 5 and worst = 1, beside the file in study.toml.",
    )  # fmt: skip
    assert scale([1, 2, 35], higher_is_better=True) == ScaleFault(
        "rating_direction", "The ratings are not all from 1 to 5, so that the ends of the scale must be known.",
        "Write its best and its worst number in study.toml, such as best = 35 and worst = 0.",
    )  # fmt: skip
    low, high = scale([1, 2], higher_is_better=False), scale([1, 2], higher_is_better=True)
    assert (low.best, low.worst, high.best, high.worst) == (1, 5, 5, 1)
    assert scale([30], best=35, worst=0).higher_is_better


def test_declarations_that_contradict():
    """Words cannot be better when higher, and the ends must fit the direction."""
    assert scale(["Superior"], higher_is_better=True) == ScaleFault(
        "rating_direction", "Words are numbered from 1 for the best, but higher_is_better is declared.",
        "Take higher_is_better out of study.toml.",
    )  # fmt: skip
    assert scale([1], best=1, worst=5, higher_is_better=True) == ScaleFault(
        "rating_direction", "best = 1 and worst = 5 do not fit higher_is_better.", "Correct them in study.toml."
    )


def test_words_of_no_known_scale():
    """Unknown words, and labels of two scales in one column, are refused until their order is listed."""
    assert scale(["Platinum", "Diamond"]) == ScaleFault(
        "grades_order", 'The ratings "Platinum" are not of one scale that the kit knows.',
        'List the words from best to worst in study.toml, such as labels = ["Gold", "Silver", "Bronze"].',
    )  # fmt: skip
    assert scale(["Gold", "II"]).why == "grades_order"
    assert numbers(["Diamond", "Platinum"], labels=("Platinum", "Diamond")) == [2, 1]


@pytest.mark.parametrize(
    ("signs", "expected", "faults"),
    [("", [None] * 3, ["unclear_mark"] * 3), ("thirds", [7 / 3, 5 / 3, None], ["", "", "unknown_rating"]),
     ("ignored", [2, 2, 1], [""] * 3)],
)  # fmt: skip
def test_signs(signs, expected, faults):
    """A sign is unclear, a third of a rating, or nothing, as declared; better than the best is no rating."""
    values = ["II-", "2+", "I+"]
    found = [read_rating(value, scale([*values, "II"], signs=signs)) for value in values]
    assert [rating.value for rating in found] == [value and pytest.approx(value) for value in expected]
    assert [rating.fault for rating in found] == faults


def test_a_plus_is_better_whichever_way_the_numbers_run():
    """Where 5 is best, a plus adds a third."""
    assert read_rating("4+", RatingScale(best=5, worst=1, signs="thirds")).value == pytest.approx(13 / 3)


def test_halves():
    """Half a rating is unclear; half a point of a long scale counts."""
    short, long = RatingScale(best=1, worst=5), RatingScale(best=35, worst=0)
    assert [read_rating(value, short).fault for value in (1.5, "1½", "1,5")] == ["unclear_mark"] * 3
    assert [read_rating(value, long).value for value in (31.5, "31½", "31,5")] == [31.5] * 3


@pytest.mark.parametrize("value", ["DNS", "co", "Comments only", "not rated", "n/a", None, ""])
def test_not_rated(value):
    """Did not sing and comments only are no ratings, and no faults."""
    rating = read_rating(value, RatingScale(best=1, worst=5))
    assert (rating.value, rating.not_rated, rating.fault) == (None, True, "")


@pytest.mark.parametrize("value", ["l", "11", 6, 0, "Superb", "A", "x"])
def test_unknown_among_plain_numbers(value):
    """Among plain numbers an l is no numeral, and numbers beyond the ends are no ratings."""
    assert read_rating(value, RatingScale(best=1, worst=5)) == Rating(fault="unknown_rating")


def test_an_absence_among_numerals():
    """A lone A among numerals is no letter of a scale; it is set aside."""
    assert numbers(["I", "II", "A"]) == [1, 2, None]


@settings(max_examples=50, deadline=None)
@given(st.one_of(st.none(), st.integers(-5, 50), st.floats(allow_infinity=False), st.text(max_size=6)))
def test_every_rating_lies_on_its_scale(value):
    """A rating that is read lies between the ends; every other cell is not rated or faulty."""
    rating = read_rating(value, RatingScale(best=1, worst=5, labels={"i": 1.0}, roman=True, signs="thirds"))
    assert [rating.value is not None, rating.not_rated, bool(rating.fault)].count(True) == 1
    assert rating.value is None or 1 <= rating.value <= 5
