"""Sentences about reliability, raters, forms and the ends of the scale."""

import re
from dataclasses import replace

import pytest

from kit.estimate import Estimate, Interval
from kit.questions.answers import LeftOut
from kit.questions.coverage.narrow import Narrow
from kit.questions.quality.reliability import NOT_KNOWN, UsedReliability
from kit.report import words
from kit.report.spoken import CODES
from kit.stats.counts import count

HERE = UsedReliability(0.8, "this sample", "melodies", 40)


def number(name, about, value, ends=None, unit="points", **more):
    """Make an estimate."""
    interval = ends and Interval(low=ends[0], high=ends[1], level=0.95, method="t", source="student-1908")
    return Estimate(
        about=about, name=name, value=value, unit=unit, n=20, source="student-1908", interval=interval,
        notes=() if ends else ("No interval.",), **more,
    )  # fmt: skip


def rated(*, first=0.3, second=0.9, drift=0.6, drift_ends=(0.2, 1.0), raters="own teacher minus KB"):
    """Make what `raters_agree` gives for two raters."""
    about = f"pitch, {raters}, "
    return [
        number("agreement_bias", about + "first test", first, (first - 0.2, first + 0.2)),
        number("limit_of_agreement_low", about + "first test", -2.3, (-3, -2)),
        number("limit_of_agreement_high", about + "first test", 2.7, (2, 3)),
        number("icc_single", about + "first test", 0.98, (0.9, 0.99), unit="agreement"),
        number("agreement_bias", about + "second test", second),
        number("icc_single", about + "second test", 0.94, unit="agreement"),
        number("mean_gain", about + "change between tests", drift, drift_ends),
    ]


def test_reliability_is_told_by_form_and_test():
    """Forms stand side by side, with ranges where there are some; the one that is used is named."""
    found = [
        number("kr20", "pitch, form A, first test", 0.87, unit="reliability"),
        number("cronbach_alpha", "pitch, form A, first test", 0.83, (0.7, 0.9), unit="reliability"),
        number("cronbach_alpha", "pitch, form B, first test", 0.82, unit="reliability"),
        number("cronbach_alpha", "pitch, form A, within choirs, first test", 0.7, unit="reliability"),
        number("cronbach_alpha", "pitch, second test", 0.85, unit="reliability"),
    ]
    said = words.reliability(found, used=HERE)
    assert said.sentences == (
        "Reliability of the test over melodies in this sample: 0.83 (form A, plausibly between 0.70 and 0.90) and 0.82 "
        "(form B) at the first test; 0.85 at the second test.",
        "A reliability of 0 is only noise, one of 1 is none; noise from day to day is not seen in it.",
        "Choirs differ, so within one choir the test tells singers apart less well.",
        "No reliability is declared in study.toml, so the one measured here over melodies is used to tell noise in single "
        "scores.",
    )
    assert [one.value for one in said.estimates] == [0.83, 0.82, 0.85]


def test_which_reliability_is_used():
    """A declared one, none at all, and why nothing was measured."""
    why = [LeftOut("pitch", "No notes are on file.")]
    assert words.reliability([], used=UsedReliability(0.9, "declared"), why=why).sentences == (
        "No notes are on file.",
        "To tell noise in single scores, the reliability that the study file declares is used.",
    )
    assert words.reliability([], used=NOT_KNOWN).sentences == (
        "No reliability is known that could tell noise in single scores.",
    )
    small = "; this sample is too small, or too noisy, to judge single students by."
    only_notes = [number("kr20", "pitch, first test", 0.87, unit="reliability")]
    told = words.reliability(only_notes, used=NOT_KNOWN).sentences
    assert told[0] == "Reliability of the test over notes in this sample: 0.87 at the first test."
    assert told[-1] == f"No reliability is known that could tell noise in single scores{small}"


