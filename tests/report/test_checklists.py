"""Published checklists, filled: every item leads to a part that is there, or says what to add."""

import json
from dataclasses import fields
from pathlib import Path
from types import SimpleNamespace

import pytest

from kit.errors import UnknownChoiceError
from kit.purpose import Program, Repeats, Research
from kit.questions.answers import Answers
from kit.questions.compared import Comparison
from kit.report.checklists import (
    NO_PART,
    PUBLISHED,
    TO_ADD,
    checklist_for,
    checklist_table,
    facts,
    headings_of,
    in_words,
    items,
    linked_row,
    met,
)
from kit.report.claims import gate
from kit.report.headings import anchor
from kit.report.spoken import CODES
from kit.settings import Assignment, DeclaredTest

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
OF = {"TREND": "grant_report", "CONSORT": "grant_report", "JARS-Quant": "classroom_replication"}
NUMBERS = {"TREND": {str(n) for n in range(1, 23)}, "CONSORT": {str(n) for n in range(1, 26)}}
SETTINGS = {f"{name}.{field.name}" for name, section in (("program", Program), ("research", Research), ("repeats", Repeats))
            for field in fields(section)}  # fmt: skip


def study(**sections):
    """Make a study file that says nothing but what is given."""
    empty = {"program": Program(), "research": Research(), "repeats": Repeats(), "comparison": Comparison(),
             "assignment": Assignment(), "tests": {}}  # fmt: skip
    return SimpleNamespace(**empty | sections)


@pytest.mark.parametrize("checklist", NUMBERS)
def test_no_number_of_a_published_list_is_left_out(checklist):
    """TREND has items 1 to 22 (Des Jarlais and others 2004), CONSORT 1 to 25 (Campbell and others 2012)."""
    numbers = {part.strip().rstrip("abc") for one in items(checklist) for part in one.item.split(",")}
    assert numbers == NUMBERS[checklist]


@pytest.mark.parametrize("checklist", PUBLISHED)
def test_every_heading_is_in_the_report(checklist):
    """A part that an item leads to is a heading of the notebook."""
    cells = json.loads((NOTEBOOKS / f"{OF[checklist]}.ipynb").read_text(encoding="utf-8"))["cells"]
    headings = {"".join(cell["source"]).splitlines()[0] for cell in cells if cell["cell_type"] == "markdown"}
    assert headings_of(checklist) <= {heading.removeprefix("## ") for heading in headings}


@pytest.mark.parametrize("checklist", PUBLISHED)
def test_everything_an_item_needs_can_be_known(checklist):
    """A need is a setting of study.toml or a finding that has a name; what it asks is short and one phrase."""
    for one in items(checklist):
        assert set(one.needs) <= SETTINGS | set(TO_ADD) | {"comparison.primary"}
        assert 10 < len(one.asks) < 120
        assert not one.asks.endswith(".")
        assert one.only in ("", "clusters")


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("checklist", PUBLISHED)
def test_every_word_of_a_checklist_passes_the_gate(checklist, code):
    """Items, places, what to add and the sentences above them claim nothing, whatever the design."""
    for known in (set(), SETTINGS | set(TO_ADD) | {"comparison.primary"}):
        table = checklist_table(checklist, known)
        for cell in (*table["Asks for"], *table["Where"]):
            gate(cell, code=code)
        in_words(checklist, table).passed(code)


def test_the_list_goes_by_the_design():
    """CONSORT where the lot decided, TREND elsewhere."""
    assert {code: checklist_for(code) for code in ("D5", "D4", "D5b")} == dict.fromkeys(("D5", "D4", "D5b"), "CONSORT")
    assert {checklist_for(code) for code in ("D0", "D1", "D2", "D3a", "D3b", "D7")} == {"TREND"}


def test_an_item_is_met_or_says_what_to_add():
    """With the setting the heading stands there, without it what to write, with no part that there is none."""
    table = checklist_table("CONSORT", {"program.what", "program.who"}).set_index("Item")["Where"]
    assert table["5"] == "not reported: add program.how_much in study.toml"
    assert checklist_table("CONSORT", {"program.what", "program.who", "program.how_much"}).set_index("Item").loc[
        "5", "Where"] == "The program"  # fmt: skip
    assert table["17b"] == f"not reported: {NO_PART}"
    assert table["1b"] == "In short"


def test_items_for_choirs_are_not_asked_of_students():
    """Where students were assigned one by one, what is asked of choirs alone is left out."""
    both = [set(checklist_table("CONSORT", set(), clusters=clusters)["Asks for"]) for clusters in (True, False)]
    assert both[0] - both[1] == {one.asks for one in items("CONSORT") if one.only == "clusters"}
    assert len(both[0] - both[1]) == 4


def test_facts_are_settings_filled_in_and_findings_that_are_there():
    """Empty settings, empty answers and answers without a main number are not known."""
    said = study(
        program=Program(why="x"), research=Research(funding="none"), repeats=Repeats(rule="all_three"),
        comparison=Comparison(primary=("pitch",), how="choirs_at_random"), tests={"pitch": DeclaredTest(what="x")},
    )  # fmt: skip
    known = facts(said, compared=SimpleNamespace(main=None), log=Answers(), raters=Answers(), original=None)
    assert known == {
        "program.why",
        "research.funding",
        "repeats.rule",
        "comparison.primary",
        "assignment",
        "tests.what",
    }
    nothing = facts(study())
    assert nothing == set()
    more = facts(study(tests={"pitch": DeclaredTest(reliability=0.8)}), compared=SimpleNamespace(main=1),
                 baseline=SimpleNamespace(rows=(1,)), attrition=SimpleNamespace(levels=()))  # fmt: skip
    assert more == {"reliability", "compared", "baseline"}
    assert {"reliability", "sample_reliability"} <= facts(study(), sample_reliability=[1])


def test_the_sentence_counts():
    """How many are met and how many are not; with all of them met nothing is missing."""
    table = checklist_table("TREND", set())
    assert 0 < met(table) < len(table)
    said = in_words("TREND", table).sentences
    assert said[1].startswith(f"Of {len(table)} entries this report has a part for {met(table)}.")
    assert said[2].startswith(f"For {len(table) - met(table)} nothing is reported yet")
    assert (
        len(in_words("TREND", checklist_table("TREND", SETTINGS | set(TO_ADD) | {"comparison.primary"})).sentences) == 2
    )


def test_headings_in_a_row_are_links_and_nothing_else_is():
    """Each heading leads to its place; a sentence and words of a school are escaped text."""
    write = linked_row(headings_of("TREND"))
    assert write(["1", "a < b", "In short; The test"]).cells == [
        "1", "a &lt; b",
        f'<a href="#{anchor("In short")}">In short</a>; <a href="#{anchor("The test")}">The test</a>',
    ]  # fmt: skip
    assert write(["1", "x", "not reported: add <b>"]).cells[2] == "not reported: add &lt;b&gt;"


def test_an_unknown_checklist_is_refused():
    """The known ones are named."""
    with pytest.raises(UnknownChoiceError) as caught:
        items("PRISMA")
    assert str(caught.value) == "items: checklist must be one of 'TREND', 'CONSORT', 'JARS-Quant'. Got 'PRISMA'."
