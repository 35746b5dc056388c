"""Where the numbers come from: labels stand for one number, and files are safe to open."""

import dataclasses

import pandas as pd
import pytest

from kit.estimate import Estimate
from kit.report import trace

GAIN = Estimate(about="Treble 2", name="mean_gain", value=1.0, unit="points", n=9, source="student-1908", notes=("none",))


def test_one_label_stands_for_one_number():
    """The same number twice is one row; another number under its label is an error."""
    known = {}
    trace.record([GAIN, GAIN], known)
    assert list(known) == ["mean_gain/treble-2"]
    with pytest.raises(ValueError, match=r"^record: the label 'mean_gain/treble-2' stands for two different numbers\.$"):
        trace.record([dataclasses.replace(GAIN, value=2.0)], known)
    rows = [GAIN.as_row(), GAIN.as_row()]
    assert len(trace.numbers_table(rows)) == 1
    with pytest.raises(ValueError, match=r"^numbers_table: the label 'mean_gain/treble-2' stands for two different numbers\.$"):
        trace.numbers_table([*rows, rows[0] | {"value": 2.0}])


def test_cells_that_a_spreadsheet_would_run_are_disarmed():
    """A text cell that begins like a formula gets an apostrophe; numbers keep their minus."""
    table = pd.DataFrame({"found": ["=1+1", "+x", "@y", "-z", "fine", None], "n": [-1, 2, 3, 4, 5, 6]})
    safe = trace.escape_formulas(table)
    assert safe.found.tolist()[:5] == ["'=1+1", "'+x", "'@y", "'-z", "fine"]
    assert safe.n.tolist() == [-1, 2, 3, 4, 5, 6]


def test_the_files_beside_a_page(tmp_path):
    """Numbers, rows left out and tables are written as CSV."""
    trace.write_tables(tmp_path, trace.numbers_table([GAIN.as_row()]), pd.DataFrame({"row": [3]}), {"table-1": "a\n1\n"})
    assert sorted(p.relative_to(tmp_path).as_posix() for p in tmp_path.rglob("*.csv")) == [
        "left_out.csv", "numbers.csv", "tables/table-1.csv",
    ]  # fmt: skip
