"""Do raters agree, is one milder, and does that change between the tests."""

import numpy as np
import pytest
from sklearn.metrics import cohen_kappa_score

from kit.questions import quality
from kit.questions.answers import STUDENTS_ALIKE
from kit.questions.quality.choirs import EACH_CHOIR_ONCE, NAMELESS
from kit.questions.quality.raters import (
    A_ROLE,
    DRIFT_OF_STUDENTS,
    FEW_STUDENTS,
    NO_SECOND_MARKS,
    NOTES_OF_ONE_STUDENT,
    ONE_RATER,
)
from kit.stats.agreement.categories import kappa_weighted
from kit.stats.agreement.intraclass import ONLY_THESE, icc_average, icc_single
from kit.stats.means import mean_difference_welch, mean_gain
from tests.questions.sung import TESTS, items, marked_by, notes_of, roster, singers
from tests.questions.worlds import named, scores

SHROUT_FLEISS = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
"""Shrout and Fleiss (1979), Psychological Bulletin 86, table 2: six targets, four judges."""
ABOUT = "total, KB minus JM, "
KB, JM = [12, 15, 9, 17, 11, 14], [11, 15, 10, 14, 9, 12]
KB_LATER, JM_LATER = [16, 18, 12, 19, None, 15], [13, 15, 11, 17, 10, None]


def agree(marks, **options):
    """Ask how raters agree; the first one counts."""
    given, pairs = marked_by(marks, **options)
    return quality.raters_agree(given, pairs, tests=TESTS, rater=next(iter(marks))[1])


def test_four_judges_have_the_published_agreement():
    """Both ICC of four judges are those that Shrout and Fleiss print in table 4: .29 and .62."""
    judges = {("pre", name): [row[at] for row in SHROUT_FLEISS] for at, name in enumerate("KLMN")}
    found = named(agree(judges))
    about = "total, all raters, first test"
    assert round(found["icc_single", about].value, 2) == 0.29
    assert round(found["icc_average", about].value, 2) == 0.62
    assert found["icc_single", about].value == icc_single(SHROUT_FLEISS, about="x").value
    assert len({one for name, one in found if name == "agreement_bias"}) == 6


def test_two_raters():
    """Bias is positive where the rater whose marks count gives more; limits and agreement stand beside it."""
    found = named(agree({("pre", "KB"): KB, ("pre", "JM"): JM}))
    bias = found["agreement_bias", ABOUT + "first test"]
    more = np.subtract(KB, JM)
    assert bias.value == pytest.approx(more.mean(), rel=1e-12)
    assert (bias.n, bias.counted, bias.interval is not None) == (6, "students", True)
    for end, sign in (("low", -1), ("high", 1)):
        limit = found[f"limit_of_agreement_{end}", ABOUT + "first test"].value
        assert limit == pytest.approx(more.mean() + sign * 1.959963985 * more.std(ddof=1), rel=1e-9)
    table = np.column_stack([KB, JM])
    assert found["icc_single", ABOUT + "first test"].value == icc_single(table, about="x").value
    assert found["icc_average", ABOUT + "first test"].value == icc_average(table, about="x").value
    assert found["percent_agreement", ABOUT + "first test"].value == pytest.approx(1 / 6)
    assert found["correlation", ABOUT + "first test"].value == pytest.approx(np.corrcoef(KB, JM)[0, 1])
    assert ("kappa_weighted", ABOUT + "first test") not in found  # seventeen is no step of a rubric


def test_the_other_way_round():
    """Where the other rater's marks count, bias and limits turn their sign."""
    one = named(agree({("pre", "KB"): KB, ("pre", "JM"): JM}))
    other = named(agree({("pre", "JM"): JM, ("pre", "KB"): KB}))
    turned = "total, JM minus KB, first test"
    assert other["agreement_bias", turned].value == -one["agreement_bias", ABOUT + "first test"].value
    low, high = one["limit_of_agreement_low", ABOUT + "first test"], other["limit_of_agreement_high", turned]
    assert high.value == pytest.approx(-low.value, rel=1e-12)


def test_marks_of_few_steps_have_a_weighted_kappa():
    """Ratings up to ten get squared weights, by their distance on the scale even where nobody gave the step between."""
    one, other = [1, 2, 3, 5, 5, 2], [1, 3, 3, 5, 3, 1]
    found = named(agree({("pre", "KB"): one, ("pre", "JM"): other}, most=5))["kappa_weighted", ABOUT + "first test"]
    assert found.value == kappa_weighted(one, other, weights="squared", categories=[1, 2, 3, 4, 5], about="x").value
    assert found.value == pytest.approx(
        cohen_kappa_score(one, other, weights="quadratic", labels=[1, 2, 3, 4, 5]), rel=1e-12
    )


