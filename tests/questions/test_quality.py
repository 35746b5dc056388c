"""Can the test carry it: forms, raters, ceiling and floor, scoring noise."""

import numpy as np
import pytest
from statsmodels.stats.proportion import proportion_confint

from kit.questions import quality
from tests.questions.worlds import pairs_of


def test_forms_and_raters():
    """Same form, different form, mixed and unrecorded are told apart."""
    pairs = pairs_of([5, 6], [7, 8])
    assert quality.how_tested(pairs).same_form is None
    pairs["pre_form"], pairs["post_form"] = "A", "A"
    assert quality.how_tested(pairs).same_form is True
    pairs["post_form"] = "B"
    assert quality.how_tested(pairs).same_form is False
    pairs["post_form"] = ["A", "B"]
    assert quality.how_tested(pairs).same_form is None
    assert quality.how_tested(pairs).own_teacher_rated is None
    pairs["post_rater"] = "own teacher"
    assert quality.how_tested(pairs).own_teacher_rated is True
    pairs["pre_rater"], pairs["post_rater"] = "K", "L"
    facts = quality.how_tested(pairs)
    assert (facts.own_teacher_rated, facts.one_rater, facts.raters) == (False, False, ("K", "L"))


def test_maxima():
    """One maximum, two maxima, and none known."""
    pairs = pairs_of([5, 6], [7, 8])
    assert quality.how_tested(pairs).maxima == (20,)
    pairs["post_max"] = 24.0
    assert not quality.how_tested(pairs).one_maximum
    pairs["pre_max"] = pairs["post_max"] = np.nan
    assert quality.how_tested(pairs).maxima == ()


def test_ceiling_and_floor():
    """The share at the top has Wilson's interval, as statsmodels gives it."""
    found = {e.about: e for e in quality.ceiling_and_floor(pairs_of([20, 5, 0, 0], [20, 20, 20, None]))}
    top = found["total, top score, second test"]
    assert (top.value, top.n) == (1, 3)
    assert (top.interval.low, top.interval.high) == pytest.approx(proportion_confint(3, 3, method="wilson"))
    assert found["total, no points, first test"].value == 0.5


def test_scoring_noise():
    """SD 10 and reliability .84 give a standard error of 4 and a detectable change of 11.09 (AERA/APA/NCME formulas)."""
    pre = 50 + 10 * np.array([-1, 1] * 50) / np.std([-1, 1] * 50, ddof=1)
    error, change = quality.scoring_noise(pairs_of(pre, pre, most=100), reliability=0.84)
    assert (error.value, change.value) == pytest.approx((4, 11.087), abs=1e-3)
    assert quality.scoring_noise(pairs_of([5, 5], [5, 6]), reliability=0.5) == []


def test_students_beyond_noise():
    """Only a change larger than the detectable one is told from noise."""
    pairs = pairs_of([2, 18, 9, 5, 10], [12, 3, 9, 6, 11])
    _, change = quality.scoring_noise(pairs, reliability=0.8)
    counts = quality.changed_beyond_noise(pairs, change)
    assert [int(count.value) for count in counts] == [1, 3, 1]
