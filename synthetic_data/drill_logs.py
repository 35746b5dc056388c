"""The drill logs: class sessions and individual probes, with learning, forgetting, and the gaps of real logs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from confusions import neighbour
from district import District
from draws import Draws, logistic
from plan import CHOIR_OF, CHOIRS, DRILL_DAYS, EAR, SESSIONS_A_WEEK, Choir

PATTERNS = (
    (0, 1, 2), (2, 1, 0), (0, 1, 2, 3, 4), (4, 3, 2, 1, 0), (0, 2), (0, 2, 4), (4, 2, 0), (0, 4, 0), (2, 0, 4),
    (4, 5, 4), (0, -3, 0), (4, 7, 4),
)  # fmt: skip
"""In the order of teaching, in steps above do: by step inside do-so, skips in the tonic chord, then beyond."""
PATTERN_HARD = (-0.4, -0.3, 0.0, 0.0, 0.1, 0.3, 0.3, 0.5, 0.7, 0.6, 0.8, 0.9)
LEARNING, FORGETTING = 0.45, -0.25
"""Logit of a right first try: student + learning x log(1 + times the class did it) + forgetting x log(1 + days since)
- pattern. ``student`` is the ability at the beginning of the year."""
AFTER_CORRECTION = 0.8
TRIES_AGAIN = 0.8
MINUTES, MINUTES_SHAPE = 6.0, 9
WEAKER_GET_MORE = 0.25
"""Minutes grow by this share for each logit that a choir starts below the others: the dose trap."""
BEFORE_NOTATION, EAR_WEEKS = (0.70, 0.20), 6
"""Share of ear-first sessions without notation in the first weeks, and after them; elsewhere 0.05."""
HEARD = (3, 6)
SILENT_CHOIR, SILENT_WEEKS = "Hobnail Concert", (4, 5)
GOOD_DAYS_ONLY, GOOD_DAYS_FROM = "T3", 7
ERRORS_ONLY = "T5"

_ACTIVITIES = {
    "before_notation": ("echo", "hand signs", "syllable chart", "pattern cards"),
    "with_notation": ("reading in unison", "reading in parts", "names spoken", "pattern cards"),
}
_CORRECTIONS = ("tonic again", "model repeated", "in parts", "slower", "syllable given")


@dataclass(frozen=True, slots=True)
class Session:
    """What a class did on one day, and how it went on a scale of 1 to 4; patterns by their place."""

    day: date
    choir: Choir
    minutes: int
    stage: str
    activity: str
    patterns: tuple[int, ...]
    rating: int


@dataclass(frozen=True, slots=True)
class Try:
    """One try of one student: what was asked and sung, in steps above do, and what the teacher marked."""

    day: date
    choir: Choir
    student: str
    pattern: int
    number: int
    sung: tuple[int, ...]
    pitch_right: bool
    syllable_right: bool
    correction: str


@dataclass(slots=True)
class _Class:
    """What a choir has practised so far: times and last day of each pattern."""

    times: list[int] = field(default_factory=lambda: [0] * len(PATTERNS))
    last: list[date | None] = field(default_factory=lambda: [None] * len(PATTERNS))

    def practise(self, pattern: int, day: date) -> None:
        """Note that the class did a pattern."""
        self.times[pattern] += 1
        self.last[pattern] = day

    def lift(self, pattern: int, day: date) -> float:
        """Add up what practice and forgetting do, in logits."""
        last = self.last[pattern]
        days = (day - last).days if last else 0
        return LEARNING * float(np.log1p(self.times[pattern])) + FORGETTING * float(np.log1p(days))


def choir_log(district: District, at: int) -> Iterator[tuple[Session, list[Try]]]:
    """Give each logged session of a choir with the students heard in it.

    Parameters
    ----------
    district : District
        Whose students are heard.
    at : int
        Which choir.

    Yields
    ------
    session, tries
        In the order of the days.
    """
    choir, draws, practised = CHOIRS[at], Draws("drill", at), _Class()
    ahead = float(district.start[at == CHOIR_OF].mean() - district.start.mean())
    for number, day in enumerate(DRILL_DAYS):
        week = number // SESSIONS_A_WEEK + 1
        newest = number // SESSIONS_A_WEEK
        chosen = list(dict.fromkeys([newest, int(draws.pick(newest + 1, 1)[0])]))
        session, rating = _session(draws, choir, week, ahead)
        heard = _probes(draws, district, at, {pattern: practised.lift(pattern, day) for pattern in chosen}, day)
        for pattern in chosen:
            practised.practise(pattern, day)
        if _is_logged(choir, week, rating):
            yield Session(day, choir, *session, tuple(chosen), rating), heard


def _is_logged(choir: Choir, week: int, rating: int) -> bool:
    """Say whether the teacher wrote the session down: the logging traps."""
    if choir.name == SILENT_CHOIR and week in SILENT_WEEKS:
        return False
    return not (choir.school.teacher == GOOD_DAYS_ONLY and week >= GOOD_DAYS_FROM and rating <= 2)


def _session(draws: Draws, choir: Choir, week: int, ahead: float) -> tuple[tuple[int, str, str], int]:
    """Draw minutes, stage and activity of a session, and how the class did on a scale of 1 to 4."""
    mean = MINUTES * (1 - WEAKER_GET_MORE * ahead)
    minutes = max(2, round(float(draws.gamma(MINUTES_SHAPE, mean=mean))))
    before = 0.05 if choir.approach != EAR else BEFORE_NOTATION[week > EAR_WEEKS]
    stage = "before_notation" if draws.uniform(1)[0] < before else "with_notation"
    activity = _ACTIVITIES[stage][int(draws.pick(4, 1)[0])]
    rating = int(np.clip(round(2.6 + 0.5 * ahead + float(draws.normal(1, sd=0.8)[0])), 1, 4))
    return (minutes, stage, activity), rating


def _probes(draws: Draws, district: District, at: int, lifts: dict[int, float], day: date) -> list[Try]:
    """Hear a few students of a choir, one pattern each; ``lifts`` gives what practice adds to each pattern."""
    choir, members = CHOIRS[at], np.flatnonzero(at == CHOIR_OF)
    fewest, most = HEARD
    size = fewest + int(draws.pick(most - fewest + 1, 1)[0])
    rows = []
    for student in members[draws.order(len(members))][:size]:
        pattern = list(lifts)[int(draws.pick(len(lifts), 1)[0])]
        logit = float(district.start[student]) + lifts[pattern] - PATTERN_HARD[pattern]
        rows += [Try(day, choir, district.ids[student], pattern, *tried) for tried in _tries(draws, pattern, logit)]
    return [row for row in rows if not row.pitch_right] if choir.school.teacher == ERRORS_ONLY else rows


def _tries(draws: Draws, pattern: int, logit: float) -> Iterator[tuple]:
    """Draw a first try and perhaps, after a correction, a second one."""
    right = bool(draws.uniform(1)[0] < logistic(logit))
    again = not right and bool(draws.uniform(1)[0] < TRIES_AGAIN)
    correction = _CORRECTIONS[int(draws.pick(len(_CORRECTIONS), 1)[0])] if again else ""
    yield (1, *_response(draws, pattern, right=right), correction)
    if again:
        right = bool(draws.uniform(1)[0] < logistic(logit + AFTER_CORRECTION))
        yield (2, *_response(draws, pattern, right=right), "")


def _response(draws: Draws, pattern: int, *, right: bool) -> tuple[tuple[int, ...], bool, bool]:
    """Draw what was sung, whether the pitches and whether the syllables were right."""
    notes = list(PATTERNS[pattern])
    syllable = bool(draws.uniform(1)[0] < (0.97 if right else 0.85))
    if not right:
        missed = int(draws.pick(len(notes), 1)[0])
        notes[missed] = int(neighbour(notes[missed], draws.uniform(1))[0])
    return tuple(notes), right, syllable
