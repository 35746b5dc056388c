"""Every sentence and caption of a comparison, under every design: what may be said, and in which words."""

import re

import pytest

from kit.questions.answers import Answers, LeftOut
from kit.report.captions import comparison as captions
from kit.report.claims import CODES
from kit.report.said import Caption, Said
from kit.report.words import comparison as words
from kit.report.words.comparison_growth import NO_LINES
from tests.report import comparison_terms as terms

FUNCTIONS = {
    "compared": lambda code: [words.compared(terms.design(code), names=terms.NAMES),
                              words.compared(terms.design(code, assigned="students", units=60), names=terms.NAMES)],
    "baseline": lambda code: [words.baseline(found, code=code) for found in terms.BASELINES.values()],
    "attrition": lambda code: [words.attrition(found, code=code) for found in terms.LOSSES.values()],
    "primary": lambda code: [words.primary(found, code=code) for found in terms.PRIMARIES.values()],
    "two_models": lambda code: [words.two_models(found, code=code) for found in terms.MODELS.values()],
    "sensitivity": lambda code: [words.sensitivity(found, code=code) for found in terms.SENSITIVITIES.values()],
    "paces": lambda code: [words.paces(found, names=terms.NAMES, code=code) for found in terms.PACES.values()],
    "missing": lambda code: [words.missing(found, names=terms.NAMES, code=code) for found in (terms.MISSING, [])],
    "outcomes": lambda code: [words.outcomes(found, code=code) for found in terms.OUTCOMES.values()],
    "subgroups": lambda code: [words.subgroups(found, by="grade", code=code) for found in (terms.SUBGROUPS, [])],
    "declared_subgroups": lambda code: [
        words.declared_subgroups(found, code=code) for found in ({}, {"grade": Answers(terms.SUBGROUPS)})
    ],
    "alike": lambda code: [words.alike(found, code=code) for found in (terms.ALIKE, terms.ALIKE[:1], [])],
    "dose": lambda code: [words.dose(found, names=terms.NAMES, code=code) for found in (terms.DOSE, [])],
    "review_path": lambda code: [words.review_path(found, code=code) for found in terms.PATHS.values()],
    "standardised": lambda code: [words.standardised(found, names=terms.NAMES, code=code) for found in (terms.SIZE, [])],
    "changed_approach": lambda code: [
        words.changed_approach(terms.count(number, "changed approach"), movers=movers, code=code)
        for number in (0, 1, 5) for movers in ("as_assigned", "left_out")],
    "two_choirs": lambda code: [
        words.two_choirs(terms.count(number, "in two choirs"), both, declared=declared, code=code)
        for number in (0, 1, 14) for declared in ("first", "most_meetings", "left_out")
        for both in (None, *(terms.count(other, "in choirs of both approaches") for other in (0, min(number, 8))))],
}  # fmt: skip
PICTURES = {
    "choirs_caption": lambda: [captions.choirs_caption(terms.CHOIRS, names=terms.NAMES, unit=unit)
                               for unit in ("points", "share")],
    "sensitivity_caption": lambda: [captions.sensitivity_caption(found) for found in terms.SENSITIVITIES.values()],
    "attrition_caption": lambda: [captions.attrition_caption(found) for found in terms.LOSSES.values()],
    "baseline_caption": lambda: [captions.baseline_caption(terms.BASELINES["plain"])],
    "growth_caption": lambda: [captions.growth_caption(terms.CURVES, names=terms.NAMES, occasions=("fall", "spring"))],
}  # fmt: skip
CAUSE = re.compile(r"\b(?:raised|lowered|effects?|impacts?|caused|because of|improved)\b")