@pytest.mark.parametrize(
    ("value", "told"),
    [
        (0.57, "0.57: the nearer to 0, the more of them is noise."),
        (-0.04, "−0.04: they vary no more than noise alone would make them."),
    ],
)
def test_reliability_of_gains(value, told):
    """Gains that are mostly or only noise are told as such."""
    gains = number("gain_reliability", "pitch, gains of single students", value, unit="reliability")
    said = words.reliability([], used=HERE, gains=[gains])
    assert (
        said.sentences[-1]
        == f"Differences between single students' second and first scores have a reliability of {told}"
    )
    assert said.estimates == (gains,)


def test_raters_are_numbered_and_not_named():
    """Who gives more, how far marks lie apart, agreement and drift, without a name."""
    said = words.raters(rated(), code="D1")
    assert said.sentences == (
        "Some tests have marks of two people or more; rater 1 is the one whose marks count.",
        "On average, rater 1 gave 0.3 points more than rater 2 at the first test (plausibly between 0.1 and 0.5 points) and "
        "0.9 points more than rater 2 at the second test.",
        "For most students rater 1's mark minus rater 2's was between −2.3 and 2.7 points at the first test.",
        "Agreement of single marks, where 1 is perfect and a milder ear counts against it: 0.98 at the first test and 0.94 "
        "at the second test.",
        "Between the tests rater 1 became 0.6 points milder against rater 2, plausibly between 0.2 and 1.0 points, so "
        "marking alone could have moved the average gain by about as much.",
    )
    assert [one.name for one in said.estimates][-1] == "mean_gain"
    assert len(said.estimates) == 7
    three = words.raters([*rated(), *rated(raters="own teacher minus LM"), *rated(raters="KB minus LM")], code="D1")
    text = " ".join(three.sentences)
    assert "rater 1 gave 0.3 points more than rater 3" in text
    assert "rater 2 gave 0.3 points more than rater 3" in text
    assert not re.search("teacher|KB|LM", text)


@pytest.mark.parametrize(
    ("drift", "ends", "told"),
    [
        (0.6, (-0.1, 1.3), "became 0.6 points milder against rater 2, plausibly between −0.1 and 1.3 points; the range "
         "includes zero, so it is open whether marking changed."),
        (-0.6, (-1.0, -0.2), "became 0.6 points stricter against rater 2, plausibly between 0.2 and 1.0 points, so "
         "marking alone could have moved the average gain by about as much."),
        (0.0, (-0.2, 0.2), "distance of rater 1 and rater 2 stayed the same, plausibly between −0.2 and 0.2 points; the "
         "range includes zero, so it is open whether marking changed."),
        (0.6, None, "Whether rater 1 became milder or stricter against rater 2 between the tests is not surely known."),
    ],
)  # fmt: skip
def test_drift(drift, ends, told):
    """Milder, stricter, the same, open and not known."""
    assert words.raters(rated(drift=drift, drift_ends=ends), code="D1").sentences[-1].endswith(told)


def test_less_and_as_much():
    """A stricter rater gives less, told as a distance; an equal one gives as much."""
    told = words.raters(rated(first=-0.5, second=0.0), code="D1").sentences[1]
    assert told == (
        "On average, rater 1 gave 0.5 points less than rater 2 at the first test (plausibly between 0.3 and 0.7 points) and "
        "as much as rater 2 at the second test."
    )


def test_nothing_known_of_raters():
    """The reason is told, or that nobody marked twice."""
    assert words.raters([], why=[LeftOut("pitch", "One rater.")], code="D1").sentences == ("One rater.",)
    assert words.raters([], code="D0").sentences == ("No test has marks of two people.",)


def test_two_students_tell_nothing_of_raters():
    """A test that two students were marked twice for is not told, nor is the change; without another nothing is."""
    few = [replace(one, n=2) if one.about.endswith("first test") else one for one in rated()]
    text = " ".join(words.raters(few, code="D1").sentences)
    assert "rater 1 gave 0.9 points more than rater 2 at the second test." in text
    assert "first test" not in text
    assert "Between the tests" not in text
    assert words.raters([replace(one, n=2) for one in rated()], code="D1").sentences == (
        "Fewer than 3 students have marks of two people, too few to say how far they agree.",
    )


