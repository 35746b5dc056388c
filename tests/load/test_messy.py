"""The messy files: each gives exactly its listed outcome, and nothing else is reported."""

import json
from pathlib import Path

import pytest

from kit.load.declared import MarkColumn, RosterSource, Rules, ScoreSource
from kit.load.files import load_files
from kit.load.people import Crosswalk

MESSY = Path(__file__).parents[2] / "synthetic_data" / "messy"
ENTRIES = json.loads((MESSY / "manifest.json").read_text(encoding="utf-8"))


def read(entry, crosswalk=None):
    """Load the files of a manifest entry with its settings."""
    declared = dict(entry.get("settings", {}))
    rules = Rules(**declared.pop("rules", {}))
    declared["marks"] = tuple(MarkColumn(**mark) for mark in declared.get("marks", ()))
    kind = RosterSource if entry.get("kind") == "roster" else ScoreSource
    if kind is RosterSource:
        declared.pop("marks")
    sources = [kind(file=file, **declared) for file in entry["files"]]
    scores, rosters = ([], sources) if kind is RosterSource else (sources, [])
    return load_files(MESSY, scores, rosters, rules=rules, crosswalk=crosswalk or Crosswalk())


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry["id"])
def test_outcome(entry):
    """Used rows, rows set aside with reason and place, refusals, and the ledger are those of the manifest."""
    loaded = read(entry)
    expected = sorted((problem["why"], problem.get("row")) for problem in entry.get("problems", []))
    assert sorted((problem.why, problem.row) for problem in loaded.problems) == expected
    assert bool(loaded.problems) == (entry["outcome"] == "refused")
    if entry["outcome"] == "used":
        aside = loaded.set_aside
        found = sorted(zip(aside.row.astype(int), aside.column, aside.why, strict=True))
        assert found == sorted(
            (cell["row"], cell.get("column", ""), cell["why"]) for cell in entry.get("set_aside", [])
        )
        assert loaded.ledger.used.sum() == entry["used"]
    for kind, rows in entry.get("ledger", {}).items():
        assert loaded.ledger[kind].sum() == rows, kind


@pytest.mark.parametrize("entry", [e for e in ENTRIES if e.get("marks")], ids=lambda entry: entry["id"])
def test_marks(entry):
    """Every mark of the file, missing ones included, is the listed one."""
    crosswalk = Crosswalk()
    loaded = read(entry, crosswalk)
    scores = loaded.scores
    found = sorted(
        (student, occasion, measure, None if p != p else p, None if m != m else m, None if s != s else round(s, 12), why)
        for student, occasion, measure, p, m, s, why in zip(
            scores.student, scores.occasion, scores.measure, scores.points, scores.max_points, scores["share"],
            scores.missing_reason, strict=True,
        )
    )  # fmt: skip
    expected = sorted(
        (
            crosswalk.study_id(mark["student"], "") if mark["student"] in crosswalk.personal()
            else mark["student"],
            mark["occasion"], mark.get("measure", "total"), mark.get("points"), mark.get("max_points"),
            None if mark.get("share") is None else round(mark["share"], 12), mark.get("missing_reason") or "",
        )
        for mark in entry["marks"]
    )  # fmt: skip
    assert [repr(row) for row in found] == [repr(tuple(map(as_read, row))) for row in expected]


def as_read(value):
    """Numbers of the manifest as floats."""
    return float(value) if isinstance(value, int) else value


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry["id"])
def test_conservation(entry):
    """Rows in are rows used plus rows set aside, file by file."""
    ledger = read(entry).ledger
    kinds = ledger[["unread", "title", "header", "blank", "total", "data"]].sum(axis=1)
    assert list(ledger["rows"]) == list(kinds)
    assert list(ledger.data) == list(ledger.used + ledger.set_aside)
