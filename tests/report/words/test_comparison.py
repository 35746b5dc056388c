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
    "missing": lambda code: [words.missing(found, names=terms.NAMES, code=code, model=model)
                             for found in (terms.MISSING, terms.NONE_MISSING, []) for model in ("gain", "adjusted")],
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
SILENT = (
    "two_models", "standardised", "missing", "outcomes", "dose", "changed_approach", "two_choirs", "baseline", "alike",
)  # fmt: skip
"""What says nothing where no difference is given, since something above it has said why."""
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
        assert said.sentences or name in SILENT
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
        'Between the two tests choirs taught "ear-first" went from 13.9 to 18.3 points on average, and choirs '
        'taught "page-first" went from 13.5 to 16.3 points.',
        'Teaching "ear-first" instead of "page-first" raised scores by 1.6 points on average (95 % interval between 0.2 '
        "and 3.0 points).",
        "Each choir counts once, by the average of its students.",
        "Had the approaches been dealt out to these choirs by chance alone, a difference at least as far from zero would "
        "come about 1 time in 100.",
        "This report cannot say what happened to single students, or whether other schools would see the same.",
    )


def test_what_becomes_of_uneven_schools_is_said_beside_the_answer():
    """Held apart: why; left in: that part of what sets schools apart is in the difference; even: nothing."""
    told = {name: " ".join(words.primary(terms.PRIMARIES[name], code="D5").sentences)
            for name in ("plain", "schools apart", "schools left in")}  # fmt: skip
    assert "different shares" not in told["plain"]
    assert ("Each choir counts once, by the average of its students, with schools held apart.") in told["schools apart"]
    assert "; so chance alone" not in told["schools apart"]
    assert "; so chance alone could be the reason." in told["schools left in"]
    assert "cannot be held apart, so part of what sets them apart is in this difference" in told["schools left in"]


def test_a_fall_is_told_from_the_upper_side():
    """A negative difference is told as the other approach above, with the interval turned."""
    told = words.primary(terms.PRIMARIES["below"], code="D3a").sentences[1]
    assert told == (
        'Adjusted for the first test, "page-first" was associated with scores 1.6 points above those of "ear-first" (95 % interval between 0.2 and 3.0 '
        "points)."
    )


def test_gains_are_told_as_gains():
    """Where gains are compared nobody ends above anybody; adjusted for the first test, approaches end above or alike."""
    told = {name: words.primary(terms.PRIMARIES[name], code="D5").sentences[1:3] for name in terms.PRIMARIES}
    assert told["open"] == (
        'Choirs taught "ear-first" gained 0.9 points more than choirs taught "page-first" (95 % interval between −0.5 '
        "and 2.2 points); the interval includes zero, so which of the two gained more is not known from these choirs.",
        "Each choir counts once, by the average of its students.",
    )
    assert told["zero"][0].startswith('Choirs taught "ear-first" and "page-first" gained the same (95 % interval')
    assert told["adjusted, open"] == (
        'Adjusted for the first test, choirs taught "ear-first" ended 0.9 points above choirs taught "page-first" (95 % interval '
        "between −0.5 and 2.2 points); the interval includes zero, so which of the two lies above is not known from these choirs.",
        "Each choir counts once, by the average of its students.",
    )
    assert told["adjusted, zero"][0].startswith(
        'Adjusted for the first test, choirs taught "ear-first" and "page-first" ended at the same height ('
    )
    raised = words.primary(terms.primary(model="adjusted"), code="D5").sentences[1]
    assert raised.startswith(
        'Adjusted for the first test, teaching "ear-first" instead of "page-first" raised scores by'
    )
    associated = words.primary(terms.PRIMARIES["plain"], code="D3a").sentences[1]
    assert associated.startswith('"ear-first" was associated with gains 1.6 points above those of "page-first" (')


def test_the_limits_of_missing_marks_are_told_as_gains():
    """Whatever the main answer, both limits are by gains; where no mark is missing that is all that is said."""
    adjusted, gains = (
        words.missing(terms.MISSING, names=terms.NAMES, code="D5", model=model).sentences
        for model in ("adjusted", "gain")
    )
    assert adjusted[0].startswith('Only those with both marks: "ear-first" 1.0 points above "page-first", interval')
    assert gains[0].startswith('Only those with both marks: "ear-first" gained 1.0 points more than "page-first"')
    assert adjusted[2] == gains[2]
    assert '"page-first" gained 1.0 points more than "ear-first", interval between −1.0 and 3.0 points.' in gains[2]
    assert adjusted[4].endswith("the last two are limits, by gains, and neither is likely.")
    assert gains[4].endswith("the last two are limits, and neither is likely.")
    assert words.missing(terms.NONE_MISSING, names=terms.NAMES, code="D5").sentences == (
        "No mark is missing among those compared, so none has to be filled in.",
    )


