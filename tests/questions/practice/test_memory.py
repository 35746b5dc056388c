"""Learning and fading, breaks, and tries until a pattern is there."""

import numpy as np
import pandas as pd
import pytest

from kit.questions.practice import memory
from kit.questions.practice.notes import tries
from kit.stats.learning.practice import practice_rates
from kit.tables import DRILLS, empty
from tests.questions.drilled import day, heard, log, meeting


def drawn(singers=12, days=14, seed=3):
    """Draw a log in which practice helps: every singer heard every second day on one of two patterns."""
    rng = np.random.default_rng(seed)
    return [
        heard(f"S{who}", "1 2 3" if right else "1 2 2", bool(right), on=2 * at, pattern=f"P{at % 2}")
        for at in range(days) for who in range(singers)
        for right in [rng.random() < 0.2 + 0.05 * at]
    ]  # fmt: skip


def test_rates_are_those_of_the_statistic():
    """Times and days before each try, worked out by hand for two patterns in turn, go into the model as they are."""
    rows = drawn()
    found = memory.rates(tries(log(rows)), log(rows))
    at = np.array([row["on"] // 2 for row in rows])
    bare = practice_rates(
        [row["right"] for row in rows], [row["student"] for row in rows], at % 2, at // 2,
        np.where(at // 2 > 0, 4.0, np.nan), about="the same",
    )  # fmt: skip
    assert found.answers[0].value == pytest.approx(bare.learning.value, rel=1e-6)
    assert found.answers[0].about == "first tries in the drill log"
    assert bare.forgetting is None
    assert len(found.answers) == 1


def test_the_curve_runs_as_far_as_most_tries_do():
    """Times from none to the 95th percentile of those behind the tries; shares within their bands."""
    rows = drawn()
    curve = memory.rates(tries(log(rows)), log(rows)).curve
    assert curve["times"].tolist() == [0, 1, 2, 3, 4, 5, 6]
    assert (curve["low"] < curve["share"]).all()
    assert (curve["share"] < curve["high"]).all()


@pytest.mark.parametrize(
    ("drills", "why"),
    [
        (empty(DRILLS), "practice_rates: needs 20 tries with known practice. first tries in the drill log has 0."),
        (log([heard(f"S{at}", "1 2 3", True) for at in range(30)]),
         "practice_rates: needs right and wrong tries. All of first tries in the drill log are right."),
        (log([heard(f"S{at}", "1 2 3" if at % 2 else "1 2 2", bool(at % 2)) for at in range(30)]),
         "practice_rates: needs tries after different practice. first tries in the drill log has none."),
    ],
)  # fmt: skip
def test_too_little_for_rates_is_said(drills, why):
    """No log, all right, one day only: no rate, no curve, the reason."""
    found = memory.rates(tries(drills), drills)
    assert found.rates is None
    assert found.curve.empty
    assert [one.why for one in found.answers.left_out] == [why]


def test_the_longest_break_is_found():
    """Twelve days without any line, from any choir; nine are none; a log of one day has none."""
    assert memory.longest_break(log([meeting(0), meeting(3, choir="Fir"), meeting(15), meeting(26)])) == (
        day(3),
        day(15),
    )
    assert memory.longest_break(log([meeting(0), meeting(9)])) is None
    assert memory.longest_break(log([meeting(0)])) is None
    assert memory.longest_break(empty(DRILLS)) is None


def around_a_break(singers, before=(1, 1), after=0):
    """Let singers try before and after two weeks; two tries on the last day, one on the first."""
    rows = []
    for who in range(singers):
        rows += [heard(f"S{who}", "1 2 3", bool(one), on=3) for one in before]
        rows.append(heard(f"S{who}", "1 2 3", bool(after) ^ (who == 0), on=20))
    return log(rows)


def test_shares_on_both_sides_of_a_break():
    """Twelve singers: half right before, one of twelve right after; pairs by hand."""
    drills = around_a_break(12, before=(1, 0))
    found = memory.around(tries(drills), drills)
    side = memory.sides(found)
    assert side.to_numpy().tolist() == [[0.5, pytest.approx(1 / 12), 12.0]]
    one = memory.retained(found).first
    assert one.value == pytest.approx(1 / 12 - 0.5)
    assert one.n == 12


def test_few_pairs_or_singers_show_nothing():
    """Nine pairs are too few; twelve singers are too few where twenty are needed; no break has no sides."""
    few, twelve = around_a_break(9), around_a_break(12)
    assert memory.sides(memory.around(tries(few), few)).empty
    assert memory.retained(memory.around(tries(few), few)).left_out[0].why == memory.NO_BREAK
    found = memory.around(tries(twelve), twelve)
    assert memory.sides(found, smallest=20).empty
    assert memory.retained(found, smallest=20).left_out[0].why == memory.FEW_SINGERS
    assert memory.sides(None).empty
    assert memory.retained(None).left_out[0].why == memory.NO_BREAK


@pytest.mark.parametrize("drills", [empty(DRILLS), log([heard("A", "1 2 3", True)])])
def test_without_a_break_there_is_nothing_around_it(drills):
    """An empty log and a log of one day."""
    assert memory.around(tries(drills), drills) is None


def test_tries_long_after_the_break_do_not_count():
    """A first try eleven days after school began again says nothing about the break."""
    drills = log([heard("A", "1 2 3", True), meeting(20), heard("A", "1 2 3", True, on=31)])
    assert len(memory.around(tries(drills), drills).before) == 0


def test_tries_until_two_are_right_in_a_row():
    """Ten singers need two tries, five need three, five have not got there after four: half need two or three."""
    rows = [heard(f"S{who}", "1 2 3", True, on=at) for who in range(10) for at in range(2)]
    rows += [heard(f"T{who}", "1 2 3", at > 0, on=at) for who in range(5) for at in range(3)]
    rows += [heard(f"U{who}", "1 2 2", False, on=at) for who in range(5) for at in range(4)]
    curve, found = memory.criterion(tries(log(rows)), in_a_row=2)
    assert (curve.n, curve.reached) == (20, 15)
    assert found.first.value == pytest.approx(2.5)
    assert memory.steps(curve)["times"].tolist() == [2.0, 3.0]
    assert memory.steps(curve)["waiting"].tolist() == [0.5, 0.25]


def test_too_few_followed_have_no_median():
    """Half would need more tries than ten pairs were followed for."""
    rows = [heard(f"S{who}", "1 2 2", False, on=0) for who in range(20)]
    rows += [heard("A", "1 2 3", True, on=at) for at in range(1, 4)]
    curve, found = memory.criterion(tries(log(rows)), in_a_row=3)
    assert found == []
    assert found.left_out[0].why == "Fewer than 10 pairs are followed for as many tries as half would need."
    assert memory.steps(curve).empty


def test_no_tries_and_too_few_singers_have_no_curve():
    """Nothing logged, or fewer singers than may be shown."""
    assert memory.criterion(tries(empty(DRILLS)), in_a_row=3)[0] is None
    curve, found = memory.criterion(tries(log([heard("A", "1 2 3", True)] * 30)), in_a_row=3, smallest=5)
    assert curve is None
    assert found.left_out[0].why == memory.FEW_SINGERS
    assert memory.steps(None).empty
    assert list(memory.steps(None).columns) == ["times", "waiting", "low", "high", "censored"]


def test_one_week_of_log_breaks_nothing():
    """Every question about memory has an answer or a reason when there is one week only."""
    drills = log([heard(f"S{who}", "1 2 3", bool(who % 3), on=on) for who in range(8) for on in range(5)])
    found = memory.rates(tries(drills), drills)
    assert found.rates is not None or found.answers.left_out
    assert memory.around(tries(drills), drills) is None
    assert memory.criterion(tries(drills), in_a_row=3)[0] is not None
    assert isinstance(found.curve, pd.DataFrame)


def test_of_very_long_logs_singers_are_drawn_and_it_is_told(monkeypatch):
    """Above the limit whole singers are drawn at random: the number is told, and the rate is near that of all."""
    rows = drawn(singers=60)
    drills = log(rows)
    every = memory.rates(tries(drills), drills).answers[0]
    monkeypatch.setattr(memory, "MOST_TRIES", 500)
    some = memory.rates(tries(drills), drills).answers[0]
    assert every.n == 840
    assert some.n == 35 * 14
    assert some.notes[-1] == "From the tries of 35 of 60 singers drawn at random, 490 of 840 tries."
    assert some.interval.low < every.value < some.interval.high


def test_few_singers_who_got_there_are_not_told():
    """Two of twelve have two in a row: told to their teacher, hidden where five are needed; nobody there hides nothing."""
    rows = [heard(f"S{who}", "1 2 3", who < 2, on=at) for who in range(12) for at in range(2)]
    assert memory.criterion(tries(log(rows)), in_a_row=2)[0].reached == 2
    curve, found = memory.criterion(tries(log(rows)), in_a_row=2, smallest=5)
    assert curve is None
    assert found.left_out[0].why == memory.FEW_SINGERS
    assert memory.criterion(tries(log(rows[4:])), in_a_row=2, smallest=5)[0].reached == 0
