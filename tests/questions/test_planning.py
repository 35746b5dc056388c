"""What a planned study could see, and what it would need."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest

from kit.questions import planning
from kit.stats.power.clusters import choirs_needed, detectable_difference_clusters
from kit.stats.power.staggered import detectable_difference_staggered

PLAN = planning.plan(choirs=8, students=25, correlation=0.7, alike=[0.1, 0.2, 0.3], difference=0.4)
FEW = [dataclasses.replace(PLAN, choirs=number) for number in (1, 2, 3)]


def changed(**options):
    """Change a plan."""
    return dataclasses.replace(PLAN, **options)


def matches(grid):
    """Say whether the rows hold the estimates, in order, and a reason wherever there is none."""
    told = grid.rows["value"].notna()
    assert list(grid.rows.loc[told, "value"]) == [one.value for one in grid.estimates]
    assert list(grid.rows.loc[~told, "why"]) == [one.why for one in grid.estimates.left_out]
    assert (told == (grid.rows["why"] == "")).all()


def test_sizes_are_those_of_the_formula():
    """Each row is the detectable difference of the plan, the first test explaining the square of the correlation."""
    grid = planning.sizes(PLAN)
    matches(grid)
    for row in grid.rows.itertuples():
        explained = {"explained_between": 0.49, "explained_within": 0.49, "covariates": 1} if row.first_test else {}
        expected = detectable_difference_clusters(
            choirs=(4, 4), students=25, icc=row.alike, about="plan", **explained
        ).value  # fmt: skip
        assert row.value == pytest.approx(expected, rel=1e-12)


def test_sizes_of_dong_and_maynard():
    """Dong and Maynard (2013), 25 students, ICC .2, no covariates: 1.14 with 8 choirs, .64 with 20, .44 with 40."""
    for choirs, published in ((8, 1.14), (20, 0.64), (40, 0.44)):
        rows = planning.sizes(changed(choirs=choirs, alike=(0.2,))).rows
        assert rows.loc[~rows["first_test"], "value"].item() == pytest.approx(published, abs=0.0075)


def test_a_first_test_is_refused_to_fewer_than_seven_choirs():
    """With six choirs three degrees of freedom would be left: no number, and the reason in plain words."""
    rows = planning.sizes(changed(choirs=6)).rows
    assert list(rows.loc[rows["first_test"], "why"]) == [planning.TOO_FEW_FOR_A_FIRST_TEST] * 3
    assert rows.loc[~rows["first_test"], "value"].notna().all()
    assert planning.sizes(changed(choirs=7)).rows["value"].notna().all()


@pytest.mark.parametrize("plan", FEW)
def test_too_few_choirs_never_raise(plan):
    """A choir or two are no comparison; every question says so instead of failing."""
    for grid in (planning.sizes(plan), planning.noticed(plan, rng=np.random.default_rng(1))):
        matches(grid)
        assert grid.rows["value"].isna().all()
        assert set(grid.rows["why"]) == {planning.TOO_FEW_CHOIRS}
    matches(planning.needed(plan))
    matches(planning.by_number_of_choirs(plan))
    assert len(planning.shuffled(plan)) + len(planning.shuffled(plan).left_out) == 3


def test_tiny_plan_never_raises():
    """One student in one choir is told to be too few."""
    answers = planning.by_students(changed(choirs=1, students=1))
    assert answers == []
    assert len(answers.left_out) == 3


def test_curve_falls_and_uses_a_first_test_where_it_can():
    """More choirs see less, and each number stands once: with a first test from seven choirs on, without below."""
    grid = planning.by_number_of_choirs(changed(choirs=10))
    matches(grid)
    for _, rows in grid.rows.groupby("alike"):
        assert list(rows["choirs"]) == [4, 6, 8, 10, 12, 16, 20, 30, 40]
        assert list(rows["first_test"]) == [False, False, *[True] * 7]
        assert rows["value"].is_monotonic_decreasing


def test_curve_leaves_out_what_cannot_be_told():
    """A plan of three choirs has no point of its own."""
    assert 3 not in set(planning.by_number_of_choirs(changed(choirs=3)).rows["choirs"])


def test_needed_are_those_of_the_formula():
    """Each row is the number of choirs for the difference of the plan; a first test never needs more of them here."""
    grid = planning.needed(PLAN)
    matches(grid)
    for alike, rows in grid.rows.groupby("alike"):
        without, adjusted = rows["value"]
        assert without == choirs_needed(difference=0.4, students=25, icc=alike, about="plan").value
        assert adjusted < without


def test_simulation_agrees_with_the_plan():
    """At the size that the plan says 8 in 10 studies see, about 8 in 10 simulated studies see it."""
    for choirs in (4, 20):
        plan = changed(choirs=choirs, alike=(0.2,))
        without = planning.sizes(plan).rows["value"][0]
        again = planning.noticed(
            dataclasses.replace(plan, difference=without), rng=np.random.default_rng(1), draws=20_000
        )
        matches(again)
        assert again.rows["value"][0] == pytest.approx(0.80, abs=0.012)


def test_same_seed_same_simulation():
    """The seed decides the simulation."""
    one, two = (planning.noticed(PLAN, rng=np.random.default_rng(4)) for _ in range(2))
    pd.testing.assert_frame_equal(one.rows, two.rows)


def test_smallest_chances():
    """Eight choirs: 2 in 70 together, 2 in 16 as pairs, 1 in 560 for three starting dates of 3, 3 and 2."""
    found = {one.about: one.value for one in planning.shuffled(PLAN, starts=3)}
    assert found == {
        "8 choirs assigned all together": pytest.approx(2 / 70),
        "8 choirs assigned within pairs": pytest.approx(2 / 16),
        "8 choirs assigned to 3 starting dates": pytest.approx(1 / 560),
    }


def test_fewer_choirs_than_dates_are_not_assigned_to_them():
    """Every starting date needs a choir of its own."""
    answers = planning.shuffled(changed(choirs=4), starts=5)
    assert len(answers) == 2
    assert [one.why for one in answers.left_out] == ["At least 5 choirs are needed to assign them so."]


def test_starts_must_differ():
    """One starting date is no staggered start."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        planning.shuffled(PLAN, starts=1)
    assert str(caught.value) == "dates: starts must be at least 2. Got 1."


