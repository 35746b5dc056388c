"""Drill logs of both ways of reading: every line used or set aside, and the two ways agree."""

import csv
import io
import tracemalloc
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import StudyProblems
from kit.load.declared import Rules
from kit.load.declared_music import DrillSource, Syllables
from kit.load.drills import reading as drill_reading
from kit.load.drills.read import join_logs, read_drills
from kit.load.formats import bounds
from kit.load.formats.cells import Book, Sheet, read_book
from kit.load.ledger import changes_table, ledger_table, set_aside_table
from kit.load.people.identity import identify
from kit.load.people.keys import Crosswalk
from kit.tables import DRILLS, DTYPES

MOVABLE = Syllables(system="movable_i_up_e_down")
RULES = Rules(syllables={"all": MOVABLE})
HEADER = ("Date", "Choir", "ID", "Minutes", "Activity", "Asked", "Sung", "Right")


def written(folder, rows, name="log.csv"):
    """Write a text file."""
    lines = io.StringIO(newline="")
    csv.writer(lines).writerows(rows)
    path = Path(folder) / name
    path.write_text(lines.getvalue(), encoding="utf-8", newline="")
    return path


def read(path, source=None, rules=RULES, *, whole=False):
    """Read a log with its persons identified; as a whole instead of as a stream where asked to."""
    source = source or DrillSource(file=path.name)
    if whole:
        source = DrillSource(file=path.name, encoding="utf-8-sig-")
    log = read_drills(path, source, rules, open_book=lambda: read_book(path))
    crosswalk = Crosswalk()
    identify(log.people, rules, crosswalk)
    table = log.table()
    ids = {row.student: row.school_id or row.name for row in log.people}
    return log, table.assign(student=[ids.get(student, student) for student in table["student"]])


def never():
    """Fail where a file is opened as a whole."""
    raise AssertionError("opened as a whole")


def test_class_and_singer(tmp_path):
    """A line without a student is about the class, one with a student about that one singer."""
    rows = [HEADER, ("2025-10-06", "Larch Treble", "", 5, "echo", "", "", ""),
            ("2025-10-06", "Larch Treble", "R4KT", "", "", "do re mi", "do re fa", 0)]  # fmt: skip
    _, table = read(written(tmp_path, rows))
    assert table["unit"].tolist() == ["class", "one"]
    assert table["student"].tolist() == ["", "R4KT"]
    assert table["minutes"].tolist()[0] == 5
    assert table["sung"].tolist() == ["", "1 2 4"]
    assert table["right"].tolist() == [pd.NA, False]


def test_try_of_nobody(tmp_path):
    """A try that names nobody is set aside, unless the line says that a group sang."""
    rows = [("Date", "ID", "Unit", "Right"), ("2025-10-06", "R4KT", "", 1), ("2025-10-06", "", "", 1),
            ("2025-10-06", "", "section", 0)]  # fmt: skip
    log, table = read(written(tmp_path, rows))
    assert table["row"].tolist() == [2, 4]
    assert [problem.why for problem in log.accounts[0].aside.values()] == ["no_student"]


def test_types(tmp_path):
    """The table has the columns of the drills table in their types; texts may be categories of texts."""
    _, table = read(written(tmp_path, [HEADER, ("2025-10-06", "A", "R4KT", 5, "echo", "do", "do", 1)]))
    assert list(table.columns) == DRILLS.names
    for column in DRILLS.columns:
        if column.type != "text":
            assert str(table[column.name].dtype) == DTYPES[column.type], column.name
    assert {"", *DRILLS.columns[5].allowed} >= set(table["activity"])


def test_nothing_is_opened_as_a_whole(tmp_path):
    """Text in UTF-8 is read as a stream."""
    path = written(tmp_path, [HEADER, ("2025-10-06", "A", "R4KT", 5, "echo", "do", "do", 1)])
    log = read_drills(path, DrillSource(file="log.csv"), RULES, open_book=never)
    assert len(log.fingerprint) == 64
    assert log.fingerprint == read_book(path).fingerprint


cell = {
    "date": st.sampled_from(["2025-10-06", "13/10/25", "6/10/25", "Mon-Thu", "soon", "", "Oct 6-9"]),
    "choir": st.sampled_from(["Larch", "Fir ", ""]),
    "id": st.sampled_from(["R4KT", "B9WX", "R4KT, B9WX", ""]),
    "minutes": st.sampled_from(["5", "5 min", "0:05", "~5", "300", ""]),
    "activity": st.sampled_from(["echo", "Hand-signs", "juggling", ""]),
    "notes": st.sampled_from(["do re mi", "do, re mi", "Do  Re Mi", "so mi xx", "5 3 1", "flat", "??", "la la la la la", "",
                              "me lah", "m r d", "one fine day"]),
    "right": st.sampled_from(["1", "0", "yes", "3/5", "o", ""]),
}  # fmt: skip
line = st.one_of(
    st.tuples(*(cell[name] for name in ("date", "choir", "id", "minutes", "activity", "notes", "notes", "right"))),
    st.just(HEADER), st.just(("",) * 8), st.just(("2025-10-06", "A")), st.just(("Total", *[""] * 7)), st.just(()),
)  # fmt: skip


