"""How reliable is the test here, over notes and over melodies, and what do single notes tell."""

import numpy as np
import pandas as pd
import pingouin
import pytest

from kit.questions import quality
from kit.questions.answers import STUDENTS_ALIKE
from kit.questions.quality.items import CHOIRS_DIFFER, NO_NOTES, NOTES_HANG_TOGETHER, WITHIN
from tests.questions.sung import TESTS, items, notes_of, roster, singers
from tests.questions.worlds import choirs_of, named


def here(rows, pairs, **options):
    """Ask for reliability."""
    return quality.reliability_here(items(rows), pairs, tests=TESTS, **options)


def test_reliability_over_notes_and_over_melodies_is_that_of_a_general_library():
    """KR-20 of the notes and alpha of the melodies are pingouin's (Vallat 2018)."""
    right = singers(30)
    found = named(here(notes_of(right), roster(30)))
    melodies = right.reshape(30, 3, 8).sum(axis=2)
    for name, table in (("kr20", right), ("cronbach_alpha", melodies)):
        one = found[name, "total, form A, first test"]
        alpha, _ = pingouin.cronbach_alpha(pd.DataFrame(table))
        assert one.value == pytest.approx(alpha, rel=1e-12)
        assert (one.n, one.dropped) == (30, 0)
    assert NOTES_HANG_TOGETHER in found["kr20", "total, form A, first test"].notes


def test_each_test_and_form_is_told_apart():
    """Forms and tests have reliabilities of their own; an unnamed form is not named."""
    rows = [
        *notes_of(singers(12)), *notes_of(singers(12, seed=2), form="B", first=12),
        *notes_of(singers(24, seed=3), occasion="post", form=""),
    ]  # fmt: skip
    found = [one.about for one in here(rows, roster(24)) if one.name == "cronbach_alpha"]
    assert found == ["total, form A, first test", "total, form B, first test", "total, second test"]


def test_a_student_with_an_unmarked_note_is_left_out_and_counted():
    """Missing notes are not taken for wrong ones: the number is that of the others, and the student is counted."""
    right = singers(20)
    holed = right.copy()
    holed[4, 3] = np.nan
    found = named(here(notes_of(holed), roster(20)))
    rest = named(here(notes_of(np.delete(right, 4, axis=0)), roster(20)))
    for name in ("kr20", "cronbach_alpha"):
        one, other = (each[name, "total, form A, first test"] for each in (found, rest))
        assert (one.value, one.n, one.dropped) == (other.value, 19, 1)


def test_two_melodies_are_also_held_against_each_other():
    """With two melodies the formula of Spearman and Brown stands beside alpha; with one, neither does."""
    two = named(here(notes_of(singers(20), melodies=2), roster(20)))
    assert ("spearman_brown", "total, form A, first test") in two
    one = here(notes_of(singers(20), melodies=1), roster(20))
    assert [each.name for each in one] == ["kr20"]
    assert one.left_out[0].why == "The form has one melody, so none can be held against another."


def test_several_choirs_have_no_interval_and_a_number_within_choirs():
    """Choirs far apart make the test look reliable: within them it is less so, and no interval treats them as one."""
    low, high = singers(14, seed=4), np.minimum(singers(14, seed=5) + (np.arange(24) % 3 > 0), 1)
    pairs = choirs_of(("Bass", "", [5] * 14, [6] * 14), ("Treble", "", [5] * 14, [6] * 14))
    found = named(here([*notes_of(low), *notes_of(high, first=14)], pairs))
    whole, inside = (
        found["cronbach_alpha", f"total, form A, {part}first test"] for part in ("", "within choirs, ")
    )  # fmt: skip
    assert (whole.interval, inside.interval) == (None, None)
    assert {STUDENTS_ALIKE, CHOIRS_DIFFER} <= set(whole.notes)
    assert WITHIN in inside.notes
    melodies = np.concatenate([each.reshape(14, 3, 8).sum(axis=2) - each.reshape(14, 3, 8).sum(axis=2).mean(axis=0)
                               for each in (low, high)])  # fmt: skip
    parts, total = melodies.var(axis=0, ddof=1).sum(), melodies.sum(axis=1).var(ddof=1)
    assert inside.value == pytest.approx(3 / 2 * (1 - parts / total), rel=1e-12)
    assert inside.value < whole.value


def test_intervals_need_no_normal_scores():
    """Over notes and over melodies the interval is the jackknife's; three alike students keep Feldt's."""
    found = named(here(notes_of(singers(30)), roster(30)))
    for name in ("kr20", "cronbach_alpha"):
        assert found[name, "total, form A, first test"].interval.method == "jackknife, Student's t"
    two = named(here(notes_of(singers(20), melodies=2), roster(20)))["spearman_brown", "total, form A, first test"]
    assert two.interval.method == "jackknife of Fisher's z, Student's t, stepped up"
    right = np.array([[1, 1, 0, 0], [1, 1, 0, 0], [1, 0, 0, 0]], dtype=float)
    few = named(here(notes_of(right, melodies=2), roster(3)))
    assert few["kr20", "total, form A, first test"].interval.method.startswith("Feldt")


def test_the_named_rater_counts():
    """Where two raters marked the notes, those of the named one count; where only the other did, that one's."""
    own, blind = singers(12), singers(12, seed=9)
    rows = [*notes_of(own[:8], rater="KB"), *notes_of(blind, rater="JM")]
    counted = np.concatenate([own[:8], blind[8:]])
    found = named(here(rows, roster(12), rater="KB"))["kr20", "total, form A, first test"]
    assert found.value == named(here(notes_of(counted), roster(12)))["kr20", "total, form A, first test"].value


def test_no_notes_on_file_is_left_out():
    """Without marks of single notes nothing is made up."""
    assert here([], roster(5)) == []
    assert here([], roster(5)).left_out[0].why == NO_NOTES
    assert quality.single_notes(items([]), roster(5), tests=TESTS).left_out[0].why == NO_NOTES


def test_students_who_are_not_counted_are_not_counted_here():
    """Notes of students outside the pairs, such as those who refused, are not used."""
    right = singers(20)
    few = named(here(notes_of(right), roster(15)))["kr20", "total, form A, first test"]
    assert (few.n, few.value) == (
        15, named(here(notes_of(right[:15]), roster(15)))["kr20", "total, form A, first test"].value,
    )  # fmt: skip


def test_single_notes():
    """Each note has its share right and its correlation with the rest; a note all sang alike tells nobody apart."""
    right = singers(25, notes=6)
    right[:, 5] = 1
    found = quality.single_notes(items(notes_of(right)), roster(25), tests=TESTS)
    by_name = named(found)
    assert by_name["item_difficulty", "total, form A, melody 2, note 1, first test"].value == right[:, 2].mean()
    rest = right[:, [0, 1, 3, 4, 5]].sum(axis=1)
    told = by_name["item_discrimination", "total, form A, melody 2, note 1, first test"].value
    assert told == pytest.approx(np.corrcoef(right[:, 2], rest)[0, 1], rel=1e-12)
    assert [(one.about, one.why) for one in found.left_out] == [(
        "total, form A, melody 3, note 2, first test",
        "How far this note tells readers apart is not known: too few sang it, or all of them alike.",
    )]  # fmt: skip
