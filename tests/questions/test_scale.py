"""On which scale two tests are compared, and who has marks on it."""

import pandas as pd

from kit.questions import scale as scales
from kit.questions.scale import Scale, choirs_of, measure_of, paired_marks, scale
from tests.questions import worlds
from tests.questions.worlds import lined_up, pairs_of


def test_one_maximum_is_told_in_points():
    """20 points both times: points, and nothing to explain."""
    assert scale(pairs_of([5, 6], [7, 8])) == Scale("points", 20.0, "")


def test_different_maxima_are_told_in_shares():
    """20 points before and 24 after are different tests: shares of the points, and why."""
    pairs = pairs_of([10, 12], [12, 18], most_after=24)
    assert scale(pairs) == Scale("share", 1.0, scales.MAXIMA_DIFFER)
    _, pre, post = paired_marks(pairs)
    assert (pre.tolist(), post.tolist()) == ([0.5, 0.6], [0.5, 0.75])


def test_unknown_maxima_are_taken_to_be_the_same_and_that_is_said():
    """Without any maximum the unit is points, without a top, and a sentence says what is assumed."""
    assert scale(pairs_of([5, 6], [7, 8], most=None)) == Scale("points", None, scales.MAXIMUM_UNKNOWN)


def test_marks_given_as_shares_are_compared_as_shares():
    """A percentage without points has no points; one of them makes the whole table shares."""
    marks = [
        {"student": "a", "occasion": "pre", "share": 0.5}, {"student": "a", "occasion": "post", "share": 0.8},
        {"student": "b", "occasion": "pre", "points": 5, "max_points": 20},
        {"student": "b", "occasion": "post", "points": 8},
    ]  # fmt: skip
    pairs = lined_up([], marks)
    assert scale(pairs) == Scale("share", 1.0, scales.ONLY_SHARES + scales.WITHOUT_SHARE)
    _, pre, post = paired_marks(pairs)
    assert (pre.tolist()[0], post.tolist()[0]) == (0.5, 0.8)
    assert pre.isna().tolist() == post.isna().tolist() == [False, True]


def test_the_maximum_of_students_tested_once_is_nothing():
    """Only students tested both times decide, as long as there are any."""
    people, marks = worlds.choir_of([5, 6], [7, None])
    marks[2]["max_points"] = 24
    assert scale(lined_up(people, marks)).unit == "points"
    marks[1] = {"student": "S000", "occasion": "post", "missing_reason": "absent"}
    assert scale(lined_up(people, marks)).unit == "share"


def test_no_marks():
    """Without marks the scale says so."""
    assert scale(pairs_of([None], [None])) == Scale("points", None, scales.NO_MARKS)


def test_who_has_marks():
    """Tested means a mark, at that test or at both; the other mark of a student tested once is not used."""
    pairs = pairs_of([5, None, 6], [7, 8, None])
    assert scales.tested(pairs, "pre").tolist() == [True, False, True]
    assert scales.tested_both(pairs).tolist() == [True, False, False]
    _, pre, post = paired_marks(pairs)
    assert pre.isna().tolist() == post.isna().tolist() == [False, True, True]


def test_choirs_are_those_tested_both_times():
    """A choir whose students have one mark each is not there, and neither is no choir."""
    pairs = worlds.choirs_of(("B", "", [5], [6]), ("A", "", [5], [6]), ("C", "", [5], [None]), ("", "", [5], [6]))
    assert choirs_of(pairs) == ("A", "B")


def test_the_name_of_the_measure_survives_filters_and_copies():
    """What was marked stands beside the table and goes with it."""
    pairs = pairs_of([5, 6], [7, 8])
    pairs.attrs["measure"] = "rhythm"
    kept = pairs[pairs["pre_points"] > 5].copy().assign(choir="Bass").reset_index(drop=True)
    assert measure_of(kept) == "rhythm"
    assert measure_of(pd.DataFrame()) == "score"