@settings(max_examples=50, deadline=None)
@given(st.lists(line, min_size=1, max_size=25), st.sampled_from(["", "one_each"]), st.sampled_from(["", "one_each"]))
def test_both_ways_agree(tmp_path_factory, lines, several, weekly):
    """A log read as a stream gives the table, the account and the changes of the same log read as a whole."""
    path = written(
        tmp_path_factory.mktemp("law"), [HEADER, ("2025-10-06", "Larch", "R4KT", 5, "echo", "do", "do", 1), *lines]
    )
    rules = Rules(syllables={"Larch": MOVABLE, "all": Syllables(system="numbers")}, school_year=2025)
    source = DrillSource(file="log.csv", several_students=several, weekly=weekly)
    streamed, table = read(path, source, rules)
    book = read_book(path)
    whole = read_drills(path, DrillSource(**{**_fields(source), "encoding": "utf8 "}), rules, open_book=lambda: book)
    identify(whole.people, rules, Crosswalk())
    other = whole.table()
    ids = {row.student: row.school_id for row in whole.people}
    other = other.assign(student=[ids.get(student, student) for student in other["student"]])
    pd.testing.assert_frame_equal(_plain(table), _plain(other))
    for tell in (ledger_table, set_aside_table):
        pd.testing.assert_frame_equal(tell(streamed.accounts), tell(whole.accounts))
    told = [changes_table(log.accounts).sort_values("rule", ignore_index=True) for log in (streamed, whole)]
    pd.testing.assert_frame_equal(*told)
    counts = ledger_table(streamed.accounts).iloc[0]
    assert counts["data"] == counts["used"] + counts["set_aside"]
    assert counts["used"] == table["row"].nunique()


def _fields(source):
    """Write a source as a mapping."""
    return {name: getattr(source, name) for name in source.__slots__}


def _plain(table):
    """Write categories as texts."""
    return table.astype({name: "str" for name, kind in table.dtypes.items() if kind == "category"})


def test_syllables_of_each_choir(tmp_path):
    """Two choirs with different syllables in one log are each read in their own."""
    rows = [("Date", "Choir", "ID", "Sung"), ("2025-10-06", "Larch", "R4KT", "do te"), ("2025-10-06", "Fir", "B9WX", "do te"),
            ("2025-10-06", "Fir", "B9WX", "5 3")]  # fmt: skip
    rules = Rules(syllables={"Larch": MOVABLE, "Fir": Syllables(system="movable_e_up_a_down")})
    log, table = read(written(tmp_path, rows), rules=rules)
    assert table["sung"].tolist() == ["1 b7", "1 7"]
    assert [problem.why for problem in log.accounts[0].aside.values()] == ["syllable_minority"]


def test_people_are_looked_up_once(tmp_path):
    """A person with a thousand lines is one row to be identified; what is said of them holds for every line."""
    rows = [("Date", "Name", "Right"), *[("2025-10-06", "Nettlebed, Pim", 1)] * 1000, ("2025-10-06", "Pim", 0)]
    log, table = read(written(tmp_path, rows))
    assert len(log.people) == 2
    assert len(table) == 1000
    assert [problem.why for problem in log.accounts[0].aside.values()] == ["unclear_student"]
    counted = changes_table(log.accounts).set_index("rule").times
    assert counted["name replaced by a random study id"] == 1001


def test_names_do_not_leak(tmp_path):
    """Remarks and names in the wrong column appear in no table."""
    rows = [
        ("Date", "ID", "Minutes", "Sung", "Right"),
        ("Quillfeather away", "R4KT", "Quillfeather", "Quillfeather sang flat", "Quillfeather"),
    ]
    log, table = read(written(tmp_path, rows))
    told = [table.to_string(), set_aside_table(log.accounts).to_string(), changes_table(log.accounts).to_string()]
    assert "Quillfeather" not in "".join(told)


