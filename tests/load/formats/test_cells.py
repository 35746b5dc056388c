"""Opening files: whatever is no spreadsheet is refused in a sentence."""

import zipfile
from pathlib import Path

import openpyxl
import pytest
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.text import P

from kit.errors import StudyProblems
from kit.load.declared import ScoreSource
from kit.load.files import load_files
from kit.load.formats import bounds
from kit.load.formats.cells import read_book
from kit.load.formats.formulas import UNSAVED


def refusal(path: Path) -> str:
    """Open a file that is refused and give the sentence."""
    with pytest.raises(StudyProblems) as refused:
        read_book(path)
    return str(refused.value)


def test_a_missing_file(tmp_path):
    """A file that is not there is named."""
    assert refusal(tmp_path / "fall.xlsx") == "fall.xlsx: The file is not there. Check its name and folder."


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "x.xlsx: The file is empty. Export it again from the spreadsheet program."),
        (b" \n ", "x.xlsx: The file is empty. Export it again from the spreadsheet program."),
        (b"%PDF-1.7", "x.xlsx: This is no spreadsheet (perhaps a photo, a PDF or an archive). "
                      "Save it as .xlsx, .ods, .csv, .tsv or .parquet and try again."),
        (b"PK\x03\x04 cut off", "x.xlsx: The workbook is damaged. Save it again and try once more."),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "x.xlsx: This is a workbook of the old binary kind. "
                      "Save it as .xlsx, .ods, .csv, .tsv or .parquet and try again."),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le"),
         "x.xlsx: The workbook is protected by a password. Open it, save a copy without the password, and use the copy."),
    ],
)  # fmt: skip
def test_what_cannot_be_opened(tmp_path, content, sentence):
    """The content decides, not the ending of the name; each refusal says what to do."""
    path = tmp_path / "x.xlsx"
    path.write_bytes(content)
    assert refusal(path) == sentence


def test_an_archive_that_is_no_workbook(tmp_path):
    """A zip of photos is not a workbook."""
    path = tmp_path / "photos.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("a.txt", "a")
    assert refusal(path) == (
        "photos.zip: This is a zip archive, not a workbook. Save it as .xlsx, .ods, .csv, .tsv or .parquet and try again."
    )


def test_a_file_larger_than_the_kit_opens(tmp_path, monkeypatch):
    """A file over the bound is not even read, and the bound is told."""
    monkeypatch.setattr(bounds, "LARGEST_FILE", 2**20)
    path = tmp_path / "a.csv"
    path.write_bytes(b"1" * 3 * 2**20)
    assert refusal(path) == "a.csv: The file has 3 MB; the kit opens at most 1 MB. Split it."


def test_number_formats_and_hidden_sheets_are_kept(tmp_path):
    """How a number is shown, and whether a sheet is hidden, is known after reading."""
    book = openpyxl.Workbook()
    book.active.append([0.85, 17])
    book.active["A1"].number_format = "0%"
    book.create_sheet("old").sheet_state = "hidden"
    book.save(tmp_path / "a.xlsx")
    first, second = read_book(tmp_path / "a.xlsx").sheets
    assert first.formats == {(0, 0): "0%"}
    assert (first.hidden, second.hidden) == (False, True)


def test_open_document(tmp_path):
    """An .ods is read with its percentages, repeated cells and dates; empty tails are left out."""
    content = (
        '<?xml version="1.0"?><office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
        'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
        'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body><office:spreadsheet>'
        '<table:table table:name="Treble"><table:table-row><table:table-cell office:value-type="string"><text:p>ID</text:p>'
        '</table:table-cell><table:table-cell office:value-type="string" table:number-columns-repeated="2"><text:p>x</text:p>'
        '</table:table-cell><table:table-cell table:number-columns-repeated="1000"/></table:table-row>'
        '<table:table-row table:number-rows-repeated="2"><table:table-cell office:value-type="float" office:value="7"/>'
        '<table:table-cell office:value-type="percentage" office:value="0.85"/></table:table-row>'
        '<table:table-row table:number-rows-repeated="1000000"><table:table-cell/></table:table-row>'
        "</table:table></office:spreadsheet></office:body></office:document-content>"
    )
    with zipfile.ZipFile(tmp_path / "a.ods", "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", content)
    sheet = read_book(tmp_path / "a.ods").sheets[0]
    assert (sheet.name, sheet.rows) == ("Treble", [["ID", "x", "x"], [7, 0.85], [7, 0.85]])
    assert sheet.formats == {(1, 1): "0%", (2, 1): "0%"}


def test_an_ods_written_by_a_general_library_reads_alike(tmp_path):
    """A document that odfpy, a general OpenDocument library, wrote is read cell for cell."""
    document = OpenDocumentSpreadsheet()
    table = Table(name="Scores")
    for row in (["ID", "Pre"], ["a1", 12]):
        line = TableRow()
        for value in row:
            number = isinstance(value, int)
            cell = TableCell(valuetype="float", value=value) if number else TableCell(valuetype="string")
            cell.addElement(P(text=str(value)))
            line.addElement(cell)
        table.addElement(line)
    document.spreadsheet.addElement(table)
    document.save(str(tmp_path / "b.ods"))
    assert read_book(tmp_path / "b.ods").sheets[0].rows == [["ID", "Pre"], ["a1", 12]]


def test_a_formula_saved_without_its_value_is_not_an_empty_cell(tmp_path):
    """A workbook written by a program has formulas without values; each is named, none becomes a missing mark."""
    book = openpyxl.Workbook()
    for row in (["ID", "Pre", "Post"], ["a1", 5, "=B2+1"], ["a2", "=SUM(1,2)", 4], ["a3", 6, None]):
        book.active.append(row)
    book.save(tmp_path / "a.xlsx")
    assert read_book(tmp_path / "a.xlsx").sheets[0].rows[1:] == [
        ["a1", 5, UNSAVED], ["a2", UNSAVED, 4], ["a3", 6]
    ]  # fmt: skip
    loaded = load_files(tmp_path, [ScoreSource(file="a.xlsx")])
    assert [str(problem) for problem in loaded.problems] == [
        'a.xlsx, sheet "Sheet", row 3, column Pre: Formulas without a saved value stand in B3, C2. '
        "Open the workbook in a spreadsheet program, save it, and use it then."
    ]


def test_a_wrong_statement_of_its_size_cuts_nothing_off(tmp_path):
    """Some programs write that a sheet is one cell large; every cell is read all the same."""
    book = openpyxl.Workbook()
    for row in (["ID", "Pre", "Post"], ["a1", 5, 7]):
        book.active.append(row)
    book.save(tmp_path / "right.xlsx")
    with zipfile.ZipFile(tmp_path / "right.xlsx") as right, zipfile.ZipFile(tmp_path / "wrong.xlsx", "w") as wrong:
        for name in right.namelist():
            wrong.writestr(name, right.read(name).replace(b'<dimension ref="A1:C2"', b'<dimension ref="A1:A1"'))
    assert read_book(tmp_path / "wrong.xlsx").sheets[0].rows == [["ID", "Pre", "Post"], ["a1", 5, 7]]


def test_gaps_between_cells(tmp_path):
    """Cells that are not in the file at all are empty cells, before, between and below others."""
    book = openpyxl.Workbook()
    book.active["B2"], book.active["D2"], book.active["B5"] = "ID", "Pre", "a1"
    book.save(tmp_path / "a.xlsx")
    assert read_book(tmp_path / "a.xlsx").sheets[0].rows == [
        [], [None, "ID", None, "Pre"], [], [], [None, "a1"]
    ]  # fmt: skip