def test_drift_in_one_choir():
    """How far the distance between raters changed is a difference of differences, of students heard at each test."""
    found = agree({("pre", "KB"): KB, ("pre", "JM"): JM, ("post", "KB"): KB_LATER, ("post", "JM"): JM_LATER})
    drift = named(found)["mean_difference_welch", ABOUT + "change between tests"]
    expected = mean_difference_welch([3, 3, 1, 2], np.subtract(KB, JM), about="x", unit="points")
    assert (drift.value, drift.interval, drift.p) == (expected.value, expected.interval, expected.p)
    assert drift.notes == (DRIFT_OF_STUDENTS,)
    assert drift.value > 0  # KB became milder


def test_each_choir_counts_once():
    """With several choirs bias and drift are means of choirs; the rest has no interval; who names no choir is told."""
    choirs = ["Bass", "Bass", "Bass", "Treble", "Treble", "", "Alto", "Alto"]
    first, second = [12, 15, 9, 17, 11, 14, 8, 10], [11, 15, 10, 14, 9, 12, 8, 9]
    later, later_too = [13, 15, 11, 18, 13, 15, 10, 12], [11, 14, 10, 14, 9, 12, 8, 9]
    found = agree({("pre", "own teacher"): first, ("pre", "JM"): second, ("post", "own teacher"): later,
                   ("post", "JM"): later_too}, choirs=choirs)  # fmt: skip
    by_name, about = named(found), "total, own teacher minus JM, "
    bias = by_name["agreement_bias", about + "first test"]
    assert bias.value == pytest.approx(np.mean([0, 2.5, 0.5]), rel=1e-12)
    assert (bias.n, bias.counted, bias.clusters) == (3, "choirs", 3)
    assert bias.notes == (EACH_CHOIR_ONCE.format(number=3), NAMELESS.format(number=1), A_ROLE)
    drift = by_name["mean_gain", about + "change between tests"]
    expected = mean_gain([0, 2.5, 0.5], [4 / 3, 4, 2.5], about="x", unit="points")
    assert (drift.value, drift.interval.low) == pytest.approx((expected.value, expected.interval.low), rel=1e-12)
    agreed = by_name["icc_single", about + "first test"]
    assert (agreed.interval, agreed.clusters, STUDENTS_ALIKE in agreed.notes) == (None, 3, True)


def test_second_marks_of_one_test_only():
    """Drift is left out, with the reason, where one of the tests was marked by one rater."""
    found = agree({("pre", "KB"): KB, ("pre", "JM"): JM, ("post", "KB"): KB_LATER})
    assert [(one.about, one.why) for one in found.left_out] == [(ABOUT + "change between tests", NO_SECOND_MARKS)]


def test_one_rater():
    """Without second marks nothing is known of agreement."""
    found = agree({("pre", "KB"): KB, ("post", "KB"): KB_LATER})
    assert (list(found), found.left_out[0].why) == ([], ONE_RATER)


def test_an_adjudicator_is_no_second_rater():
    """Marks that were given only where others disagreed say nothing about agreement."""
    both = {("pre", "KB"): KB, ("pre", "JM"): JM}
    third = {("pre", "adjudicator AB"): [None, None, 9, 16, None, None]}
    assert agree(both | third) == agree(both)


def test_marks_of_other_forms_or_attempts_are_no_second_marks():
    """Two raters who heard another form or another attempt did not mark the same test."""
    _, pairs = marked_by({("pre", "KB"): KB})
    rows = [{"student": f"S{at:03}", "occasion": "pre", "rater": "KB", "points": mark, "max_points": 20}
            for at, mark in enumerate(KB)]  # fmt: skip
    again = [row | {"rater": "JM"} for row in rows]
    for other in ({"form": "B"}, {"attempt": 2}):
        given = scores([*rows, *(row | other for row in again)])
        assert quality.raters_agree(given, pairs, tests=TESTS).left_out[0].why == ONE_RATER
    assert len(quality.raters_agree(scores([*rows, *again]), pairs, tests=TESTS)) > 0


def test_other_maxima_are_compared_as_shares():
    """Where the most points differ, raters are compared by shares of the points."""
    _, pairs = marked_by({("pre", "KB"): KB})
    rows = [
        {"student": f"S{at:03}", "occasion": "pre", "rater": rater, "points": 2 * mark if rater == "JM" else mark,
         "max_points": 40 if rater == "JM" else 20}
        for rater, marks in (("KB", KB), ("JM", JM)) for at, mark in enumerate(marks)
    ]  # fmt: skip
    found = quality.raters_agree(scores(rows), pairs, tests=TESTS, rater="KB")
    assert named(found)["percent_agreement", ABOUT + "first test"].value == pytest.approx(1 / 6)
    bias = found[0]
    assert (bias.unit, bias.value) == ("share", pytest.approx(np.subtract(KB, JM).mean() / 20, rel=1e-12))


