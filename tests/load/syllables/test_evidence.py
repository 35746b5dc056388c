"""What a file seems to be written in: proposed with its counts where all evidence agrees, and never applied."""

import pytest

from kit.load.declared_music import Syllables
from kit.load.syllables.evidence import SystemSuggestion, suggest_system
from kit.load.syllables.read import read_syllables


@pytest.mark.parametrize(("texts", "level", "system", "evidence"), [
    (["doh ray me", "soh lah te"], "", "movable_e_up_a_down",
     "Spellings of the system with ray and lah: doh in 1 text, ray in 1 text, soh in 1 text, lah in 1 text."),
    (["do di re", "fi so", "li ti"], "", "movable_i_up_e_down",
     "Raised notes end in i: di in 1 text, fi in 1 text, li in 1 text."),
    (["do fi so", "do ta la", "do ta"], "", "movable_i_up_a_down",
     "Raised notes end in i, lowered ones in a: fi in 1 text, ta in 2 texts."),
    (["ut mi sol"], "", "fixed_si", "First note of fixed do: ut in 1 text."),
    (["sol la si", "si do"], "", "fixed_si", "sol and si occur and ti does not: sol in 1 text, si in 2 texts. Declare the key too."),
    (["sol la si", "ti do"], "", "movable_i_up_e_down", "Both occur, so si is not the seventh: si in 1 text, ti in 1 text."),
    (["do te", "so me"], "beginning", "movable_e_up_a_down",
     "A beginners' file with te in 1 text, me in 1 text and without ti and mi."),
    (["do te", "so ti"], "", "movable_i_up_e_down", "Both occur, so te is the lowered one: te in 1 text, ti in 1 text."),
    (["do re mi", "fa so la ti do", "do mi"], "beginning", "movable_i_up_e_down",
     "The third is written mi or the seventh ti, and no altered note occurs: re in 1 text, mi in 2 texts, la in 1 text, "
     "ti in 1 text. Whether do is the key note or always C cannot be seen."),
    (["5 3 1", "1 2 b3", "1"], "", "numbers", "Numbers only: 3 of 3 texts."),
    (["C E G", "Bb"], "", "letters_english", "Letters from A to G only: 2 of 2 texts. Declare the key too."),
    (["c e g", "h as"], "", "letters_german", "German letter names: as in 1 text, h in 1 text. Declare the key too."),
    (["sa re ga ma pa"], "", "sargam", "Syllables of sargam: sa in 1 text, ga in 1 text, pa in 1 text."),
    (["loo loo loo", "loo"], "", "neutral", "Melodies sung on a vowel: loo in 2 texts."),
])  # fmt: skip
def test_evidence(texts, level, system, evidence):
    """Each kind of evidence proposes its system, in a sentence with counts."""
    found = suggest_system(texts, level=level)
    assert found.system == system
    assert evidence in found.evidence


@pytest.mark.parametrize(("texts", "level"), [
    (["do te", "so me"], ""),  # nobody says that it is a beginners' file
    (["doh ray", "fi so"], ""),  # two systems
    (["doh re mi", "la ti"], ""),  # doh, but mi and ti
    (["do so do"], ""), (["la la la"], ""), (["sml"], ""), ([], ""), (["", "|"], ""),
])  # fmt: skip
def test_no_proposal_where_evidence_is_missing_or_divided(texts, level):
    """Nothing is proposed where nothing, or more than one system, is shown."""
    assert suggest_system(texts, level=level).system == ""


def test_divided_evidence_is_said():
    """Where two systems are shown, both are said."""
    assert suggest_system(["doh ray", "fi so"]).evidence == (
        "Spellings of the system with ray and lah: doh in 1 text, ray in 1 text.",
        "Raised notes end in i: fi in 1 text.",
        "The evidence points to more than one system.",
    )


def test_conflicts_give_both_readings_and_counts():
    """Every word with two readings is listed with both, and with the texts that hold it."""
    assert suggest_system(["do te la", "te", "si"]).conflicts == (
        '"te" stands in 2 texts: it can be the lowered seventh or the seventh.',
        '"la" stands in 1 text: it can be the sixth or the lowered sixth.',
        '"si" stands in 1 text: it can be the raised fifth or the seventh.',
    )


def test_a_minority_and_zeros_are_told():
    """Texts of another kind are counted, and a zero among numbers is to be declared."""
    assert suggest_system(["5 3", "1 0", "so mi"]).evidence == (
        "Numbers only: 2 of 3 texts.",
        "0 stands in 1 text: declare whether it is a rest.",
        "Written in another way: 1 of 3 texts.",
    )


def test_a_column_of_beats_gets_no_proposal():
    """Words for beats say nothing about notes."""
    said = ("The column holds words for beats, which name no notes.",)
    assert suggest_system(["ta ti"], column="rhythm") == SystemSuggestion("", said, ())


def test_a_proposal_is_not_applied():
    """After a proposal the undeclared text is still refused."""
    text = "do re mi la"
    assert suggest_system([text]).system == "movable_i_up_e_down"
    assert read_syllables(text, Syllables()).fault == "syllable_unclear"
    assert read_syllables(text, Syllables(system=suggest_system([text]).system)).text == "1 2 3 6"
