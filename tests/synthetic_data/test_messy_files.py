"""The messy fixtures: one manifest entry per branch, every file there, and what the manifest expects adds up."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest

from kit.load.declared import RosterSource, Rules, ScoreSource
from kit.reasons import REASONS
from kit.tables import MISSING_REASONS

MESSY = Path(__file__).parents[2] / "synthetic_data" / "messy"
ENTRIES = json.loads((MESSY / "manifest.json").read_text(encoding="utf-8"))
FIXTURES = [
    "F01",
    "F02a",
    "F02b",
    "F02c",
    "F03",
    "F04",
    "F05",
    "F06",
    "F08a",
    "F08b",
    "F09a",
    "F09b",
    "F12",
    "F13",
    "F18",
    "F20",
    "F25a",
    "F25b",
    "F25c",
    "F26a",
    "F26b",
    "F26c",
    "F27",
    "F28",
    "F31a",
    "F31b",
    "F32",
    "F33",
    "F34",
    "F38",
    "F43",
    "F44",
    "F45",
    "F46a",
    "F46b",
    "F46c",
    "F46d",
    "F53a",
    "F53b",
    "F54a",
    "F54b",
    "F54c",
    "F54d",
    "F54e",
    "F55a",
    "F55b",
    "F57a",
    "F57b",
    "F57c",
    "F57d",
    "F62",
    "F63a",
    "F63b",
    "F64",
    "F68a",
    "F68b",
    "F69",
    "F70",
    "F90a",
    "F90b",
    "F91a",
    "F91b",
]


def named(entries):
    """Show each entry by its id."""
    return pytest.mark.parametrize("entry", entries, ids=[entry["id"] for entry in entries])


USED_TEXT = [e for e in ENTRIES if e["outcome"] == "used" and e["files"][0].endswith(".csv")]


def test_manifest_lists_every_fixture():
    """The manifest lists exactly the fixtures of the catalogue that the loader promises to handle, each branch once."""
    assert [entry["id"] for entry in ENTRIES] == FIXTURES


def test_files_and_manifest_agree():
    """Every file of the manifest exists, and no other file lies beside them."""
    listed = {file for entry in ENTRIES for file in entry["files"]}
    assert {path.name for path in MESSY.iterdir()} == listed | {"manifest.json"}


@named(ENTRIES)
def test_entry_speaks_the_words_of_the_kit(entry):
    """Settings are fields of the declarations, and every reason is one of the kit's."""
    source = ScoreSource if entry["kind"] == "scores" else RosterSource
    settings = dict(entry["settings"])
    assert set(settings.pop("rules", {})) <= set(Rules.__slots__)
    assert set(settings) <= set(source.__slots__)
    assert {problem["why"] for problem in [*entry["problems"], *entry["set_aside"]]} <= set(REASONS)
    assert {mark["missing_reason"] for mark in entry["marks"]} <= {"", *MISSING_REASONS}
    assert entry["says"].endswith(".")


@named(ENTRIES)
def test_refused_entries_expect_one_problem_and_nothing_else(entry):
    """A refused entry states its one reason; a used one states none and expects marks, students or rows set aside."""
    refused = entry["outcome"] == "refused"
    assert len(entry["problems"]) == refused
    assert bool(entry["marks"] or entry.get("students") or entry["set_aside"]) != refused


@named(ENTRIES)
def test_expected_share_follows_from_points(entry):
    """A mark has points or a share or a reason; where points and most points are known, the share is their ratio."""
    for mark in entry["marks"]:
        assert (mark["points"] is None and mark["share"] is None) == bool(mark["missing_reason"])
        if mark["points"] is not None and mark["max_points"]:
            assert mark["share"] == pytest.approx(mark["points"] / mark["max_points"], abs=1e-12)


@named(USED_TEXT)
def test_expected_rows_add_up_to_the_file(entry):
    """Lines of a text file are all accounted for: used, set aside, or title, header, blank, total."""
    content = (MESSY / entry["files"][0]).read_bytes()
    encoding = "utf-16" if content.startswith(b"\xff\xfe") else "cp1252"
    lines = [row for row in csv.reader(io.StringIO(content.decode(encoding))) if row != ["sep=;"]]
    whole = {aside["row"] for aside in entry["set_aside"]} if _a_row_is_set_aside_whole(entry) else set()
    assert len(lines) == entry["used"] + len(whole) + sum(entry["ledger"].values())


def _a_row_is_set_aside_whole(entry):
    """Say whether the rows named in set_aside are lost as a whole, as in the long layout or for a whole-row reason."""
    row_reasons = {"test_student", "unclear_student", "same_row_twice", "second_attempt", "unknown_occasion"}
    return {aside["why"] for aside in entry["set_aside"]} <= row_reasons


def test_invented_names_only():
    """Names in the fixtures are those of the makers' invented list."""
    text = (MESSY / "F38.csv").read_text(encoding="utf-8")
    families = re.findall(r'"(\w+), \w+"', text)
    assert len(families) == 8
    assert {"Nettlebed", "Thistlewick", "Saltmarsh"} <= set(families)
