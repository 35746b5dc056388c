"""Every sentence of the educator's review, whole; every function against every design; plain English throughout."""

import re
from dataclasses import replace
from types import SimpleNamespace

import pytest

from kit.errors import ClaimRefusedError
from kit.report import words
from kit.report.claims import CODES
from kit.stats.counts import count
from tests.report import terms
from tests.report.terms import before_and_after, flow

LIMIT = (
    "There was no comparison group, so this report cannot say how much of the change came from the program rather than "
    "from a term of singing, practice with the test, or chance."
)
TWICE = "33 of 44 students took both tests."
OCCASIONS = ("September", "December")
JARGON = re.compile(r"\b(?:p|CI|SD|logit|null|hypothesis|t-test|nan|inf)\b|\bNone\b")
SIZES = re.compile(r"\b(?:small|medium|large|big|huge|tiny|substantial|impressive|strong|weak)\b", re.IGNORECASE)
AWKWARD = {
    "plain": before_and_after(),
    "fell": before_and_after(-3.0, (-4.0, -2.0)),
    "unclear": before_and_after(-0.7, (-2.0, 0.9)),
    "zero": before_and_after(0.01, (-1.0, 1.2)),
    "no interval": before_and_after(2.0, None),
    "share": before_and_after(3.2, (-1.0, 4.3), unit="share"),
    "choirs": before_and_after(3.2, (2.1, 4.3), counted="choirs", n=4),
    "two choirs": before_and_after(1.2, (-11.8, 15.6), counted="choirs", n=2),
    "hardly": [replace(one, value=9.06) if one.about.endswith("first test") else
               replace(one, value=9.14) if one.about.endswith("second test") else one
               for one in before_and_after(0.08, (0.07, 0.09))],
    "two students": before_and_after(n=2),
    "one student": before_and_after(4.0, None, n=1),
    "nothing": [],
    "gain alone": before_and_after()[2:3],
}  # fmt: skip
UNKNOWN = SimpleNamespace(
    same_form=None,
    forms=(),
    one_maximum=True,
    maxima=(),
    own_teacher_rated=None,
    raters=(),
    one_rater=None,
    also_marked=0,
)
OTHER = SimpleNamespace(
    same_form=False, forms=("A", "B"), one_maximum=False, maxima=(20.0, 24.0), own_teacher_rated=False,
    raters=("T1", "T2"), one_rater=False, also_marked=3,
)  # fmt: skip


def everything(code):
    """Call every function of words with plain and awkward input; yield what is said, or None where it is refused."""
    asked = [
        *(lambda e=e: words.change(e, code=code) for e in AWKWARD.values()),
        *(lambda e=e: words.headline([*flow(), *e], code=code) for e in AWKWARD.values()),
        *(lambda f=f: words.question_and_limits(f, code=code, occasions=OCCASIONS) for f in (flow(), flow(1, 0, 0, 0, 0))),
        lambda: words.design_sentence(code, ["All students tested both times are in one choir."]),
        *(lambda f=f: words.who_is_counted(f, terms.REASONS) for f in (flow(), flow(1, 1, 1, 1, 1), flow(0, 3, 0, 0, 0))),
        *(lambda e=e: words.leavers(e) for e in (terms.leavers(), terms.leavers(0.9, None), terms.leavers(n=1), [])),
        *(lambda f=f: words.how_tested(f) for f in (terms.FACTS, UNKNOWN, OTHER)),
        *(lambda e=e: words.scoring_noise(e, borrowed_from="a handbook") for e in (terms.NOISE, [])),
        *(lambda e=e: words.individuals(e) for e in (terms.BEYOND_NOISE, [])),
        *(lambda e=e: words.starting_points(e) for e in (terms.thirds(), terms.thirds("share"), [])),
        *(lambda e=e: words.ceiling(e) for e in (terms.ceiling(), terms.ceiling(0, 0, 0.4), [])),
        *(lambda e=e: words.choirs(e, (terms.LEFT_OUT[0],)) for e in (terms.CHOIRS, terms.CHOIRS[:1], [])),
        *(lambda e=e: words.detectable(e) for e in (terms.DETECTABLE, None)),
        *(lambda f=f: words.next_steps(f, code=code, estimates=terms.ceiling()) for f in (terms.FACTS, UNKNOWN, OTHER)),
        lambda: words.flow_caption(flow(), terms.REASONS),
        lambda: words.distribution_caption(terms.BANDS),
        lambda: words.start_caption(terms.thirds()),
        lambda: words.intervals_caption([*terms.CHOIRS, terms.estimate("pitch, Alto", "mean_gain", 1.0)]),
    ]  # fmt: skip
    for ask in asked:
        try:
            yield ask().passed(code)
        except ClaimRefusedError:
            yield None


