"""What an original study printed, and the size that follows from it."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.stats

from kit.errors import UnknownChoiceError
from kit.questions.answers import LeftOut
from kit.questions.replication.originals import (
    NO_DIRECTION,
    NOTHING_PRINTED,
    Original,
    correlation_of_tests,
    original_effect,
    original_size,
    signed_t,
)
from kit.stats.effects.sizes import d_average, hedges_g

PROGRAM = np.array([14.0, 18, 16, 17, 12, 19, 15])
COMPARISON = np.array([11.0, 16, 12, 15, 13, 10])
T = scipy.stats.ttest_ind(PROGRAM, COMPARISON).statistic


def groups(**printed):
    """Make an original study of two groups."""
    return Original(study="Original", design="two_groups", n=(7, 6), **({"direction": "higher"} | printed))


def gains(**printed):
    """Make an original study of one group."""
    return Original(study="Original", design="one_group", n=(38,), **({"direction": "higher"} | printed))


@pytest.mark.parametrize(
    "printed",
    [
        {"means": tuple(f"{g.mean():.9f}" for g in (PROGRAM, COMPARISON)),
         "sds": tuple(f"{g.std(ddof=1):.9f}" for g in (PROGRAM, COMPARISON))},
        {"t": f"{T:.9f}"},
        {"f": f"{T**2:.9f}", "went": "better"},
        {"t": f"{-T:.9f}", "went": "better"},
        {"p": f"{scipy.stats.ttest_ind(PROGRAM, COMPARISON).pvalue:.12f}", "went": "better"},
        {"f": f"{T**2:.9f}", "means": ("15.86", "12.83")},
    ],
)  # fmt: skip
def test_whatever_was_printed_gives_one_size(printed):
    """Means and SDs, t, F and an exact p of one study all give the g of its scores."""
    raw = hedges_g(PROGRAM, COMPARISON, about="raw")
    found = original_effect(groups(**printed))
    assert (found.value, found.interval.low, found.interval.high) == pytest.approx(
        (raw.value, raw.interval.low, raw.interval.high), abs=1e-6
    )
    size = original_size(groups(**printed))
    assert (size.value, size.n, size.metric) == (pytest.approx(raw.value, abs=1e-6), 13, "SD")


def test_lower_can_be_better():
    """Where lower scores are better the sign is turned; went already speaks of better and worse."""
    assert signed_t(groups(t="2.5", direction="lower")) == -2.5
    assert signed_t(groups(f="6.25", went="worse", direction="lower")) == -2.5
    assert signed_t(groups(f="6.25", went="better", direction="lower")) == 2.5
    assert signed_t(groups(f="6.25", means=("10", "12"), direction="lower")) == 2.5
    found = original_effect(Original(study="A", design="correlation", n=(40,), direction="lower", r=".40"))
    assert found.value == -0.4


def test_gains_are_in_average_spread_where_that_can_be_had():
    """Means, SDs and F give the size in average SD; t alone gives only its consistency; r printed is taken."""
    rng = np.random.default_rng(8)
    pre = rng.normal(10, 4, 38)
    post = pre + rng.normal(1, 3, 38)
    test = scipy.stats.ttest_rel(post, pre)
    printed = {"means": (f"{pre.mean():.9f}", f"{post.mean():.9f}"), "f": f"{test.statistic**2:.9f}",
               "sds": (f"{pre.std(ddof=1):.9f}", f"{post.std(ddof=1):.9f}")}  # fmt: skip
    found, raw = original_effect(gains(**printed)), d_average(pre, post, about="raw")
    assert found.name == "d_average_from_summary"
    assert (found.value, found.interval.low) == pytest.approx((raw.value, raw.interval.low), abs=1e-6)
    assert original_size(gains(**printed)).error == pytest.approx(
        (raw.interval.high - raw.interval.low) / (2 * 1.959964), rel=1e-6
    )
    assert original_effect(gains(t="4.38")).name == "d_change_from_t"
    assert original_size(gains(t="4.38")).metric == "SD of gains"
    assert original_size(gains(t="4.38", r=".50")).metric == "SD"
    assert correlation_of_tests(gains(t="4.38", r=".56")) == 0.56
    assert correlation_of_tests(groups(t="2")) is None


def test_an_impossible_correlation_is_not_used():
    """Printed numbers that imply a correlation beyond 1 give no size in SD of scores."""
    impossible = gains(means=("10.0", "10.1"), sds=("4.0", "9.0"), t="9.00")
    assert correlation_of_tests(impossible) is None
    assert original_effect(impossible).name == "d_change_from_t"


@pytest.mark.parametrize(
    ("original", "why"),
    [
        (groups(), NOTHING_PRINTED), (groups(p="< .05", went="better"), NOTHING_PRINTED), (groups(f="4.1"), NO_DIRECTION),
        (groups(p=".03"), NO_DIRECTION), (gains(means=("10", "11"), sds=("3", "3")), NOTHING_PRINTED),
        (Original(study="Original", design="correlation", n=(40,), direction="higher"), NOTHING_PRINTED),
    ],
)  # fmt: skip
def test_too_little_printed_is_left_out(original, why):
    """Where nothing gives the size, or nothing its direction, it is left out with the reason."""
    assert original_effect(original) == LeftOut("Original", why)
    assert original_size(original) == LeftOut("Original", why)


def test_too_few_students_are_left_out():
    """A study of too few students is left out, not a crash."""
    tiny = Original(study="Tiny", design="correlation", n=(3,), direction="higher", r=".2")
    assert isinstance(original_effect(tiny), LeftOut)
    assert isinstance(original_size(tiny), LeftOut)


def test_correlations_become_fishers_z():
    """A printed correlation is compared in Fisher's z."""
    size = original_size(Original(study="A", design="correlation", n=(40,), direction="higher", r=".40"))
    assert (size.value, size.error, size.metric) == (pytest.approx(math.atanh(0.4)), 37**-0.5, "Fisher's z")


def test_words_and_numbers_are_checked():
    """Unknown words and numbers of groups that do not fit the design are refused in full."""
    with pytest.raises(UnknownChoiceError) as word:
        Original(study="A", design="crossover", n=(3,), direction="higher")
    assert (
        str(word.value) == "Original: design must be one of 'two_groups', 'one_group', 'correlation'. Got 'crossover'."
    )
    with pytest.raises(UnknownChoiceError) as word:
        Original(study="A", design="one_group", n=(3,), direction="up")
    assert str(word.value) == "Original: direction must be one of 'higher', 'lower'. Got 'up'."
    with pytest.raises(ValueError, match=r"^Original: n must hold 2 numbers of students for two_groups. Got \(3,\).$"):
        Original(study="A", design="two_groups", n=(3,), direction="higher")
