"""Text read as a stream gives the same cells and lines as text read as a whole."""

import csv
import io

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kit.load.codes import listed
from kit.load.formats import bounds, fast_csv, textfile
from kit.load.formats.bounds import UnreadableError
from kit.load.formats.fast_csv import NotStreamableError, last_line, open_head, stream


def written(folder, content):
    """Write a file."""
    path = folder / "log.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


def cells(streamed, column):
    """Write a column out, row by row."""
    different = listed(streamed.columns[column].cells)
    return [different[code] for code in streamed.columns[column].codes.tolist()]


def test_columns(tmp_path):
    """Each different cell is kept once, as text, zeros and all."""
    head = open_head(written(tmp_path, "id,choir\n007,A\n7,A\n007,B\n"))
    streamed = stream(head, 0, [0, 1])
    assert cells(streamed, 0) == ["007", "7", "007"]
    assert listed(streamed.columns[0].cells) == ["007", "7"]
    assert cells(streamed, 1) == ["A", "A", "B"]
    assert streamed.split == []
    assert streamed.lines is None


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_rows_that_do_not_fit(tmp_path, end, delimiter):
    """A row with more or fewer fields is told with its place and its text; blank lines are rows."""
    lines = ["title", "a,b,c", "1,2,3", "4,5", "", "6,7,8,9", "x,y,z"]
    head = open_head(written(tmp_path, end.join(lines).replace(",", delimiter)))
    streamed = stream(head, 1, range(3))
    assert cells(streamed, 0) == ["1", "", "x"]
    assert streamed.records.tolist() == [0, 2, 4]
    assert streamed.split == [(1, 2, f"4{delimiter}5"), (3, 4, delimiter.join("6789"))]


def test_line_ends_inside_fields(tmp_path):
    """A line end between quotation marks belongs to its field, also in a column that was not asked for."""
    head = open_head(written(tmp_path, 'a,"b\nc",d\n1,"2\n3",4\n5,6,7\n'))
    streamed = stream(head, 0, [0])
    assert cells(streamed, 0) == ["1", "5"]
    assert streamed.lines.tolist() == [1, 0]
    assert last_line(head.sheet, 0) == 2


field = st.text(st.sampled_from('ab,;"\n é0'), max_size=5)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(field, field, field), min_size=1, max_size=30))
def test_like_the_reader_of_whole_files(tmp_path_factory, rows):
    """Any table, quoted as needed, is the same table to the stream as to the reader that takes it in as a whole."""
    lines = io.StringIO(newline="")
    csv.writer(lines).writerows([("x1", "x2", "x3"), *rows])
    path = written(tmp_path_factory.mktemp("law"), lines.getvalue())
    whole, numbers, parted = textfile.split(lines.getvalue())
    assume(parted == "fields parted by commas")
    head = open_head(path)
    streamed = stream(head, 0, range(3))
    assert list(zip(*(cells(streamed, at) for at in range(3)), strict=True)) == [tuple(row) for row in whole[1:]]
    ends = [0] * len(rows) if streamed.lines is None else streamed.lines.tolist()
    found, line = [], last_line(head.sheet, 0) + 1
    for inside in ends:
        found.append(line)
        line += 1 + inside
    assert found == numbers[1:]


@pytest.mark.parametrize(
    "content",
    [b"PK\x03\x04rest", b"PAR1rest", b"", b"  \n", "a,b\nä,1\n".encode("cp1252"), "a,b\n1,2\n".encode("utf-16"),
     b"a,b\n1,\x002\n"],
)  # fmt: skip
def test_other_files(tmp_path, content):
    """Workbooks, other encodings, empty files and files with zero bytes go to the other reader."""
    assert open_head(written(tmp_path, content)) is None


def test_missing_and_declared(tmp_path):
    """A missing file, and one with another declared encoding, go to the other reader."""
    assert open_head(tmp_path / "none.csv") is None
    assert open_head(written(tmp_path, "a,b\n1,2\n"), "cp1252") is None


def test_byte_order_mark(tmp_path):
    """A byte-order mark is no part of the first heading."""
    head = open_head(written(tmp_path, b"\xef\xbb\xbfa,b\n1,2\n"))
    assert head.sheet.rows[0] == ["a", "b"]
    assert cells(stream(head, 0, [0]), 0) == ["1"]


def test_not_utf8_further_down(tmp_path, monkeypatch):
    """Bytes that are no UTF-8, below the top that is looked at, are found out."""
    monkeypatch.setattr(fast_csv, "_HEAD", 64)
    path = written(tmp_path, b"a,b\n" + b"1,2\n" * 100 + b"\xff\xfe,1\n")
    with pytest.raises(NotStreamableError):
        stream(open_head(path), 0, [0, 1])


def test_long_cells_and_too_many_split_rows(tmp_path, monkeypatch):
    """A cell beyond the bound, and more rows that do not fit than are listed, end the stream."""
    monkeypatch.setattr(fast_csv, "MOST_SPLIT", 3)
    with pytest.raises(NotStreamableError):
        stream(open_head(written(tmp_path, "a,b\n" + "1\n" * 5)), 0, [0])
    monkeypatch.setattr(fast_csv, "_HEAD", 64)
    path = written(tmp_path, "a,b\n" + "1,2\n" * 50 + "1," + "x" * (bounds.LONGEST_CELL + 1))
    with pytest.raises(NotStreamableError):
        stream(open_head(path), 0, [0, 1])


def test_too_large(tmp_path, monkeypatch):
    """A file beyond the bound is refused with the bound."""
    monkeypatch.setattr(fast_csv, "LARGEST_LOG", 2**20)
    with pytest.raises(UnreadableError) as refused:
        open_head(written(tmp_path, b"a,b\n" * 2**19))
    assert str(refused.value) == "The file has 2 MB. The kit reads at most 1 MB: split it."


def test_unusual_delimiter(tmp_path):
    """Fields parted by a sign that is none of the usual ones go to the other reader."""
    head = open_head(written(tmp_path, "sep=:\na:b\n1:2\n"))
    with pytest.raises(NotStreamableError):
        stream(head, 0, [0])