def texts(said):
    """Give every text of a Said or a Caption."""
    return said.sentences if isinstance(said, words.Said) else (said.title, said.alt, said.note)


@pytest.mark.parametrize("code", CODES)
def test_everything_said_passes_the_gate_of_its_design(code):
    """Every function, with plain and awkward numbers, passes the gate or refuses loudly; only one test refuses."""
    said = list(everything(code))
    assert len(said) > 50
    assert (None in said) == (code == "D0")


@pytest.mark.parametrize("code", CODES)
def test_everything_said_is_plain(code):
    """No jargon, no size word, no empty or unfinished sentence, no double space."""
    for said in filter(None, everything(code)):
        for text in texts(said):
            assert not JARGON.search(text), text
            assert not SIZES.search(text), text
            assert "  " not in text
            assert " ." not in text
            assert ".." not in text
        if isinstance(said, words.Said):
            assert said.sentences
            assert all(sentence[-1] in ".!?" and sentence[0] == sentence[0].upper() for sentence in said.sentences)


def test_one_of_a_kind_is_singular():
    """No text speaks of 1 students, 1 choirs or 1 points."""
    found = [text for said in filter(None, everything("D1b")) for text in texts(said)]
    found += words.choirs(terms.CHOIRS[:1], ()).sentences
    assert not [text for text in found if re.search(r"(?<![\d.])1 (?:students|choirs|points|groups)\b", text)]


def test_question_and_limits():
    """The box says who is described and what cannot be said."""
    said = words.question_and_limits(flow(), code="D1", occasions=OCCASIONS)
    assert said.sentences == (
        "This report describes how the reading scores of the 33 students tested both times (September and December) "
        "changed.",
        LIMIT,
    )
    assert said.limits


def test_question_with_one_test():
    """With one test the box says which, and that change cannot be told."""
    said = words.question_and_limits(flow(0, 30, 0, 4, 0), code="D0", occasions=OCCASIONS)
    assert said.sentences == (
        "This report describes the reading scores of 30 students tested once (September).",
        "There was only one test, so this report cannot say whether scores rose or fell.",
    )


def test_design_sentence():
    """The design is named with its reasons and its promise."""
    assert words.design_sentence("D1", ("All are in one choir",)).sentences == (
        "Kind of study: one choir, tested before and after, with nothing to compare it with.",
        "All are in one choir.",
        "This report can say by how much the scores of these students rose or fell during the term, and how sure that is.",
    )


def test_who_is_counted_without_a_roster():
    """What the count of those listed is noted with is told; large numbers have a separator."""
    first, *rest = flow(20_000, 0, 0, 0, 0)
    note = "No roster was given: students with no mark at all are not counted."
    told = words.who_is_counted([replace(first, notes=(*first.notes, note)), *rest], []).sentences
    assert told == ("All 20,000 students took both tests.", note)


def test_who_is_counted():
    """Everyone is accounted for, with reasons, and an absence is no zero."""
    assert words.who_is_counted(flow(), terms.REASONS).sentences == (
        TWICE,
        "Of the others, 4 took the first only, 2 took the second only and 5 took neither.",
        "2 students tested are not on the roster.",
        "Missing first scores: 5 absent and 2 no reason given.",
        "Missing second scores: 8 absent and 1 voice change or illness.",
        "Averages count those tested both times; an absence is never taken as a zero.",
    )


def test_nobody_missing():
    """Where nobody is missing, that is said."""
    assert words.who_is_counted(flow(22, 0, 0, 0, 0), []).sentences == ("All 22 students took both tests.",)


