"""Lining up: one row a student, and which of several marks counts."""

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import UnknownChoiceError
from kit.questions.pairs import COLUMNS, line_up
from tests.questions.worlds import choir_of, lined_up, pairs_of, scores, students


def mark(points=None, *, occasion="pre", student="a", **more) -> dict:
    """Make one mark out of 20."""
    return {"student": student, "occasion": occasion, "points": points, "max_points": 20, **more}


def test_everybody_has_one_row():
    """Students of the roster without marks, and with marks but not on the roster, are all there once."""
    people, marks = choir_of([5, None], [7, 8])
    marks.append({"student": "X", "occasion": "post", "points": 3, "max_points": 20, "choir": "Bass"})
    pairs = lined_up([*people, {"student": "N", "choir": "Bass"}], marks)
    assert tuple(pairs.columns) == COLUMNS
    assert list(pairs.student) == ["S000", "S001", "N", "X"]
    assert list(pairs.enrolled) == [True, True, True, False]
    assert list(pairs.choir) == ["Treble 2", "Treble 2", "Bass", "Bass"]
    assert list(pairs.pre_missing) == ["", "absent", "unspecified", "unspecified"]
    assert list(pairs.post_missing) == ["", "", "unspecified", ""]
    assert list(pairs.post_points.fillna(-1)) == [7, 8, -1, 3]
    assert list(pairs.post_share.fillna(-1)) == [0.35, 0.4, -1, 0.15]
    assert list(pairs.post_max.fillna(-1)) == [20, 20, -1, 20]


def test_without_a_roster_everybody_is_enrolled():
    """Where no roster was given, everyone who appears is taken to be on it."""
    assert list(lined_up([], [mark(5), mark(6, student="b")]).enrolled) == [True, True]


def test_other_measures_and_occasions_are_not_looked_at():
    """Only marks of the measure and of the two occasions count, for rows and for marks."""
    marks = [mark(5), mark(9, measure="rhythm"), mark(6, occasion="later", student="b")]
    pairs = lined_up([], marks)
    assert list(pairs.student) == ["a"]
    assert list(pairs.pre_points) == [5]


@pytest.mark.parametrize(("attempt", "expected"), [("first", 5), ("last", 8), ("best", 9), ("mean", 22 / 3)])
def test_attempts(attempt, expected):
    """The declared one of several marks counts, whatever the order of rows."""
    marks = [mark(9, attempt=2), mark(8, attempt=3), mark(5, attempt=1)]
    assert lined_up([], marks, attempt=attempt).pre_points.tolist() == [pytest.approx(expected)]


def test_a_mark_goes_before_an_absence():
    """Absent first and marked later is marked, whatever the attempt that counts."""
    marks = [mark(missing_reason="absent", attempt=1), mark(9, attempt=2), mark(missing_reason="voice", attempt=3)]
    for attempt in ("first", "last", "best", "mean"):
        pairs = lined_up([], marks, attempt=attempt)
        assert (pairs.pre_points.tolist(), pairs.pre_missing.tolist()) == ([9], [""])


def test_a_true_zero_is_a_mark():
    """Zero points are counted as a score, never as an absence."""
    pairs = pairs_of([0, 5], [0, 6])
    assert list(pairs.pre_points) == [0, 5]
    assert list(pairs.pre_missing) == ["", ""]


def test_the_best_of_attempts_with_different_maxima_is_the_highest_share():
    """18 of 24 is less than 16 of 20."""
    marks = [mark(18, attempt=1, max_points=24), mark(16, attempt=2, max_points=20)]
    pairs = lined_up([], marks, attempt="best")
    assert (pairs.pre_points.tolist(), pairs.pre_max.tolist()) == ([16], [20])


def test_the_mean_of_attempts_with_different_maxima_has_no_points():
    """Points out of 20 and out of 24 have no average; their shares have."""
    marks = [mark(12, attempt=1, max_points=24), mark(16, attempt=2, max_points=20)]
    pairs = lined_up([], marks, attempt="mean")
    assert pairs.pre_share.tolist() == [pytest.approx(0.65)]
    assert pairs[["pre_points", "pre_max"]].isna().all(axis=None)


