"""Intervals cover the truth of the invented worlds about as often as their level says."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from choir_world import SINGERS, choir_points
from draws import Draws
from melodies import DISTRICT_TEST
from plan import CHOIRS
from truth import choir_ability_of_the_district
from world import RIGHT_FAILED, WRONG_PASSED, mark, sing

from kit.stats.means import mean_gain

TRUTH = json.loads((Path(__file__).parents[2] / "synthetic_data" / "truth.json").read_text(encoding="utf-8"))
WORLDS = 2_000

pytestmark = pytest.mark.slow


def covered(worlds, truth, level):
    """Share of the worlds, shape (worlds, students, 2), whose interval for the mean gain holds the truth."""
    hits = 0
    for scores in worlds:
        interval = mean_gain(scores[:, 0], scores[:, 1], about="a choir", unit="points", level=level).interval
        hits += interval.low <= truth <= interval.high
    return hits / len(worlds)


def tolerance(level):
    """Three Monte Carlo standard errors of a share of WORLDS: 0.015 at level .95, 0.027 at .80."""
    return 3 * np.sqrt(level * (1 - level) / WORLDS)


def district_points(name):
    """Draw the choir's marks of September and December again, with new students and the choir's own deviations."""
    choir = next(choir for choir in CHOIRS if choir.name == name)
    draws = Draws("coverage", name)
    able, bonus = choir_ability_of_the_district(draws, name, WORLDS, choir.size)
    first = np.zeros((WORLDS, choir.size), dtype=int) if choir.school.one_form else draws.pick(2, WORLDS, choir.size)
    form = np.stack([first, 1 - first], axis=-1)
    right = sing(draws, DISTRICT_TEST, able[..., :2], bonus[:2], form)
    return mark(draws, right, passed=WRONG_PASSED[:2], failed=RIGHT_FAILED).sum(axis=(-2, -1))


@pytest.mark.parametrize("level", [0.95, 0.80])
def test_one_choir(level):
    """The interval for the small choir's gain covers the true gain as marked, within three Monte Carlo errors."""
    truth = TRUTH["one_choir"]["growth"]["as_marked"]["value"]
    worlds = choir_points(Draws("coverage", "one_choir"), WORLDS, SINGERS)
    assert covered(worlds, truth, level) == pytest.approx(level, abs=tolerance(level))


@pytest.mark.parametrize("level", [0.95, 0.80])
@pytest.mark.parametrize("name", ["Hobnail Treble", "Wicket Concert", "Thimble Treble", "Corduroy Concert"])
def test_choir_of_the_district(name, level):
    """The interval for a choir's gain covers that choir's true gain as marked, within three Monte Carlo errors."""
    truth = TRUTH["two_larches"]["choirs"][name]["W0-W1"]["as_marked"]["value"]
    assert covered(district_points(name), truth, level) == pytest.approx(level, abs=tolerance(level))


def test_a_wrong_truth_would_be_noticed():
    """A truth that is wrong by one point is covered clearly less often, so that the tests above can fail."""
    truth = TRUTH["one_choir"]["growth"]["as_marked"]["value"] + 1.0
    worlds = choir_points(Draws("coverage", "one_choir"), WORLDS, SINGERS)
    assert covered(worlds, truth, 0.95) < 0.95 - tolerance(0.95)