def test_staggered_is_the_formula():
    """Each share between choirs has the detectable difference of a staggered start, all choirs parted over the dates."""
    answers = planning.staggered(PLAN, starts=3)
    expected = [
        detectable_difference_staggered(starts=(3, 3, 2), students=25, icc=alike, correlation=0.7, about="plan").value
        for alike in (0.1, 0.2, 0.3)
    ]
    assert [one.value for one in answers] == expected
    assert answers[1].about == "8 choirs of 25 students with 3 starting dates, 20 % between choirs"


@pytest.mark.parametrize(("choirs", "starts", "least"), [(3, 2, 4), (4, 5, 5)])
def test_staggered_needs_choirs(choirs, starts, least):
    """Fewer than 4 choirs, or than dates, have no number but a reason."""
    answers = planning.staggered(changed(choirs=choirs), starts=starts)
    assert not answers
    assert [one.why for one in answers.left_out] == [f"At least {least} choirs are needed to begin so."]


def test_by_students():
    """In one choir, and with all students assigned one by one, without and with a first test."""
    alone, without, adjusted = planning.by_students(PLAN)
    assert (alone.name, alone.n) == ("detectable_gain", 25)
    assert (without.n, adjusted.n) == (200, 200)
    assert adjusted.value == pytest.approx(without.value * np.sqrt(1 - 0.49), rel=0.001)


def test_labels_are_unique():
    """No two numbers of one plan share a label, unless they are the same number."""
    grids = (
        planning.sizes(PLAN), planning.needed(PLAN), planning.by_number_of_choirs(PLAN),
        planning.noticed(PLAN, rng=np.random.default_rng(1)),
    )  # fmt: skip
    every = [*planning.by_students(PLAN), *planning.shuffled(PLAN), *(one for grid in grids for one in grid.estimates)]
    by_label = {}
    for one in every:
        assert by_label.setdefault(one.label, one) == one


def test_power_and_level_are_those_of_the_plan():
    """More power or a higher level ask for more, in every question."""
    for stricter in (changed(power=0.9), changed(level=0.99)):
        assert (planning.sizes(stricter).rows["value"] > planning.sizes(PLAN).rows["value"]).all()
        assert (planning.needed(stricter).rows["value"] >= planning.needed(PLAN).rows["value"]).all()
        assert planning.by_students(stricter)[0].value > planning.by_students(PLAN)[0].value