def test_several_raters_of_one_test_need_a_word():
    """The kit does not choose between two raters; it asks, with their names."""
    marks = [mark(9, rater="JM"), mark(11, rater="KB")]
    with pytest.raises(UnknownChoiceError) as refused:
        lined_up([], marks)
    assert str(refused.value) == "line_up: rater must be one of 'JM', 'KB'. Got ''."
    with pytest.raises(UnknownChoiceError) as refused:
        lined_up([], marks, rater="BK")
    assert str(refused.value) == "line_up: rater must be one of 'JM', 'KB'. Got 'BK'."
    pairs = lined_up([], marks, rater="KB")
    assert (pairs.pre_rater.tolist(), pairs.pre_points.tolist()) == (["KB"], [11])


def test_raters_of_different_students_need_no_word():
    """Where each student was marked by one rater there is nothing to choose."""
    pairs = lined_up([], [mark(9, rater="JM"), mark(11, rater="KB", student="b")])
    assert pairs.pre_points.tolist() == [9, 11]
    assert lined_up([], [mark(9), mark(11, student="b")], rater="KB").pre_points.tolist() == [9, 11]


def test_a_student_marked_only_by_other_raters_is_not_left_out_in_silence():
    """Two marks, and neither by the rater who counts: refused with the raters' names."""
    marks = [mark(9, rater="JM"), mark(11, rater="LM"), mark(5, rater="KB", student="b")]
    with pytest.raises(ValueError, match="line_up") as refused:
        lined_up([], marks, rater="KB")
    assert str(refused.value) == (
        "line_up: a student marked by several raters must have a mark by 'KB'. Got marks by 'JM', 'LM'."
    )


def test_a_misspelt_word_is_refused_with_the_list():
    """Options are words; a wrong one is told with the right ones."""
    with pytest.raises(UnknownChoiceError) as refused:
        lined_up([], [], attempt="frist")
    assert str(refused.value) == "line_up: attempt must be one of 'first', 'last', 'best', 'mean'. Got 'frist'."
    with pytest.raises(UnknownChoiceError) as refused:
        line_up(students([]), scores([mark(5)]), measure="pitch", pre="pre", post="post")
    assert str(refused.value) == "line_up: measure must be one of 'total'. Got 'pitch'."


def test_no_consent_means_left_out_of_everything():
    """Students who refuse consent have no row and are counted beside the table; unknown consent stays."""
    people, marks = choir_of([5, 6, 7], [7, 8, 9])
    people[0]["consent"], people[1]["consent"] = False, True
    pairs = lined_up(people, marks)
    assert list(pairs.student) == ["S001", "S002"]
    assert pairs.attrs == {"measure": "total", "no_consent": 1, "also_marked": 0}


def test_a_student_of_two_choirs_stands_in_the_first():
    """A second roster row does not make a second student."""
    people, marks = choir_of([5], [7])
    pairs = lined_up([*people, {**people[0], "choir": "Chamber"}], marks)
    assert list(pairs.choir) == ["Treble 2"]


def test_choir_of_those_not_on_the_roster():
    """Without a roster the first mark names the choir, and the second where the first does not."""
    marks = [mark(5, choir="A"), mark(6, occasion="post", choir="B"), mark(7, occasion="post", student="b", choir="B")]
    pairs = lined_up([], marks)
    assert (list(pairs.choir), list(pairs.post_choir)) == (["A", "B"], ["B", "B"])


def test_nobody_at_all():
    """Empty tables give a table without rows and with every column."""
    assert (len(lined_up([], [])), tuple(lined_up([], []).columns)) == (0, COLUMNS)


points = st.one_of(st.none(), st.integers(0, 20))


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(points, points), min_size=1, max_size=12), st.randoms(use_true_random=False))
def test_order_of_rows_is_nothing(rows, random):
    """Shuffled score and roster rows line up to the same pairs."""
    people, marks = choir_of(*zip(*rows, strict=True))
    expected = lined_up(people, marks)
    random.shuffle(people)
    random.shuffle(marks)
    found = lined_up(people, marks).sort_values("student", ignore_index=True)
    pd.testing.assert_frame_equal(found, expected)


def test_tests_with_marks_of_several_raters_are_counted():
    """A test that two raters marked is counted once, whoever's mark is taken."""
    people, marks = choir_of([5, 6, 7], [7, 8, 9])
    second = [mark | {"rater": "KB"} for mark in marks[:2]]
    first = [mark | {"rater": "JM"} for mark in marks]
    assert lined_up(people, [*first, *second], rater="JM").attrs["also_marked"] == 2