def test_rounding_dust_is_no_disagreement():
    """Three of ten points and a share written as 0.1 + 0.2 are the same mark."""
    _, pairs = marked_by({("pre", "KB"): [3, 5, 6]})
    rows = [{"student": f"S{at:03}", "occasion": "pre", "rater": "KB", "points": mark, "max_points": 10}
            for at, mark in enumerate([3, 5, 6])] + [
        {"student": f"S{at:03}", "occasion": "pre", "rater": "JM", "share": share}
        for at, share in enumerate([0.1 + 0.2, 0.5, 0.7])
    ]  # fmt: skip
    found = named(quality.raters_agree(scores(rows), pairs, tests=TESTS, rater="KB"))
    assert found["percent_agreement", ABOUT + "first test"].value == pytest.approx(2 / 3)


def test_raters_of_one_student_leave_out_what_needs_more():
    """One student marked twice: too little is left out with its reason, nothing escapes."""
    found = agree({("pre", "KB"): [12], ("pre", "JM"): [10], ("post", "KB"): [14], ("post", "JM"): [11]})
    assert {one.name for one in found} == {"percent_agreement"}
    assert all(one.why.endswith(".") for one in found.left_out)


def test_raters_on_single_notes():
    """On notes the share alike and Cohen's kappa stand, notes are counted, and no interval pretends they are students."""
    one, other = singers(10), singers(10)
    other[:, :2] = 1 - other[:, :2]
    found = quality.notes_agree(items([*notes_of(one, rater="KB"), *notes_of(other, rater="JM")]), roster(10),
                                tests=TESTS, rater="KB")  # fmt: skip
    by_name, about = named(found), "total, single notes, KB and JM, first test"
    share, kappa = by_name["percent_agreement", about], by_name["kappa_weighted", about]
    assert share.value == pytest.approx(22 / 24)
    assert kappa.value == kappa_weighted(one.ravel(), other.ravel(), about="x").value
    for each in (share, kappa):
        assert (each.n, each.counted, each.interval) == (240, "notes", None)
        assert each.notes[-1] == NOTES_OF_ONE_STUDENT


def test_notes_marked_once_are_left_out():
    """One rater of notes, or none, is no agreement."""
    for rows in ([], notes_of(singers(5), rater="KB")):
        assert quality.notes_agree(items(rows), roster(5), tests=TESTS).left_out[0].why == ONE_RATER


def test_notes_of_few_students_are_left_out():
    """Notes of fewer students than are asked for are not told of, and the reason is."""
    rows = [*notes_of(singers(4), rater="KB"), *notes_of(singers(4), rater="JM")]
    few = quality.notes_agree(items(rows), roster(4), tests=TESTS, fewest=5)
    assert (list(few), few.left_out[0].why) == ([], FEW_STUDENTS.format(fewest=5))
    assert few.left_out[0].why == (
        "Fewer than 5 students have single notes that two people marked, too few to say how far they agree."
    )
    assert len(quality.notes_agree(items(rows), roster(4), tests=TESTS, fewest=4)) == 2


@pytest.mark.parametrize(("students", "told"), [(2, 0), (3, 2)])
def test_agreement_on_notes_of_fewer_than_three_students_is_never_told(students, told):
    """However few are asked for, notes of two students stay untold; three are enough."""
    rows = [*notes_of(singers(students), rater="KB"), *notes_of(singers(students), rater="JM")]
    found = quality.notes_agree(items(rows), roster(students), tests=TESTS, fewest=1)
    assert len(found) == told
    assert [one.why for one in found.left_out] == ([] if told else [FEW_STUDENTS.format(fewest=3)])


def test_ranges_of_agreement_are_those_of_the_jackknife():
    """Both ICC, the correlation and kappa have the interval that needs no normal marks, and say for whom it holds."""
    found = named(agree({("pre", "KB"): [3, 4, 2, 5, 3, 1, 4, 2], ("pre", "JM"): [3, 4, 3, 4, 2, 1, 4, 3]}))
    for name in ("icc_single", "icc_average", "correlation", "kappa_weighted"):
        assert found[name, ABOUT + "first test"].interval.method.startswith("jackknife")
    assert ONLY_THESE in found["icc_single", ABOUT + "first test"].notes
