"""Where the numbers come from: labels stand for one number, and files are safe to open."""

import dataclasses
from pathlib import Path

import pandas as pd
import pytest

from kit.estimate import Estimate, Interval
from kit.glossary import GLOSSARY
from kit.report import trace

GAIN = Estimate(
    about="Treble 2", name="mean_gain", value=1.0, unit="points", n=9, source="student-1908", notes=("none",)
)


def test_one_label_stands_for_one_number():
    """The same number twice is one row; another number under its label is an error."""
    known = {}
    trace.record([GAIN, GAIN], known)
    assert list(known) == ["mean_gain/treble-2"]
    with pytest.raises(
        ValueError, match=r"^record: the label 'mean_gain/treble-2' stands for two different numbers\.$"
    ):
        trace.record([dataclasses.replace(GAIN, value=2.0)], known)
    rows = [GAIN.as_row(), GAIN.as_row()]
    assert len(trace.numbers_table(rows)) == 1
    with pytest.raises(
        ValueError, match=r"^numbers_table: the label 'mean_gain/treble-2' stands for two different numbers\.$"
    ):
        trace.numbers_table([*rows, rows[0] | {"value": 2.0}])


def test_cells_that_a_spreadsheet_would_run_are_disarmed():
    """A text cell that begins like a formula gets an apostrophe; numbers keep their minus."""
    table = pd.DataFrame({"found": ["=1+1", "+x", "@y", "-z", "fine", None], "n": [-1, 2, 3, 4, 5, 6]})
    safe = trace.escape_formulas(table)
    assert safe.found.tolist()[:5] == ["'=1+1", "'+x", "'@y", "'-z", "fine"]
    assert safe.n.tolist() == [-1, 2, 3, 4, 5, 6]


def test_the_files_beside_a_page(tmp_path):
    """Numbers, rows left out and tables are written as CSV."""
    trace.write_tables(
        tmp_path, trace.numbers_table([GAIN.as_row()]), pd.DataFrame({"row": [3]}), {"table-1": "a\n1\n"}
    )
    assert sorted(p.relative_to(tmp_path).as_posix() for p in tmp_path.rglob("*.csv")) == [
        "left_out.csv", "numbers.csv", "tables/table-1.csv",
    ]  # fmt: skip


def test_numbers_with_a_sign_stay_numbers():
    """A signed number in a printed table is not a formula; what only begins like one is."""
    cells = ["+2.4", "-3", "+10 %", "-1+1", " =1", "\t=1"]
    safe = trace.escape_formulas(pd.DataFrame({"a": cells})).a.tolist()
    assert safe == ["+2.4", "-3", "+10 %", "'-1+1", "' =1", "'\t=1"]


def test_every_statistic_leads_to_a_formula_and_a_check():
    """The trail names a module that defines the function and a reference file that exists, for every statistic."""
    root = Path(__file__).parents[2]
    every = [dataclasses.replace(GAIN, name=name) for name in GLOSSARY]
    rows = trace.trail(every)
    assert rows["Statistic"].tolist() == list(GLOSSARY)
    for row in rows.itertuples():
        module, _, definition = row.Formula.partition(", ")
        assert f"\n{definition}(" in (root / module).read_text(encoding="utf-8")
        assert (root / row.Check).is_file()


def test_formulas_are_listed_once_with_all_their_methods():
    """Two numbers of one statistic share a row; both ways to an interval are named."""
    other = dataclasses.replace(
        GAIN, about="Bass", interval=Interval(low=0, high=2, level=0.95, method="Student's t", source="student-1908")
    )
    listed = trace.formulas(trace.trail([GAIN, other]))
    assert listed.to_dict("records") == [
        {"Statistic": "mean_gain\naverage gain", "Formula and check": "kit/stats/means.py, def mean_gain\ntests/reference/mean_gain.json",
         "Intervals and texts": "no interval; Student's t\nStudent (1908)"},
    ]  # fmt: skip