def test_answers_that_are_written_alike_are_told_once():
    """From 1.18 to 1.22 is no range on paper."""
    first = words.sensitivity(terms.SENSITIVITIES["alike"], code="D5").sentences[0]
    assert first == (
        "The same question was put in 2 ways that know of choirs. Their answers lie close to 1.2 points (above zero: "
        '"ear-first" above).'
    )


@pytest.mark.parametrize(("code", "recommended", "why"), [
    ("D5", "adjusted", "adjusted for the first test, since approaches were assigned at random"),
    ("D5b", "gain", "by the gains from the first test to the second, since so few choirs leave too little to adjust by"),
    ("D3a", "gain", "by the gains from the first test to the second, since the groups existed before"),
])  # fmt: skip
def test_why_one_way_is_reported_first(code, recommended, why):
    """With choirs dealt out by lot, gains come first for want of choirs and not since groups existed before."""
    found = terms.models(recommended=recommended)
    assert words.two_models(found, code=code).sentences[-1] == f"The one reported first is {why}."
    assert words.two_models(found, code=code).sentences[1].startswith('By gains: "ear-first" gained 1.0 points more')


def test_students_of_lost_choirs_are_not_told_as_kept():
    """Where a choir was lost the count of students says whose students it is of."""
    lost = words.attrition(terms.LOSSES["a choir lost"], code="D5").sentences
    assert lost[0].startswith('Choirs without both tests: 0 of 6 in "ear-first" and 1 of 6 in "page-first", ')
    assert lost[1].startswith("Students without both tests, of the choirs that stayed: 10 of 150")
    kept = words.attrition(terms.LOSSES["plain"], code="D5").sentences
    assert kept[0] == "Choirs without both tests: none."
    assert words.attrition(terms.LOSSES["nobody"], code="D5").sentences == (
        "Choirs without both tests: none.", "Students without both tests: none.",
    )  # fmt: skip
    assert kept[1].startswith("Students without both tests: 10 of 150")


@pytest.mark.parametrize("code", words.COMPARED)
def test_adjusting_is_promised_only_where_it_is_done(code):
    """With a single choir no difference is given, so none is adjusted."""
    told = words.baseline(terms.BASELINES["plain"], code=code).sentences[1]
    assert told.startswith(
        'Pitch, first test, averaged over students: "ear-first" 13.9 points, "page-first" 12.5 points, 0.21 SD apart: '
        "that is close enough if the comparison adjusts for it"
    )
    assert told.endswith("adjusts for it." if code == "D2" else ", as one of the two answers below does.")


def test_one_choir_in_an_approach_gets_no_difference():
    """With a single choir in an approach both averages stand side by side and no difference is told."""
    told = words.primary(terms.PRIMARIES["plain"], code="D2").sentences
    assert len(told) == 2
    assert "above" not in " ".join(told)
    alone = words.primary(terms.PRIMARIES["a single choir"], code="D2").sentences[0]
    assert alone == (
        'Between the two tests the choir taught "ear-first" went from 13.9 to 18.3 points on average, and choirs '
        'taught "page-first" went from 13.5 to 16.3 points.'
    )


def test_the_rarest_difference_is_told_once():
    """Where the difference is the rarest that the choirs could show, one sentence says so."""
    found = terms.primary(p=0.0011)
    told = words.primary(found, code="D5").sentences
    assert told[3].endswith("would come about 1 time in 1,000; these choirs could show none that is rarer.")


def test_few_choirs_can_show_nothing_rare():
    """Where even the clearest result comes more often than five times in a hundred, that is said; else it is not."""
    found = terms.primary(p=0.4)
    assert len(words.primary(found, code="D5").sentences) == 5
    found.smallest = 0.1
    assert words.primary(found, code="D5").sentences[4] == (
        "With so few choirs even the clearest result would come about 10 times in 100 by chance alone."
    )


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
@pytest.mark.parametrize("name", SILENT)
def test_why_nothing_is_compared_is_not_said_by_everything(code, name):
    """Without a comparison the parts below the first say nothing; with one each has something to say of its findings."""
    found = FUNCTIONS[name](code)[0].sentences
    assert bool(found) == (
        name == "dose"
        or (code in words.COMPARED and (code != "D2" or name not in ("standardised", "missing", "outcomes")))
    )


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
