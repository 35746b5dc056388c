"""How far apart two approaches ended: the answer that the design calls for, and the checks around it."""

import json
from pathlib import Path

import numpy as np
import pytest

from kit.errors import UnknownChoiceError
from kit.questions.answers import LeftOut
from kit.questions.compared import Comparison, between, rows_of
from kit.questions.comparison import WHOLE_SCALE, method_for, model_for, primary
from kit.questions.comparison.methods import NAIVE, sensitivity
from kit.questions.comparison.missing import ONE_BY_ONE, _filled_in, _limits, missing
from kit.questions.comparison.models import alike, effect_size, two_models
from kit.questions.comparison.outcomes import outcomes
from kit.questions.comparison.subgroups import declared_subgroups, subgroups
from kit.questions.comparison.ways import (
    APART,
    BOTH_IN_ONE,
    UNEVEN,
    choir_means_difference,
    difference_of,
    mixed,
    sandwich,
    uneven_schools,
)
from kit.questions.design import Design, classify
from kit.stats.clusters.choirs import icc_clusters
from kit.stats.models import NO_CHOIRS_APART
from kit.stats.multiplicity import benjamini_hochberg
from kit.study import load_study
from tests.questions.comparisons import compared, drawn, marked
from tests.questions.worlds import choirs_of, students

DEMO = Path(__file__).parents[3] / "synthetic_data"
EIGHT = (
    ("C1", "ear", [10, 12, 9, 14], [15, 18, 14, 19]), ("C2", "page", [11, 13, 10, 12], [13, 15, 13, 14]),
    ("C3", "ear", [8, 9, 12, 11], [12, 13, 16, 16]), ("C4", "page", [14, 15, 12, 13], [17, 17, 14, 16]),
    ("C5", "ear", [10, 9, 11, 12], [16, 13, 16, 18]), ("C6", "page", [12, 11, 13, 10], [13, 13, 16, 12]),
    ("C7", "ear", [13, 15, 14, 12], [20, 21, 19, 18]), ("C8", "page", [9, 8, 10, 11], [11, 9, 12, 12]),
)  # fmt: skip
"""The worked example of few choirs: eight choirs of four students."""


def asked(table, how="choirs_at_random", **options):
    """Answer for a table, with its design."""
    return primary(table, design=classify(table, how=how), seed=1, **options)


def made(code, units=12, analysed="choirs"):
    """Make a design."""
    return Design(code=code, because=(), choirs=units, approaches=2, assigned=analysed, analysed=analysed, units=units)


@pytest.mark.parametrize(
    ("design", "model", "method"),
    [
        (made("D5", 6), "gain", "choir means"), (made("D5", 7), "adjusted", "choir means"),
        (made("D5", 19), "adjusted", "choir means"), (made("D5", 20), "adjusted", "students in choirs"),
        (made("D3a", 12), "gain", "choir means"), (made("D3b", 30), "gain", "students in choirs"),
        (made("D5b", 4), "gain", "choir means"), (made("D4", 80, "students"), "adjusted", "students"),
    ],
)  # fmt: skip
def test_design_and_number_of_choirs_choose_the_way(design, model, method):
    """Random: adjusted where 4 degrees of freedom are left; existing groups: gains; 20 choirs: students are counted."""
    assert (model_for(design), method_for(design)) == (model, method)


def test_the_worked_example_of_eight_choirs():
    """Standards 5.5 (checked there with clubSandwich 0.5.8 and by hand): choir gains 3.125, t 7.481, exact p 2/70."""
    table = compared(EIGHT)
    both = two_models(table, design=classify(table, how="choirs_at_random"))
    assert both.gain.value == pytest.approx(3.125)
    assert both.gain.p == pytest.approx(0.00029, abs=0.000005)
    students_known = sandwich(rows_of(table), model="adjusted", about="x", level=0.95)
    assert (students_known.name, students_known.value) == ("adjusted_difference", pytest.approx(3.1616, abs=0.00005))
    assert sandwich(rows_of(table), model="gain", about="x", level=0.95).name == "gain_difference"
    assert students_known.df == pytest.approx(5.71, abs=0.005)
    assert (students_known.interval.low, students_known.interval.high) == pytest.approx((2.53, 3.80), abs=0.005)
    answer = asked(table, how="schools_chose")
    assert (answer.main.value, answer.model, answer.shuffled.p) == (pytest.approx(3.125), "gain", pytest.approx(2 / 70))
    assert answer.smallest == pytest.approx(2 / 70)
    assert answer.shuffled.value == pytest.approx(answer.main.value)