def test_every_function_is_rendered():
    """No public function of the words or captions of a comparison escapes the tests below."""
    assert set(FUNCTIONS) == set(words.__all__)
    assert set(PICTURES) == set(captions.__all__)


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("name", FUNCTIONS)
def test_everything_said_passes_the_gate(name, code):
    """Every sentence, with plain and awkward findings, passes the gate of every design and is well formed."""
    for said in FUNCTIONS[name](code):
        assert isinstance(said.passed(code), Said)
        assert said.sentences
        for sentence in said.sentences:
            assert sentence[-1] in ".!?", sentence
            assert "  " not in sentence, sentence
            assert ".." not in sentence, sentence
            assert not re.search(r"\b(?:None|nan|inf)\b", sentence), sentence
            assert not re.search(r"(?<![\d.,])1 (?:students|choirs|points|times|tests|ways)\b", sentence), sentence


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("name", PICTURES)
def test_every_caption_passes_the_gate(name, code):
    """Title, alternative text and note of every picture pass the gate of every design."""
    for caption in PICTURES[name]():
        assert isinstance(caption.passed(code), Caption)
        assert all("  " not in text and ".." not in text for text in (caption.title, caption.alt, caption.note))


@pytest.mark.parametrize("code", [code for code in CODES if code not in ("D4", "D5")])
@pytest.mark.parametrize("name", FUNCTIONS)
def test_cause_is_said_only_where_approaches_were_dealt_out(name, code):
    """No word of cause is affirmed without assignment at random; in a denial of limits it may stand."""
    for said in FUNCTIONS[name](code):
        for sentence in said.sentences:
            if "cannot say" not in sentence:
                assert not CAUSE.search(sentence.replace("by how much the program raised or lowered", "")), sentence


@pytest.mark.parametrize("code", CODES)
def test_chance_is_spoken_of_only_where_a_test_is_allowed(code):
    """How often chance alone would bring such a difference is told under four designs, and only if there was a test."""
    told = {name: " ".join(words.primary(found, code=code).sentences) for name, found in terms.PRIMARIES.items()}
    allowed = code in ("D3a", "D4", "D5", "D7")
    assert ("by chance alone" in told["plain"]) == allowed
    assert "by chance alone" not in told["too few choirs"]


@pytest.mark.parametrize("code", CODES)
def test_an_interval_with_zero_is_never_told_as_nothing(code):
    """Where zero is inside, which approach lies above is said to be unknown, and neither is said to raise scores."""
    for name in ("open", "zero"):
        told = " ".join(words.primary(terms.PRIMARIES[name], code=code).sentences)
        assert "no difference" not in told
        assert "raised scores by" not in told
        assert ("is not known" in told) == (code in words.COMPARED and code != "D2")


def test_the_answer_of_choirs_at_random():
    """The whole answer under assignment of choirs at random."""
    assert words.primary(terms.PRIMARIES["plain"], code="D5").sentences == (
        'At the second test choirs taught "ear-first" averaged 18.3 points, choirs taught "page-first" 16.3 points.',
        'Teaching "ear-first" instead of "page-first" raised scores by 1.6 points on average (95 % interval between 0.2 '
        "and 3.0 points).",
        "That is by the gains from the first test to the second; each choir counts once, by the average of its students.",
        "Had the approaches been dealt out to these choirs by chance alone, a difference at least as far from zero would "
        "come about 1 time in 100.",
        "Even the largest difference that these choirs could show would come by chance alone 1 time in 1,000.",
        "This report cannot say what happened to single students, or whether other schools would see the same.",
    )


def test_what_becomes_of_uneven_schools_is_said_beside_the_answer():
    """Held apart: why; left in: that part of what sets schools apart is in the difference; even: nothing."""
    told = {name: " ".join(words.primary(terms.PRIMARIES[name], code="D5").sentences)
            for name in ("plain", "schools apart", "schools left in")}  # fmt: skip
    assert "different shares" not in told["plain"]
    assert (
        "That is by the gains from the first test to the second, with schools held apart, since they gave different shares "
        "of their choirs to the approaches; each choir counts once"
    ) in told["schools apart"]
    assert "; so chance alone" not in told["schools apart"]
    assert "; so chance alone could be the reason." in told["schools left in"]
    assert "cannot be held apart, so part of what sets them apart is in this difference" in told["schools left in"]


def test_a_fall_is_told_from_the_upper_side():
    """A negative difference is told as the other approach above, with the interval turned."""
    told = words.primary(terms.PRIMARIES["below"], code="D3a").sentences[1]
    assert told == (
        '"page-first" was associated with scores 1.6 points above those of "ear-first" (95 % interval between 0.2 and 3.0 '
        "points)."
    )


