"""The gate: what each kind of study may say, and what is refused, in prose, title, caption and alt text."""

import re

import pytest

from kit.errors import ClaimRefusedError, UnknownChoiceError
from kit.report.claims import CODES, REFUSALS, gate
from kit.report.said import Caption, Said
from kit.report.spoken import SPOKEN

NO_COMPARISON = ("D1", "D1b", "D1c", "D2", "D3", "D3a", "D3b")
CAUSAL = (
    "The program improved sight-singing.",
    "The effect was seen in every voice part.",
    "Drills had an impact on pitch.",
    "The gain was caused by the lessons.",
    "Scores rose because of the program.",
    "Scores rose because students practiced.",
    "The rise is due to the new lessons.",
    "Daily practice led to better scores.",
    "The approach works.",
    "It worked.",
    "The program is working.",
    "An effective program for every school.",
    "The program has really helped singers.",
    "Thanks to the drills, scores rose.",
    "The gain is attributable to drills.",
    "The gain comes from the program.",
    "Teaching in this way raises scores.",
    "Scores rose as a result.",
    "The lessons made a difference.",
    "Singers benefited from the lessons.",
    "Reading improved by the new method.",
    "Scores rose through the program.",
    "The drills produced higher scores.",
    "The drills explain the gain.",
    "The drills account for the gain.",
    "Scores rose as a consequence of drilling.",
    "The reason for the gain is the program.",
    "It was the drills that did it.",
    "The program was a success.",
)
EVERYWHERE = (
    "The gain is significant.",
    "The gain was statistically significant.",
    "A non-significant rise.",
    "Students made two months of progress.",
    "That is a year's growth.",
    "They are three months ahead.",
    "A large effect.",
    "There was a small gain.",
    "A moderate rise in scores.",
    "Scores rose substantially.",
    "Treble 2 is the best choir.",
    "Choirs are ranked by gain.",
    "Treble 2 outperformed Larch.",
    "The groups were equivalent at the start.",
    "Equivalent groups were compared.",
    "There was no effect.",
    "It made no difference.",
    "Scores did not improve.",
    "The replication failed.",
    "We failed to replicate the result.",
    "The result was replicated.",
    "The benefit is proven.",
    "This proves the point.",
    "This is strong evidence.",
    "The study meets tier 2.",
    "Low starters gained the most.",
    "All students will gain as much.",
    "The gain was large.",
    "A rise that small is nothing.",
    "The gain was meaningful.",
    "Larch did better than Treble 2.",
    "Treble 2 gained more than Larch.",
    "Treble 2 was the highest-scoring choir.",
    "The two groups started out equivalent.",
    "That is a percent improvement of 20.",
    "The program is evidence based.",
)
HONEST = (
    "On average, the scores of 33 students rose from 9.1 to 12.3 points, a gain of 3.2 points.",
    "Some of the larger gain of low starters is expected by chance alone (about 1.3 points).",
    "The interval includes zero: it could be a rise or a fall.",
    "62 percent of the students scored higher the second time.",
    "During the term scores rose.",
    "There was no comparison group.",
    "Students practiced 12 minutes a week.",
    "12 students gained more than 4 points.",
    "10 choirs are at least the 8 that a test needs here.",
    "Reading scores improved by 3.2 points.",
    "The choir is too small to be shown.",
)


@pytest.mark.parametrize("code", NO_COMPARISON)
@pytest.mark.parametrize("text", CAUSAL)
def test_words_of_cause_are_refused_without_random_assignment(text, code):
    """Where choirs were not assigned at random, nothing may be said to have brought a change about."""
    for place in ("prose", "caption"):
        with pytest.raises(ClaimRefusedError):
            gate(text, code=code, place=place)


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("text", EVERYWHERE)
def test_some_words_are_refused_to_every_design(text, code):
    """Significance, months of learning, size words, rankings, proofs and null claims are never said."""
    with pytest.raises(ClaimRefusedError):
        gate(text, code=code)


@pytest.mark.parametrize("code", [code for code in CODES if code != "D0"])
@pytest.mark.parametrize("text", HONEST)
def test_honest_sentences_pass(text, code):
    """What was seen, with its numbers, passes every design that has two tests."""
    assert gate(text, code=code) == text


