"""The stored simulation of few choirs: a cell runs again, and the ways that reports use keep what they promise."""

import importlib.util
import json
from pathlib import Path

import pytest

from kit.questions.few_choirs import simulated, simulated_districts
from kit.report.tables.plan import DISTRICTS_NOTES, FEW_CHOIRS_NOTES, districts_table, few_choirs_table

SCRIPTS = Path(__file__).parents[1] / "reference"
DRAWS = 150


def loaded(name):
    """Load a script that made a table."""
    found = importlib.util.spec_from_file_location(name, SCRIPTS / f"{name}.py")
    module = importlib.util.module_from_spec(found)
    found.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def script():
    """Load the script that made the table of few choirs."""
    return loaded("make_cluster_coverage")


@pytest.fixture(scope="module")
def districts():
    """Load the script that draws the invented district again."""
    return loaded("make_district_coverage")


def test_the_table_is_whole(script):
    """Every cell is there once, each of 2,000 draws or more; the mixed model drawn anew has those that are printed."""
    table = simulated()
    anew = table["way"] == script.ANEW
    assert tuple(table.columns) == script.COLUMNS
    assert (~anew).sum() == len(script.ARMS) * len(script.SIZES) * len(script.ALIKE) * len(script.WAYS)
    assert anew.sum() == len(script.ARMS) * len(script.SIZES) * len(script.DRAWN_ANEW)
    assert not table.duplicated(["choirs", "program", "sizes", "alike", "way"]).any()
    assert (table.loc[~anew, "draws"] >= 2_000).all()
    assert (table.loc[anew, "draws"] == table.loc[anew, "alike"].map(script.DRAWN_ANEW)).all()


