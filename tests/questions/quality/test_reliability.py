"""Which reliability is used for single students, and what is made of it."""

import numpy as np
import pytest

from kit.questions import quality
from kit.questions.quality.reliability import NOT_KNOWN, OF_THIS_SAMPLE, UsedReliability
from kit.stats.reliability import detectable_change, gain_reliability
from tests.questions.sung import TESTS, items, notes_of, roster, singers
from tests.questions.worlds import choirs_of, named, pairs_of

PRE, POST = [4, 9, 6, 12, 8, 15, 3, 10], [7, 10, 11, 13, 8, 16, 9, 15]


def here(rows, number):
    """Ask for reliability in a sample."""
    return quality.reliability_here(items(rows), roster(number), tests=TESTS)


def test_a_declared_reliability_stays_in_use():
    """What the study file declares goes before the sample's."""
    assert quality.reliability_used(0.9, here(notes_of(singers(30)), 30)) == UsedReliability(0.9, "declared")


def test_this_sample_s_is_the_average_of_its_forms_by_students():
    """Over melodies before over notes, each form weighing as many students as it had."""
    answers = here([*notes_of(singers(20)), *notes_of(singers(10, seed=2), form="B", first=20)], 30)
    one, two = (named(answers)["cronbach_alpha", f"total, form {form}, first test"].value for form in "AB")
    used = quality.reliability_used(None, answers)
    assert used.value == pytest.approx((20 * one + 10 * two) / 30, rel=1e-12)
    assert (used.origin, used.over, used.students) == ("this sample", "melodies", 30)
    assert quality.reliability_used(None, answers, test="post") == NOT_KNOWN


def test_one_melody_falls_back_on_notes():
    """With one melody a form the reliability over notes is used."""
    assert quality.reliability_used(None, here(notes_of(singers(25), melodies=1), 25)).over == "notes"


def test_too_few_or_nothing_reliable_is_not_known():
    """Nineteen students, or a reliability not above 0, judge nobody."""
    assert quality.reliability_used(None, here(notes_of(singers(19)), 19)) == NOT_KNOWN
    noise = np.tile(np.eye(3)[:, [0, 0, 1, 1, 2, 2]], (8, 1))[:23]  # whoever sings one melody right misses the others
    noise[0] = [1, 1, 1, 0, 0, 0]
    assert named(here(notes_of(noise), 23))["cronbach_alpha", "total, form A, first test"].value < 0
    assert quality.reliability_used(None, here(notes_of(noise), 23)).origin == "not known"
    assert quality.reliability_used(None) == NOT_KNOWN


def test_noise_says_where_its_reliability_comes_from():
    """A sample's reliability is told as such, a declared one as taken as given; the numbers are the same."""
    pairs, used = pairs_of(PRE, POST), UsedReliability(0.8, "this sample", "melodies", 40)
    from_sample, declared = (
        quality.scoring_noise(pairs, reliability=used),
        quality.scoring_noise(pairs, reliability=0.8),
    )
    assert [one.value for one in from_sample] == [one.value for one in declared]
    assert from_sample[1].value == detectable_change(PRE, reliability=0.8, about="x", unit="points").value
    assert from_sample[0].notes == (OF_THIS_SAMPLE.format(what="over melodies, from 40 students"),)
    assert declared[0].notes[0].startswith("The reliability (0.8) is taken as given")
    nothing = quality.scoring_noise(pairs, reliability=NOT_KNOWN)
    assert (list(nothing), nothing.left_out[0].why) == ([], "No reliability of this test is given.")


def test_gains_told_apart():
    """The reliability of gains is that of the statistic, from both tests' reliabilities, and says where they come from."""
    pre, post = UsedReliability(0.8, "this sample", "notes", 30), UsedReliability(0.7, "this sample", "notes", 28)
    (one,) = quality.gains_told_apart(pairs_of(PRE, POST), pre=pre, post=post)
    expected = gain_reliability(PRE, POST, reliability_pre=0.8, reliability_post=0.7, about="x").value
    assert (one.value, one.notes) == (expected, (OF_THIS_SAMPLE.format(what="over notes, from 30 students"),))
    several = choirs_of(("Bass", "", PRE, POST), ("Treble", "", POST, PRE))
    assert quality.gains_told_apart(several, pre=pre, post=post)[0].clusters == 2


def test_gains_without_a_reliability_or_without_spread_are_left_out():
    """Without a reliability, or where all gained alike, nothing is told."""
    known = UsedReliability(0.8, "declared")
    unknown = quality.gains_told_apart(pairs_of(PRE, POST), pre=known, post=NOT_KNOWN)
    assert (list(unknown), unknown.left_out[0].why) == (
        [], "The reliability of both tests is needed, and is not known.",
    )  # fmt: skip
    assert quality.gains_told_apart(pairs_of([5, 6, 7], [7, 8, 9]), pre=known, post=known) == []
