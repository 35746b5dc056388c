"""Every fault put into the district's files is met, what stood there is recovered, and nothing else is set aside."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

FOLDER = Path(__file__).parents[2] / "synthetic_data" / "two_larches"
FAULTS = json.loads((FOLDER / "faults.json").read_text(encoding="utf-8"))
SECOND_CHOIRS = 14
"""Rows of members of two choirs in the second of them: no fault, and still set aside."""


def place(fault):
    """Say where a fault is, as the set_aside table does."""
    column = "" if fault["outcome"] == "row aside" and not fault["column"] else fault["column"]
    return fault["file"], fault["sheet"], fault["row"], column, fault["why"]


def test_exactly_the_listed_rows_and_cells_are_set_aside(study):
    """What is set aside is the listed faults and the second rows of members of two choirs, nothing else."""
    aside = study.loaded.set_aside
    second = aside["why"] == "second_choir"
    assert second.sum() == SECOND_CHOIRS
    found = sorted(
        (row.file, row.sheet, int(row.row), row.column, row.why) for row in aside[~second].itertuples(index=False)
    )
    assert found == sorted(place(fault) for fault in FAULTS if fault["outcome"] in ("row aside", "cell aside"))


MARKS = [fault for fault in FAULTS if fault["fixture"] in ("F22", "F53", "F55", "F57") and fault["outcome"] == "read"]


@pytest.mark.parametrize("fault", MARKS, ids=lambda fault: f"{fault['fixture']}-{fault['sheet']}-{fault['row']}")
def test_the_mark_that_stood_there_is_read(study, fault):
    """A mark written another way is read as the points it was."""
    scores = study.scores
    there = scores[(scores["file"] == fault["file"]) & (scores["sheet"] == fault["sheet"])]
    there = there[(there["row"] == fault["row"]) & there["column"].str.endswith(fault["column"])]
    assert there["points"].iloc[0] == pytest.approx(fault["was"], abs=1e-9)


def test_lost_ids_are_found(study):
    """Students whose id lost its zeros or its cell are still themselves: nobody is new and nobody is missing."""
    assert len(study.students) == 340
    assert set(study.scores["student"]) <= set(study.students["student"])


def test_kinds_of_faults():
    """The district holds the faults that the demonstration promises."""
    assert {fault["fixture"] for fault in FAULTS} == {
        "F04", "F07", "F09", "F10", "F15", "F16", "F18", "F22", "F31", "F34", "F45", "F46", "F48", "F53", "F55", "F57",
        "F63", "F70", "F83", "F86", "F91", "F93", "F94", "F96", "F98", "F99", "F101", "F102",
    }  # fmt: skip
