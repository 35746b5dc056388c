"""Can the test carry it: forms, raters, ceiling and floor, scoring noise."""

from dataclasses import replace

import numpy as np
import pytest
from statsmodels.stats.proportion import proportion_confint

from kit.questions import quality
from kit.questions.answers import STUDENTS_ALIKE
from tests.questions.worlds import choirs_of, named, numbers, pairs_of


@pytest.mark.parametrize(
    ("pre", "post", "same", "forms"),
    [
        (["A", "A"], ["A", "A"], True, ("A",)),
        (["A", "B"], ["A", "B"], True, ("A", "B")),
        (["A", "A"], ["B", "B"], False, ("A", "B")),
        (["A", "B"], ["B", "A"], False, ("A", "B")),
        (["A", "A"], ["A", "B"], None, ("A", "B")),
        (["A", ""], ["A", ""], None, ("A",)),
        (["", ""], ["", ""], None, ()),
    ],
)
def test_forms(pre, post, same, forms):
    """The same form both times, another one, mixed and not recorded are told apart."""
    pairs = pairs_of([5, 6], [7, 8])
    pairs["pre_form"], pairs["post_form"] = pre, post
    found = quality.how_tested(pairs)
    assert (found.same_form, found.forms) == (same, forms)


@pytest.mark.parametrize(
    ("pre", "post", "own", "one"),
    [
        ("own teacher", "own teacher", True, True),
        ("KB", "Own Teacher", True, False),
        ("KB", "KB", False, True),
        ("KB", "JM", False, False),
        ("KB", "", None, None),
        ("own teacher", "", True, None),
        ("", "", None, None),
    ],
)
def test_raters(pre, post, own, one):
    """A mark by the own teacher is told wherever it is; that there is none only if every mark names its rater."""
    pairs = pairs_of([5, 6], [7, 8])
    pairs["pre_rater"], pairs["post_rater"] = pre, post
    found = quality.how_tested(pairs)
    assert (found.own_teacher_rated, found.one_rater) == (own, one)
    assert found.raters == tuple(sorted({pre, post} - {""}))


def test_maxima():
    """One maximum, two maxima, and none known."""
    assert quality.how_tested(pairs_of([5, 6], [7, 8])).maxima == (20,)
    two = quality.how_tested(pairs_of([5, 6], [7, 8], most_after=24))
    assert (two.one_maximum, two.maxima) == (False, (20, 24))
    unknown = quality.how_tested(pairs_of([5, 6], [7, 8], most=None))
    assert (unknown.one_maximum, unknown.maxima) == (True, ())


def test_students_tested_once_say_nothing_of_how_change_was_measured():
    """A form and a maximum of somebody without a second test do not count, as long as somebody has one."""
    pairs = pairs_of([5, 6], [7, None])
    pairs["pre_form"], pairs["post_form"] = ["A", "C"], ["A", ""]
    assert quality.how_tested(pairs).forms == ("A",)
    found = quality.how_tested(pairs[1:])
    assert (found.forms, found.same_form) == (("C",), None)


def test_ceiling_and_floor():
    """Shares at both ends count everyone tested on that day, with Wilson's interval as statsmodels gives it."""
    found = named(quality.ceiling_and_floor(pairs_of([20, 5, 0, 0], [20, 20, 19, None])))
    top = found["share_wilson", "total, top score, second test"]
    low, high = proportion_confint(2, 3, method="wilson")
    assert (top.value, top.n, top.interval.low, top.interval.high) == pytest.approx((2 / 3, 3, low, high))
    assert found["share_wilson", "total, top score, first test"].value == 0.25
    assert found["share_wilson", "total, no points, first test"].value == 0.5
    assert found["share_wilson", "total, no points, second test"].value == 0


def test_without_a_maximum_there_is_no_top_and_still_a_bottom():
    """Nobody can be said to be at the top of an unknown scale; no points are no points."""
    found = quality.ceiling_and_floor(pairs_of([20, 0], [20, 20], most=None))
    assert [(share.about, share.value) for share in found] == [
        ("total, no points, first test", 0.5), ("total, no points, second test", 0),
    ]  # fmt: skip
    assert {entry.why for entry in found.left_out} == {"The most points that could be earned are not known."}


