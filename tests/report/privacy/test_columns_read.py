"""Columns of tables are read from every kind of file, each under its heading."""

import io
import zipfile

import pytest
from openpyxl import Workbook

from kit.report.privacy.columns_read import columns_of
from kit.report.privacy.scan import scan_folder

IDS = ["4711", "5290", "6103", "7777"]


def workbook():
    """Write a workbook with text and numbers."""
    book = Workbook()
    book.active.append(["Student", "Points"])
    for at, one in enumerate(IDS):
        book.active.append([one if at else int(one), at])
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()


def document():
    """Write the part of a Word file that holds a table."""
    rows = "".join(f"<w:tr><w:tc><w:p><w:r><w:t>{one}</w:t></w:r></w:p></w:tc></w:tr>" for one in ("Student", *IDS))
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w") as parts:
        parts.writestr("word/document.xml", f"<w:document><w:tbl>{rows}</w:tbl></w:document>")
    return kept.getvalue()


PAGE = "<table><tr><th>Student</th></tr>" + "".join(f"<tr><td>{one}</td></tr>" for one in IDS) + "</table>"
FILES = {
    "t.csv": ("Student,Points\n" + "\n".join(f"{one},1" for one in IDS)).encode(), "t.xlsx": workbook(),
    "t.docx": document(), "t.html": PAGE.encode(), "t.tsv": ("Student\tP\n" + "\n".join(f"{i}\t1" for i in IDS)).encode(),
}  # fmt: skip


@pytest.mark.parametrize("name", list(FILES))
def test_a_column_is_read_under_its_heading(name):
    """Text and numbers alike."""
    [cells] = [
        cells for heading, cells in columns_of(FILES[name], f".{name.partition('.')[2]}") if heading == "Student"
    ]
    assert cells == IDS


@pytest.mark.parametrize(
    ("name", "content"),
    [*FILES.items(), ("a.svg", ("<svg>" + "".join(f"<!-- {one} --><path/>" for one in IDS) + "</svg>").encode()),
     ("b.html", "".join(f'<i data-at="{one}">x</i>' for one in IDS).encode()), ("c.html", b'<p title="student 4711">x</p>'),
     ("student 4711.txt", b"x"), ("d.md", b"Not heard: 4711, 5290, 6103."), ("student_4711.csv", b"a,b\n1,2")],
)  # fmt: skip
def test_short_ids_are_found_in_every_kind_of_file(tmp_path, name, content):
    """In cells, drawn words, attributes, lists and names of files."""
    (tmp_path / name).write_bytes(content)
    roster = [*IDS, *map(str, range(8100, 8160, 2))]
    assert [one.file for one in scan_folder(tmp_path, roster)] == [name]
    assert scan_folder(tmp_path, ["quill ferbrake", "1234", "1400"]) == []


def test_a_table_of_one_row_has_no_column():
    """There is nothing below its heading."""
    assert list(columns_of(b"Student,Points\n", ".csv")) == []
    assert list(columns_of(b"anything", ".pdf")) == []
