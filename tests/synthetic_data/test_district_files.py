"""The district's files agree with one another, load without a problem, and hold the traps laid on purpose."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from kit.load.declared import RosterSource, Rules, ScoreSource
from kit.load.files import load_files
from kit.load.people import Crosswalk

FOLDER = Path(__file__).parents[2] / "synthetic_data" / "two_larches"
SCHOOLS = ("hobnail_lane.xlsx", "wicket_lane.xlsx", "thimble_hill.csv", "ninepin_row.xlsx", "corduroy_road.csv")
OCCASION = {"Sept": "pre", "Dec": "mid", "Feb": "post"}


def load(*files):
    """Load marks and the roster with nothing declared."""
    sources = [ScoreSource(file=file) for file in files]
    return load_files(FOLDER, [*sources, RosterSource(file="roster.csv")], rules=Rules(), crosswalk=Crosswalk())


def table(name):
    """Read a table of the district as text."""
    return pd.read_csv(FOLDER / f"{name}.csv", dtype=str, keep_default_na=False)


@pytest.fixture(scope="module")
def loaded():
    """Load the whole district."""
    return load(*SCHOOLS, "second_rater.csv")


def test_nothing_stands_in_the_way(loaded):
    """Every file is read; only the second rows of the 14 members of two choirs are set aside."""
    assert not loaded.problems
    assert loaded.set_aside["why"].value_counts().to_dict() == {"second_choir": 14}
    assert len(loaded.students) == 340
    assert loaded.students["approach"].value_counts().to_dict() == {"ear-first": 150, "page-first": 140, "as usual": 50}


def test_every_student_has_every_test_once(loaded):
    """Each student has one pitch and one rhythm mark of the own teacher, or a reason, for each of three tests."""
    own = loaded.scores[loaded.scores["file"] != "second_rater.csv"]
    assert len(own) == 340 * 3 * 2
    assert not own.duplicated(["student", "occasion", "measure"]).any()
    assert set(own.loc[own["points"].isna(), "missing_reason"]) == {"absent", "left"}
    assert set(own["max_points"].dropna()) == {24.0}


@pytest.mark.parametrize(("mark", "rater"), [("marked", "own teacher"), ("blind", "blind rater")])
def test_notes_add_up_to_marks(mark, rater):
    """The notes marked right in items.csv add up to the pitch marks of the schools' files and of the second rater."""
    crosswalk = Crosswalk()
    sources = [ScoreSource(file=file) for file in (*SCHOOLS, "second_rater.csv")]
    scores = load_files(FOLDER, sources, rules=Rules(), crosswalk=crosswalk).scores
    scores = scores[(scores["measure"] == "pitch") & scores["points"].notna()]
    blind = scores["file"] == "second_rater.csv"
    scores = scores[blind if rater == "blind rater" else ~blind]
    items = table("items")
    items = items[items[mark] != ""]
    sums = items.assign(points=items[mark].astype(int)).groupby(["student", "wave"])["points"].agg(["sum", "size"])
    assert set(sums["size"]) == {24}
    expected = {(crosswalk.study_id(student, ""), OCCASION[wave]): float(points)
                for (student, wave), points in sums["sum"].items()}  # fmt: skip
    found = {(s, o): p for s, o, p in zip(scores["student"], scores["occasion"], scores["points"], strict=True)}
    assert found == expected


def test_what_was_sung_instead_stands_where_a_note_was_marked_wrong():
    """Each note marked wrong tells what was sung instead, and no other note does."""
    items = table("items")
    assert ((items["marked"] == "0") == (items["sung_instead"] != "")).all()


def test_size_of_the_logs():
    """Nearly every one of 48 sessions of 14 choirs is logged; thousands of tries are."""
    assert 600 < len(table("drill_sessions")) < 48 * 14
    assert 3000 < len(table("drill_probes")) < 5000


def test_logging_traps():
    """From week 7 T3 logs good days only, T5 logs errors only, Hobnail Concert is silent for two weeks, no one else."""
    sessions, probes = table("drill_sessions"), table("drill_probes")
    late = sessions["date"] >= "2025-11-03"
    assert sessions.loc[late & (sessions["teacher"] == "T3"), "class_rating"].min() == "3"
    assert sessions.loc[~late & (sessions["teacher"] == "T3"), "class_rating"].min() < "3"
    assert set(probes.loc[probes["teacher"] == "T5", "pitch_right"]) == {"0"}
    assert set(probes.loc[probes["teacher"] == "T1", "pitch_right"]) == {"0", "1"}
    silent = sessions["date"].between("2025-10-13", "2025-10-23")
    logged = sessions[silent].groupby("choir").size()
    assert len(logged) == 13
    assert "Hobnail Concert" not in logged
    assert set(logged) == {8}


def test_weaker_choirs_get_more_minutes():
    """Beginning choirs are drilled longer than experienced ones: the dose trap."""
    sessions = table("drill_sessions")
    minutes = sessions["minutes"].astype(int)
    weak, strong = sessions["choir"].str.endswith("Treble"), sessions["choir"].str.endswith("Chamber")
    assert minutes[weak].mean() > minutes[strong].mean() + 1


def test_ear_first_choirs_begin_without_notation():
    """In the first six weeks about 70 % of ear-first sessions are without notation, later fewer; elsewhere few."""
    sessions = table("drill_sessions")
    ear = sessions["choir"].isin(table("roster").query("Approach == 'ear-first'")["Choir"])
    before = sessions["stage"] == "before_notation"
    early = sessions["date"] < "2025-11-03"
    assert before[ear & early].mean() == pytest.approx(0.70, abs=0.12)
    assert before[ear & ~early].mean() < 0.35
    assert before[~ear].mean() < 0.12