def test_everyone_at_the_ceiling():
    """All at the top is a share of one, with an interval below it."""
    top = named(quality.ceiling_and_floor(pairs_of([20] * 6, [20] * 6)))[
        "share_wilson", "total, top score, second test"
    ]
    assert (top.value, top.interval.high) == (1, pytest.approx(1))
    assert top.interval.low == pytest.approx(proportion_confint(6, 6, method="wilson")[0])


def test_ceiling_of_several_choirs_has_no_interval():
    """Students of one choir are alike: the share is given, its interval is not."""
    for share in quality.ceiling_and_floor(choirs_of(("A", "", [20, 3], [20, 5]), ("B", "", [4, 3], [20, 5]))):
        assert (share.interval, share.clusters, share.notes[-1]) == (None, 2, STUDENTS_ALIKE)


def test_nobody_tested_has_no_ceiling():
    """Without marks every share is left out with its reason."""
    found = quality.ceiling_and_floor(pairs_of([None], [None]))
    assert (len(found), len(found.left_out)) == (0, 4)
    assert found.left_out[0].why == "The share of students needs 1 student. total, top score, first test has 0."


def test_scoring_noise():
    """SD 10 and reliability .84 give a standard error of 10 sqrt(.16) = 4 and a detectable change of 1.96 sqrt(2) 4."""
    pre = 50 + 10 * np.array([-1, 1] * 50) / np.std([-1, 1] * 50, ddof=1)
    error, change = quality.scoring_noise(pairs_of(pre, pre, most=100), reliability=0.84)
    assert (error.value, change.value) == pytest.approx((4, 11.0872), abs=1e-4)
    assert (error.name, change.name) == ("standard_error_of_measurement", "detectable_change")
    assert {estimate.about for estimate in (error, change)} == {"total, one student"}


@pytest.mark.parametrize(("pre", "why"), [
    ([5, 5], "All first scores are the same, so their noise cannot be told."),
    ([5], "The noise in one score needs 2 students with a score. total, one student has 1."),
    ([], "The noise in one score needs 2 students with a score. total, one student has 0."),
])  # fmt: skip
def test_noise_that_cannot_be_told(pre, why):
    """Without spread, or with one student, nothing is said of noise, and why."""
    found = quality.scoring_noise(pairs_of(pre, pre), reliability=0.5)
    assert (list(found), found.left_out[0].why) == ([], why)


def test_students_beyond_noise():
    """Only a change larger than the detectable one is told from noise; the three counts make up everyone."""
    pairs = pairs_of([2, 18, 9, 5, 10, 7], [12, 3, 9, 6, 11, None])
    counts = quality.changed_beyond_noise(pairs, quality.scoring_noise(pairs, reliability=0.8))
    assert numbers(counts) == {
        "rose by more than scoring noise": 1, "changed too little to tell": 3, "fell by more than scoring noise": 1,
    }  # fmt: skip
    assert {count.n for count in counts} == {5}


def test_a_change_as_large_as_the_noise_is_too_little_to_tell():
    """A change must be larger than the detectable one, in either direction, to count."""
    pairs = pairs_of([5, 9, 12], [8, 6, 12])
    edge = [replace(quality.scoring_noise(pairs, reliability=0.8)[1], value=3.0)]
    assert numbers(quality.changed_beyond_noise(pairs, edge))["changed too little to tell"] == 3


def test_without_noise_nobody_is_told_from_it():
    """No reliability given: no noise, with the reason, and no counts of students."""
    pairs = pairs_of([5, 6], [7, 8])
    noise = quality.scoring_noise(pairs, reliability=None)
    assert [entry.why for entry in noise.left_out] == ["No reliability of this test is given."]
    assert quality.changed_beyond_noise(pairs, noise) == []


def test_noise_of_another_unit_is_refused():
    """A detectable change in points says nothing about shares."""
    noise = quality.scoring_noise(pairs_of([5, 6, 9], [7, 8, 9]), reliability=0.8)
    with pytest.raises(ValueError, match="changed_beyond_noise") as refused:
        quality.changed_beyond_noise(pairs_of([5, 6], [7, 8], most_after=24), noise)
    assert str(refused.value) == "changed_beyond_noise: noise must be in share. Got 'points'."