def linked(value, ends, gain=3.3):
    """Make what `forms_differ` gives."""
    return [
        number("equate_mean", "pitch, form A to the scale of form B", value, ends),
        number("mean_gain", "pitch, gain without the difference of forms", gain, (gain - 1, gain + 1)),
    ]


@pytest.mark.parametrize(
    ("value", "ends", "told"),
    [
        (-1.1, (-1.5, -0.7), "Form A turned out 1.1 points easier than form B, plausibly between 0.7 and 1.5 points."),
        (1.1, None, "Form A turned out 1.1 points harder than form B."),
        (0.5, (-0.5, 1.5), "Form A turned out 0.5 points harder than form B, plausibly between −0.5 and 1.5 points; the "
         "range includes zero, so it is open which of them is harder."),
        (0.0, None, "Forms A and B turned out to be as hard as each other."),
    ],
)  # fmt: skip
def test_forms(value, ends, told):
    """Easier, harder, open and alike; then the gain without the difference, and what is taken for granted."""
    said = words.forms(linked(value, ends), code="D1")
    assert said.sentences == (
        told,
        "Without that difference the average gain is 3.3 points, plausibly between 2.3 and 4.3 points.",
        "This takes for granted that students of both orders would have gained alike on one form.",
    )
    assert len(said.estimates) == 2


def test_forms_not_known():
    """The reason is told; with one test, that it is not known."""
    why = [LeftOut("pitch", "Everyone sang the same form.")]
    assert words.forms([], why=why, code="D1").sentences == ("Everyone sang the same form.",)
    for found in ([], linked(1, None)):
        assert words.forms(found, why=why, code="D0").sentences == (
            "Whether one form is harder than the other is not known.",
        )


def at_ends(top=2.5):
    """Make what `without_the_ends` gives."""
    return [
        number("mean_gain", "pitch, gain of everybody", 3.2, (2, 4)),
        number("mean_gain", "pitch, gain without students at the top", top, (2, 4)),
        number("mean_gain", "pitch, gain at most", 3.7, (2, 5)),
        number("mean_gain", "pitch, gain at least", 3.1, (2, 4)),
    ]


def test_ends():
    """How far the gain hangs on students at an end, and between which bounds it would lie."""
    bounds = "Had those at an end of the scale gained as little or as much as anybody else, it would be 3.1 points or 3.7 points."
    without = "Without students who were at the top of the scale at either test, the average gain is "
    assert words.ends(at_ends(), code="D1").sentences == (f"{without}2.5 points instead of 3.2 points.", bounds)
    assert words.ends(at_ends(3.21), code="D1").sentences[0] == f"{without}3.2 points as well."
    assert len(words.ends(at_ends(), code="D1").estimates) == 4
    near = words.ends([*at_ends()[:-2], *(replace(one, value=3.24 - at / 50) for at, one in enumerate(at_ends()[-2:]))],
                      code="D1").sentences[1]  # fmt: skip
    assert near.endswith("gained as little or as much as anybody else, it would be 3.2 points all the same.")


def test_nobody_at_an_end():
    """Without anybody at an end the reasons are told, and with one test that it is not known."""
    why = [
        LeftOut("pitch, gain without students at the top", "The most points are not known."),
        LeftOut("pitch, gain without students at the bottom", "Nobody was there."),
    ]
    assert words.ends(at_ends()[:1], why=why, code="D1").sentences == (
        "At the top of the scale: the most points are not known.", "At the bottom of the scale: nobody was there.",
    )  # fmt: skip
    for found, code in (([], "D1"), (at_ends(), "D0")):
        assert words.ends(found, why=why, code=code).sentences == (
            "How far an average hangs on students at an end of the scale is not known.",
        )


@pytest.mark.parametrize(("smallest", "hidden"), [(1, False), (4, False), (5, True)])
def test_few_at_an_end_are_not_told_to_strangers(smallest, hidden):
    """Two averages, with and without four students, would tell a stranger about the four."""
    four = count(4, about="pitch, tested twice and at the top", of=20)
    said = words.ends([four, *at_ends()], smallest=smallest, code="D1")
    few = "Too few students were at an end of the scale to tell an average without them."
    assert (said.sentences == (few,)) is hidden
    assert (said.estimates == ()) is hidden