def test_leavers():
    """Leavers are told as lower or higher, with the range, or as too few."""
    start = "Students who missed the second test had first scores about 2.1 points lower than those tested twice, on average"
    assert words.leavers(terms.leavers()).sentences == (f"{start}; plausibly between 0.2 and 4.0 points lower.",)
    assert words.leavers(terms.leavers(ends=(-5.1, 0.9))).sentences == (
        f"{start}; plausibly anything from 5.1 points lower to 0.9 points higher.",
    )
    assert words.leavers(terms.leavers(ends=None)).sentences == (f"{start}.", terms.NO_INTERVAL)
    assert words.leavers(terms.leavers(n=1)).sentences == (
        "1 student who missed the second test has a first score: too few to compare with those tested twice.",
    )
    assert words.leavers([]).sentences == ("There is no first score of anybody who missed the second test.",)


def test_few_leavers_show_no_score():
    """With fewer than five leavers none of their scores is told or handed on."""
    few = words.leavers(terms.leavers(n=4))
    assert few.estimates == ()
    assert few.sentences == (
        "4 students who missed the second test have first scores: too few to compare with those tested twice.",
    )


def test_facts_of_the_test():
    """What was sung, form, points and listener are told, without the listener's name."""
    assert (
        words.how_tested(terms.FACTS, what="Three melodies of eight notes").sentences[0]
        == "Three melodies of eight notes."
    )
    assert words.how_tested(terms.FACTS).sentences == (
        "Everyone sang the same form (A) both times, so second scores may include practice with the test.",
        "Each test had 24 points.",
        "The students' own teacher marked, who usually knows the singer and the date.",
        "One person marked everything, so how well two listeners would agree is not known.",
    )
    assert words.how_tested(OTHER).sentences == (
        "Everyone sang another form the second time (A and B); one form may be harder than the other.",
        "The tests differ in their number of points (20 and 24), so scores are told as percent of the points.",
        "2 people marked.",
        "3 tests were marked by somebody else too; one mark of each test counts.",
    )
    assert words.how_tested(UNKNOWN).sentences == (
        "Which form was sung was not recorded for both tests, so practice with the test may be in the second scores.",
        "How many points could be earned was not recorded.",
        "Who marked the tests was not recorded.",
    )


def test_scoring_noise():
    """The mark for one student is told, with where the reliability is from."""
    assert words.scoring_noise(terms.NOISE, borrowed_from="a handbook").sentences == (
        "On this test two scores for the same student must differ by about 5.1 points before we can be confident it is "
        "more than scoring noise.",
        "One score typically lies within about 1.8 points of what the same student would score on average.",
        "The reliability behind this was not measured here; it is taken from a handbook.",
    )
    assert words.scoring_noise([], borrowed_from="").sentences == (
        "How much of a single score is noise is not known, since no reliability of this test is given.",
    )


REPEAT = "If we could repeat this with students like these, the average"
OFTEN = "A range made in this way holds the true average about 95 times in 100."
SHARES = "The second time 62 percent of the students scored higher, 8 percent the same and 30 percent lower."


