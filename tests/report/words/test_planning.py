"""What the planning workbench says, for every kind of study and every awkward plan, and the page it makes."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from kit.questions import planning
from kit.report.build import build_report
from kit.report.claims import CODES
from kit.report.page import Page
from kit.report.words import planning as words

ROOT = Path(__file__).parents[3]
NOTEBOOK = ROOT / "notebooks" / "study_planning.ipynb"
PLAN = planning.plan(choirs=8, students=25, correlation=0.7, alike=[0.1, 0.2, 0.3], difference=0.4)
PLANS = {
    "as usual": PLAN,
    "from a study": dataclasses.replace(PLAN, from_study=("choirs", "students", "correlation")),
    "six choirs": dataclasses.replace(PLAN, choirs=6),
    "one choir": dataclasses.replace(PLAN, choirs=1, students=1),
    "many": dataclasses.replace(PLAN, choirs=400),
    "one share": dataclasses.replace(PLAN, alike=(0.2,)),
    "nothing and all": dataclasses.replace(PLAN, alike=(0.0, 1.0)),
    "useless first test": dataclasses.replace(PLAN, correlation=0.0),
}


def everything(plan, starts=3):
    """Say everything about a plan, by part."""
    sizes, needed = planning.sizes(plan), planning.needed(plan)
    noticed = planning.noticed(plan, rng=np.random.default_rng(1), draws=200)
    return {
        "plan": words.what_is_planned(plan),
        "short": words.in_short(sizes, needed, plan),
        "first test": words.first_test(sizes, needed),
        "students": words.by_students(planning.by_students(plan)),
        "shuffled": words.shuffled(planning.shuffled(plan, starts=starts), level=plan.level),
        "staggered": words.staggered(planning.staggered(plan, starts=starts), starts=starts, plan=plan),
        "simulated": words.simulated(noticed, plan),
        "cautions": words.cautions(),
    }


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("name", PLANS)
def test_every_sentence_passes_the_gate_of_every_design(code, name):
    """A plan made from any kind of study says nothing that the study could not, and reads like prose."""
    for part, said in everything(PLANS[name]).items():
        said.passed(code)
        for sentence in said.sentences:
            assert re.fullmatch(r"[A-Z0-9].*[.]", sentence), (part, sentence)
            assert not re.search(r"  |nan|None|\.\.|,\.|\b1 choirs|\b1 students", sentence), (part, sentence)


def test_in_short():
    """The box says what the choirs could show, and what the difference asked for needs."""
    assert everything(PLAN)["short"].sentences == (
        "8 choirs of 25 students with a first test would show a difference of 0.65 to 1.02 SD, depending on how alike "
        "singers of one choir are, 80 times in 100; a smaller one would often be missed.",
        words.LESS_OFTEN,
        "To see 0.40 SD, 16 to 36 choirs are needed with a first test, depending on how alike singers of one choir are.",
        "These are numbers about a plan, not about any student or choir.",
    )
    assert everything(PLANS["one share"])["short"].sentences[:3] == (
        "8 choirs of 25 students with a first test would show a difference of 0.85 SD 80 times in 100; a smaller one "
        "would often be missed.",
        words.LESS_OFTEN,
        "To see 0.40 SD, 26 choirs are needed with a first test.",
    )


def test_in_short_with_few_choirs():
    """Six choirs are told without a first test; one choir is told to be none."""
    assert (
        everything(PLANS["six choirs"])["short"].sentences[0].startswith("6 choirs of 25 students without a first test")
    )
    assert words.LESS_OFTEN not in everything(PLANS["six choirs"])["short"].sentences
    assert everything(PLANS["one choir"])["short"].sentences[0] == "1 choir cannot be enough to compare two approaches."


def test_the_plan_says_what_is_known_and_what_is_assumed():
    """What was found in a study is told apart from what was typed."""
    told = " ".join(everything(dataclasses.replace(PLAN, from_study=("students", "correlation")))["plan"].sentences)
    assert "Found in the study: 25 students tested in each and a correlation of 0.70 between the two tests." in told
    assert "Taken from the settings above: 8 choirs." in told
    assert "10, 20 or 30 percent of the variance of scores lies between choirs" in told
    assert "a 95 % interval leaves zero out" in told


def test_first_test():
    """What a first test buys is told in choirs; one that tells nothing is said to buy hardly any."""
    assert everything(PLAN)["first test"].sentences[2] == (
        "With 20 percent between choirs: 48 choirs without a first test, 26 with one."
    )
    assert everything(PLANS["useless first test"])["first test"].sentences[0] == (
        "A first test that agrees so little with the second saves hardly any choirs."
    )
    assert planning.TOO_FEW_FOR_A_FIRST_TEST in everything(PLANS["six choirs"])["first test"].sentences


def test_shuffled():
    """Chances are written as 1 time in so many, and a way that can never pass the limit says so."""
    together, paired, dated = everything(PLAN)["shuffled"].sentences[1:]
    assert together == "8 choirs assigned all together: chance alone brings the most extreme outcome 1 time in 35."
    assert paired == (
        "8 choirs assigned within pairs: chance alone brings the most extreme outcome 1 time in 8, so that no "
        "outcome could be rarer than the usual limit of 1 time in 20."
    )
    assert dated.endswith("1 time in 560.")
    assert "1 time in more than 1,000,000." in everything(PLANS["many"])["shuffled"].sentences[1]
    assert "1 time in 6,435." in everything(dataclasses.replace(PLAN, choirs=16))["shuffled"].sentences[1]


def test_one_choir_cannot_be_shuffled():
    """With one choir there is nothing to deal out."""
    assert everything(PLANS["one choir"])["shuffled"].sentences == (
        "There are too few choirs to assign them in more than one way.",
    )


def test_limit_that_is_just_reached_is_no_limit():
    """A smallest chance equal to the limit, but for rounding dust, can pass it."""
    chances = planning.shuffled(dataclasses.replace(PLAN, choirs=20, level=0.9))
    exact = dataclasses.replace(chances[0], value=0.1 * (1 + 1e-14))
    assert "rarer" not in words.shuffled([exact], level=0.9).sentences[1]


def test_staggered():
    """The sentences say what a staggered start would show, how many dates the plan has, and what is taken for granted."""
    told = words.staggered(planning.staggered(PLAN, starts=2), starts=2, plan=PLAN).sentences
    assert told[1].endswith("The plan has 2.")
    assert told[2] == (
        "8 choirs of 25 students with 2 starting dates, tested 3 times, would show a difference of 0.57 to 0.89 SD, "
        "depending on how alike singers of one choir are, 80 times in 100."
    )
    three = words.staggered(planning.staggered(PLAN, starts=3), starts=3, plan=PLAN).sentences
    assert three[1].endswith("The plan has that many.")


def test_staggered_with_too_few_choirs():
    """Three choirs have no number."""
    few = dataclasses.replace(PLAN, choirs=3)
    told = words.staggered(planning.staggered(few, starts=3), starts=3, plan=few)
    assert told.sentences[2:] == ("There are too few choirs for a staggered start.",)
    assert not told.estimates


def test_simulated():
    """The share of simulated studies is told with their number; with too few choirs nothing is told."""
    told = everything(PLAN)["simulated"].sentences
    assert re.fullmatch(
        r"In 200 simulated studies for each row, 8 choirs would show a true difference of 0\.40 SD in \d+ to \d+ percent "
        r"of them\.", told[0],
    )  # fmt: skip
    assert len(everything(PLANS["six choirs"])["simulated"].sentences) == 1
    assert everything(PLANS["one choir"])["simulated"].sentences == (
        "Nothing was simulated: there are too few choirs to compare two approaches.",
    )


def test_too_few_students():
    """A single student can show nothing."""
    assert everything(PLANS["one choir"])["students"].sentences == (
        "Too few students to say what they could show.",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("parameters", "box"),
    [
        ({}, "8 choirs of 25 students with a first test would show a difference of 0.65 to 1.02 SD"),
        ({"choirs": 3, "starts": 2}, "3 choirs cannot be enough to compare two approaches."),
        ({"folder": str(ROOT / "synthetic_data" / "one_choir")}, "8 choirs of"),
    ],
)
def test_the_workbench_makes_a_page(parameters, box, tmp_path):
    """From plain numbers or a study folder the notebook makes a page whose numbers all have their row."""
    page = build_report(NOTEBOOK, parameters, tmp_path / "plan", name="plan").read_text(encoding="utf-8")
    assert box in re.sub("<[^>]+>", "", page)  # numbers are links to their rows
    numbers = pd.read_csv(tmp_path / "plan" / "numbers.csv")
    assert {"choirs_needed", "detectable_gain", "smallest_permutation_p"} <= set(numbers["name"])
    assert numbers["label"].is_unique


def test_pages_take_the_gate_of_their_study():
    """Tables, captions and notes pass the gate of every design."""
    for code in CODES:
        page = Page(title="A study that is planned", design=code)
        sizes, curve = planning.sizes(PLAN), planning.by_number_of_choirs(PLAN)
        notes = words.grid_notes(sizes)
        page.table(words.grid_table(sizes), caption="Smallest difference", notes=notes, estimates=sizes.estimates)
        caption = words.choirs_caption(curve, PLAN)
        page._pass(caption.title, caption.alt, caption.note, place="caption")
