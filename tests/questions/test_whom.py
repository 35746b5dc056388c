"""Who is counted: flow, reasons, leavers and stayers, changes of choir."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from kit.questions import whom
from kit.questions.answers import STUDENTS_ALIKE
from tests.questions.worlds import choir_of, choirs_of, lined_up, numbers, pairs_of


def test_flow_and_reasons():
    """From the roster to both tests, and why marks are missing."""
    pairs = pairs_of([5, None, 6, None], [7, 8, None, None])
    assert numbers(whom.flow(pairs)) == {
        "on the roster": 4, "tested before": 2, "tested after": 2, "tested both times": 1,
        "tested before only": 1, "tested after only": 1, "tested neither time": 1,
    }  # fmt: skip
    assert {(estimate.name, estimate.n, estimate.counted) for estimate in whom.flow(pairs)} == {
        ("count", 4, "students")
    }
    assert numbers(whom.reasons(pairs)) == {"before: absent": 2, "after: absent": 2}


def test_without_a_roster_the_flow_says_so():
    """Nobody listed anybody, so students without any mark are not seen; with a roster nothing is noted."""
    marks = [{"student": "a", "occasion": "pre", "points": 3.0}]
    pairs = lined_up([], marks)
    assert len(whom.flow(pairs)[0].notes) == 1
    pairs.attrs["listed"] = False
    first, *rest = whom.flow(pairs)
    assert (first.value, first.notes[1:]) == (1, (whom.NO_ROSTER,))
    assert all(len(one.notes) == 1 for one in rest)


def test_reasons_are_told_in_words_and_kept_apart():
    """Each reason is a line of its own, in the order of the list of reasons."""
    marks = [
        {"student": "a", "occasion": "pre", "missing_reason": "not_enrolled"},
        {"student": "b", "occasion": "pre", "missing_reason": "absent"},
    ]
    assert numbers(whom.reasons(lined_up([], marks))) == {
        "before: absent": 1, "before: not enrolled": 1, "after: unspecified": 2,
    }  # fmt: skip


def test_refused_consent_and_unlisted_students_are_told_where_there_are_any():
    """Two more counts stand in the flow only if somebody belongs to them."""
    people, marks = choir_of([5, 6], [7, 8])
    people[0]["consent"] = False
    found = numbers(whom.flow(lined_up(people, [*marks, {"student": "X", "occasion": "post", "points": 3}])))
    assert (
        found["left out: no consent to research"],
        found["not on the roster"],
        found["on the roster"],
    ) == (1, 1, 1)
    assert found["tested after only"] == 1


points = st.one_of(st.none(), st.integers(0, 20))


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(points, points), min_size=1, max_size=20))
def test_flow_adds_up(rows):
    """Both, before only, after only and neither make up the roster, and so do reasons and marks."""
    pairs = pairs_of(*zip(*rows, strict=True))
    found = numbers(whom.flow(pairs))
    parts = ("tested both times", "tested before only", "tested after only", "tested neither time")
    assert sum(found[part] for part in parts) == found["on the roster"] == len(rows)
    assert found["tested before"] == found["tested both times"] + found["tested before only"]
    assert found["tested after"] == found["tested both times"] + found["tested after only"]
    for when in ("before", "after"):
        missing = [count for about, count in numbers(whom.reasons(pairs)).items() if about.startswith(f"{when}: ")]
        assert sum(missing) + found[f"tested {when}"] == len(rows)


PRE, POST = [5, 9, 12, 3, 8, 14, 2, 6, 4], [7, 9, 15, None, 9, 13, None, None, None]


def test_leavers_against_stayers_is_welch():
    """The difference of first scores, both ends, p and n equal scipy's Welch test on the same rows."""
    stay, leave, difference = whom.leavers_and_stayers(pairs_of(PRE, POST))
    left, stayed = (
        [pre for pre, post in zip(PRE, POST, strict=True) if (post is None) is gone] for gone in (True, False)
    )
    expected = stats.ttest_ind(left, stayed, equal_var=False)
    low, high = expected.confidence_interval(0.95)
    assert (stay.value, stay.n, leave.value, leave.n) == (pytest.approx(9.6), 5, pytest.approx(3.75), 4)
    assert (difference.value, difference.interval.low, difference.interval.high) == pytest.approx(
        (3.75 - 9.6, low, high)
    )
    assert (difference.p, difference.n) == (pytest.approx(expected.pvalue), 9)
    assert difference.about == "total, first test, tested before only minus tested both times"


def test_leavers_of_several_choirs_have_no_interval():
    """Students of one choir are alike, so a difference across choirs is given without interval and p."""
    pairs = choirs_of(("A", "", [5, 9, 12, 3], [7, 9, 15, None]), ("B", "", [8, 14, 2], [9, 13, None]))
    difference = whom.leavers_and_stayers(pairs)[2]
    assert (difference.interval, difference.p, difference.clusters, difference.notes) == (
        None,
        None,
        2,
        (STUDENTS_ALIKE,),
    )
    assert difference.value == pytest.approx(np.mean([3, 2]) - np.mean([5, 9, 12, 8, 14]))


def test_nobody_left():
    """Without leavers there is nothing to compare, and that is said."""
    answers = whom.leavers_and_stayers(pairs_of([5, 9, None], [7, 9, 4]))
    assert answers == []
    assert [entry.why for entry in answers.left_out] == ["Nobody was tested before only."]


def test_one_leaver():
    """One student who left is no group: the score is given, the difference is left out with its reason."""
    answers = whom.leavers_and_stayers(pairs_of([5, 9, 7], [7, 9, None]))
    assert [(answer.name, answer.value, answer.n) for answer in answers] == [("mean_score", 7, 2), ("mean_score", 7, 1)]
    assert [entry.why for entry in answers.left_out] == [
        "A difference needs at least 2 students tested both times and 2 tested before only."
    ]


def test_a_second_mark_in_another_choir_leaves_the_student_in_the_first():
    """The student stays with the choir of the roster."""
    people, marks = choir_of([5, 6, 7], [7, 8, None])
    marks[1]["choir"] = "Bass"
    marks[3]["choir"] = "Treble 2"
    pairs = lined_up(people, marks)
    assert set(pairs.choir) == {"Treble 2"}


def test_a_flow_with_hidden_counts_is_not_drawn():
    """All counts give the picture; the roster and those tested twice alone give none."""
    counts = whom.flow(pairs_of([1, 2, None], [3, None, 4]))
    assert whom.whole(counts) == counts
    assert whom.whole([one for one in counts if one.about in ("on the roster", "tested both times")]) == []
