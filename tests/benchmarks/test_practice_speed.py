"""What all tables about practice cost on a drill log of a million lines, against reading the log."""

from __future__ import annotations

import time
from statistics import median

import pytest

from kit.questions import log_honesty, practice, teach_next
from kit.questions.practice import heard as practice_heard
from kit.questions.practice import memory as practice_memory
from kit.questions.practice.confusion import confusion, name_and_pitch
from kit.questions.practice.degrees import by_week, weak_all
from kit.questions.practice.notes import tries
from kit.questions.practice.plan import Practice
from kit.tables import PATTERNS, empty
from tests.benchmarks.practice_log import read_log, write_log

ROWS, ROUNDS = 1_000_000, 3


def every_table(drills):
    """Ask everything that the drill review asks of a log, once."""
    plan, doubts = Practice(), log_honesty.doubts(drills)
    trusted = log_honesty.trusted(drills, doubts)
    timed = log_honesty.trusted(drills, doubts, use="no_minutes")
    tried, weeks = tries(trusted), practice.weeks(timed, plan)
    by = weak_all(tried)
    students = drills[["student", "choir"]].drop_duplicates("student").astype(str)
    around = practice_memory.around(tried, drills)
    return [
        practice.fidelity(weeks), practice.gaps(weeks), practice.meetings(timed), by, by_week(tried),
        teach_next.teach_next(tried, drills, empty(PATTERNS), plan, found=by["pattern"]),
        confusion(tries(drills, accuracy=False)), name_and_pitch(tried), practice_memory.rates(tried, drills),
        practice_memory.retained(around), practice_memory.criterion(tried, in_a_row=3),
        practice_heard.class_and_singers(drills, tried), practice_heard.not_heard(drills, students),
    ]  # fmt: skip


def seconds(job, *what):
    """Give CPU seconds of a job, all threads, and what it gives."""
    before = time.process_time()
    found = job(*what)
    return time.process_time() - before, found


@pytest.mark.benchmark
def test_against_reading_the_log(tmp_path, capsys):
    """All tables of a million lines cost at most 5 times what reading and normalising them costs; the target is 3."""
    path = write_log(tmp_path / "log.csv", ROWS)
    rounds = []
    for _ in range(ROUNDS):
        read, drills = seconds(read_log, path)
        asked, found = seconds(every_table, drills)
        rounds.append((read, asked))
    read, asked = (median(one) for one in zip(*rounds, strict=True))
    with capsys.disabled():
        print(f"\n{ROWS:,} lines: read {read:.2f} s, all tables {asked:.2f} s, {asked / read:.1f} times (target 3)")
    assert len(drills) == ROWS
    assert found[3]["pattern"].pooled.tries.sum() == (drills["unit"] == "one").sum()
    assert asked <= 5 * read
