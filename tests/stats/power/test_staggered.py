"""What a staggered start could have noticed."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.power.clusters import FOLLOWS_FROM_PLAN
from kit.stats.power.noncentral import noncentrality_needed
from kit.stats.power.staggered import SHOWS_AT_ONCE, detectable_difference_staggered

PLAN = {"starts": (3, 3, 2), "students": 25, "icc": 0.2, "correlation": 0.7, "about": "A"}


def seen(**options):
    """Find the detectable difference of a plan, one that is as usual where nothing else is said."""
    return detectable_difference_staggered(**(PLAN | options))


def test_estimate_in_full():
    """The estimate counts choirs, leaves two of them out of the degrees of freedom, and says what it rests on."""
    found = seen()
    assert (found.n, found.counted, found.clusters, found.df, found.unit) == (8, "choirs", 8, 6.0, "SD")
    assert found.interval is None
    assert found.notes == (FOLLOWS_FROM_PLAN, SHOWS_AT_ONCE)


def test_variance_is_met_by_simulation():
    """Over 4,000 drawn studies the weighted estimate spreads as the formula of Hussey and Hughes (2007) says."""
    rng, draws, starts = np.random.default_rng(5), 4_000, (2, 2, 2)
    choirs, tests, each = 6, 4, 10
    icc, r = 0.2, 0.6
    first = np.repeat([1, 2, 3], starts)
    begun = (np.arange(tests) >= first[:, None]) * 1.0
    lasting = rng.normal(0, math.sqrt(icc * r), (draws, choirs, 1))
    passing = rng.normal(0, math.sqrt(icc * (1 - r)), (draws, choirs, tests))
    own = rng.normal(0, math.sqrt((1 - icc) * r), (draws, choirs, 1, each))
    noise = rng.normal(0, math.sqrt((1 - icc) * (1 - r)), (draws, choirs, tests, each))
    means = lasting + passing + (own + noise).mean(axis=3)
    design = np.hstack([begun.reshape(-1, 1), np.tile(np.eye(tests), (choirs, 1))])
    stays, goes = icc * r + (1 - icc) * r / each, icc * (1 - r) + (1 - icc) * (1 - r) / each
    weight = np.linalg.inv(np.kron(np.eye(choirs), stays + goes * np.eye(tests)))
    estimates = means.reshape(draws, -1) @ (np.linalg.solve(design.T @ weight @ design, design.T @ weight))[0]
    error = seen(starts=starts, students=each, icc=icc, correlation=r).value / noncentrality_needed(
        "plan", 4, power=0.8, level=0.95
    )
    assert estimates.std() == pytest.approx(error, rel=4 / math.sqrt(2 * draws))


@settings(max_examples=40, deadline=None)
@given(
    starts=st.lists(st.integers(1, 6), min_size=2, max_size=6).map(tuple).filter(lambda at: sum(at) >= 4),
    students=st.integers(1, 60), icc=st.floats(0.01, 0.9), correlation=st.floats(0.01, 0.95),
)  # fmt: skip
def test_laws(starts, students, icc, correlation):
    """The order of the dates turns round without change; more students, power or twice the choirs shift it as they must."""
    plan = {"starts": starts, "students": students, "icc": icc, "correlation": correlation}
    plain = seen(**plan).value
    assert seen(**plan | {"starts": starts[::-1]}).value == pytest.approx(plain, rel=1e-9)
    assert seen(**plan, choir_correlation=correlation).value == plain
    assert seen(**plan | {"students": students + 1}).value < plain
    assert seen(**plan, power=0.9).value > plain
    assert seen(**plan, level=0.99).value > plain
    assert seen(**plan | {"starts": tuple(2 * at for at in starts)}).value < plain / math.sqrt(2) * (1 + 1e-9)


def test_choirs_that_never_change_hide_nothing():
    """Where scores never change from test to test, the smallest difference shows."""
    assert seen(correlation=1.0).value == 0


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"starts": (4, 0)}, "starts must have a choir for every date. Got (4, 0)."),
        ({"starts": ()}, "starts must have a choir for every date. Got ()."),
        ({"icc": 1.2}, "icc must be between 0 and 1. Got 1.2."),
        ({"correlation": -0.1}, "correlation must be between 0 and 1. Got -0.1."),
        ({"choir_correlation": 2}, "choir_correlation must be between 0 and 1. Got 2."),
        ({"power": 1}, "power must be between 0.025 and 1. Got 1."),
    ],
)
def test_values_that_cannot_be(options, message):
    """Every refusal says what was given."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        seen(**options)
    assert str(caught.value) == f"detectable_difference_staggered: {message}"


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"starts": (6,)}, "needs 2 starting dates. A has 1."),
        ({"starts": (2, 1)}, "needs 4 choirs. A has 3."),
        ({"students": 0}, "needs 1 student in each choir. Each choir has 0."),
    ],
)
def test_too_few(options, message):
    """One date, three choirs and an empty choir are refused."""
    with pytest.raises(TooFewError) as caught:
        seen(**options)
    assert str(caught.value) == f"detectable_difference_staggered: {message}"
