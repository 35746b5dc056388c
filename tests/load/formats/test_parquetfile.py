"""Parquet tables as rows of cells."""

from datetime import date, datetime

import pyarrow as pa
import pyarrow.parquet
import pytest

from kit.load.formats import parquetfile
from kit.load.formats.bounds import UnreadableError
from kit.load.formats.parquetfile import read_parquet


def write(path, **columns):
    """Write a table."""
    pa.parquet.write_table(pa.table(columns), path)
    return path


def test_kinds_of_values(tmp_path):
    """Texts, numbers, days and moments stay what they are; what is none is empty; lists become their text."""
    path = write(
        tmp_path / "a.parquet", ID=["a1", None], Pre=[1.5, float("nan")], Most=[float("inf"), 2.0], Day=[date(2025, 9, 15)] * 2,
        When=pa.array([datetime(2025, 9, 15, 8)] * 2, pa.timestamp("us", "UTC")), Notes=[[1, 0], [1]],
    )  # fmt: skip
    day, moment = date(2025, 9, 15), datetime(2025, 9, 15, 8)
    assert read_parquet(path) == [
        ["ID", "Pre", "Most", "Day", "When", "Notes"],
        ["a1", 1.5, "inf", day, moment, "[1, 0]"],
        [None, None, 2.0, day, moment, "[1]"],
    ]


def test_one_long_text_in_many_rows(tmp_path):
    """A text of a million letters that a hundred thousand rows share is refused before any row gets its copy."""
    texts = pa.DictionaryArray.from_arrays(pa.array([0] * 100_000, pa.int32()), pa.array(["x" * 1_000_000]))
    with pytest.raises(UnreadableError) as refused:
        read_parquet(write(tmp_path / "a.parquet", ID=texts))
    assert str(refused.value) == "A cell holds more than 32,767 letters. Shorten it, or put it into a file of its own."


def test_tables_beyond_the_bounds(tmp_path, monkeypatch):
    """Rows, columns, cells and size are known before anything is read."""
    with pytest.raises(UnreadableError, match="The sheet has more than 1,048,576 rows"):
        read_parquet(write(tmp_path / "rows.parquet", Pre=pa.array([1] * 1_048_577)))
    with pytest.raises(UnreadableError, match="A row has more than 2,000 columns"):
        read_parquet(write(tmp_path / "columns.parquet", **{f"c{at}": [1] for at in range(2001)}))
    monkeypatch.setattr(parquetfile, "LARGEST_UNPACKED", 0)
    with pytest.raises(UnreadableError, match="The table unpacks to 0 MB"):
        read_parquet(write(tmp_path / "size.parquet", Pre=[1, 2]))


def test_a_damaged_table(tmp_path):
    """A table cut off in the middle is refused."""
    path = write(tmp_path / "a.parquet", Pre=list(range(1000)))
    path.write_bytes(path.read_bytes()[:200])
    with pytest.raises(UnreadableError, match="The table cannot be opened"):
        read_parquet(path)