def test_shuffling_adjusts_as_the_answer_does():
    """Adjusted for the first test, the shuffled difference is the choir-level one, within schools as declared."""
    table = drawn(5, schools=True)
    answer = asked(table)
    assert answer.model == "adjusted"
    assert answer.shuffled.value == pytest.approx(answer.main.value)
    assert answer.smallest == pytest.approx(2 / 6**3)
    assert answer.shuffled.interval is None


def test_every_assignment_is_adjusted_by_least_squares():
    """The weight of each assignment beside the first averages is that of a fit of its own; one that follows has none."""
    rng = np.random.default_rng(8)
    means = rng.normal(20, 3, (8, 2))
    ways = rng.permuted(np.tile([True] * 3 + [False] * 5, (20, 1)), axis=1)
    assert difference_of(means[:, 1:], ways) == pytest.approx(
        [means[way, 1].mean() - means[~way, 1].mean() for way in ways], rel=1e-9
    )
    fits = [np.linalg.lstsq(np.column_stack([way, np.ones(8), means[:, 0]]), means[:, 1])[0][0] for way in ways]
    assert difference_of(means, ways) == pytest.approx(fits, rel=1e-9)
    level = np.column_stack([np.full(8, 5.0), means[:, 1]])
    apart = [means[way, 1].mean() - means[~way, 1].mean() for way in ways]
    assert difference_of(level, ways) == pytest.approx(apart, rel=1e-9)
    follows = np.column_stack([ways[0], means[:, 1]])
    assert np.isnan(difference_of(follows, ways[:1])).all()


@pytest.mark.parametrize("choirs", [4, 5])
def test_below_six_choirs_there_is_an_estimate_and_no_test(choirs):
    """An interval stands and no p-value anywhere; the reason names the limit."""
    table = drawn(2, choirs=choirs)
    answer = asked(table)
    assert answer.main.interval is not None
    assert (answer.main.p, answer.shuffled, answer.smallest, answer.tested) == (None, None, None, False)
    assert answer.why_not == (
        f"There are {choirs} choirs, and the kit makes no test below 6: an estimate is given, without a test."
    )
    design = classify(table, how="choirs_at_random")
    checks = [*sensitivity(table, design=design, seed=1, draws=199).answers, *two_models(table, design=design).answers,
              *missing(table, design=design, model="gain", seed=1)]  # fmt: skip
    assert {one.p for one in checks} == {None}


def test_six_choirs_are_tested():
    """From six choirs on there is a test."""
    answer = asked(drawn(2, choirs=6))
    assert answer.tested
    assert answer.main.p is not None
    assert answer.smallest == pytest.approx(2 / 20)


def test_groups_that_began_apart_are_not_tested():
    """Not at random and more than a quarter SD apart: an estimate, no test."""
    answer = asked(drawn(3, head_start=8), how="teachers_chose")
    assert (answer.main.p, answer.tested) == (None, False)
    assert answer.why_not == "A study of this kind carries no test of a difference."


def test_a_range_that_holds_the_whole_scale_is_not_given():
    """Two choirs whose averages lie far apart on a test of 20 points: a range from below 0 to above 20 says nothing."""
    far = compared((("A", "ear", [2, 2], [4, 4]), ("B", "ear", [15, 15], [17, 17]), *EIGHT[1::2]), most=20)
    answer = asked(far)
    assert (answer.program.value, answer.program.interval) == (10.5, None)
    assert answer.program.notes == (WHOLE_SCALE,)
    assert answer.comparison.interval is not None