def test_many_unread(tmp_path, monkeypatch):
    """A log with more unreadable lines than are listed is refused, not listed."""
    monkeypatch.setattr(drill_reading, "MOST_LISTED", 10)
    rows = [("Date", "ID", "Right"), *[("2025-10-06", "R4KT", "perhaps")] * 20]
    log, _ = read(written(tmp_path, rows))
    assert [str(problem) for problem in log.accounts[0].problems] == [
        "log.csv: 20 of 20 lines or cells cannot be read. See whether the headings in study.toml name the right "
        "columns, and whether syllables are declared."
    ]


def test_no_drill_log(tmp_path):
    """A file in which only persons are recognised is refused."""
    log, _ = read(written(tmp_path, [("ID", "Choir"), ("R4KT", "Larch")]))
    assert [problem.why for problem in log.accounts[0].problems] == ["wrong_columns"]
    log, _ = read(written(tmp_path, [HEADER]))
    assert [problem.why for problem in log.accounts[0].problems] == ["no_data"]


def test_too_large(tmp_path, monkeypatch):
    """A file beyond the bound is refused; so is a large one that cannot be read as a table to its end."""
    path = written(tmp_path, [HEADER, *[("2025-10-06", "A", "R4KT", 5)] * 5])
    monkeypatch.setattr(bounds, "LARGEST_FILE", 10)
    monkeypatch.setattr("kit.load.formats.fast_csv.MOST_SPLIT", 3)
    with pytest.raises(
        StudyProblems, match=r"log.csv: The text cannot be read as a table to its end \(.*\). Export it again"
    ):
        read(path)
    monkeypatch.setattr("kit.load.formats.fast_csv.LARGEST_LOG", 10)
    with pytest.raises(StudyProblems, match=r"log\.csv: The file has 0 MB\. The kit reads at most 0 MB: split it\."):
        read(path)


def test_join_logs(tmp_path):
    """Logs with different choirs are joined with both, still as categories."""
    parts = [
        read(written(tmp_path, [HEADER, ("2025-10-06", choir, "R4KT", 5, "echo", "do", "do", 1)]))[1] for choir in "AB"
    ]
    joined = join_logs([part.assign(student=pd.Categorical(part["student"])) for part in parts])
    assert joined["choir"].tolist() == ["A", "B"]
    assert isinstance(joined["choir"].dtype, pd.CategoricalDtype)
    assert list(join_logs([]).columns) == DRILLS.names


def test_two_sheets():
    """Each sheet of a workbook is a log of its own; the sheet names the choir where no column does."""
    sheets = tuple(
        Sheet("log.xlsx", name, [["Date", "Minutes"], ["2025-10-06", 5]], [1, 2]) for name in ("Larch", "Fir")
    )
    log = read_drills(
        Path("none"), DrillSource(file="log.xlsx"), RULES, open_book=lambda: Book("log.xlsx", "f" * 64, sheets)
    )
    assert log.table()["choir"].tolist() == ["Larch", "Fir"]
    assert len(log.accounts) == len(log.suggestions) == 2


@pytest.mark.slow
def test_two_hundred_thousand_tries(tmp_path):
    """A log of 200,000 tries is read whole, and Python itself keeps under 100 MB for it."""
    rng = np.random.default_rng(5)
    rows = [("2025-10-06", f"S{student:04}", "do re mi", "do re mi" if right else "do re fa", int(right))
            for student, right in zip(rng.integers(0, 900, 200_000), rng.random(200_000) < 0.7, strict=True)]  # fmt: skip
    path = written(tmp_path, [("Date", "ID", "Asked", "Sung", "Right"), *rows])
    tracemalloc.start()
    log, table = read(path)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert len(table) == 200_000
    assert not log.accounts[0].aside
    assert peak < 100 * 2**20


def test_a_log_most_of_whose_days_have_two_readings(tmp_path):
    """It is asked once which of day and month comes first; a few such lines are only set aside."""
    days = [f"{day}/10/2025" for day in range(1, 13)]
    path = written(tmp_path, [("Date", "Choir", "Minutes"), *((day, "Treble", 10) for day in days)])
    (problem,) = (
        read_drills(path, DrillSource(file=path.name), RULES, open_book=lambda: read_book(path)).accounts[0].problems
    )
    assert str(problem) == (
        "log.csv, column Date: 11 of 12 days can be read in two ways, day first or month first. "
        'Write date_order = "day_first" or date_order = "month_first" in study.toml.'
    )
    source = DrillSource(file=path.name, date_order="day_first")
    assert not read_drills(path, source, RULES, open_book=lambda: read_book(path)).accounts[0].problems
    few = written(tmp_path, [("Date", "Choir", "Minutes"), *((day, "Treble", 10) for day in days[:9])])
    assert (
        not read_drills(few, DrillSource(file=few.name), RULES, open_book=lambda: read_book(few)).accounts[0].problems
    )
