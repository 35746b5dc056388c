"""What a study of whole choirs could have noticed, and how many choirs it needs."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.power import TTestIndPower

from kit.errors import TooFewError
from kit.stats.power.clusters import (
    FOLLOWS_FROM_PLAN,
    TAKEN_TO_START_ALIKE,
    choirs_needed,
    degrees_of_freedom,
    detectable_difference_clusters,
)

PLANS = {
    "choirs": st.tuples(st.integers(4, 60), st.integers(4, 60)), "students": st.integers(1, 60),
    "icc": st.floats(0.01, 0.9), "explained_between": st.floats(0.01, 0.9), "explained_within": st.floats(0, 0.9),
    "covariates": st.integers(1, 2),
}  # fmt: skip


def seen(**options):
    """Find the detectable difference of a plan, one that is as usual where nothing else is said."""
    return detectable_difference_clusters(
        **({"choirs": (10, 10), "students": 25, "icc": 0.2, "about": "A"} | options)
    )  # fmt: skip


@pytest.mark.parametrize("choirs", [(2, 2), (3, 3), (4, 4), (10, 10), (3, 9), (40, 40)])
@pytest.mark.parametrize("icc", [0.0, 0.1, 0.3, 1.0])
def test_power_is_what_was_asked_for(choirs, icc):
    """Statsmodels gives the power asked for to a t-test of choir means that far apart."""
    spread_of_means = math.sqrt(icc + (1 - icc) / 25)
    apart = seen(choirs=choirs, icc=icc).value / spread_of_means
    power = TTestIndPower().power(apart, choirs[0], 0.05, ratio=choirs[1] / choirs[0])
    assert power == pytest.approx(0.80, abs=3e-5)


@pytest.mark.parametrize(
    ("choirs", "plain", "adjusted"),
    [(8, 1.14, 0.68), (10, 0.97, 0.57), (20, 0.64, 0.37), (40, 0.44, 0.25)],
)
def test_formula_of_dong_and_maynard(choirs, plain, adjusted):
    """Dong and Maynard (2013), 25 students, ICC .2, R2 of .7 and .5: equal to two digits from 8 choirs on."""
    half = (choirs // 2, choirs // 2)
    assert seen(choirs=half).value == pytest.approx(plain, abs=0.0075)
    pretest = {"explained_between": 0.7, "explained_within": 0.5, "covariates": 1}
    assert seen(choirs=half, **pretest).value == pytest.approx(adjusted, abs=0.0075)


def test_students_who_are_not_alike_count_one_by_one():
    """Without variance between choirs the plan is that of students, but for the degrees of freedom."""
    means = seen(icc=0.0)
    power = TTestIndPower().power(means.value * math.sqrt(25), 10, 0.05)
    assert power == pytest.approx(0.80, abs=1e-5)


def test_more_students_do_not_replace_choirs():
    """With an ICC of .2 a thousand students in each choir see no more than a tenth finer than 25."""
    assert seen(students=1000).value > 0.9 * seen(students=25).value
    assert seen(choirs=(20, 20)).value < 0.75 * seen(choirs=(10, 10)).value


@given(**PLANS)
@settings(max_examples=50, deadline=None)
def test_laws(choirs, **plan):
    """Swapping groups changes nothing; more choirs or students, more explained by fewer covariates, see less."""
    plain = seen(choirs=choirs, **plan).value
    close = {"rel": 1e-12}
    assert seen(choirs=choirs[::-1], **plan).value == pytest.approx(plain, **close)
    better = (
        {"choirs": (choirs[0] + 1, choirs[1])}, {"students": plan["students"] + 1},
        {"explained_between": plan["explained_between"] + 0.05}, {"explained_within": plan["explained_within"] + 0.05},
        {"power": 0.75}, {"level": 0.90}, {"covariates": plan["covariates"] - 1} if plan["covariates"] > 1 else {},
    )  # fmt: skip
    for change in better:
        assert seen(**({"choirs": choirs} | plan | change)).value <= plain * (1 + 1e-9)


@given(
    difference=st.floats(0.05, 3), students=st.integers(1, 60), icc=st.floats(0, 1),
    explained=st.sampled_from([0.0, 0.5, 0.9]), power=st.floats(0.5, 0.95),
)  # fmt: skip
@settings(max_examples=50, deadline=None)
def test_needed_choirs_are_enough_and_fewer_are_not(difference, students, icc, explained, power):
    """The number found sees the difference; two choirs fewer do not, or cannot be analysed."""
    covariates = int(explained > 0)
    plan = {"students": students, "icc": icc, "explained_between": explained, "covariates": covariates, "power": power}
    found = choirs_needed(difference=difference, about="A", **plan)
    each = int(found.value) // 2
    assert seen(choirs=(each, each), **plan).value <= difference
    try:
        assert seen(choirs=(each - 1, each - 1), **plan).value > difference
    except TooFewError:
        assert each == (4 if covariates else 2)


def test_every_choir_is_looked_at_near_the_start():
    """Small plans, where the search doubles and halves, agree with trying one after the other."""
    for difference in np.linspace(0.3, 3.0, 60):
        each = next(j for j in range(2, 200) if seen(choirs=(j, j)).value <= difference)
        assert choirs_needed(difference=difference, students=25, icc=0.2, about="A").value == 2 * each


def test_useless_covariate_makes_few_choirs_worse():
    """A choir-level covariate that explains nothing costs a degree of freedom."""
    assert seen(choirs=(4, 4), covariates=1).value > seen(choirs=(4, 4)).value


def test_parts():
    """It counts choirs, gives degrees of freedom, and says why it has no interval."""
    found = seen(choirs=(4, 5), covariates=2, explained_between=0.5)
    assert (found.n, found.clusters, found.counted, found.df) == (9, 9, "choirs", 5.0)
    assert (found.unit, found.interval, found.notes) == ("SD", None, (FOLLOWS_FROM_PLAN, TAKEN_TO_START_ALIKE))
    assert seen().notes == (FOLLOWS_FROM_PLAN,)
    found = choirs_needed(difference=0.4, students=25, icc=0.2, about="A")
    assert (found.value, found.unit, found.n, found.counted) == (48.0, "choirs", 25, "students in each choir")
    assert (found.clusters, found.df, found.notes) == (48, 46.0, (FOLLOWS_FROM_PLAN,))


def test_huge_plans_are_bounded():
    """A million choirs are answered at once."""
    assert 0 < seen(choirs=(500_000, 500_000)).value < 0.01


@pytest.mark.parametrize(
    ("options", "error", "message"),
    [
        ({"choirs": (1, 9)}, TooFewError, "needs 2 choirs in each group. A has 1."),
        (
            {"choirs": (3, 3), "covariates": 1, "explained_between": 0.7},
            TooFewError,
            "needs 4 degrees of freedom beside the choir-level covariates. A has 3; leave the covariates out.",
        ),
        ({"students": 0}, TooFewError, "needs 1 student in each choir. Each choir has 0."),
        ({"icc": 1.2}, ValueError, "icc must be between 0 and 1. Got 1.2."),
        ({"explained_within": 1.0}, ValueError, "explained_within must be at least 0 and below 1. Got 1.0."),
        (
            {"explained_between": -0.1, "covariates": 1},
            ValueError,
            "explained_between must be at least 0 and below 1. Got -0.1.",
        ),
        ({"explained_between": 0.5}, ValueError, "covariates must be at least 1. Got 0."),
        ({"covariates": -1}, ValueError, "covariates must be at least 0. Got -1."),
        ({"power": 1.0}, ValueError, "power must be between 0.025 and 1. Got 1.0."),
        ({"level": 0.0}, ValueError, "level must be between 0 and 1. Got 0.0."),
    ],
)
def test_messages(options, error, message):
    """Plans that cannot be are refused with a sentence, by both functions alike where both take the option."""
    with pytest.raises(error) as caught:
        seen(**options)
    assert str(caught.value) == f"detectable_difference_clusters: {message}"
    if "choirs" not in options:
        with pytest.raises(error) as caught:
            choirs_needed(**({"difference": 0.4, "students": 25, "icc": 0.2, "about": "A"} | options))
        assert str(caught.value) == f"choirs_needed: {message}"


@pytest.mark.parametrize("difference", [0, -0.5, math.nan, math.inf])
def test_difference_must_be_above_zero(difference):
    """No number of choirs sees nothing."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        choirs_needed(difference=difference, students=25, icc=0.2, about="A")
    assert str(caught.value) == f"choirs_needed: difference must be above 0. Got {difference!r}."


def test_too_small_a_difference_is_refused():
    """A difference that not even two million choirs would show is refused, in bounded time."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        choirs_needed(difference=1e-6, students=25, icc=0.2, about="A")
    assert str(caught.value) == (
        "choirs_needed: difference must be larger. Got 1e-06; 2000000 choirs are too few."
    )  # fmt: skip


def test_degrees_of_freedom():
    """Choirs less two less covariates; without covariates even two are enough."""
    assert degrees_of_freedom("plan", "A", (2, 2), covariates=0) == 2
    assert degrees_of_freedom("plan", "A", (4, 5), covariates=2) == 5