@pytest.mark.parametrize("code", CODES)
def test_every_sentence_passes_the_gate_of_every_design(code):
    """Whatever the design, nothing is said that it cannot carry; with one test no drift is there to be told."""
    both = rated()[:-1] if code == "D0" else rated()
    gains = number("gain_reliability", "pitch, gains of single students", 0.5, unit="reliability")
    words.raters(both, code=code)
    words.forms(linked(-1, (-2, 1)), code=code)
    words.ends(at_ends(), code=code)
    alpha = [number("cronbach_alpha", "pitch, form A, first test", 0.8, unit="reliability")]
    words.reliability(alpha, used=HERE, gains=[gains]).passed(code)


SHARED = (
    "This takes for granted that the shared melodies go with the rest of a form in the same way for all who sang them."
)


def test_forms_are_told_by_the_melodies_that_both_contain():
    """Which form is harder, by which melodies, at which test, and what that takes for granted; else nothing."""
    about = "pitch, form A to the scale of form B, "
    found = [
        number("equate_mean", about + "first test", 1.5, (0.5, 2.5)),
        number("equate_mean", about + "second test", -0.4, (-1, 0.2)),
    ]
    said = words.linked_forms(found, shared=("2",), code="D1b")
    assert said.sentences == (
        "At the first test, judged by melody 2, which both forms contain, form A turned out 1.5 points harder than form "
        "B, plausibly between 0.5 and 2.5 points.",
        "At the second test, judged by melody 2, which both forms contain, form A turned out 0.4 points easier than form "
        "B, plausibly between −0.2 and 1.0 points; the range includes zero, so it is open which of them is harder.",
        SHARED,
    )
    assert said.estimates == tuple(found)
    alike = words.linked_forms([number("equate_mean", about + "first test", 0.0)], shared=("1", "2"), code="D1b")
    assert alike.sentences[0] == (
        "At the first test, judged by melodies 1 and 2, which both forms contain, forms A and B turned out to be as hard "
        "as each other."
    )
    assert words.linked_forms([], shared=(), code="D1b").sentences == ()


def test_ranges_that_are_too_narrow_are_named_with_what_was_simulated():
    """Which ranges, for how many students and which scores, and how often such ranges held the truth; else nothing."""
    held = number("share_wilson", "mean_gain holds the truth", 0.918, (0.9, 0.93), unit="share", counted="studies")
    other = number("share_wilson", "limit holds the truth", 0.874, (0.86, 0.88), unit="share", counted="studies")
    gain = number("mean_gain", "pitch", 2.0, (1, 3))
    limit = number("limit_of_agreement_low", "pitch", 2.0, (1, 3))
    both = [Narrow(gain, held, "skewed", 10), Narrow(limit, other, "skewed", 10)]
    assert words.too_narrow(both).sentences == (
        "Take the ranges of the average gain and of the lower limit of differences between two raters for somewhat too "
        "narrow: in simulated studies of 10 students with a few far ahead of or behind the rest, such 95 % ranges held "
        "the truth 92 % and 87 % of the time.",
    )
    assert words.too_narrow(both).estimates == (held, other)
    one = words.too_narrow([Narrow(gain, held, "normal", 5)])
    assert one.sentences == (
        "Take the range of the average gain for somewhat too narrow: in simulated studies of 5 students, such 95 % ranges "
        "held the truth 92 % of the time.",
    )
    assert words.too_narrow([]).sentences == ()
    score = words.too_narrow([Narrow(number("mean_score", "pitch", 2.0, (1, 3)), held, "ceiling", 5)])
    assert "of 5 students with many at the top, such" in score.passed("D0").sentences[0]
    for said in (one, words.too_narrow(both)):
        for code in set(CODES) - {"D0"}:
            said.passed(code)
