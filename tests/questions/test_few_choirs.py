"""The stored simulation of few choirs: a cell runs again, and the ways that reports use keep what they promise."""

import importlib.util
from pathlib import Path

import pytest

from kit.questions.few_choirs import simulated
from kit.report.plan_tables import FEW_CHOIRS_NOTES, few_choirs_table

SCRIPT = Path(__file__).parents[1] / "reference" / "make_cluster_coverage.py"
DRAWS = 150


@pytest.fixture(scope="module")
def script():
    """Load the script that made the table."""
    found = importlib.util.spec_from_file_location("make_cluster_coverage", SCRIPT)
    module = importlib.util.module_from_spec(found)
    found.loader.exec_module(module)
    return module


def test_the_table_is_whole(script):
    """Every cell is there once, each of 2,000 draws or more."""
    table = simulated()
    assert tuple(table.columns) == script.COLUMNS
    assert len(table) == len(script.CHOIRS) * len(script.SIZES) * len(script.ALIKE) * len(script.WAYS)
    assert not table.duplicated(["choirs", "sizes", "alike", "way"]).any()
    assert (table["draws"] >= 2_000).all()


def test_a_cell_runs_again(script):
    """Other draws of one cell lie within four Monte Carlo errors of what is stored."""
    stored = simulated().query("choirs == 6 and sizes == 'equal' and alike == 0.1").set_index("way")
    for _, _, _, way, _, _, wrong, held, found in script.cell((6, "equal", 0.1, DRAWS, 7)):
        for again, column in ((wrong, "false_positives"), (held, "covered"), (found, "found")):
            share = stored.loc[way, column]
            error = (max(share * (1 - share), 0.01) / DRAWS) ** 0.5
            assert again == pytest.approx(share, abs=4 * error), (way, column)


def test_the_ways_that_reports_use_keep_the_level():
    """From 6 choirs up choir means keep 3 to 7 % false positives and 93 to 97 % coverage; ignoring choirs never does."""
    many = simulated().query("choirs >= 6")
    means = many[many["way"] == "choir means"]
    assert means["false_positives"].between(0.03, 0.07).all()
    assert means["covered"].between(0.93, 0.97).all()
    assert (many.loc[many["way"] == "choirs ignored", "false_positives"] > 0.1).all()


def test_the_printed_table():
    """A row for each number of choirs and kind of sizes; the notes say what the numbers are."""
    rows = few_choirs_table(simulated())
    assert len(rows) == 10
    assert rows["choir means"].str.contains("% wrong, ").all()
    assert "2,000 simulated studies" in FEW_CHOIRS_NOTES[0]
