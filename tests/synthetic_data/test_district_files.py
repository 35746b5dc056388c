"""The district's files, faults and all, load to what was drawn, and hold the traps laid on purpose."""

from __future__ import annotations

import pytest
from district import draw_district
from district_folder import with_odd_ids
from plan import CHOIR_NAMES, WAVE_WORDS

from kit.load.people.keys import Crosswalk

OCCASION = {"Sept": "pre", "Dec": "post", "Feb": "later"}
TEACHER_OF = {"Hobnail": "T1", "Wicket": "T2", "Thimble": "T3", "Ninepin": "T4", "Corduroy": "T5"}


@pytest.fixture(scope="module")
def drawn():
    """Draw the district whose files are kept here."""
    return with_odd_ids(draw_district())


@pytest.fixture(scope="module")
def study_id(study):
    """Find study ids by school ids."""
    crosswalk = Crosswalk.open(study.folder / "private" / "crosswalk.csv")
    return lambda school_id: crosswalk.study_id(school_id, "")


def sessions_of(study):
    """Lines about the class, with the teacher of each."""
    lines = study.drills[study.drills["student"] == ""]
    return lines.assign(teacher=lines["choir"].astype(str).str.split().str[0].map(TEACHER_OF))


def test_nothing_stands_in_the_way(study):
    """Every file is read, and everybody has the approach of the own choir, however it was spelt."""
    assert not study.loaded.problems
    assert len(study.students) == 340
    approach = study.students["approach"].str.casefold()
    assert approach.value_counts().to_dict() == {"ear-first": 150, "page-first": 140, "as usual": 50}
    assert study.students["approach"].nunique() == 3


def test_every_mark_is_the_one_that_was_drawn(study, drawn, study_id):
    """Each student has one pitch mark of the own teacher for each test, and it is the sum of the notes marked right."""
    scores = study.scores
    own = scores[(scores["measure"] == "pitch") & (scores["rater"] != "blind rater")]
    found = {(s, o): p for s, o, p in zip(own["student"], own["occasion"], own["points"], strict=True)}
    assert len(found) == len(own) == 340 * 3
    points = drawn.marked.sum(axis=(-2, -1))
    for student, school_id in enumerate(drawn.ids):
        for wave, word in enumerate(WAVE_WORDS):
            mark = found[study_id(school_id), OCCASION[word]]
            if drawn.state[student, wave] == "tested":
                assert mark == pytest.approx(points[student, wave], abs=1e-9)
            else:
                assert mark != mark
    reasons = set(own.loc[own["points"].isna(), "missing_reason"])
    assert reasons == {"absent", "left"}


@pytest.mark.parametrize("rater", ["own teacher", "blind rater"])
def test_notes_add_up_to_marks(study, rater):
    """The notes marked right add up to the pitch mark of the same student, test and rater."""
    items = study.items[study.items["rater"] == rater]
    sums = items.groupby(["student", "occasion"])["right"].agg(["sum", "size"])
    assert set(sums["size"]) == {24}
    scores = study.scores[(study.scores["measure"] == "pitch") & study.scores["points"].notna()]
    scores = scores[(scores["rater"] == "blind rater") == (rater == "blind rater")]
    marks = scores.set_index(["student", "occasion"])["points"].sort_index()
    assert marks.round(9).to_dict() == sums["sum"].astype(float).to_dict()


def test_what_was_sung_instead_stands_where_a_note_was_marked_wrong(study):
    """What was sung instead is told of wrong notes only, and of nearly all of them: some had no response."""
    own = study.items[study.items["rater"] == "own teacher"]
    told = own["sung"].astype(str) != ""
    assert not (told & own["right"].astype(bool)).any()
    assert 0.85 < told[~own["right"].astype(bool)].mean() < 0.95


def test_size_of_the_logs(study):
    """Nearly every one of 48 sessions of 14 choirs is logged; thousands of tries are."""
    assert 600 < len(sessions_of(study)) < 48 * 14
    assert 3000 < len(study.drills) - len(sessions_of(study)) < 5000
    assert set(study.drills["choir"]) == set(CHOIR_NAMES)


def test_every_asked_pattern_is_the_listed_one(study):
    """In five spellings, what was asked is the pattern that the list has under its code."""
    notes = dict(zip(study.loaded.patterns["pattern"], study.loaded.patterns["notes"], strict=True))
    tries = study.drills[(study.drills["student"] != "") & (study.drills["target"] != "")]
    assert (tries["pattern"].astype(str).map(notes) == tries["target"].astype(str)).all()
    assert (study.drills["student"] != "").sum() - len(tries) == 2  # two became dates in a spreadsheet program


def test_logging_traps(study):
    """From week 7 T3 logs good days only, T5 logs errors only, Hobnail Concert is silent for two weeks, no one else."""
    sessions = sessions_of(study)
    late = sessions["date"] >= "2025-11-03"
    assert sessions.loc[late & (sessions["teacher"] == "T3"), "class_rating"].min() == 3
    assert sessions.loc[~late & (sessions["teacher"] == "T3"), "class_rating"].min() < 3
    corduroy = study.drills["choir"].astype(str).str.startswith("Corduroy")
    assert study.drills["errors_only"].astype(bool).equals(corduroy)
    silent = sessions["date"].between("2025-10-13", "2025-10-23")
    logged = sessions[silent].groupby("choir", observed=True).size()
    assert len(logged) == 13
    assert "Hobnail Concert" not in logged
    assert set(logged) == {8}


def test_weaker_choirs_get_more_minutes(study):
    """Beginning choirs are drilled longer than experienced ones: the dose trap."""
    sessions = sessions_of(study)
    choir = sessions["choir"].astype(str)
    weak, strong = choir.str.endswith("Treble"), choir.str.endswith("Chamber")
    assert sessions.loc[weak, "minutes"].mean() > sessions.loc[strong, "minutes"].mean() + 1


def test_ear_first_choirs_begin_without_notation(study):
    """In the first six weeks about 70 % of ear-first sessions are without notation, later fewer; elsewhere few."""
    sessions = sessions_of(study)
    ear = sessions["choir"].isin(study.students.loc[study.students["approach"].str.casefold() == "ear-first", "choir"])
    before = sessions["stage"] == "before_notation"
    early = sessions["date"] < "2025-11-03"
    assert before[ear & early].mean() == pytest.approx(0.70, abs=0.12)
    assert before[ear & ~early].mean() < 0.35
    assert before[~ear].mean() < 0.12