@pytest.mark.parametrize(
    ("name", "sentences"),
    [
        ("plain", (
            "On average, the scores of 33 students rose from 9.1 to 12.3 points, a gain of 3.2 points.",
            f"{REPEAT} gain would plausibly lie between 2.1 and 4.3 points.", OFTEN, SHARES,
        )),
        ("fell", (
            "On average, the scores of 33 students fell from 9.1 to 6.1 points, a fall of 3.0 points.",
            f"{REPEAT} fall would plausibly lie between 2.0 and 4.0 points.", OFTEN, SHARES,
        )),
        ("unclear", (
            "On average, the scores of 33 students fell from 9.1 to 8.4 points, a fall of 0.7 points.",
            f"{REPEAT} gain would plausibly lie between −2.0 and 0.9 points, a range that includes zero: it could be a "
            "rise or a fall.", OFTEN, SHARES,
        )),
        ("zero", (
            "On average, the scores of 33 students stayed the same, at 9.1 points.",
            f"{REPEAT} gain would plausibly lie between −1.0 and 1.2 points, a range that includes zero: it could be a "
            "rise or a fall.", OFTEN, SHARES,
        )),
        ("no interval", (
            "On average, the scores of 33 students rose from 9.1 to 11.1 points, a gain of 2.0 points.",
            "How sure that is cannot be told from these numbers.", terms.NO_INTERVAL, SHARES,
        )),
        ("share", (
            "On average, the scores of 33 students rose from 36 to 49 percent of the points, a gain of 13 percentage "
            "points.",
            f"{REPEAT} gain would plausibly lie between −4 and 17 percentage points, a range that includes zero: it could "
            "be a rise or a fall.", OFTEN, SHARES,
        )),
        ("choirs", (
            "Averaged over 4 choirs, each choir counting once, scores rose by 3.2 points, from 9.1 to "
            "12.3 points.",
            "If we could repeat this with 4 choirs like these, the average gain would plausibly lie between 2.1 and 4.3 "
            "points.", OFTEN, SHARES,
        )),
        ("two choirs", (
            "Averaged over 2 choirs, each choir counting once, scores rose by 1.2 points, from 9.1 to 10.3 points.",
            "If we could repeat this with 2 choirs like these, the average gain would plausibly lie between −11.8 and "
            "15.6 points, a range that includes zero; 2 choirs are too few to tell a rise from a fall.", OFTEN, SHARES,
        )),
        ("hardly", (
            "On average, the scores of 33 students rose by 0.1 points.",
            f"{REPEAT} gain would plausibly lie close to 0.1 points.", OFTEN, SHARES,
        )),
        ("two students", ("Only 2 students took both tests: an average of so few would tell of single students.",)),
        ("one student", ("Only 1 student took both tests: an average of so few would tell of single students.",)),
        ("nothing", ("Too few students or choirs took both tests to say how scores changed.",)),
    ],
)  # fmt: skip
def test_change(name, sentences):
    """Rise, fall, neither, open direction, no interval, shares, choirs and too few are each worded rightly."""
    assert words.change(AWKWARD[name], code="D1").sentences == sentences


def test_change_is_refused_with_one_test():
    """With one test the sentence of change is refused."""
    with pytest.raises(ClaimRefusedError):
        words.change(before_and_after(), code="D0")


def test_change_hands_on_what_it_tells():
    """Every number told comes with its estimate, and too few hand on none."""
    assert words.change(before_and_after(), code="D1").estimates == tuple(before_and_after())
    assert words.change(AWKWARD["two students"], code="D1").estimates == ()


def test_percents_that_do_not_add_up_are_said_to_be_rounded():
    """73, 14 and 14 percent are 101; rounded ends such as less than 1 percent are left alone."""
    *rest, rose, same, fell = before_and_after()
    for values, end in (((16 / 22, 3 / 22, 3 / 22), "14 percent lower (rounded)."), ((0.62, 0.08, 0.30), "30 percent lower."),
                        ((0.996, 0.002, 0.002), "less than 1 percent lower.")):  # fmt: skip
        shares = [replace(one, value=value) for one, value in zip((rose, same, fell), values, strict=True)]
        assert words.change([*rest, *shares], code="D1").sentences[-1].endswith(end)


def test_another_level_is_told():
    """The promise of the interval follows its level."""
    gain = terms.estimate("pitch, all students tested twice", "mean_gain", 3.2, (2.5, 3.9), level=0.9)
    assert (
        "A range made in this way holds the true average about 90 times in 100."
        in words.change([gain], code="D1").sentences
    )


def test_headline():
    """Three sentences: how many, how much and how sure, what cannot be said."""
    said = words.headline([*flow(), *before_and_after()], code="D1")
    assert said.sentences == (
        TWICE,
        "On average, their scores rose by 3.2 points, from 9.1 to 12.3 points; if we could repeat this with students like "
        "these, the average gain would plausibly lie between 2.1 and 4.3 points.",
        LIMIT,
    )


def test_headline_of_choirs_says_which_part_of_them_it_is():
    """Where nobody of a choir took both tests, the average is that of some of the choirs."""
    whole = AWKWARD["choirs"]
    for dropped, told in (
        (0, "scores in 4 choirs, each"),
        (None, "scores in 4 choirs, each"),
        (1, "scores in 4 of 5 choirs, each"),
    ):
        some = [replace(one, dropped=dropped) if one.name == "mean_gain" else one for one in whole]
        assert told in words.headline([*flow(), *some], code="D1b").sentences[1]


