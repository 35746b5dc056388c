"""The questions about the quality of the test find in the district what its world put there."""

from __future__ import annotations

import numpy as np
import pytest
from district import STUDENTS, bonus, district_choirs, draw_district, singers
from draws import Draws
from melodies import DISTRICT_TEST
from world import BLIND_ERROR, RIGHT_FAILED, WRONG_PASSED, ability, as_marked, draw_persons, expected_right, mark, sing

from kit.questions import quality
from tests.questions.worlds import named

MOST = 24


@pytest.fixture(scope="module")
def true_ability():
    """Draw the ability of many singers like those of the district, with its own choirs; shape (draws, students, 3)."""
    choir = draw_district().choir
    persons = draw_persons(Draws("quality", "persons"), 40, STUDENTS)
    return choir, ability(singers(choir), district_choirs(), persons)


def raters_and_tests(study):
    """Give what the questions are asked with."""
    return {"tests": (study.settings.before, study.settings.after), "rater": study.settings.rater}


def test_severity_and_drift_of_the_own_teacher(study, true_ability):
    """The own teacher's lead over the blind rater, and how it rises, are those of the error rates of the world."""
    choir, able = true_ability
    both = [expected_right(DISTRICT_TEST, able, bonus(choir), form).sum(axis=-1) for form in (0, 1)]
    sung = np.mean(both, axis=(0, 1, 2))
    lead = [
        as_marked(sung[wave], MOST, wave) - (sung[wave] * (1 - BLIND_ERROR) + (MOST - sung[wave]) * BLIND_ERROR)
        for wave in (0, 1)
    ]
    assert lead[1] - lead[0] > 0.3  # the world is one in which something can be found
    found = named(quality.raters_agree(study.scores, study.pairs(), **raters_and_tests(study)))
    about = "pitch, own teacher minus blind rater, "
    for which, true in zip(("first test", "second test"), lead, strict=True):
        bias = found["agreement_bias", about + which]
        assert bias.interval.low < true < bias.interval.high
    drift = found["mean_gain", f"{about}change between tests"]
    assert 0 < drift.interval.low < lead[1] - lead[0] < drift.interval.high


def test_notes_agree_as_often_as_two_error_rates_make_them(study, true_ability):
    """Two raters agree on a right note if both or neither fail it, on a wrong one if both or neither pass it."""
    choir, able = true_ability
    both = [expected_right(DISTRICT_TEST, able, bonus(choir), form).sum(axis=-1) for form in (0, 1)]
    right = np.mean(both, axis=(0, 1, 2)) / MOST
    found = named(quality.notes_agree(study.items, study.pairs(), **raters_and_tests(study)))
    for wave, which in enumerate(("first test", "second test")):
        alike = [
            one * BLIND_ERROR + (1 - one) * (1 - BLIND_ERROR) for one in (RIGHT_FAILED, WRONG_PASSED[wave])
        ]  # fmt: skip
        true = right[wave] * alike[0] + (1 - right[wave]) * alike[1]
        share = found["percent_agreement", f"pitch, single notes, own teacher and blind rater, {which}"]
        error = np.sqrt(true * (1 - true) / share.n)  # errors of notes are independent in this world
        assert abs(share.value - true) < 3 * error


def test_reliability_is_the_correlation_of_a_second_sitting(study, true_ability):
    """Over melodies it is near the correlation of two sittings of one form on one day, and over notes above it."""
    _, able = true_ability
    here = named(quality.reliability_here(study.items, study.pairs(), **raters_and_tests(study)))
    for form, name in enumerate("AB"):
        totals = [
            mark(
                Draws("quality", "marks", form, sitting),
                sing(Draws("quality", "notes", form, sitting), DISTRICT_TEST, able[..., 0], 0.0, form),
                passed=WRONG_PASSED[0], failed=RIGHT_FAILED,
            ).sum(axis=(-2, -1)).ravel()
            for sitting in (0, 1)
        ]  # fmt: skip
        true = np.corrcoef(*totals)[0, 1]
        melodies = here["cronbach_alpha", f"pitch, form {name}, first test"]
        assert melodies.value == pytest.approx(true, abs=0.05)
        assert here["kr20", f"pitch, form {name}, first test"].value > melodies.value


def test_the_crossover_finds_the_harder_form(study, true_ability):
    """What form A needs to be on the scale of form B is the difference of the marks that the world expects of both."""
    choir, able = true_ability
    marked = [
        np.mean([
            as_marked(expected_right(DISTRICT_TEST, able, bonus(choir), form).sum(axis=-1)[..., wave], MOST, wave)
            for wave in (0, 1)
        ]) for form in (0, 1)
    ]  # fmt: skip
    harder = named(quality.forms_differ(study.pairs()))["equate_mean", "pitch, form A to the scale of form B"]
    assert harder.interval.low < marked[1] - marked[0] < harder.interval.high