def test_a_single_choir_in_an_approach_has_no_difference():
    """Both averages stand, and no question is asked whose answer would be the choir's."""
    table = compared(EIGHT[:1] + EIGHT[1::2])
    answer = asked(table)
    assert (answer.main, answer.shuffled) == (None, None)
    assert answer.program.value == 16.5
    assert (answer.program_first.about, answer.program_first.counted) == ("total, first test of choirs, ear", "choirs")
    assert answer.program.notes == ("One choir alone, so there is no spread to make an interval from.",)
    assert answer.why_not == (
        "An approach has a single choir, which cannot be told from the approach, so no difference is given."
    )
    design = classify(table, how="choirs_at_random")
    for found in (
        sensitivity(table, design=design, seed=1).answers, two_models(table, design=design).answers,
        effect_size(table, design=design), missing(table, design=design, model="gain", seed=1),
        subgroups(table, students([{"student": "S0000", "grade": "6"}]), by="grade", design=design),
    ):  # fmt: skip
        assert list(found) == []
        assert found.left_out


def test_one_approach_is_answered_with_the_reason():
    """Nothing compared: every question answers that there is nothing to compare."""
    table = compared(EIGHT[:1])
    design = classify(table, how="none")
    why = "Only one approach has students, so there is nothing to compare."
    assert primary(table, design=design, seed=1).why_not == why
    for found in (alike(table), effect_size(table, design=design), two_models(table, design=design).answers,
                  sensitivity(table, design=design, seed=1).answers):  # fmt: skip
        assert {one.why for one in found.left_out} == {why}


def test_students_assigned_one_by_one_are_counted_one_by_one():
    """Inside one choir the students are what was assigned, and no choirs are shuffled."""
    pre = [10.0, 12, 9, 14, 11, 13, 10, 12]
    table = compared(
        (("A", "ear", pre, [mark + 5 for mark in pre[::-1]]), ("A", "page", pre, [mark + 2 for mark in pre]))
    )
    answer = asked(table, how="students_at_random")
    assert (answer.method, answer.shuffled, answer.units) == ("students", None, "students")
    assert answer.main.clusters is None
    sides = [answer.program_first, answer.comparison_first, answer.program, answer.comparison]
    assert [(one.value, one.n, one.counted) for one in sides] == [
        (np.mean(pre) + more, 8, "students") for more in (0, 0, 5, 2)
    ]