@pytest.mark.parametrize("name", ["plain", "fell", "unclear", "zero", "share", "choirs"])
def test_headline_has_three_sentences(name):
    """A busy reader stops after three sentences, whatever the numbers."""
    assert len(words.headline([*flow(), *AWKWARD[name]], code="D1").sentences) == 3


def test_headline_of_one_test():
    """With one test the headline gives the average and no change."""
    only = terms.estimate("pitch, first test", "mean_score", 9.1, (8.0, 10.2), n=30)
    assert words.headline([*flow(0, 30, 0, 4, 0), only], code="D0").sentences == (
        "On average, 30 students scored 9.1 points; with students like these the average would plausibly lie between 8.0 "
        "and 10.2 points.",
        "There was only one test, so this report cannot say whether scores rose or fell.",
    )


def test_individuals():
    """Students beyond scoring noise are counted, with a warning."""
    assert words.individuals(terms.BEYOND_NOISE).sentences == (
        "Of 33 students tested twice: 8 rose by more than scoring noise; 20 changed too little to tell; 5 fell by more "
        "than scoring noise.",
        "Even if nobody had changed, a few would pass that mark by chance, so test again before acting on one student's "
        "score.",
    )


def test_starting_points():
    """Each group's gain stands beside what chance alone gives."""
    assert words.starting_points(terms.thirds()).sentences == (
        "Low scores are partly bad luck on the day and high scores partly good luck, so without any learning low "
        "starters tend to rise and high starters to fall.",
        "Lowest starters (11 students): a rise of 4.1 points on average; expected by chance alone: a rise of 1.3 points.",
        "Middle starters (11 students): a rise of 2.9 points on average; expected by chance alone: neither rise nor fall.",
        "Highest starters (11 students): a rise of 1.2 points on average; expected by chance alone: a fall of 1.2 points.",
        "Some of the larger gain of low starters is expected by chance alone (about 1.3 points).",
    )


def test_small_groups_are_not_told():
    """Where one group is too small for the reader, no group is told and no estimate handed on."""
    said = words.starting_points(terms.thirds(), smallest=12)
    assert said.sentences == ("Gains by starting group are not told: each group needs 12 students.",)
    assert said.estimates == ()
    assert words.leavers(terms.leavers(), smallest=10).estimates == ()


def test_ceiling():
    """Many at the top are warned of; few are only counted; unknown is said."""
    counted = "Students with the top score: 21 percent at the first test and 33 percent at the second test."
    warned = "They had every point, so the test could not show what more they can do."
    assert words.ceiling(terms.ceiling()).sentences == (counted, warned)
    assert words.ceiling(terms.ceiling(0.03, 0.149)).sentences == (
        "Students with the top score: 3 percent at the first test and 15 percent at the second test.",
    )
    assert words.ceiling(terms.ceiling(0, 0, 0.2)).sentences == (
        "Students with the top score: 0 percent at the first test and 0 percent at the second test.",
        "Students with no points: 20 percent at the first test and 0 percent at the second test.",
        "For them the test was too hard to show what they can do.",
    )
    assert words.ceiling([]).sentences == (
        "How many had the top score is not told: the most points were not recorded, or too few are concerned.",
    )


def test_choirs():
    """Choirs are told as a span, never as an order, and those left out are named."""
    assert words.choirs(terms.CHOIRS, terms.LEFT_OUT).sentences == (
        "The average gains of the 2 choirs shown lie between −1.2 and 4.2 points.",
        "Not shown by themselves: Bass and Alto (too few tested both times).",
        "Choirs stand in the order of their names, and part of what sets them apart is chance.",
        "This is not a ranking of choirs or teachers.",
    )


def test_choirs_whose_gains_are_written_alike():
    """A span from 3.0 to 3.0 points is none."""
    gains = [replace(one, value=value) for one, value in zip(terms.CHOIRS, (2.98, 3.02), strict=True)]
    assert words.choirs(gains, ()).sentences[0] == "The average gains of the 2 choirs shown lie close to 3.0 points."


