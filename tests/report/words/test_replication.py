"""Sentences and tables of a repeated study."""

from dataclasses import fields, replace
from math import inf
from types import SimpleNamespace

import pandas as pd
import pytest

from kit.purpose import Deviation, Repeats, Research
from kit.questions.replication.published import published_studies
from kit.report.asked import ASKED, research_table
from kit.report.claims import CODES, gate
from kit.report.tables.replication import (
    checks_table,
    deviations_table,
    features_table,
    journal_p,
    journal_table,
    published_table,
    sizes,
    sizes_caption,
    sizes_table,
)
from kit.report.words.grant import CELLS_NOTES
from kit.report.words.replication import (
    AS_PUBLISHED,
    COLUMNS,
    CONTEXT,
    EXPLAINS,
    NO_ORIGINAL,
    NO_RULE,
    NOT_NAMED,
    ON_EITHER_SIDE,
    RULES,
    SD_IN_WORDS,
    VERDICTS,
    headline,
    original,
    side_by_side,
)
from tests.report.terms import estimate

EFFECT = estimate("Early 1999", "hedges_g_from_t", 0.38, (-0.07, 0.84), unit="SD", n=76)
OURS = estimate("ours", "hedges_g", 0.48, (0.2, 0.76), unit="SD", n=275)
AHEAD = estimate("original and ours", "replication_prediction", 0.38, (-0.13, 0.89), unit="SD")
APART = estimate("original and ours", "replication_difference", 0.1, (-0.4, 0.63), unit="SD")
BOTH = estimate("original and ours", "pooled_effect", 0.44, (0.2, 0.68), unit="SD")
CHECK = SimpleNamespace(what="t", fit="fits", printed="1.67", recomputed=1.6707, low=1.58, high=1.76)


def compared(rule="prediction", verdict="consistent"):
    """Put the original and ours into one metric."""
    return SimpleNamespace(answers=[AHEAD, APART, BOTH], same_sign=True, rule=rule, verdict=verdict)


def repeated(**changes):
    """Make a repeated study."""
    given = {
        "original": SimpleNamespace(study="Early 1999"), "effect": EFFECT, "found": (CHECK,), "ours": (OURS,),
        "as_published": compared(), "knowing_choirs": compared(),
    }  # fmt: skip
    return SimpleNamespace(**(given | changes))


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("rule", [*RULES, "none_declared"])
@pytest.mark.parametrize("verdict", VERDICTS)
def test_every_sentence_passes_the_gate_of_every_design(code, rule, verdict):
    """Whatever the design, the rule and the verdict."""
    world = repeated(knowing_choirs=compared(rule, verdict))
    assert original(world, code=code).sentences
    told = side_by_side(world, code=code).sentences
    assert told[-1] == EXPLAINS
    assert (NO_RULE in told) == (rule == "none_declared")
    assert headline(world, OURS, code=code).sentences


def test_the_verdict_is_the_rules_alone():
    """The sentence names the rule and repeats its verdict."""
    assert side_by_side(repeated(), code="D5").sentences[-2] == (
        "By the rule set in advance the result is consistent with the original."
    )


def test_what_the_original_found():
    """Its size with interval, and whether its numbers fit."""
    assert original(repeated(), code="D5").sentences[0] == (
        "The original is Early 1999. From what it printed its size is 0.38 SD (interval \u22120.07 to 0.84 SD), positive "
        "where scores were better."
    )
    odd = SimpleNamespace(**(vars(CHECK) | {"fit": "does_not_fit"}))
    assert "1 do not fit" in original(repeated(found=(CHECK, odd)), code="D5").sentences[-1]


def test_without_a_range_that_knows_of_choirs_there_is_no_verdict():
    """Students taken as independent are told with a warning, and the rule is not applied."""
    gone = SimpleNamespace(about="ours", why="Too few choirs.")
    told = side_by_side(repeated(knowing_choirs=gone), code="D5").sentences
    assert told[:2] == (
        "Too few choirs.", "Taken as independent students, which makes the range too narrow and carries no verdict:",
    )  # fmt: skip
    assert not any("rule set in advance" in sentence for sentence in told)
    both = side_by_side(repeated(knowing_choirs=gone, as_published=gone), code="D5").sentences
    assert both == ("Ours cannot be put beside the original. Too few choirs.",)


@pytest.mark.parametrize("say", [original, side_by_side])
def test_without_an_original(say):
    """The first part says what would fill it, the other that none is named."""
    assert say(None, code="D1").sentences == (NO_ORIGINAL if say is original else NOT_NAMED,)


def test_numbers_as_journals_print_them():
    """Two decimals, brackets, no zero before p, true minus signs."""
    row = journal_table([EFFECT], level=0.95).to_numpy().tolist()[0]
    assert row == ["Early 1999", "76", "–", "0.38", "[\u22120.07, 0.84]", "–", "–"]
    endless = replace(EFFECT, interval=replace(EFFECT.interval, low=-inf, high=inf))
    assert journal_table([endless], level=0.95).to_numpy().tolist()[0][4] == "[\u2212\u221e, \u221e]"
    assert [journal_p(p) for p in (None, 0.04321, 0.0004, 1.0)] == ["–", ".043", "< .001", "1.000"]


