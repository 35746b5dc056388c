"""Practice, asked of the invented district: what is doubted, the truths it was drawn with, what to teach next."""

from pathlib import Path

import pytest

from kit.load.log_checks import check_logs
from kit.load.no_school import days_without_school
from kit.new import notebook_folder
from kit.questions import log_honesty, practice, teach_next
from kit.questions.practice import dose as practice_dose
from kit.questions.practice import memory as practice_memory
from kit.questions.practice.degrees import weak
from kit.questions.practice.notes import tries
from kit.report.build import build_report
from kit.study import load_study
from kit.tables import DRILLS, PATTERNS, empty

DEMO = Path(__file__).parents[2] / "synthetic_data"
LEARNING, FORGETTING = 0.45, -0.25
"""The rates with which the logs were drawn (synthetic_data/drill_logs.py)."""


@pytest.fixture(scope="module")
def study():
    """Read the district once."""
    return load_study(DEMO / "two_larches")


@pytest.fixture(scope="module")
def doubts(study):
    """Doubt its logs."""
    return log_honesty.doubts(study.drills, check_logs(study.drills, study.settings.no_school))


@pytest.fixture(scope="module")
def tried(study, doubts):
    """Take the tries that can be trusted."""
    return tries(log_honesty.trusted(study.drills, doubts))


def test_the_planted_doubts_are_found_and_nothing_else(doubts):
    """One log of mistakes only, one choir that fell silent, one school that logged good days only."""
    assert sorted((one.kind, one.choir or one.file) for one in doubts) == [
        ("errors_only", "corduroy_road_log.csv"), ("gap", "Hobnail Concert"), ("good_days", "Thimble Chamber"),
        ("good_days", "Thimble Concert"), ("good_days", "Thimble Treble"),
    ]  # fmt: skip


def test_doubted_lines_are_in_no_share(study, doubts, tried):
    """No line of the log of mistakes counts, and none of a good-days school after its change."""
    kept = log_honesty.trusted(study.drills, doubts)
    assert len(kept) < len(study.drills)
    assert not (kept["file"].astype(str) == "corduroy_road_log.csv").any()
    for one in doubts:
        if one.kind == "good_days":
            late = (kept["choir"].astype(str) == one.choir) & (kept["date"] >= one.since)
            assert not late.any()
    assert not tried["choir"].astype(str).str.startswith("Corduroy").any()


def test_learning_and_forgetting_hold_the_truth(study, tried):
    """Both intervals hold the rates that the logs were drawn with."""
    found = {one.name: one for one in practice_memory.rates(tried, study.drills, level=0.95).answers}
    for name, truth in (("learning_rate", LEARNING), ("forgetting_rate", FORGETTING)):
        assert found[name].interval.low <= truth <= found[name].interval.high


def test_weaker_choirs_drilled_more_is_not_taken_for_harm(study, doubts):
    """Minutes go with lower first scores, as drawn; the interval of minutes and growth does not lie below zero."""
    timed = log_honesty.trusted(study.drills, doubts, use="no_minutes")
    choirs = practice_dose.choirs(study.pairs(), timed, smallest=1)
    growth, start = practice_dose.between(choirs, level=0.95)
    assert growth.about == "minutes and growth, choirs"
    assert growth.interval.high > 0
    assert start.about == "minutes and first scores, choirs"
    assert start.interval.high < 0


def test_what_to_teach_next(study, tried):
    """Few patterns, each likely weak, resting on tries of many singers, in the order of the pattern list."""
    plan = study.settings.practice
    found = teach_next.teach_next(tried, study.drills, study.loaded.patterns, plan, smallest=1, level=0.95)
    assert 0 < len(found.rows) <= 5
    assert [row.order for row in found.rows] == sorted(row.order for row in found.rows)
    for row in found.rows:
        assert row.sure >= 0.75
        assert row.share.interval.low <= row.share.value <= row.share.interval.high
        mine = tried[(tried["pattern"].astype(str) == row.pattern)]
        assert row.singers <= mine["student"].nunique()
        assert row.share.value < found.mark


def test_raw_counts_stand_beside_pooled_shares(tried):
    """Hits and tries of each degree add up, and a pooled share lies near the raw one where there are many tries."""
    found = weak(tried, by="degree", level=0.95)
    for at, one in enumerate(found.pooled.estimates):
        assert one.n == found.pooled.tries[at]
        if one.n > 500:
            assert one.value == pytest.approx(found.pooled.hits[at] / found.pooled.tries[at], abs=0.05)


def test_fidelity_is_counted_against_the_plan(study, doubts):
    """Meetings logged, of those possible, and those with the planned minutes before notation."""
    timed = log_honesty.trusted(study.drills, doubts, use="no_minutes")
    weeks = practice.weeks(timed, study.settings.practice, days_without_school(study.settings.no_school))
    found = {one.about: one for one in practice.fidelity(weeks)}
    logged = timed[["choir", "date"]].astype(str).drop_duplicates()
    assert found["all choirs, meetings logged"].value == len(logged)
    assert found["all choirs, meetings with the planned minutes before notation"].value <= len(logged)


def test_without_a_log_there_is_no_list():
    """Nothing logged, nothing listed, and the reason is told."""
    none = empty(DRILLS)
    plan = load_study(DEMO / "one_choir").settings.practice
    found = teach_next.teach_next(tries(none), none, empty(PATTERNS), plan, smallest=1, level=0.95)
    assert found.rows == ()
    assert found.why


@pytest.mark.parametrize(("name", "audience"), [("two_larches", "public"), ("one_choir", "teacher")])
def test_the_drill_review_is_made_without_a_name(name, audience, tmp_path):
    """For the public and without any log it is built; a name or id of the input in any file would refuse it."""
    study = load_study(DEMO / name)
    page = build_report(
        notebook_folder() / "drill_review.ipynb", {"folder": str((DEMO / name).resolve()), "audience": audience},
        tmp_path / "out", name="drill_review", personal=study.loaded.personal,
    )  # fmt: skip
    text = page.read_text(encoding="utf-8")
    assert ("Next Monday, come back to" in text) == (name == "two_larches")
    assert ("There is no list of what to teach next." in text) == (name == "one_choir")
    assert [word for word in study.students["student"] if f">{word}<" in text and audience == "public"] == []