def test_the_mixed_model_drawn_anew_runs_again(script):
    """Other studies of one cell, 3 of 12 choirs with the program, lie within four errors of both draws of the stored."""
    stored = simulated().query("choirs == 12 and program == 3 and sizes == 'equal' and way == @script.ANEW").iloc[0]
    [(*_, draws, _, wrong, held, found)] = script.anew(((12, 3), "equal", 0.1, DRAWS // 3, 7))
    for again, column in ((wrong, "false_positives"), (held, "covered"), (found, "found")):
        share = stored[column]
        error = (max(share * (1 - share), 0.01) * (1 / draws + 1 / stored["draws"])) ** 0.5
        assert again == pytest.approx(share, abs=4 * error), column


def test_the_mixed_model_drawn_anew_keeps_the_level(script):
    """From 6 choirs up no cell of it is wrong clearly more often than 5 %: not by three Monte Carlo errors."""
    anew = simulated().query("choirs >= 6 and way == @script.ANEW")
    assert len(anew) == 12
    assert (anew["false_positives"] < 0.05 + 3 * (0.05 * 0.95 / anew["tested"]) ** 0.5).all()


def test_a_cell_runs_again(script):
    """Other draws of one cell, 2 of 6 choirs with the program, lie within four Monte Carlo errors of what is stored."""
    chosen = "choirs == 6 and program == 2 and sizes == 'equal' and alike == 0.1"
    stored = simulated().query(chosen).set_index("way")
    for *_, way, _, _, wrong, held, found in script.cell(((6, 2), "equal", 0.1, DRAWS, 7)):
        for again, column in ((wrong, "false_positives"), (held, "covered"), (found, "found")):
            share = stored.loc[way, column]
            error = (max(share * (1 - share), 0.01) / DRAWS) ** 0.5
            assert again == pytest.approx(share, abs=4 * error), (way, column)


def test_the_ways_that_reports_use_keep_the_level():
    """From 6 choirs up choir means keep 3 to 7 % false positives and 93 to 97 % coverage; ignoring choirs never does.

    That holds with 2 of 6 and 3 of 12 choirs in the program, too. Shuffling keeps the level, and with 6 choirs never
    finds anything.
    """
    many = simulated().query("choirs >= 6")
    means = many[many["way"] == "choir means"]
    assert means["false_positives"].between(0.03, 0.07).all()
    assert means["covered"].between(0.93, 0.97).all()
    shuffled = many[many["way"] == "shuffled"]
    assert (shuffled["false_positives"] < 0.07).all()
    assert (shuffled.loc[shuffled["choirs"] == 6, "false_positives"] == 0).all()
    assert (many.loc[many["way"] == "choirs ignored", "false_positives"] > 0.1).all()


def test_the_printed_table():
    """A row for each number of choirs and kind of sizes; the notes say what the numbers are."""
    rows = few_choirs_table(simulated())
    assert len(rows) == 14
    assert rows["Choirs"].str.endswith("3 with the program").sum() == 2
    assert rows["choir means"].str.contains("% wrong\n").all()
    assert "2,000 simulated studies" in FEW_CHOIRS_NOTES[0]
    few = simulated().query("way == 'mixed, drawn anew'")["draws"].unique()
    assert [f"there are {number} studies" in FEW_CHOIRS_NOTES[0] for number in few] == [True]


def test_the_table_of_districts_is_whole(districts):
    """Every number of schools, outcome and way is there once, each of 2,000 districts; truths are those of the makers."""
    table = simulated_districts()
    assert tuple(table.columns) == districts.COLUMNS
    assert len(table) == len(districts.SCHOOLS) * len(districts.OUTCOMES) * len(districts.WAYS)
    assert not table.duplicated(["schools", "outcome", "way"]).any()
    assert (table["draws"] >= 2_000).all()
    assert set(table.loc[table["outcome"] == "rhythm", "truth"]) == {0.0}
    kept = json.loads((SCRIPTS.parents[1] / "synthetic_data" / "truth.json").read_text(encoding="utf-8"))
    percent = kept["two_larches"]["ear_minus_page"]["strong"]["W1"]["all"]["as_marked"]["value"]
    of_district = table.query("schools == 4 and outcome == 'pitch'")["truth"]
    assert of_district.to_numpy() == pytest.approx(24 * percent / 100, abs=0.02)


def test_districts_run_again(districts):
    """Other draws of two schools lie within four Monte Carlo errors of what is stored."""
    stored = simulated_districts().query("schools == 2").set_index(["outcome", "way"])
    for *_, outcome, _, way, draws, tested, found, held, mean, spread in districts.cell((2, 60, 7)):
        was = stored.loc[(outcome, way)]
        assert float(mean) == pytest.approx(was["mean"], abs=4 * float(spread) / draws**0.5), (outcome, way)
        shares = [(tested / draws, was["tested"] / was["draws"], draws), (float(found), was["positives"], tested),
                  (float(held or "nan"), was["covered"], draws)]  # fmt: skip
        for again, share, of in shares:
            error = (max(share * (1 - share), 0.01) / max(of, 1)) ** 0.5
            assert again == pytest.approx(share, abs=4 * error, nan_ok=True), (outcome, way)


def test_the_printed_table_of_districts():
    """A row for each number of choirs and outcome, with the truth; the notes say how many districts were drawn."""
    rows = districts_table(simulated_districts())
    assert len(rows) == 6
    assert rows["What"].str.contains("rhythm, .* truth 0.00 points|pitch, .* truth 1.9").all()
    assert rows["choir means"].str.contains("% found\n").all()
    assert f"{simulated_districts()['draws'].iloc[0]:,} districts" in DISTRICTS_NOTES[0]


def test_ways_that_know_of_choirs_keep_the_level_in_the_district():
    """With 12 and 24 choirs of the district each of them keeps 3 to 7 % false positives and 93 to 97 % coverage."""
    table = simulated_districts().query("choirs >= 12")
    know = table[table["way"] != "choirs ignored"]
    assert know.loc[know["outcome"] == "rhythm", "positives"].between(0.03, 0.07).all()
    assert know["covered"].dropna().between(0.93, 0.97).all()
    assert (table.loc[table["way"] == "choirs ignored", "covered"] < 0.85).all()


def test_holding_schools_apart_takes_their_differences_out():
    """Forms and numbers of choirs differ from school to school: held apart, pitch is less than 4 Monte Carlo errors off.

    Not held apart it is further off, above the truth: the schools that sing one form first have fewer choirs in the
    program. Rhythm has no forms and is right either way.
    """
    table = simulated_districts()
    off = ((table["mean"] - table["truth"]) / (table["spread"] / table["draws"] ** 0.5)).abs()
    apart = table["way"].str.endswith("schools apart")
    assert (off[apart | (table["outcome"] == "rhythm")] < 4).all()
    assert (off[~apart & (table["outcome"] == "pitch")] > 4).all()
