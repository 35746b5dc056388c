"""Sentences about single notes."""

from __future__ import annotations

import pytest

from kit.estimate import Estimate
from kit.report import words
from kit.report.spoken import CODES


def note(name, about, value, *, n=20, unit="share", **more):
    """Make a number about a note."""
    return Estimate(
        about=about, name=name, value=value, unit=unit, n=n, source="student-1908", notes=("No interval.",), **more
    )


def sung(right, *, form="pitch, form A", test="first test", n=20):
    """Make the difficulties of the notes of one melody."""
    return [
        note("item_difficulty", f"{form}, melody 2, note {at}, {test}", one, n=n) for at, one in enumerate(right, 1)
    ]


def test_the_hardest_notes_and_the_easiest_are_named():
    """Three notes that fewest sang right and the one that most did, form by form."""
    found = [*sung([0.9, 0.3, 0.5, 0.25, 0.7]), *sung([0.2, 0.4, 0.6, 0.8], form="pitch", test="second test")]
    said = words.single_notes(found)
    assert said.sentences == (
        "At the first test, the hardest of the 5 notes of form A were note 4 of melody 2 (25 percent right), note 2 of "
        "melody 2 (30 percent right) and note 3 of melody 2 (50 percent right); the easiest was note 1 of melody 2 (90 "
        "percent right).",
        "At the second test, the hardest of the 4 notes were note 1 of melody 2 (20 percent right), note 2 of melody 2 "
        "(40 percent right) and note 3 of melody 2 (60 percent right); the easiest was note 4 of melody 2 (80 percent "
        "right).",
    )
    assert [one.value for one in said.estimates] == [0.25, 0.3, 0.5, 0.9, 0.2, 0.4, 0.6, 0.8]


def test_notes_that_tell_readers_apart_the_wrong_way_are_named():
    """Notes that good readers miss as often as others are named, three of them, and the rest counted."""
    found = [
        note("item_discrimination", f"pitch, form A, melody 1, note {at}, first test", -0.1, unit="correlation")
        for at in range(1, 6)
    ]
    found.append(note("item_discrimination", "pitch, form A, melody 1, note 6, first test", 0.3, unit="correlation"))
    said = words.single_notes(found)
    assert said.sentences == (
        "Missed as often by those who read the rest well as by others, form A, first test: note 1 of melody 1, note 2 of "
        "melody 1 and note 3 of melody 1 and 2 more. A wrong key or unclear marks may be behind.",
    )
    assert len(said.estimates) == 3


def test_few_students_or_notes_are_not_told():
    """Below the smallest number of students, or with three notes or none, nothing is said."""
    assert words.single_notes(sung([0.1, 0.2, 0.3, 0.4], n=2)).sentences == ()
    assert words.single_notes(sung([0.1, 0.2, 0.3, 0.4]), smallest=21).sentences == ()
    assert words.single_notes(sung([0.1, 0.2, 0.3])).sentences == ()
    assert words.single_notes([]).sentences == ()


def marked(pair, test, share, kappa=None):
    """Make the agreement of two people on single notes."""
    about = f"pitch, single notes, {pair}, {test}"
    beyond = [] if kappa is None else [note("kappa_weighted", about, kappa, n=2400, unit="agreement", counted="notes")]
    return [note("percent_agreement", about, share, n=2400, counted="notes"), *beyond]


def test_people_who_marked_the_same_notes():
    """How often the same mark was given, of how many notes, and beyond chance, at each test; no names."""
    found = [*marked("KB and JM", "first test", 0.93, 0.87), *marked("KB and JM", "second test", 0.91, 0.8)]
    said = words.note_marks(found)
    assert said.sentences == (
        "On single notes two people gave the same mark to 93 percent of 2,400 notes at the first test and 91 percent of "
        "2,400 notes at the second test; beyond what chance gives, where 1 is perfect, they agree 0.87 at the first test "
        "and 0.80 at the second test.",
    )
    assert said.estimates == tuple(found)


def test_several_pairs_are_numbered():
    """More than one pair of people is told by numbers; without kappa nothing is said of chance."""
    said = words.note_marks([*marked("KB and JM", "first test", 0.93), *marked("KB and LO", "first test", 0.5)])
    assert said.sentences == (
        "On single notes pair 1 of the people who marked them gave the same mark to 93 percent of 2,400 notes at the "
        "first test.",
        "On single notes pair 2 of the people who marked them gave the same mark to 50 percent of 2,400 notes at the "
        "first test.",
    )
    assert words.note_marks([]).sentences == ()


@pytest.mark.parametrize("code", CODES)
def test_every_sentence_passes_the_gate(code):
    """Whatever the design, no word here claims more than it allows."""
    for said in (
        words.single_notes(sung([0.1, 0.2, 0.3, 0.4])),
        words.note_marks(marked("KB and JM", "first test", 0.9, 0.8)),
    ):
        said.passed(code)