def test_two_ways_that_differ_are_not_settled():
    """Lord's example (standards 5.2): 50 to 55 against 55 to 58 with slope .6 is +2.0 by gains and 0.0 adjusted."""
    choirs = []
    for at, (middle, after) in enumerate([(50, 55), (55, 58)] * 4):
        shift = (at // 2 - 1.5) * 10
        pre = [middle + shift + step for step in (-6, 0, 6)]
        choirs.append((f"C{at}", ("ear", "page")[at % 2], pre, [after + 0.6 * (mark - middle) for mark in pre]))
    table = compared(tuple(choirs), most=100)
    both = two_models(table, design=classify(table, how="choirs_at_random"))
    assert both.gain.value == pytest.approx(2.0)
    assert both.adjusted.value == pytest.approx(0.0, abs=1e-9)
    assert not both.settled
    assert both.apart > 0.10


def test_the_size_is_in_unadjusted_spread_of_second_scores():
    """By hand: difference over pooled SD of second scores, corrected for sample size and for choirs."""
    table = drawn(4, effect=3)
    design = classify(table, how="choirs_at_random")
    (size,) = effect_size(table, design=design)
    rows, main = rows_of(table), asked(table).main
    sides = rows.post[rows.program], rows.post[~rows.program]
    spread = np.sqrt(sum(((side - side.mean()) ** 2).sum() for side in sides) / (rows.post.size - 2))
    n = rows.post.size
    icc = icc_clusters(rows.post, rows.choir, about="x", arms=rows.program).value
    shrunk = (1 - 3 / (4 * (n - 2) - 1)) * np.sqrt(1 - 2 * (n / 12 - 1) * icc / (n - 2))
    assert size.value == pytest.approx(shrunk * main.value / spread, rel=1e-4)
    assert (size.unit, size.p, size.clusters) == ("SD", None, 12)


def test_ways_by_drawing_say_how_many_and_how_rare():
    """Shuffling tells all its ways and the smallest p they can give; the wild bootstrap goes through all signs."""
    table = drawn(6, schools=True)
    found = sensitivity(table, design=classify(table, how="choirs_at_random"), seed=1)
    ways = dict(zip(found.names, found.answers, strict=True))
    told = ways["choirs shuffled"].notes[0]
    assert "all 216 assignments of whole choirs within 3 pairs or schools" in told
    assert told.endswith("the smallest it could be is 0.0093.")
    assert ways["choirs shuffled"].p >= 2 / 216
    assert ways["wild bootstrap of choirs"].interval.method.endswith("all signs")
    many = drawn(6, choirs=16, size=4)
    found = sensitivity(many, design=classify(many, how="choirs_at_random"), seed=1)
    ways = dict(zip(found.names, found.answers, strict=True))
    assert ways["wild bootstrap of choirs"].interval.method.endswith("9,999 draws")
    assert ways["mixed model, drawn anew"].interval.method.endswith("parametric bootstrap of t, 999 draws")


def test_schools_with_different_shares_are_held_apart():
    """Where schools gave different shares of choirs to the program, notes say where that is left in; else nobody does."""
    shares = ("North",) * 3 + ("South",) * 3
    choirs = [
        (f"C{at}", "ear" if at in (0, 1, 3) else "page", [5.0 + at, 7.0], [8.0 + at * at, 9.0]) for at in range(6)
    ]
    declared = Comparison(program="ear", comparison="page", within="school", how="choirs_at_random")
    table = compared(choirs, declared=declared, schools=shares)
    found = sensitivity(table, design=classify(table, how="choirs_at_random"), seed=1)
    assert found.schools == "left in"
    ways = dict(zip(found.names, found.answers, strict=True))
    left_in = {name for name, one in ways.items() if UNEVEN in one.notes}
    assert left_in == set(ways) - {name for name in ways if "held apart" in name} - {"choirs shuffled"}
    plain = compared(choirs, schools=shares)
    assert not uneven_schools(rows_of(plain))
    even = drawn(6, schools=True)
    assert not sensitivity(even, design=classify(even, how="choirs_at_random"), seed=1).schools


def uneven(seed, *shares, size=6, lift=0.0, how="choirs_at_random"):
    """Draw schools, each with so many choirs and so many of them in the program; the first one's gains are lifted."""
    rng, choirs, schools = np.random.default_rng(seed), [], []
    for at, (number, program) in enumerate(shares):
        for one in range(number):
            pre = rng.integers(8, 20, size).astype(float)
            gains = rng.integers(0, 8, size) + rng.normal() + lift * (at == 0)
            choirs.append(
                (f"C{len(choirs):02}", "ear" if one < program else "page", pre.tolist(), (pre + gains).tolist())
            )
            schools.append(f"School {at}")
    declared = Comparison(program="ear", comparison="page", within="school", how=how)
    return compared(choirs, declared=declared, schools=schools)


@pytest.mark.parametrize(
    ("shares", "how", "schools", "df"),
    [
        (((3, 1), (3, 2), (3, 2), (3, 1)), "choirs_at_random", "held apart", 6),
        (((2, 1), (2, 1), (4, 2), (4, 2)), "choirs_at_random", "", 9),
        (((4, 1), (3, 2), (1, 1)), "choirs_at_random", "left in", 5),
        (((4, 1), (4, 2)), "choirs_at_random", "held apart", 4),
        (((4, 1), (4, 2)), "teachers_chose", "held apart", 5),
        (((3, 1), (3, 2)), "choirs_at_random", "left in", 4),
        (((3, 3), (3, 0), (3, 3), (3, 0)), "choirs_at_random", "left in", 9),
    ],
)  # fmt: skip
def test_schools_are_held_apart_where_shares_differ_and_choirs_suffice(shares, how, schools, df):
    """Unequal shares and 4 degrees of freedom left: held apart; equal shares, or too few, or no school with both: not."""
    table = uneven(3, *shares, how=how)
    answer = asked(table, how=how)
    assert (answer.schools, answer.main.df) == (schools, df)
    assert (APART in answer.main.notes) == (schools == "held apart")
    assert (UNEVEN in answer.main.notes) == (schools == "left in")


@pytest.mark.parametrize("shares", [((3, 1), (3, 2), (3, 2), (3, 1)), ((4, 1), (4, 2)) * 3])
def test_what_sets_a_school_apart_moves_no_answer_that_holds_it_apart(shares):
    """Six points more gain in one school change no main answer, size in points, shuffled p or filled-in difference."""
    found = []
    for lift in (0.0, 6.0):
        table = uneven(4, *shares, lift=lift)
        table.loc[table.index[0], ["post_points", "post_share"]] = np.nan
        design = classify(table, how="choirs_at_random")
        answer, both = asked(table), two_models(table, design=design)
        gaps = missing(table, design=design, model=answer.model, seed=1, draws=20)
        found.append(
            [
                answer.main.value,
                answer.main.interval.low,
                answer.main.p,
                answer.shuffled.value,
                answer.shuffled.p,
                both.gain.value,
                both.adjusted.value,
                both.adjusted.interval.high,
                gaps[0].value,
                gaps[1].value,
            ]
        )
        assert answer.shuffled.value == pytest.approx(gaps[0].value)
        assert answer.main.value == pytest.approx(both.adjusted.value)
        assert all(APART in one.notes for one in gaps)
    assert found[1] == pytest.approx(found[0])


def test_shuffling_schools_apart_is_least_squares_with_schools():
    """Each assignment's weight is that of a fit with first averages and a mark of every school."""
    rng = np.random.default_rng(9)
    means, schools = rng.normal(20, 3, (9, 2)), np.repeat(["A", "B", "C"], 3)
    marks = (schools[:, None] == np.unique(schools)).astype(float)
    ways = np.concatenate([rng.permuted(np.tile([True, False, program], (12, 1)), axis=1) for program in (True, False, True)],
                          axis=1)  # fmt: skip
    for columns in (means, means[:, 1:]):
        fits = [np.linalg.lstsq(np.column_stack([way, marks, columns[:, :-1]]), means[:, 1])[0][0] for way in ways]
        assert difference_of(columns, ways, blocks=schools) == pytest.approx(fits, rel=1e-9)


def test_a_school_effect_stands_in_answers_that_do_not_hold_it_apart():
    """Six points more gain in a school with two of three choirs in the program: only answers held apart are untouched."""
    choirs = [(f"C{at}", "ear" if at in (0, 1, 3) else "page", [5.0, 7.0, 9.0], [6.0 + at % 2, 9.0, 9.0 + at % 3])
              for at in range(6)]  # fmt: skip
    lifted = [(*one[:3], [mark + 6 * (at < 3) for mark in one[3]]) for at, one in enumerate(choirs)]
    declared = Comparison(program="ear", comparison="page", within="school", how="choirs_at_random")
    made = [rows_of(compared(one, declared=declared, schools=("North",) * 3 + ("South",) * 3))
            for one in (choirs, lifted)]  # fmt: skip
    for schools, moved in ((True, 0.0), (False, 2.0)):
        values = [
            choir_means_difference(rows, model="gain", about="x", level=0.95, schools=schools).value for rows in made
        ]
        assert values[1] - values[0] == pytest.approx(moved)


def test_the_way_that_ignores_choirs_comes_last_as_a_warning():
    """Ways that know of choirs first; the last is narrower than all, has no p-value and says why it is there."""
    table = drawn(6, schools=True)
    found = sensitivity(table, design=classify(table, how="choirs_at_random"), seed=1, draws=999)
    assert found.names == (
        "choir means", "choir means, schools held apart", "students, choirs known", "the same, schools held apart",
        "mixed model of choirs", "mixed model, drawn anew", "wild bootstrap of choirs", "choirs shuffled", "choirs ignored (a warning)",
    )  # fmt: skip
    assert found.answers[-1] is found.naive
    assert found.naive.p is None
    assert found.naive.notes[-1] == NAIVE
    widths = [one.interval.high - one.interval.low for one in found.answers if one.interval]
    assert widths[-1] == min(widths)
    assert all(one.p is not None for one in found.answers[:2])


@pytest.mark.parametrize("model", ["gain", "adjusted"])
def test_the_mixed_model_of_equal_choirs_is_students_t_on_their_averages(model):
    """With choirs of one size and a spread between them both ways give one answer by gains; adjusted they lie near."""
    rows = rows_of(drawn(7, size=8, effect=1))
    one, other = (way(rows, model=model, about="x", level=0.95) for way in (mixed, choir_means_difference))
    assert one.name == "mixed_difference"
    assert NO_CHOIRS_APART not in one.notes
    assert one.value == pytest.approx(other.value, rel=1e-6 if model == "gain" else 0.5)
    assert one.df == pytest.approx(10 if model == "gain" else 9, rel=1e-4 if model == "gain" else 0.2)
    assert (one.n, one.clusters) == (rows.post.size, 12)


def test_the_mixed_model_says_where_choirs_do_not_differ():
    """A fit without any spread between choirs is printed with a warning, and choirs of both approaches are refused."""
    flat = rows_of(
        compared(tuple((f"C{at}", ("ear", "page")[at % 2], [1, 2, 3, 4], [2, 4, 3, 5 + at % 2]) for at in range(8)))
    )
    assert NO_CHOIRS_APART in mixed(flat, model="gain", about="x", level=0.95).notes
    both = rows_of(compared((("A", "ear", [1, 2], [2, 4]), ("A", "page", [1, 3], [2, 3]))))
    assert mixed(both, model="gain", about="x", level=0.95) == LeftOut("x", BOTH_IN_ONE)


def test_the_same_seed_gives_the_same_table():
    """Draws come from the printed seed."""
    table = drawn(7)
    design = classify(table, how="choirs_at_random")
    first, second = (list(sensitivity(table, design=design, seed=3, draws=499).answers) for _ in range(2))
    assert first == second


def test_where_no_mark_is_missing_none_is_filled_in():
    """With every mark there, that is counted and nothing is computed; one mark less, and all four answers come."""
    table = drawn(8)
    asked_of = {"design": classify(table, how="choirs_at_random"), "model": "gain", "seed": 1}
    (none,) = missing(table, **asked_of)
    assert (none.name, none.value, none.n, none.about) == (
        "count",
        0,
        len(table),
        "total, ear minus page, marks missing",
    )
    table.loc[table.index[0], ["post_points", "post_share"]] = np.nan
    assert len(missing(table, **asked_of, draws=5)) == 4


def test_a_mark_of_nobody_changes_nothing():
    """With no mark of anybody's missing, filling in and both limits would give the complete cases."""
    table = drawn(8)
    rows = rows_of(table)
    whole = choir_means_difference(rows, model="gain", about="x", level=0.95)
    options = {"model": "gain", "about": "x", "level": 0.95, "schools": False, "draws": 5, "tested": True}
    filled = _filled_in(table, rows.unit, rng=np.random.default_rng(1), **options)
    limits = _limits(table, rows.unit, "x", 0.95, schools=False)
    assert {round(one.value, 9) for one in (filled, *limits)} == {round(whole.value, 9)}
    assert filled.interval.low == pytest.approx(whole.interval.low)


def test_limits_hold_every_answer():
    """The worst case lies below and the best above the complete cases and the filled-in answer."""
    table = drawn(9, lost=0.15)
    found = missing(table, design=classify(table, how="choirs_at_random"), model="gain", seed=1, draws=20)
    complete, filled, worst, best = found
    assert [one.about.rpartition(", ")[2] for one in found] == [
        "complete cases",
        "filled in",
        "worst case",
        "best case",
    ]
    assert worst.value < min(complete.value, filled.value)
    assert max(complete.value, filled.value) < best.value
    assert filled.n == len(table)


def test_limits_by_hand():
    """One student of each approach without a second mark, out of 20: filled with 0 and 20 for the worst case."""
    table = compared(
        (("A", "ear", [10, 10], [12, None]), ("B", "ear", [10], [12]), ("C", "page", [10, 10], [11, None]),
         ("D", "page", [10], [11])), most=20,
    )  # fmt: skip
    found = missing(table, design=classify(table, how="choirs_at_random"), model="gain", seed=1)
    told = {one.about.rpartition(", ")[2]: one.value for one in found}
    assert told["worst case"] == pytest.approx(((2 - 10) / 2 + 2) / 2 - ((1 + 10) / 2 + 1) / 2)
    assert told["best case"] == pytest.approx(((2 + 10) / 2 + 2) / 2 - ((1 - 10) / 2 + 1) / 2)
    assert [one.about for one in found.left_out] == ["total, ear minus page, filled in"]


def test_outcomes_are_judged_together_by_role():
    """A single primary stands alone; secondary ones are adjusted together; the control is not judged."""
    tables = {"a": 11, "b": 12, "c": 13, "d": 14}
    pairs = {name: drawn(seed, effect=2) for name, seed in tables.items()}
    for name, table in pairs.items():
        table.attrs["measure"] = name
    declared = Comparison(program="ear", comparison="page", primary=("a",), secondary=("b", "c"), negative_control="d")
    found = outcomes(pairs.__getitem__, declared, how="choirs_at_random", seed=1)
    assert [(row.measure, row.role) for row in found.rows] == [
        ("a", "primary"), ("b", "secondary"), ("c", "secondary"), ("d", "negative control")
    ]  # fmt: skip
    expected = benjamini_hochberg([row.estimate.p for row in found.rows[1:3]])
    assert [row.p_adjusted for row in found.rows] == [None, *map(float, expected.p), None]
    assert [row.stands for row in found.rows] == [None, *map(bool, expected.found), None]
    assert (found.tests, found.names) == (2, ("ear", "page"))


def test_an_undeclared_outcome_is_exploratory():
    """Without a primary outcome the reported measure is looked at as exploratory."""
    found = outcomes(lambda _: drawn(15), Comparison(program="ear"), how="choirs_at_random", seed=1)
    assert [row.role for row in found.rows] == ["exploratory"]


def test_groups_of_students_are_interactions_without_p():
    """By hand: the difference among 7th graders is 4 above that among 6th graders, once first scores are flat."""
    people, choirs = [], []
    rng = np.random.default_rng(1)
    for at in range(8):
        pre = [10.0] * 24
        gains = [3 + 2 * (at % 2 == 0) + 4 * (at % 2 == 0 and member >= 12) for member in range(24)]
        choirs.append(
            (f"C{at}", ("ear", "page")[at % 2], pre, [10 + gain + rng.choice([-1, 1]) * 1e-9 for gain in gains])
        )
        people += [
            {"student": f"S{at * 24 + member:04}", "grade": "7" if member >= 12 else "6"} for member in range(24)
        ]
    table = compared(tuple(choirs))
    (one,) = subgroups(table, students(people), by="grade", design=made("D3a", 8))
    assert abs(one.value) == pytest.approx(4.0, abs=1e-6)
    assert (one.p, one.about) in ((None, "total, grade 7 minus grade 6"), (None, "total, grade 6 minus grade 7"))
    few = subgroups(table, students(people[:30]), by="grade", design=made("D3a", 8))
    assert few.left_out[0].why == "At least two groups with 10 students of each approach are needed."
    assert (
        subgroups(table, students(people), by="height", design=made("D3a", 8)).left_out[0].why
        == "The roster does not say."
    )


@pytest.fixture(scope="module")
def district():
    """Read the invented district."""
    return load_study(DEMO / "two_larches")


@pytest.mark.parametrize(("measure", "truth"), [("pitch", 24 * 0.08133), ("rhythm", 0.0)])
def test_the_district_gives_its_known_truth(district, measure, truth):
    """Every way's interval holds what a perfect evaluation would find, as marked by the own teacher, in points."""
    known = json.loads((DEMO / "truth.json").read_text())["two_larches"]["ear_minus_page"]["strong"]["W1"]
    share = known["all"]["as_marked"] if measure == "pitch" else known["rhythm"]["sung"]
    assert truth == pytest.approx(24 * share["value"] / 100, abs=0.001)
    table = district.compared(measure)
    answer = primary(table, design=classify(table, how="choirs_at_random"), seed=1)
    assert answer.main.interval.low < truth < answer.main.interval.high
    found = sensitivity(table, design=classify(table, how="choirs_at_random"), seed=1, draws=999)
    for one in found.answers[:-1]:
        assert one.interval is None or one.interval.low < truth < one.interval.high


def test_the_district_began_apart_by_chance(district):
    """The imbalance at the first test is found, and the design stays one of choirs at random."""
    from kit.questions.comparison.start import baseline

    table = district.compared("pitch")
    assert baseline(table).band == "apart"
    assert classify(table, how="choirs_at_random").code == "D5"


def test_undeclared_approaches_of_the_district_are_refused(district):
    """Three approaches and none declared: which two is not guessed."""
    from kit.questions.compared import between

    with pytest.raises(UnknownChoiceError):
        between(district.pairs("pitch"))


def test_students_of_no_choir_are_told():
    """Who names no choir is in no choir's average, and the note says how many."""
    answer = asked(compared((*EIGHT, ("", "ear", [10, 11], [12, 13]))))
    assert answer.main.notes[-1] == "Students tested both times whose choir is not known are not in it: 2."
    assert len(marked(EIGHT)) == 32


@pytest.mark.parametrize("how", ["choirs_at_random", "schools_chose"])
def test_turning_the_comparison_round_turns_every_sign(how):
    """With the approaches swapped every difference and both ends of its interval change sign, and nothing else."""
    table = drawn(21, effect=2, how=how)
    turned = table.assign(program=~table["program"])
    turned.attrs = {**table.attrs, "program": "page", "comparison": "ear"}
    design = classify(table, how=how)
    ways = [primary(one, design=design, seed=1).main for one in (table, turned)]
    models = [two_models(one, design=design) for one in (table, turned)]
    for one, other in (ways, [found.gain for found in models], [found.adjusted for found in models]):
        assert other.value == pytest.approx(-one.value)
        assert (other.interval.low, other.interval.high) == pytest.approx((-one.interval.high, -one.interval.low))
        assert other.p == pytest.approx(one.p)
    assert models[0].settled == models[1].settled


def test_an_easier_second_test_changes_no_difference():
    """Two more points for everybody at the second test change neither difference nor interval nor p-value."""
    table = drawn(22, effect=1)
    easier = table.assign(post_points=table["post_points"] + 2)
    easier.attrs = table.attrs
    design = classify(table, how="choirs_at_random")
    for model in ("gain", "adjusted"):
        one, other = (getattr(two_models(found, design=design), model) for found in (table, easier))
        assert (other.value, other.interval.low, other.p) == pytest.approx((one.value, one.interval.low, one.p))


def test_a_higher_level_is_wider():
    """At 99 percent every interval holds that at 90 percent."""
    table = drawn(23)
    wide, narrow = (asked(table, level=level).main.interval for level in (0.99, 0.90))
    assert wide.low < narrow.low < narrow.high < wide.high


def test_students_assigned_one_by_one_have_no_choir_units():
    """Where singers of one choir had both approaches, choir means and filled-in marks are left out with the reason."""
    marks = [(n % 17, (n * 5) % 19) for n in range(16)]
    pairs = choirs_of(*(
        (choir, approach, [a for a, _ in part], [b for _, b in part])
        for choir, part in (("A", marks[:8]), ("B", marks[8:]))
        for approach, part in (("ear", part[:4]), ("page", part[4:]))
    ))  # fmt: skip
    table = between(pairs)
    design = classify(table, how="students_at_random")
    ways = sensitivity(table, design=design, seed=1, draws=99)
    assert BOTH_IN_ONE in {left.why for left in ways.answers.left_out}
    gaps = missing(table, design=design, model="adjusted", seed=1)
    assert [left.why for left in gaps.left_out] == [ONE_BY_ONE]


def test_declared_subgroups_are_asked_one_by_one():
    """Each declared column has its answers, as asked alone; groups never need fewer students than the rule says."""
    study = load_study(DEMO / "two_larches")
    table, design = study.compared(), study.comparison_design()
    every = declared_subgroups(table, study.students, ["grade", "voice_part"], design=design, smallest=1)
    assert list(every) == ["grade", "voice_part"]
    alone = subgroups(table, study.students, by="grade", design=design)
    assert list(every["grade"]) == list(alone)
    assert declared_subgroups(table, study.students, [], design=design, smallest=1) == {}