def test_sizes_side_by_side():
    """Original, ours and both together, with their numbers in the text for the blind."""
    assert sizes(repeated()) == [EFFECT, OURS, BOTH]
    assert sizes(None) == []
    assert len(sizes_table(repeated())) == 3
    assert "Early 1999: 0.38 SD, \u22120.07 to 0.84" in sizes_caption([EFFECT]).alt


def test_tables_of_what_study_toml_says():
    """Features, departures, what a committee asks; nothing where nothing is said."""
    said = Repeats(
        same_and_different={"weeks": ("6", "12")},
        deviations=(Deviation(planned="two raters", done="one", when="not known"),),
    )
    assert features_table(said).to_numpy().tolist() == [["Weeks", "6", "12"]]
    assert deviations_table(said).to_numpy().tolist() == [["two raters", "one", "", "not known", ""]]
    assert research_table(Research(funding="none")).to_numpy().tolist() == [["Funding", "none"]]
    assert features_table(Repeats()).empty
    assert deviations_table(Repeats()).empty
    assert research_table(Research()).empty
    both = research_table(Research(questions="q"), Repeats(kind="direct", contact="asked"))
    assert both.to_numpy().tolist() == [
        ["How closely the original was followed", "direct"], ["Contact with the original's authors", "asked"],
        ["Questions and hypotheses", "q"],
    ]  # fmt: skip
    # every setting of the section is told somewhere
    assert set(ASKED) == {field.name for field in fields(Research)}


def test_checks_and_published_studies():
    """Printed beside recomputed; every published study has a row, with a size or a dash."""
    assert checks_table(repeated()).to_numpy().tolist() == [["t", "1.67", "1.67", "1.58 to 1.76", "fits"]]
    assert checks_table(None).empty
    found = SimpleNamespace(what="p", fit="fits", printed=".099", recomputed=0.09912, low=0.0982, high=0.1)
    whole = SimpleNamespace(what="df", fit="fits", printed="74", recomputed=74, low=74, high=74.0)
    shown = checks_table(SimpleNamespace(found=[found, whole])).to_numpy().tolist()
    assert shown[0][2:4] == ["0.0991", "0.0982 to 0.1000"]
    assert shown[1][2:4] == ["74", "74 to 74"]
    studies = published_studies()
    shown = published_table(studies)
    assert len(shown) == len(studies)
    assert (shown["Size"] == "–").sum() == pd.isna(studies["effect"]).sum()


def test_the_headline_puts_ours_into_points_and_into_the_originals_unit():
    """Ours in points with what it is about, then as a size that can be held against the original's, and SD in words."""
    main = estimate("pitch, ear minus page", "cluster_mean_difference", 1.29, (-0.8, 3.4))
    known = replace(estimate("ours, knowing choirs", "hedges_g_clusters", 0.25, (-0.39, 0.9), unit="SD"), clusters=12)
    told = headline(repeated(ours=(OURS, known)), main, code="D5").sentences
    assert told[1] == (
        "Ours (pitch, ear minus page): 1.3 points (interval \u22120.8 to 3.4 points), or 0.25 SD (interval \u22120.39 to "
        "0.90 SD)."
    )
    assert told[2:4] == (ON_EITHER_SIDE, SD_IN_WORDS)
    clear = headline(repeated(ours=()), replace(main, interval=replace(main.interval, low=0.2)), code="D5").sentences
    assert ON_EITHER_SIDE not in clear
    alone = headline(None, main, code="D5").sentences
    assert alone == (
        NOT_NAMED, "Ours (pitch, ear minus page): 1.3 points (interval \u22120.8 to 3.4 points).", ON_EITHER_SIDE,
    )  # fmt: skip


def test_a_name_in_the_headline_may_hold_any_word():
    """A program that is called success is no claim of one."""
    main = estimate("pitch, Success for All minus page", "cluster_mean_difference", 1.29, (-0.8, 3.4))
    assert "Success for All" in headline(None, main, code="D1").sentences[1]


def test_what_was_published_is_told_apart_from_what_carries_the_verdict():
    """The line of independent students is named as the published analysis; without one it is not spoken of."""
    assert AS_PUBLISHED in side_by_side(repeated(), code="D5").sentences
    gone = SimpleNamespace(about="ours", why="None.")
    assert AS_PUBLISHED not in side_by_side(repeated(as_published=gone), code="D5").sentences


def test_journals_are_told_what_was_counted_where_it_is_not_students():
    """Two studies pooled are 2 studies and not two students; a meta-analysis pools studies."""
    both = replace(BOTH, n=2, counted="studies")
    assert journal_table([both, OURS], level=0.95)["n"].tolist() == ["2 studies", "275"]
    table = published_table(published_studies(level=0.95))
    assert table.loc[table["Study"] == "Mishra 2016, rhythm", "n"].tolist() == ["46 studies"]


@pytest.mark.parametrize("code", CODES)
def test_notes_below_tables_pass_the_gate_of_every_design(code):
    """What explains columns and context claims nothing."""
    for note in (*COLUMNS, *CONTEXT, *CELLS_NOTES):
        gate(note, code=code, limits=True)
