"""Sentences and tables of the grant report."""

from dataclasses import replace
from types import SimpleNamespace

import pandas as pd
import pytest

from kit.purpose import Cost, Program
from kit.questions.targets import Target
from kit.report.claims import CODES
from kit.report.privacy.rounding import Rounding
from kit.report.spoken import ONE_GROUP
from kit.report.tables.grant import cells_table, costs_table, logic_model_table, program_table, targets_table
from kit.report.words.costs import OFTEN_LEFT_OUT
from kit.report.words.grant import (
    MEANS,
    NO_TARGETS,
    STARTS,
    WEAKENS,
    cells_files,
    certainty,
    costs,
    protection,
    reach,
    shown_cells,
    targets,
    what_to_do,
)
from tests.report.terms import count, estimate

PROMISE = Target(says="70 percent at 80 percent or more.", students=0.7, reach=0.8)
SHARE = estimate("promise", "share_clusters", 0.37, (0.24, 0.52), unit="share", n=315)


def outcome(actual, met):
    """Put a target beside what was reached."""
    return SimpleNamespace(target=PROMISE, actual=actual, met=met)


def test_reach():
    """Whole numbers in one sentence, the log in another that says what it does not hold."""
    counts = [
        count(5, "schools"),
        count(14, "choirs"),
        count(340, "students", 340),
        count(314, "tested both times", 340),
    ]
    said = reach(counts, [count(636, "meetings logged", 636), count(62, "hours logged", 62)])
    assert said.sentences == (
        "The study covers 5 schools, 14 choirs and 340 students; 314 students took both tests.",
        "The drill logs hold 636 meetings with ear training, 62 hours in all; what nobody wrote down is not in that "
        "number.",
    )
    assert reach([count(340, "students"), count(340, "tested both times")], []).sentences == (
        "The study covers 340 students; all of them took both tests.",
    )
    gone = replace(count(1, "choirs without both tests", 14), unit="choirs")
    assert reach([*counts, gone], []).sentences[1] == "In 1 of 14 choirs nobody took both tests."
    assert reach(counts[2:], []).sentences == ("The study covers 340 students; 314 students took both tests.",)


def test_the_first_page_counts_the_promises():
    """How many were met and how many were not; nothing is told of one whose number is hidden."""
    counts = [count(340, "students", 340), count(314, "tested both times", 340)]
    some = [outcome(SHARE, "not met"), outcome(SHARE, "met"), outcome(SHARE, "not met")]
    assert reach(counts, [], some).sentences[-1] == "Of 3 targets promised, 1 is met and 2 are not met."
    hidden = reach(counts, [], some[:1], hide=lambda _: True).sentences[-1]
    assert hidden == "Of 1 target promised, 1 is not shown here."


def test_targets():
    """Promised, reached, how sure, and whether that settles it; a hidden one shows no number."""
    said = targets([outcome(SHARE, "not met")])
    assert said.sentences == (
        "Promised: 70 percent at 80 percent or more. Reached: 37 percent of 315 students, plausibly between 24 and "
        "52 percent. Not met: the whole range lies below the target.",
    )
    assert said.estimates == (SHARE,)
    hidden = targets([outcome(SHARE, "not met")], hide=lambda _: True)
    assert "37" not in hidden.sentences[0]
    assert hidden.estimates == ()
    missing = targets([outcome(SimpleNamespace(why="Nobody was tested."), "not measured")])
    assert missing.sentences == ("Promised: 70 percent at 80 percent or more. Not measured: Nobody was tested.",)
    assert targets([]).sentences == (NO_TARGETS,)


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("level", ["very low", "low", "moderate", "high"])
def test_certainty_passes_the_gate_of_every_design(code, level):
    """Whatever the design, level, start and reasons, both texts pass."""
    for start in STARTS:
        assert certainty(SimpleNamespace(level=level, start=start, reasons=()), code=code).sentences
    if code == "D2" or code in ONE_GROUP:
        return
    found = SimpleNamespace(level=level, start="low", reasons=tuple(WEAKENS))
    said = certainty(found, code=code)
    assert said.sentences[:2] == (
        f"Certainty of the main result: {level}; {MEANS[level]}.",
        "A study of this kind starts at low, because groups are compared that were not assigned at random.",
    )
    assert said.sentences[2].startswith("Each of these takes it a step down: the groups did not start alike; ")
    assert all(words in said.sentences[2] for words in WEAKENS.values())
    one = certainty(SimpleNamespace(level=level, start="low", reasons=("missing",)), code=code).sentences[2]
    assert one == f"This takes it a step down: {WEAKENS['missing']}."
    assert what_to_do(found, code=code).sentences
    lowest = certainty(SimpleNamespace(level="very low", start="very low", reasons=("missing",)), code=code).sentences
    assert lowest[2] == f"Besides: {WEAKENS['missing']}."


