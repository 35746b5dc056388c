"""The messy files: each gives exactly its listed outcome, and nothing else is reported."""

import json
from pathlib import Path

import pandas as pd
import pytest
from pydantic import TypeAdapter

from kit.load.declared import MarkColumn, RosterSource, Rules, ScoreSource
from kit.load.declared_music import (
    AttendanceSource,
    DrillSource,
    ItemSource,
    KeySource,
    PatternSource,
    RatingSource,
)
from kit.load.files import load_files
from kit.load.people.keys import Crosswalk

MESSY = Path(__file__).parents[2] / "synthetic_data" / "messy"
ENTRIES = json.loads((MESSY / "manifest.json").read_text(encoding="utf-8"))


KINDS = {
    "scores": ScoreSource, "rosters": RosterSource, "drills": DrillSource, "items": ItemSource, "keys": KeySource,
    "patterns": PatternSource, "ratings": RatingSource, "attendance": AttendanceSource,
}  # fmt: skip


def sources_of(entry):
    """Make the declared sources of an entry about files of any kind, checked as a study file is."""
    return [
        TypeAdapter(KINDS[kind]).validate_python(source) for kind, each in entry["sources"].items() for source in each
    ]


def read(entry, crosswalk=None):
    """Load the files of a manifest entry with its settings."""
    if "sources" in entry:
        rules = TypeAdapter(Rules).validate_python(entry["settings"]["rules"])
        return load_files(MESSY, sources_of(entry), rules=rules, crosswalk=crosswalk or Crosswalk())
    declared = dict(entry.get("settings", {}))
    rules = Rules(**declared.pop("rules", {}))
    declared["marks"] = tuple(MarkColumn(**mark) for mark in declared.get("marks", ()))
    kind = RosterSource if entry.get("kind") == "roster" else ScoreSource
    if kind is RosterSource:
        declared.pop("marks")
    sources = [kind(file=file, **declared) for file in entry["files"]]
    return load_files(MESSY, sources, rules=rules, crosswalk=crosswalk or Crosswalk())


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


@pytest.mark.parametrize("entry", [e for e in ENTRIES if e.get("tables")], ids=lambda entry: entry["id"])
def test_tables(entry):
    """Every row of the listed tables holds what is listed, in order, and there is no other row."""
    crosswalk = Crosswalk()
    loaded = read(entry, crosswalk)
    for name, expected in entry["tables"].items():
        table = getattr(loaded, name)
        columns = list(expected[0]) if expected else ["file"]
        found = [dict(zip(columns, row, strict=True)) for row in table[columns].itertuples(index=False, name=None)]
        wanted = [
            row | ({"student": crosswalk.study_id(row["student"], "")} if row.get("student") else {})
            for row in expected
        ]
        assert [{key: plainly(value) for key, value in row.items()} for row in found] == wanted, name


def plainly(value):
    """Write a cell of a table as JSON does: dates as text, missing values as None."""
    if pd.isna(value):
        return None
    if isinstance(value, pd.Timestamp):
        return value.strftime("%Y-%m-%d")
    return value.item() if hasattr(value, "item") else value


@pytest.mark.parametrize("entry", [e for e in ENTRIES if e["kind"] == "study"], ids=lambda entry: entry["id"])
def test_changes(entry):
    """Every kind of normalisation is counted, and no other one is."""
    loaded = read(entry)
    if entry["outcome"] == "used":
        counted = loaded.changes.groupby("rule", sort=True).times.sum()
        assert [{"rule": rule, "times": int(times)} for rule, times in counted.items()] == sorted(
            entry["changes"], key=lambda change: change["rule"]
        )


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
