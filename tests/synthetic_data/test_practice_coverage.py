"""Intervals for practice cover the truth of the invented worlds about as often as their level says."""

from __future__ import annotations

from types import SimpleNamespace

import drill_logs
import numpy as np
import pytest
from draws import Draws, logistic
from drill_logs import FORGETTING, LEARNING, PATTERN_HARD, PATTERNS, SILENT_CHOIR
from melodies import DISTRICT_TEST, NOTES
from plan import CHOIR_OF, CHOIRS
from truth import choir_ability_of_the_district
from world import AFTER_A_WRONG_NOTE, BASE, CHOIR_SD, LEVEL, STUDENT_SD, sing

from kit.stats.learning.pooled_accuracy import pooled_accuracy
from kit.stats.learning.practice import practice_rates

WORLDS = 300
WHOLE = [at for at, choir in enumerate(CHOIRS)
         if choir.school.teacher in ("T1", "T2", "T4") and choir.name != SILENT_CHOIR]  # fmt: skip
"""Choirs whose every session and try is in the log."""

pytestmark = pytest.mark.slow


def tolerance(level, worlds=WORLDS):
    """Three Monte Carlo standard errors of a share: 0.038 at level .95."""
    return 3 * np.sqrt(level * (1 - level) / worlds)


def log_again(number, monkeypatch):
    """Draw abilities and logs again: right, student, pattern, times practised and days since, of first tries."""
    draws = Draws("practice", number)
    start = BASE + (LEVEL[[choir.level for choir in CHOIRS]] + draws.normal(len(CHOIRS), sd=CHOIR_SD))[CHOIR_OF]
    start = start + draws.normal(len(CHOIR_OF), sd=STUDENT_SD)
    district = SimpleNamespace(start=start, ids=[str(student) for student in range(len(CHOIR_OF))])
    monkeypatch.setattr(drill_logs, "Draws", lambda *purpose: Draws(*purpose, "again", number))
    rows = []
    for at in WHOLE:
        times, last = [0] * len(PATTERNS), [None] * len(PATTERNS)
        for session, tries in drill_logs.choir_log(district, at):
            rows += [
                (one.pitch_right, int(one.student), one.pattern, times[one.pattern],
                 (session.day - last[one.pattern]).days if last[one.pattern] else np.nan)
                for one in tries if one.number == 1
            ]  # fmt: skip
            for pattern in session.patterns:
                times[pattern] += 1
                last[pattern] = session.day
    return np.array(rows, dtype=float).T


def holds(estimate, truth):
    """Whether the interval holds the truth."""
    return estimate.interval.low <= truth <= estimate.interval.high


def test_learning_and_forgetting(monkeypatch):
    """Intervals for both rates cover 0.45 and -0.25 within three Monte Carlo errors; values lie on the truth."""
    both = [practice_rates(*log_again(number, monkeypatch), about="x") for number in range(WORLDS)]
    for name, truth in (("learning", LEARNING), ("forgetting", FORGETTING)):
        made = [getattr(rates, name) for rates in both]
        assert np.mean([holds(one, truth) for one in made]) == pytest.approx(0.95, abs=tolerance(0.95))
        values = np.array([one.value for one in made])
        assert values.mean() == pytest.approx(truth, abs=4 * values.std() / np.sqrt(WORLDS) + 0.02)


def test_a_wrong_rate_would_be_noticed(monkeypatch):
    """No forgetting at all is covered much less often, so that the test above can fail."""
    made = [practice_rates(*log_again(number, monkeypatch), about="x").forgetting for number in range(60)]
    assert np.mean([holds(one, 0.0) for one in made]) < 0.6


def shares_of_degrees(able, bonus):
    """Expect the share of right notes at each degree of form A, from students of these abilities."""
    chance = np.empty((able.size, 3, 8))
    for melody in range(3):
        before = np.ones(able.size)
        for place in range(8):
            at = (0, melody, place)
            logit = able + bonus * DISTRICT_TEST.drilled[at] - DISTRICT_TEST.hard[at]
            before = before * logistic(logit) + (1 - before) * logistic(logit + AFTER_A_WRONG_NOTE)
            chance[:, melody, place] = before
    return chance.reshape(able.size, 24).mean(axis=0)


def test_degrees_of_a_test():
    """Over nine degrees of a choir's test the intervals cover the true shares at 0.93 to 0.99.

    A bound, not the level: a wrong note makes the next one harder and notes of a degree differ by approach, which the
    model does not know, while students who are asked everything are the whole choir.
    """
    steps, covered = np.array([note.steps for melody in NOTES["A"] for note in melody]), []
    for number in range(WORLDS):
        draws = Draws("degrees", number)
        able, bonus = choir_ability_of_the_district(draws, "Hobnail Treble", 28)
        right = sing(draws, DISTRICT_TEST, able[:, 0], bonus[0], 0).reshape(28, 24)
        truth = shares_of_degrees(able[:, 0], bonus[0])
        found = pooled_accuracy(right.ravel(), np.repeat(range(28), 24), np.tile(steps, 28), about="x")
        covered += [
            holds(one, truth[steps == step].mean()) for step, one in zip(found.items, found.estimates, strict=True)
        ]
    assert 0.93 < np.mean(covered) < 0.99


def test_patterns_of_a_sparse_log():
    """With 140 tries of 24 singers at 12 patterns, intervals cover at their level, and miss by less than raw shares.

    Coverage is over all patterns: that of the hardest and easiest alone is lower, as of anything that pools.
    """
    hard, covered, pooled, raw = np.array(PATTERN_HARD), [], [], []
    for number in range(WORLDS):
        draws = Draws("patterns", number)
        start = BASE + draws.normal(24, sd=STUDENT_SD)
        who, what = draws.pick(24, 140), draws.pick(12, 140)
        truth = logistic(start[:, None] - hard).mean(axis=0)
        found = pooled_accuracy(draws.chance(logistic(start[who] - hard[what])), who, what, about="x")
        expected = truth[list(found.items)]
        covered += [holds(one, share) for one, share in zip(found.estimates, expected, strict=True)]
        pooled += list(np.abs([one.value for one in found.estimates] - expected))
        raw += list(np.abs(found.hits / found.tries - expected))
    assert np.mean(covered) == pytest.approx(0.95, abs=0.025)
    assert np.mean(pooled) < 0.75 * np.mean(raw)