def test_one_choir_in_an_approach_gets_no_difference():
    """With a single choir in an approach both averages stand side by side and no difference is told."""
    told = words.primary(terms.PRIMARIES["plain"], code="D2").sentences
    assert len(told) == 3
    assert "above" not in " ".join(told)


def test_the_limit_of_a_band_is_told_with_enough_digits():
    """A difference just beyond a limit is not printed as the limit."""
    told = words.baseline(terms.BASELINES["at the limit"], code="D5").sentences
    assert (
        told[0] == "A standard deviation (SD) is how far single singers usually lie from the average of their approach."
    )
    assert "0.251 SD apart: that is too far apart" in told[1]
    lost_since = words.baseline(terms.BASELINES["at the limit"], code="D3b").sentences
    assert lost_since == told[:2]
    assert told[2].startswith("Since approaches were assigned at random, such an imbalance came about by chance")


def test_eligible_is_the_strongest_word_of_the_review_path():
    """The path speaks of what a study could be eligible for and is no rating."""
    for found in terms.PATHS.values():
        told = " ".join(words.review_path(found, code="D5").sentences)
        assert "meets" not in told.lower()
        assert told.endswith("this traces the published path and is not a rating.")


def test_models_that_differ_are_not_settled():
    """Answers of different sign are told as not settled."""
    told = words.two_models(terms.MODELS["not settled"], code="D3a").sentences
    assert any("the matter is not settled" in sentence for sentence in told)


@pytest.mark.parametrize("code", CODES)
def test_declared_groupings_are_told_once_each(code):
    """Every grouping has its sentences, what they share is said once; without one, that none was declared."""
    none = words.declared_subgroups({}, code=code)
    assert none.sentences[0].startswith("No grouping of students was declared beforehand")
    left = Answers([LeftOut("pitch, by grade", "The roster does not say.")])
    both = words.declared_subgroups({"grade": left, "voice_part": left}, code=code)
    assert len(both.sentences) == len(set(both.sentences))
    assert not both.estimates


@pytest.mark.parametrize(("number", "both", "declared", "told"), [
    (0, 0, "first", "Nobody is listed in a second choir."),
    (1, 0, "first", "1 student also sings in a second choir; both are taught alike. This student counts once, in the "
     "choir that is declared or listed first; the teaching in the other comes along."),
    (1, 1, "left_out", "1 student also sings in a second choir; the two are taught in different ways. This student is "
     "left out of the comparison, as declared."),
    (13, 8, "first", "13 students also sing in a second choir; some of them in one that is taught the other way. They "
     "count once, in the choir that is declared or listed first; the teaching in the other comes along."),
    (13, 0, "most_meetings", "13 students also sing in a second choir; both are taught alike. They count once, in the "
     "choir whose meetings they came to more often, as declared; the teaching in the other comes along."),
    (13, 11, "left_out", "13 students also sing in a second choir; 11 of them in one that is taught the other way. They "
     "are left out of the comparison, as declared."),
])  # fmt: skip
def test_members_of_two_choirs(number, both, declared, told):
    """How many sing in two choirs, how many of them under both approaches unless few, and what becomes of them."""
    twice, both_ways = terms.count(number, "in two choirs"), terms.count(both, "in choirs of both approaches")
    assert words.two_choirs(twice, both_ways, declared=declared, code="D4").sentences == (told,)


def test_growth_along_lines_is_told_from_the_upper_side():
    """The approach that gained more stands first; an interval that holds zero leaves it open; shares are points of it."""
    plain, below, level, shares, bare, nothing = (
        words.paces(found, names=terms.NAMES, code="D3a").sentences[0] for found in terms.PACES.values()
    )
    assert plain == (
        'From each test to the next "ear-first" gained 1.2 points more than "page-first" on average (95 % interval '
        "between 0.3 and 2.1 points)."
    )
    assert below == (
        'From each test to the next "page-first" gained 0.4 points more than "ear-first" on average (95 % interval '
        "between −0.5 and 1.3 points); the interval includes zero, so which of the two gained more is not known."
    )
    assert level.startswith('From each test to the next "ear-first" and "page-first" gained the same on average (')
    assert "gained 3 percentage points more" in shares
    assert bare.endswith('"ear-first" gained 1.2 points more than "page-first" on average.')
    assert nothing == NO_LINES
