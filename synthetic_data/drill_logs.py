"""The drill logs: class sessions and individual probes, with learning, forgetting, and the gaps of real logs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from confusions import neighbour
from district import District
from draws import Draws, logistic
from melodies import DEGREES
from plan import CHOIR_OF, CHOIRS, DRILL_DAYS, EAR, SESSIONS_A_WEEK, Choir
from workbook import text_table

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
_SESSION_HEADER = ("date", "choir", "teacher", "minutes", "stage", "activity", "patterns", "class_rating")
_PROBE_HEADER = ("date", "choir", "teacher", "student", "pattern", "target", "try", "response", "pitch_right",
                 "syllable_right", "correction")  # fmt: skip


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


def drill_files(district: District) -> dict[str, bytes]:
    """Give the drill files by their names.

    Parameters
    ----------
    district : District
        Whose students are heard.

    Returns
    -------
    dict of str to bytes
        Patterns, class sessions, individual probes.
    """
    patterns = [["pattern", "notes"], *([_code(at), _notes(pattern)] for at, pattern in enumerate(PATTERNS))]
    sessions: list = [_SESSION_HEADER]
    probes: list = [_PROBE_HEADER]
    for at in range(len(CHOIRS)):
        for session, heard in _choir_log(district, at):
            sessions.append(session)
            probes += heard
    tables = {"patterns": patterns, "drill_sessions": sessions, "drill_probes": probes}
    return {f"{name}.csv": text_table(rows) for name, rows in tables.items()}


def _choir_log(district: District, at: int) -> Iterator[tuple[list, list]]:
    """Give each logged session of a choir with its probes."""
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
            named = " ".join(_code(pattern) for pattern in chosen)
            yield [day.isoformat(), choir.name, choir.school.teacher, *session, named, rating], heard


def _is_logged(choir: Choir, week: int, rating: int) -> bool:
    """Say whether the teacher wrote the session down: the logging traps."""
    if choir.name == SILENT_CHOIR and week in SILENT_WEEKS:
        return False
    return not (choir.school.teacher == GOOD_DAYS_ONLY and week >= GOOD_DAYS_FROM and rating <= 2)


def _session(draws: Draws, choir: Choir, week: int, ahead: float) -> tuple[list, int]:
    """Draw minutes, stage and activity of a session, and how the class did on a scale of 1 to 4."""
    mean = MINUTES * (1 - WEAKER_GET_MORE * ahead)
    minutes = max(2, round(float(draws.gamma(MINUTES_SHAPE, mean=mean))))
    before = 0.05 if choir.approach != EAR else BEFORE_NOTATION[week > EAR_WEEKS]
    stage = "before_notation" if draws.uniform(1)[0] < before else "with_notation"
    activity = _ACTIVITIES[stage][int(draws.pick(4, 1)[0])]
    rating = int(np.clip(round(2.6 + 0.5 * ahead + float(draws.normal(1, sd=0.8)[0])), 1, 4))
    return [minutes, stage, activity], rating


def _probes(draws: Draws, district: District, at: int, lifts: dict[int, float], day: date) -> list[list]:
    """Hear a few students of a choir, one pattern each; ``lifts`` gives what practice adds to each pattern."""
    choir, members = CHOIRS[at], np.flatnonzero(at == CHOIR_OF)
    fewest, most = HEARD
    size = fewest + int(draws.pick(most - fewest + 1, 1)[0])
    rows = []
    for student in members[draws.order(len(members))][:size]:
        pattern = list(lifts)[int(draws.pick(len(lifts), 1)[0])]
        start = [day.isoformat(), choir.name, choir.school.teacher, district.ids[student], _code(pattern),
                 _notes(PATTERNS[pattern])]  # fmt: skip
        logit = float(district.start[student]) + lifts[pattern] - PATTERN_HARD[pattern]
        rows += [[*start, *tried] for tried in _tries(draws, pattern, logit)]
    if choir.school.teacher == ERRORS_ONLY:
        return [row for row in rows if not row[_PROBE_HEADER.index("pitch_right")]]
    return rows


def _tries(draws: Draws, pattern: int, logit: float) -> Iterator[list]:
    """Draw a first try and perhaps, after a correction, a second one."""
    right = bool(draws.uniform(1)[0] < logistic(logit))
    again = not right and bool(draws.uniform(1)[0] < TRIES_AGAIN)
    correction = _CORRECTIONS[int(draws.pick(len(_CORRECTIONS), 1)[0])] if again else ""
    yield [1, *_response(draws, pattern, right=right), correction]
    if again:
        right = bool(draws.uniform(1)[0] < logistic(logit + AFTER_CORRECTION))
        yield [2, *_response(draws, pattern, right=right), ""]


def _response(draws: Draws, pattern: int, *, right: bool) -> list:
    """Draw what was sung, whether the pitches and whether the syllables were right."""
    notes = list(PATTERNS[pattern])
    syllable = bool(draws.uniform(1)[0] < (0.97 if right else 0.85))
    if not right:
        missed = int(draws.pick(len(notes), 1)[0])
        notes[missed] = int(neighbour(notes[missed], draws.uniform(1))[0])
    return [_notes(tuple(notes)), int(right), int(syllable)]


def _code(pattern: int) -> str:
    """Code of a pattern: P01 and so on."""
    return f"P{pattern + 1:02}"


def _notes(pattern: tuple[int, ...]) -> str:
    """Names of the notes of a pattern, with bars between them."""
    return " | ".join(DEGREES[steps] for steps in pattern)