@pytest.mark.parametrize("code", ["D2", *ONE_GROUP])
def test_where_no_difference_is_given_there_is_none_to_be_certain_of(code):
    """One sentence, and no number that the truth could differ from."""
    found = SimpleNamespace(level="very low", start="very low", reasons=("missing", "few choirs"))
    assert certainty(found, code=code).sentences == ("No main result is given, so there is none to be certain of.",)


def test_protection_says_the_smallest_group_of_the_copy():
    """10 for the public, 5 inside a district, none for the teacher; the agreement or its absence."""
    assert "fewer than 10 students" in " ".join(protection("public").sentences)
    assert "fewer than 5 students" in " ".join(protection("district", agreement="DUA 7.").sentences)
    assert protection("district", agreement="DUA 7.").sentences[-1] == "Agreement: DUA 7."
    assert "own teacher" in " ".join(protection("teacher").sentences)


def test_tables_hold_what_was_said_and_nothing_else():
    """Program, logic model, costs with their sum; no row where nothing is said."""
    program = Program(
        name="Ear first", inputs=("Chart",), activities=("Echo", "Signs"), currency="dollars",
        costs=(Cost(what="Chart", amount=310), Cost(what="Hours", amount=2400.5)),
    )  # fmt: skip
    assert program_table(program).to_numpy().tolist() == [["Name", "Ear first"]]
    assert logic_model_table(program).to_numpy().tolist() == [["Chart", "Echo", "", ""], ["", "Signs", "", ""]]
    assert costs_table(program).to_numpy().tolist() == [
        ["Chart", "310.00"], ["Hours", "2,400.50"], ["Together", "2,710.50"]
    ]  # fmt: skip
    for table in (program_table, logic_model_table, costs_table):
        assert table(Program()).empty


def test_targets_table():
    """A row for each promise; what was not measured stays empty."""
    rows = targets_table([outcome(SHARE, "not met"), outcome(SimpleNamespace(why="x"), "not measured")])
    assert rows.to_numpy().tolist() == [
        [PROMISE.says, "70 %", "37 %", "24 to 52 %", "315", "not met"],
        [PROMISE.says, "70 %", "", "", "", "not measured"],
    ]
    hidden = targets_table([outcome(SHARE, "not met")], hide=lambda _: True)
    assert hidden.to_numpy().tolist() == [[PROMISE.says, "70 %", "", "", "", "not shown"]]


def test_cells_table_rounds_for_print():
    """One row for each approach; a missing number is an empty cell."""
    row = {"approach": "", "measure": "pitch", "unit": "points", "choirs": 2, "n": 40, "mean_first": 10.04,
           "sd_first": 3.06, "mean_second": 12.0, "sd_second": 3.5, "correlation": 0.614,
           "between_choirs_first": float("nan"), "between_choirs_second": 0.2}  # fmt: skip
    table = cells_table(pd.DataFrame([row]))
    assert list(table.columns) == ["What", "not named"]
    assert table["not named"].tolist() == ["2", "40", "10.0", "3.1", "12.0", "3.5", "0.61", "", "0.20"]


def test_cells_of_nobody_are_an_empty_table():
    """Without approaches, or where they are hidden, there are no row heads without columns."""
    bare = pd.DataFrame(columns=["approach", "measure", "unit", "choirs", "n"])
    assert cells_table(bare).empty
    assert cells_table(shown_cells(bare, smallest=10)).empty


