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
    "F07a",
    "F07b",
    "F07c",
    "F08a",
    "F08b",
    "F09a",
    "F09b",
    "F100",
    "F101a",
    "F101b",
    "F101i",
    "F101j",
    "F102a",
    "F102b",
    "F102c",
    "F103a",
    "F103b",
    "F104a",
    "F104b",
    "F105",
    "F106a",
    "F106b",
    "F106c",
    "F106d",
    "F107",
    "F108",
    "F109",
    "F10a",
    "F10b",
    "F110",
    "F111",
    "F11a",
    "F11b",
    "F12",
    "F13",
    "F14a",
    "F14b",
    "F15",
    "F16a",
    "F16b",
    "F17",
    "F18",
    "F19",
    "F20",
    "F21a",
    "F21b",
    "F22",
    "F23",
    "F24",
    "F25a",
    "F25b",
    "F25c",
    "F25d",
    "F25e",
    "F25f",
    "F25g",
    "F26a",
    "F26b",
    "F26c",
    "F27",
    "F28",
    "F29",
    "F30",
    "F31a",
    "F31b",
    "F32",
    "F33",
    "F34",
    "F35a",
    "F35b",
    "F35c",
    "F36a",
    "F36b",
    "F36c",
    "F37",
    "F38",
    "F39",
    "F40a",
    "F40b",
    "F41",
    "F42",
    "F43",
    "F44",
    "F45",
    "F46a",
    "F46b",
    "F46c",
    "F46d",
    "F47a",
    "F47b",
    "F47c",
    "F48a",
    "F48b",
    "F48c",
    "F48d",
    "F49a",
    "F49b",
    "F50a",
    "F50b",
    "F51",
    "F52",
    "F53a",
    "F53b",
    "F54a",
    "F54b",
    "F54c",
    "F54d",
    "F54e",
    "F55a",
    "F55b",
    "F56a",
    "F56b",
    "F57a",
    "F57b",
    "F57c",
    "F57d",
    "F58a",
    "F58b",
    "F59a",
    "F59a2",
    "F59b",
    "F59b2",
    "F59c",
    "F60",
    "F61",
    "F62",
    "F63a",
    "F63b",
    "F64",
    "F65",
    "F66",
    "F67a",
    "F67b",
    "F68a",
    "F68b",
    "F69",
    "F70",
    "F71",
    "F72",
    "F73a",
    "F73b",
    "F74a",
    "F74b",
    "F74c",
    "F75a",
    "F75b",
    "F75c",
    "F75d",
    "F75e",
    "F76a",
    "F76b",
    "F77a",
    "F77b",
    "F77c",
    "F78a",
    "F78b",
    "F78c",
    "F78d",
    "F78e",
    "F79a",
    "F79b",
    "F79c",
    "F79d",
    "F80a",
    "F80b",
    "F80c",
    "F80d",
    "F80e",
    "F80f",
    "F80g",
    "F80h",
    "F80i",
    "F81",
    "F82",
    "F82b",
    "F82c",
    "F83",
    "F84",
    "F85",
    "F86a",
    "F86b",
    "F86c",
    "F87a",
    "F87b",
    "F88a",
    "F88b",
    "F89a",
    "F89b",
    "F89c",
    "F90a",
    "F90b",
    "F91a",
    "F91b",
    "F92a",
    "F92b",
    "F93a",
    "F93b",
    "F94a",
    "F94b",
    "F95a",
    "F95b",
    "F95c",
    "F95d",
    "F96a",
    "F96b",
    "F97",
    "F98a",
    "F98b",
    "F98c",
    "F99",
]


def named(entries):
    """Show each entry by its id."""
    return pytest.mark.parametrize("entry", entries, ids=[entry["id"] for entry in entries])


USED_TEXT = [e for e in ENTRIES if e["outcome"] == "used" and e["kind"] != "study" and e["files"][0].endswith(".csv")]


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
def test_refused_entries_expect_problems_and_nothing_else(entry):
    """A refused entry states why; a used one states no problem and expects marks, students, tables or rows set aside."""
    refused = entry["outcome"] == "refused"
    assert bool(entry["problems"]) == refused
    assert bool(entry["marks"] or entry.get("students") or entry.get("tables") or entry["set_aside"]) != refused


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
