"""Hostile files: each ends in a sentence that tells the bound, soon and in little memory."""

import time
import zipfile

import pytest

from kit.errors import StudyProblems
from kit.load.formats import bounds
from kit.load.formats.cells import read_book
from tests.load.parts import document_parts, workbook_parts, write_parts

ROW = '<row r="1"><c r="A1"><v>1</v></c></row>'
DTD = '<!DOCTYPE l [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
CELL = '<table:table-cell office:value-type="float" office:value="1" table:number-columns-repeated="{}"/>'


def sentence(path):
    """Open a file that is refused; give the sentence, and hold that it took less than ten seconds."""
    begin = time.monotonic()
    with pytest.raises(StudyProblems) as refused:
        read_book(path)
    assert time.monotonic() - begin < 10
    return str(refused.value).removeprefix(f"{path.name}: ")


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        (workbook_parts('<row r="1048577"/>'), "The sheet has more than 1,048,576 rows. Split it."),
        (
            workbook_parts('<row r="1"><c r="XFD1"/></row>'),
            "A row has more than 2,000 columns. Delete the columns that are not needed.",
        ),
        (
            workbook_parts(f'<row r="1"><c r="A1" t="str"><v>{"x" * 100_000}</v></c></row>'),
            "Cell A1 holds more than 32,767 letters. Shorten it, or put it into a file of its own.",
        ),
        (
            workbook_parts(ROW, texts=f"<si><t>{'x' * 100_000}</t></si>"),
            "A cell holds more than 32,767 letters. Shorten it, or put it into a file of its own.",
        ),
        (
            workbook_parts(ROW, before='<cols><col min="1" max="16384" hidden="1"/></cols>' * 3000),
            "The file has more than 5,000,000 cells. Split it, or delete what is not needed.",
        ),
        (
            workbook_parts(ROW, after='<mergeCells><mergeCell ref="A1:XFD9"/></mergeCells>' * 50_001),
            "The sheet has more than 50,000 merged ranges. Take the merging away.",
        ),
        (
            workbook_parts("<a>" * 200_000 + "</a>" * 200_000),
            "The workbook is damaged (nested more than 100 deep). Save it again and try once more.",
        ),
        (
            workbook_parts(ROW) | {"xl/styles.xml": f"{DTD}<styleSheet>&b;</styleSheet>"},
            "The workbook is damaged (it declares entities of its own, which no spreadsheet program does). "
            "Save it again and try once more.",
        ),
        (
            document_parts(f'<table:table><table:table-row table:number-rows-repeated="1000000">'
                           f"{CELL.format(1000)}</table:table-row></table:table>"),
            "The file has more than 5,000,000 cells. Split it, or delete what is not needed.",
        ),
        (
            document_parts(f"<table:table><table:table-row>{CELL.format(10**7)}</table:table-row></table:table>"),
            "A row has more than 2,000 columns. Delete the columns that are not needed.",
        ),
        (
            document_parts('<table:table><table:table-row><table:table-cell><text:p><text:s text:c="999999999"/></text:p>'
                           "</table:table-cell></table:table-row></table:table>"),
            "Cell A1 holds more than 32,767 letters. Shorten it, or put it into a file of its own.",
        ),
        (
            {"content.xml": f"{DTD}<office>&b;</office>"},
            "The workbook is damaged (it declares entities of its own, which no spreadsheet program does). "
            "Save it again and try once more.",
        ),
    ],
    ids=["rows", "columns", "letters", "shared letters", "hidden columns", "merged", "nested", "entities",
         "repeated rows", "repeated columns", "spaces", "entities of a document"],
)  # fmt: skip
def test_workbooks_beyond_the_bounds(tmp_path, parts, says):
    """Far cells, long cells, repeated cells, deep and declaring XML are refused with the bound."""
    assert sentence(write_parts(tmp_path / "a.xlsx", parts)) == says