@pytest.mark.parametrize(
    "text",
    ["Scores rose.", "The gain was 3 points.", "Growth was seen.", "Students improved.", "Scores went up.",
     "Scores could rise or fall.", "Scores are higher than before."],
)  # fmt: skip
def test_one_test_says_nothing_of_change(text):
    """With one test no word of change passes."""
    with pytest.raises(ClaimRefusedError):
        gate(text, code="D0")
    assert gate("On average, 30 students scored 9.1 points.", code="D0")
    assert gate("Tested in fall: 30. Missing: 1 voice change or illness.", code="D0")


@pytest.mark.parametrize("code", ["D4", "D5"])
def test_random_assignment_may_name_a_cause_with_its_interval(code):
    """After random assignment the program may be said to have raised scores, with the interval, and in prose alone."""
    bare = "The program raised scores by 3.2 points."
    whole = "The program raised scores by 3.2 points (interval 1.1 to 5.3)."
    assert gate(whole, code=code) == whole
    with pytest.raises(ClaimRefusedError):
        gate(bare, code=code)
    with pytest.raises(ClaimRefusedError):
        gate(whole, code=code, place="caption")


def test_too_few_choirs_are_not_tested():
    """With few choirs assigned at random neither a cause nor a p-value is said."""
    for text in ("The program raised scores (interval -1 to 8).", "The difference had p = .04."):
        with pytest.raises(ClaimRefusedError):
            gate(text, code="D5b")


def test_association_needs_adjusting():
    """Only choirs that started close together may be said to show an association."""
    text = "Scores were associated with the approach after adjusting."
    assert gate(text, code="D3a")
    for code in ("D1", "D2", "D3", "D3b"):
        with pytest.raises(ClaimRefusedError):
            gate(text, code=code)


def test_replication_needs_its_criterion():
    """A replication has a verdict only under the criterion set beforehand."""
    assert gate("Under the criterion set beforehand the result replicates the original.", code="D7")
    with pytest.raises(ClaimRefusedError):
        gate("The result replicates the original.", code="D7")


@pytest.mark.parametrize(
    "text",
    [
        "It cannot say how much of the change came from the program rather than from a term of singing.",
        "This does not show that the lessons worked.",
        "A wide interval is not evidence of no effect.",
        "That is a relationship, not proof.",
        "This is not a ranking of choirs or teachers.",
        "It says nothing about what caused the change.",
    ],
)
def test_a_limit_may_name_what_it_denies(text):
    """A sentence of limits may hold a refused word behind its denial, and only a sentence of limits."""
    assert gate(text, code="D1", limits=True) == text
    with pytest.raises(ClaimRefusedError):
        gate(text, code="D1")


@pytest.mark.parametrize(
    "text",
    [
        "The program improved scores.",
        "The program worked, though this cannot say how.",
        "We cannot say it for certain, but the program improved scores.",
        "We cannot say how much; the program worked.",
        "We cannot say how much. The program worked.",
        "We cannot say how much, the program worked.",
        "There was no comparison group and the program improved scores.",
        "We cannot say enough how effective the lessons were.",
        "This does not only show that the program worked.",
        "This does not show everything and the program worked.",
        "It cannot be denied that the program worked.",
        "It cannot be said too often that the program worked.",
        "It does not show much, as the program worked.",
        "The program, which this report cannot say is expensive, worked.",
        "It is not evidence of luck that the program worked.",
    ],
)
def test_limits_are_no_way_round(text):
    """Calling a sentence a limit does not let a claim through that it does not deny."""
    with pytest.raises(ClaimRefusedError):
        gate(text, code="D1", limits=True)


def test_spelling_tricks_do_not_help():
    """Capitals, soft hyphens, wide spaces, line breaks and curly apostrophes hide nothing."""
    for text in (
        "CAUSED by drills",
        "be\u00adcause of drills",
        "due\u00a0to drills",
        "due\nto drills",
        "a year\u2019s growth",
    ):
        with pytest.raises(ClaimRefusedError):
            gate(text, code="D1")


def test_names_may_hold_any_word():
    """A choir is called what it is called; around its name the rules hold."""
    assert gate("Top Choir: 3.2 points.", code="D1b", names=("Top Choir",))
    with pytest.raises(ClaimRefusedError):
        gate("Top Choir: 3.2 points.", code="D1b")
    with pytest.raises(ClaimRefusedError):
        gate("Top Choir is the best choir.", code="D1b", names=("Top Choir",))


def test_groups_named_by_a_number_do_not_hide_in_other_numbers():
    """Approaches that are called 1 and 2 leave the numbers of a sentence as they are."""
    said = "The average rose by 1.2 points from 2 to 3.2, with the approach 1."
    assert gate(said, code="D1", approaches=("1", "2")) == said


