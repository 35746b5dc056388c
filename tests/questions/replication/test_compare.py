"""An original study beside ours."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import UnknownChoiceError
from kit.questions.replication.compare import compare
from kit.questions.replication.originals import original_size
from kit.questions.replication.ours import ours_of_gains
from kit.questions.replication.published import published_original
from kit.stats.studies.one_metric import Size, size_of_correlation, size_of_groups


def arm(d, n):
    """Make the size of two groups of n with this d, uncorrected, with its large-sample error."""
    per_t = math.sqrt(2 / n)
    return Size(value=d, error=math.sqrt(2 / n + d**2 / (4 * n)), metric="SD", n=2 * n, df=2.0 * n - 2, per_t=per_t)


ORIGINAL, OURS = arm(0.5, 30), arm(0.2, 40)


def named(compared):
    """Give the answers by name."""
    return {answer.name: answer for answer in compared.answers}


def test_the_worked_example():
    """An original d .50 of 30 in each group, then .20 of 40: prediction -.176 to 1.176, Q .7563, combined .327, d33 .399."""
    # worked with the formulas of Patil, Peng & Leek (2016), Hedges & Schauer (2019) and Simonsohn (2015); the open
    # package metafor gives the same Q and combined value, R's power.t.test the same d33
    compared = compare(ORIGINAL, OURS, rule="all_three", bound=0.3)
    answers = named(compared)
    ahead, both = answers["replication_prediction"].interval, answers["pooled_effect"]
    assert (ORIGINAL.error, OURS.error) == pytest.approx((0.2622, 0.2242), abs=6e-5)
    assert (ahead.low, ahead.high) == pytest.approx((-0.176, 1.176), abs=6e-4)
    assert (answers["replication_q"].value, answers["replication_q"].p) == pytest.approx((0.7563, 0.384), abs=6e-4)
    assert (both.value, both.interval.low, both.interval.high) == pytest.approx((0.327, -0.007, 0.661), abs=6e-4)
    assert compared.small_effect == pytest.approx(0.399, abs=6e-4)
    assert answers["small_telescopes"].p == pytest.approx(0.19, abs=6e-3)
    assert compared.ratio == pytest.approx(0.4)
    assert compared.power == pytest.approx(0.598, abs=6e-4)  # R: power.t.test(n = 40, delta = 0.5)
    assert compared.same_sign
    assert compared.verdict == "inconclusive"


@pytest.mark.parametrize(
    ("ours", "rule", "word"),
    [
        (arm(0.6, 100), "same_direction", "consistent"), (arm(-0.6, 100), "same_direction", "inconsistent"),
        (arm(0.2, 40), "prediction", "inconclusive"), (arm(0.5, 100), "prediction", "consistent"),
        (arm(-0.4, 100), "prediction", "inconsistent"), (arm(0.02, 400), "equivalence", "no_meaningful_effect"),
        (arm(0.02, 400), "small_telescopes", "too_small_for_the_original"), (arm(0.02, 400), "all_three", "no_meaningful_effect"),
        (arm(0.6, 100), "all_three", "consistent"), (arm(0.6, 100), "none_declared", "none_declared"),
    ],
)  # fmt: skip
def test_verdicts(ours, rule, word):
    """The verdict is that of the declared rule alone."""
    assert compare(ORIGINAL, ours, rule=rule, bound=0.2).verdict == word


@given(original=st.floats(0.05, 2), ours=st.floats(-2, 2), n=st.integers(5, 200), k=st.integers(5, 200),
       rule=st.sampled_from(["same_direction", "prediction", "equivalence", "small_telescopes", "all_three"]))  # fmt: skip
@settings(max_examples=40, deadline=None)
def test_turning_both_signs_changes_no_verdict(original, ours, n, k, rule):
    """An original that went the other way is judged alike, with our sign turned."""
    there = compare(arm(original, n), arm(ours, k), rule=rule, bound=0.2)
    back = compare(arm(-original, n), arm(-ours, k), rule=rule, bound=0.2)
    assert (back.verdict, back.same_sign, back.power) == (there.verdict, there.same_sign, there.power)
    assert named(back)["small_telescopes"].value == pytest.approx(named(there)["small_telescopes"].value)


def test_without_a_bound_there_is_no_equivalence():
    """Equivalence is tested only where a bound was declared, and a rule that needs one is refused without."""
    assert "equivalence" not in named(compare(ORIGINAL, OURS))
    assert compare(ORIGINAL, OURS).verdict == "none_declared"
    with pytest.raises(
        ValueError, match=r"^compare: rule 'all_three' needs the bound that was declared with it. Got none.$"
    ):
        compare(ORIGINAL, OURS, rule="all_three")


def test_an_error_that_knows_the_choirs_widens_everything():
    """A size given with the larger error of whole choirs widens prediction and difference."""
    wide = replace(OURS, error=0.4, df=6.0)
    narrow, wider = named(compare(ORIGINAL, OURS)), named(compare(ORIGINAL, wide))
    for name in ("replication_prediction", "replication_difference", "small_telescopes"):
        assert wider[name].interval.low < narrow[name].interval.low
        assert wider[name].interval.high > narrow[name].interval.high


def test_an_original_of_zero_has_no_ratio():
    """Nothing is so many times as large as nothing."""
    assert compare(replace(ORIGINAL, value=0.0), OURS).ratio is None


def test_a_published_study_can_be_repeated():
    """A published original goes all the way to the comparison with our scores, in its own metric."""
    original = original_size(published_original("Henry 2004"))
    ours = ours_of_gains([10, 12, 15, 9, 14, 11], [13, 14, 21, 9, 18, 16], metric=original.metric)
    compared = compare(original, ours, rule="prediction")
    assert {answer.unit for answer in compared.answers} == {"SD of gains", "Q"}
    assert compared.verdict in {"consistent", "inconclusive", "inconsistent"}


def test_refusals_are_said_in_full():
    """Sizes in two metrics and unknown rules are refused."""
    with pytest.raises(
        ValueError, match=r"^compare: ours must be in the metric of the original, 'SD'. Got \"Fisher's z\".$"
    ):
        compare(ORIGINAL, size_of_correlation(0.3, n=50))
    with pytest.raises(UnknownChoiceError) as word:
        compare(ORIGINAL, size_of_groups(2.0, n_program=9, n_comparison=9), rule="replicated")
    assert str(word.value).startswith("compare: rule must be one of 'same_direction', 'prediction', ")
    with pytest.raises(ValueError, match=r"^equivalence: bound must be a number above zero. Got -1.$"):
        compare(ORIGINAL, OURS, bound=-1)