def test_entities_in_another_alphabet(tmp_path):
    """A declaration written in UTF-16 is one as well."""
    part = f'<?xml version="1.0" encoding="UTF-16"?>{DTD}<styleSheet/>'.encode("utf-16")
    path = write_parts(tmp_path / "a.xlsx", workbook_parts(ROW) | {"xl/styles.xml": part})
    assert "it declares entities of its own" in sentence(path)


@pytest.mark.parametrize(("name", "bound", "says"), [
    ("LARGEST_UNPACKED", 2**20, "The workbook unpacks to more than 1 MB. That is the most the kit reads: split it."),
    ("FREE_OF_RATIO", 2**20, "A part of the workbook unpacks to more than 200 times its size. "
                             "No workbook of marks does: save it again from the spreadsheet program."),
    ("MOST_TAGS", 1000, "The workbook has more than 1,000 tags. Split it, or delete what you can."),
    ("MOST_PARTS", 3, "The workbook holds 7 files. The kit opens at most 3: save it again."),
    ("MOST_SHEETS", 0, "The workbook has 1 sheets. The kit reads at most 0: split it."),
])  # fmt: skip
def test_what_unpacks_to_too_much(tmp_path, monkeypatch, name, bound, says):
    """What comes out of an archive is counted while it comes out, whatever the archive says of itself."""
    monkeypatch.setattr(bounds, name, bound)
    rows = " " * 3 * 2**20 if name != "MOST_TAGS" else "<a/>" * 1000
    assert sentence(write_parts(tmp_path / "a.xlsx", workbook_parts(ROW + rows))) == says


def test_an_archive_that_lies_about_a_size(tmp_path):
    """A part that says it is small gives no more than it says, and is then seen to be mangled."""
    path = write_parts(tmp_path / "a.xlsx", workbook_parts(ROW + " " * 2**22))
    with zipfile.ZipFile(path) as archive:
        size = archive.getinfo("xl/worksheets/sheet1.xml").file_size
    path.write_bytes(path.read_bytes().replace(size.to_bytes(4, "little"), (100).to_bytes(4, "little")))
    assert sentence(path).startswith("The workbook is damaged")


@pytest.mark.parametrize(("content", "says"), [
    (b"ID,Pre\n" + b"1," * 1_000_000, "A row has more than 2,000 columns. Delete the columns that are not needed."),
    (b"ID,Pre\n" + b"a1,5\n" * 2000 + b"a2,\0\n",
     "Line 2002 holds a sign that is no letter (number 0). "
     "The file is damaged: export it again from the spreadsheet program."),
    (b"ID,Pre\na1," + b"9" * 100_000,
     "A field on line 2 holds more than 32,767 letters. Shorten it, or put it into a file of its own."),
    (b'ID,Pre\na1,"' + b"9\n" * 1_000_000,
     "A field on line 2 holds more than 32,767 letters. Shorten it, or put it into a file of its own."),
    (b'ID,Pre\na1,5\na2,"5\na3,6\n', "A quotation mark that is opened on line 3 is never closed. Close it, or take it away."),
    (b"<html><table><tr><td>ID</td></tr></table></html>", "This is a web page, whatever its name says. "
     "Save it as .xlsx, .ods, .csv, .tsv or .parquet and try again."),
], ids=["columns", "zeros", "letters", "open quote", "short open quote", "page"])  # fmt: skip
def test_text_beyond_the_bounds(tmp_path, content, says):
    """A million columns, signs of number 0, a cell without end, a quotation mark without its partner."""
    path = tmp_path / "a.csv"
    path.write_bytes(content)
    assert sentence(path) == says


def test_text_of_many_rows(tmp_path, monkeypatch):
    """Rows and cells of a text file are counted while they are read."""
    path = tmp_path / "a.csv"
    path.write_bytes(b"ID,Pre\n" + b"a1,5\n" * 1000)
    monkeypatch.setattr(bounds, "MOST_ROWS", 1000)
    assert sentence(path) == "The sheet has more than 1,000 rows. Split it."
    monkeypatch.undo()
    assert len(read_book(path).sheets[0].rows) == 1001