def test_words_inside_words_pass():
    """Only whole words are refused."""
    assert gate("Homework, because, improvise, frankly: signed-rank interval.", code="D1")


def test_refusal_says_what_to_say_instead():
    """The message names text, word, design, what may be said, and how to deny."""
    with pytest.raises(ClaimRefusedError) as refused:
        gate("The program worked.", code="D1")
    assert str(refused.value) == (
        "gate: this study (D1: One choir, tested before and after, with nothing to compare it with) cannot say "
        '"The program worked." "worked": say "scores rose during the term" or "scores differed". This report can say by '
        "how much the scores of these students rose or fell during the term, and how sure that is. Or deny it in a "
        'sentence of limits: "This report cannot say ...".'
    )


def test_refusal_in_a_limit_says_where_the_denial_goes():
    """In a sentence of limits the message says where the denial must stand."""
    with pytest.raises(
        ClaimRefusedError, match=re.escape("the denial must stand before the word, in the same clause.")
    ):
        gate("It worked, but we cannot say how.", code="D1", limits=True)


def test_unknown_words_are_refused_with_the_list():
    """A code or place that does not exist is refused with those that do."""
    codes = ", ".join(map(repr, CODES))
    with pytest.raises(UnknownChoiceError, match=re.escape(f"gate: code must be one of {codes}. Got 'D9'.")):
        gate("Scores rose.", code="D9")
    with pytest.raises(
        UnknownChoiceError, match=re.escape("gate: place must be one of 'prose', 'caption'. Got 'map'.")
    ):
        gate("Scores rose.", code="D1", place="map")


@pytest.mark.parametrize("code", CODES)
def test_every_design_is_spoken_of_honestly(code):
    """Each design's own title, promise and limits pass its gate; the limits are a denial."""
    spoken = SPOKEN[code]
    assert gate(spoken.title, code=code, place="caption")
    assert gate(spoken.can, code=code)
    assert gate(spoken.cannot, code=code, limits=True)
    assert "cannot say" in spoken.cannot
    assert spoken.can.startswith("This report can say ")


def test_all_designs_are_spoken_of():
    """No design is without words, none is left over."""
    assert tuple(SPOKEN) == CODES


def test_undecided_balance_is_held_to_the_stricter_rules():
    """Until balance is known, a comparison is held to the rules for groups that differ."""
    assert [("D3" in refusal.codes) for refusal in REFUSALS] == [("D3b" in refusal.codes) for refusal in REFUSALS]


@pytest.mark.parametrize("part", ["title", "alt", "note"])
def test_captions_are_gated_in_every_part(part):
    """A planted claim is found in title, alternative text and note."""
    parts = {"title": "Scores", "alt": "Bars.", "note": ""}
    assert Caption(**parts).passed("D1") == Caption(**parts)
    with pytest.raises(ClaimRefusedError):
        Caption(**parts | {part: "How the program raised scores"}).passed("D1")


def test_sentences_are_gated_one_by_one():
    """A planted claim is found in any sentence."""
    assert Said(("Scores rose.",)).passed("D1") == Said(("Scores rose.",))
    with pytest.raises(ClaimRefusedError):
        Said(("Scores rose.", "It worked.")).passed("D1")
    with pytest.raises(ClaimRefusedError):
        Said(("This report cannot say what caused it.", "It worked."), limits=True).passed("D1")


def test_an_approach_may_be_called_anything_and_is_still_the_approach():
    """The name of an approach may hold any word; what is claimed of it is still refused."""
    name = "Success for All (proven)"
    assert gate(f'Choirs taught "{name}" averaged 18.3 points.', code="D1b", approaches=(name,))
    with pytest.raises(ClaimRefusedError, match='"Success"'):
        gate(f'Choirs taught "{name}" averaged 18.3 points.', code="D1b")
    with pytest.raises(ClaimRefusedError, match='"approach improved"'):
        gate(f"{name} improved scores.", code="D1b", approaches=(name,))


def test_one_choir_in_an_approach_tells_no_difference():
    """With a single choir in an approach a sentence that sets choirs taught in two ways apart is refused."""
    text = "Choirs taught by ear ended 2.1 points above choirs taught by page."
    assert gate(text, code="D5b") == text
    with pytest.raises(ClaimRefusedError, match="with a single choir no difference is told"):
        gate(text, code="D2")