def test_detectable():
    """What would have been missed is told in plain words."""
    assert words.detectable(terms.DETECTABLE).sentences == (
        "With 33 students tested twice, a true average gain below about 1.5 points would probably have been missed.",
    )
    choirs = replace(terms.DETECTABLE, n=14, counted="choirs", clusters=14, dropped=0)
    assert words.detectable(choirs).sentences == (
        "With 14 choirs, each counted once, tested twice, a true average gain below about 1.5 points would probably have "
        "been missed.",
    )
    assert words.detectable(None).sentences == ("How fine a difference a group like this could show is not known.",)


def test_next_steps():
    """What to do next follows from what was missing this time."""
    assert words.next_steps(terms.FACTS, code="D1").sentences == (
        "Use two forms: half the choir sings form A first, half form B, and then they swap.",
        "Have some recordings marked by somebody who does not know the singer or the date.",
        "Have two people mark the same few recordings, to see how well they agree.",
        "Ask a choir that is taught as usual to take both tests, or let half the choirs start some weeks later.",
    )
    facts = SimpleNamespace(**vars(terms.FACTS) | {"also_marked": 20})
    marked_twice = words.next_steps(facts, code="D1").sentences
    assert not [step for step in marked_twice if "two people" in step]
    assert words.next_steps(OTHER, code="D5").sentences == (
        "Go on in the same way: forms, listeners and comparison are in order.",
    )


def numbers_in(text):
    """Give the numbers of a text as they are written."""
    return set(re.findall(r"−?\d+(?:\.\d+)?", text))


def test_alternative_texts_hold_the_numbers_drawn():
    """What a blind reader is told holds every value and interval end of the drawing."""
    start = words.start_caption(terms.thirds()).alt
    assert {"4.1", "2.1", "6.1", "1.3", "2.9", "0.9", "4.9", "1.2", "−0.8", "3.2", "11", "6.0", "13.0"} <= numbers_in(
        start
    )
    choirs = words.intervals_caption(terms.CHOIRS).alt
    assert {"−1.2", "−3.0", "0.6", "4.2", "2.0", "6.4"} <= numbers_in(choirs)
    people = words.flow_caption(flow(), terms.REASONS).alt
    assert {"42", "37", "35", "33", "4", "2", "5", "8", "1"} <= numbers_in(people)
    bands = words.distribution_caption(terms.BANDS).alt
    assert "0 to under 6 points, before: 9, after: 2; 6 to under 12 points, before: 15, after: 12" in bands
    assert "18 to 24 points, before: 1, after: 5." in bands


def test_hidden_counts_are_told_as_hidden():
    """A count that may not be shown is told as hidden, not as a number."""
    assert "18 to 24 points, before: hidden, after: 5." in words.distribution_caption(
        terms.BANDS.assign(before=[9, 15, 8, None])
    ).alt  # fmt: skip


def test_notes_under_figures_name_the_level():
    """Under a figure with bars stands what the bars are."""
    assert words.start_caption(terms.thirds()).note == (
        "Bars: 95 % intervals. Dashed line: the movement expected by chance alone, had nobody learned anything."
    )
    assert words.intervals_caption(terms.CHOIRS).note == (
        "Bars: 95 % intervals. A bar that crosses the line of zero leaves the direction open."
    )


def test_those_without_consent_are_told():
    """Students left out for want of consent are counted in the text."""
    flow = [count(5, about="tested both times", of=5), count(2, about="left out: no consent to research")]
    assert "2 students without consent to research are left out." in words.who_is_counted(flow, []).sentences


def test_tests_that_somebody_else_marked_too():
    """A second rater of some tests is told, and nobody claims that one person marked everything."""
    facts = SimpleNamespace(**vars(terms.FACTS) | {"also_marked": 203})
    said = " ".join(words.how_tested(facts).sentences)
    assert "203 tests were marked by somebody else too; one mark of each test counts." in said
    assert "One person marked everything" not in said


def test_hidden_parts_are_not_called_nobody():
    """Where only the wholes may be seen the text does not claim that nobody is missing."""
    flow = [count(40, about="on the roster", of=41), count(38, about="tested both times", of=41)]
    assert "The others took one of the tests or none." in words.who_is_counted(flow, []).sentences
    assert "Nobody is missing." not in words.who_is_counted(flow, []).sentences