def test_what_follows_asks_for_what_is_missing():
    """Without a comparison one is needed; with one that is very uncertain, more choirs."""
    found = SimpleNamespace(level="very low")
    assert "a comparison with other choirs" in what_to_do(found, code="D1").sentences[0]
    assert "a trial with more choirs" in what_to_do(found, code="D5").sentences[0]


SPENT = Program(costs=(Cost(what="Chart", amount=310), Cost(what="Hours", amount=2400)), currency="dollars")
LOGGED = [count(150, "ear-first, students", 150), count(140, "page-first, students", 140),
          count(1603, "ear-first, minutes logged", 1603), count(340, "students", 340), count(62, "hours logged", 62)]  # fmt: skip


def test_costs_are_told_for_each_student_and_each_hour_with_what_they_leave_out():
    """2,710 over 150 students and over 1,603 minutes, by hand; of all students and hours without an approach."""
    said = costs(SPENT, LOGGED, taught="ear-first")
    assert said.sentences == (
        'The costs entered come to 2,710.00 dollars: 18.07 dollars for each of the 150 students taught "ear-first", '
        "tested or not.",
        "That is 101.43 dollars for each hour of practice that the drill logs hold; hours that nobody wrote down would "
        "make it less.",
        OFTEN_LEFT_OUT,
    )
    assert said.estimates == (LOGGED[0], LOGGED[2])
    whole = costs(replace(SPENT, costs_leave_out="the paid hours of teachers.", currency="$"), LOGGED).sentences
    assert (
        whole[0]
        == "The costs entered come to $2,710.00: $7.97 for each of the 340 students of the study, tested or not."
    )
    assert whole[1].startswith("That is $43.71 for each hour")
    assert whole[2] == "Not in it: the paid hours of teachers."


def test_costs_without_log_students_or_costs():
    """Without a log nothing is told for an hour, without students nothing for each, without costs nothing at all."""
    assert len(costs(SPENT, LOGGED[:1], taught="ear-first").sentences) == 2
    assert costs(SPENT, []).sentences[0] == "The costs entered come to 2,710.00 dollars."
    assert costs(SPENT, [count(0, "students", 0)]).sentences[0] == "The costs entered come to 2,710.00 dollars."
    assert costs(Program(), LOGGED).sentences == ()


def test_costs_of_a_rounded_number_of_students_are_rounded_too():
    """Where the number of students is told rounded, the cost for each does not give the exact one back."""
    near = Rounding({150: (150, 169)})
    said = near.said(costs(SPENT, near.estimates(LOGGED), taught="ear-first"))
    assert said.sentences[0].startswith(
        "The costs entered come to 2,710.00 dollars: about 16.94 dollars for each of about 160 students taught"
    )
    wide = Rounding({150: (120, 179)})
    said = wide.said(costs(SPENT, wide.estimates(LOGGED), taught="ear-first"))
    assert "about 18.07 dollars for each of 120 to 179 students taught" in said.sentences[0]


@pytest.mark.parametrize("code", CODES)
def test_costs_pass_the_gate_of_every_design(code):
    """Costs claim nothing."""
    costs(SPENT, LOGGED, taught="ear-first").passed(code, approaches=("ear-first",))


def test_numbers_for_pooling_are_shown_whole_or_not_at_all():
    """With one approach too small for the readers neither is shown, since the total would give it away."""
    rows = pd.DataFrame({"approach": ["ear", "page"], "measure": "pitch", "unit": "points", "choirs": 1, "n": [40, 9],
                         "mean_first": 10.123456789})  # fmt: skip
    assert shown_cells(rows, smallest=5)["mean_first"].tolist() == [10.12, 10.12]
    assert shown_cells(rows.assign(unit="share"), smallest=5)["mean_first"].tolist() == [10.1235, 10.1235]
    assert shown_cells(rows, smallest=1) is rows
    assert shown_cells(rows, smallest=10).empty
    assert cells_files(shown_cells(rows, smallest=10)) == {}
    assert cells_files(rows)["pooling.csv"].splitlines()[1] == "ear,pitch,points,1,40,10.123456789"
