"""Who is counted: lining up, flow, reasons, leavers and stayers."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from kit.errors import UnknownChoiceError
from kit.questions import whom
from kit.questions.whom import line_up
from tests.questions.worlds import choir_of, pairs_of, scores, students


def numbers(counts) -> dict:
    """Counts by what they are about."""
    return {estimate.about: int(estimate.value) for estimate in counts}


def test_everybody_has_one_row():
    """Students of the roster without marks, and with marks but not on the roster, are all there once."""
    people, marks = choir_of([5, None], [7, 8])
    table = scores([*marks, {"student": "X", "occasion": "post", "points": 3, "max_points": 20, "choir": "Bass"}])
    pairs = line_up(students([*people, {"student": "N", "choir": "Bass"}]), table, measure="total", pre="pre", post="post")
    assert list(pairs.student) == ["S000", "S001", "N", "X"]
    assert list(pairs.enrolled) == [True, True, True, False]
    assert list(pairs.choir) == ["Treble 2", "Treble 2", "Bass", "Bass"]
    assert list(pairs.pre_missing) == ["", "absent", "unspecified", "unspecified"]
    assert list(pairs.post_points.fillna(-1)) == [7, 8, -1, 3]


@pytest.mark.parametrize(("attempt", "expected"), [("first", 5), ("last", 9), ("best", 9), ("mean", 7)])
def test_attempts(attempt, expected):
    """The declared one of several marks counts."""
    marks = [{"student": "a", "occasion": "pre", "points": p, "max_points": 20, "attempt": n} for n, p in ((1, 5), (2, 9))]
    pairs = line_up(students([{"student": "a"}]), scores(marks), measure="total", pre="pre", post="post", attempt=attempt)
    assert pairs.pre_points.tolist() == [expected]


def test_a_mark_goes_before_an_absence():
    """Absent first and marked later is marked, whatever the attempt that counts."""
    marks = [
        {"student": "a", "occasion": "pre", "missing_reason": "absent", "attempt": 1},
        {"student": "a", "occasion": "pre", "points": 9, "max_points": 20, "attempt": 2},
    ]
    pairs = line_up(students([{"student": "a"}]), scores(marks), measure="total", pre="pre", post="post")
    assert pairs.pre_points.tolist() == [9]


def test_several_raters_of_one_test_need_a_word():
    """The kit does not choose between two raters."""
    marks = [{"student": "a", "occasion": "pre", "points": 9, "rater": r} for r in ("JM", "KB")]
    with pytest.raises(UnknownChoiceError) as refused:
        line_up(students([{"student": "a"}]), scores(marks), measure="total", pre="pre", post="post")
    assert str(refused.value) == "line_up: rater must be one of 'JM', 'KB'. Got ''."
    chosen = line_up(students([{"student": "a"}]), scores(marks), measure="total", pre="pre", post="post", rater="KB")
    assert chosen.pre_rater.tolist() == ["KB"]


def test_a_misspelt_attempt_is_refused_with_the_list():
    """Options are words; a wrong one is told with the right ones."""
    with pytest.raises(UnknownChoiceError) as refused:
        line_up(students([]), scores([]), measure="total", pre="pre", post="post", attempt="frist")
    assert str(refused.value) == "line_up: attempt must be one of 'first', 'last', 'best', 'mean'. Got 'frist'."


def test_without_consent_nobody_is_counted():
    """Students who do not consent are left out of everything and counted once."""
    people, marks = choir_of([5, 6], [7, 8])
    people[0]["consent"] = False
    pairs = line_up(students(people), scores(marks), measure="total", pre="pre", post="post")
    assert list(pairs.student) == ["S001"]
    assert numbers(whom.flow(pairs))["left out: no consent to research"] == 1


def test_flow_and_reasons():
    """From the roster to both tests, and why marks are missing."""
    pairs = pairs_of([5, None, 6, None], [7, 8, None, None])
    assert numbers(whom.flow(pairs)) == {
        "on the roster": 4, "tested before": 2, "tested after": 2, "tested both times": 1,
        "tested before only": 1, "tested after only": 1, "tested neither time": 1,
    }  # fmt: skip
    assert numbers(whom.reasons(pairs)) == {"before: absent": 2, "after: absent": 2}


marks = st.lists(st.tuples(st.one_of(st.none(), st.integers(0, 20)), st.one_of(st.none(), st.integers(0, 20))), min_size=1, max_size=25)


@settings(max_examples=40, deadline=None)
@given(marks)
def test_flow_adds_up(rows):
    """Both, before only, after only and neither make up everybody."""
    found = numbers(whom.flow(pairs_of(*zip(*rows, strict=True))))
    parts = ("tested both times", "tested before only", "tested after only", "tested neither time")
    assert sum(found[part] for part in parts) == found["on the roster"] == len(rows)
    assert found["tested before"] == found["tested both times"] + found["tested before only"]


def test_leavers_against_stayers_is_welch():
    """The difference of first scores, both ends and n, equals scipy's Welch interval on the same rows."""
    pre = [5, 9, 12, 3, 8, 14, 2, 6, 4]
    post = [7, 9, 15, None, 9, 13, None, None, None]
    stay, leave, difference = whom.leavers_and_stayers(pairs_of(pre, post))
    ours = np.array(pre)[[p is None for p in post]], np.array(pre)[[p is not None for p in post]]
    expected = stats.ttest_ind(*ours, equal_var=False)
    low, high = expected.confidence_interval(0.95)
    assert (stay.value, stay.n, leave.value, leave.n) == (pytest.approx(9.6), 5, pytest.approx(3.75), 4)
    assert (difference.value, difference.interval.low, difference.interval.high) == pytest.approx((3.75 - 9.6, low, high))
    assert difference.p == pytest.approx(expected.pvalue)


def test_nobody_left():
    """Without leavers there is nothing to compare."""
    assert whom.leavers_and_stayers(pairs_of([5, 9], [7, 9])) == []
