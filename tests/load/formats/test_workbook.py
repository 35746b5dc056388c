"""Workbooks: cell for cell what a general library reads, and beside the cells what that library would not say."""

import datetime as dt

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill

from kit.load.formats.bounds import UnreadableError
from kit.load.formats.formulas import UNSAVED
from kit.load.formats.workbook import read_workbook
from tests.load.parts import workbook_parts, write_parts

FORMATS = ("General", "0%", "0.00", "d/m/yyyy", "h:mm", "[h]:mm", '"d" 0', "# ??/??", "yyyy-mm-dd hh:mm", "@")
CELL = st.one_of(
    st.none(), st.booleans(), st.integers(-10**9, 10**9), st.floats(-1e6, 1e6, allow_nan=False),
    st.text(alphabet=st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"], exclude_characters="=_"), max_size=6),
    st.dates(dt.date(1995, 1, 1), dt.date(2050, 1, 1)), st.sampled_from(["#N/A", "#DIV/0!"]),
)  # fmt: skip


def one(path):
    """Read the only sheet of a workbook."""
    return read_workbook(path)[0].grid


def trimmed(rows):
    """Leave empty cells at the end of rows, and empty rows at the end, out."""
    rows = [list(row) for row in rows]
    for row in rows:
        while row and row[-1] in (None, ""):
            row.pop()
    while rows and not rows[-1]:
        rows.pop()
    return rows


@settings(max_examples=50, deadline=None)
@given(rows=st.lists(st.lists(st.tuples(CELL, st.sampled_from(FORMATS)), max_size=5), max_size=6), early=st.booleans())
def test_every_cell_is_what_a_general_library_reads(tmp_path_factory, rows, early):
    """Texts, numbers, dates, times, spans, errors, formats, both calendars: as openpyxl, a general library, reads them."""
    path = tmp_path_factory.mktemp("book") / "a.xlsx"
    book = openpyxl.Workbook()
    book.epoch = openpyxl.utils.datetime.MAC_EPOCH if early else openpyxl.utils.datetime.WINDOWS_EPOCH
    for r, row in enumerate(rows, 1):
        for c, (value, shown) in enumerate(row, 1):
            cell = book.active.cell(r, c, value)
            # a date before its calendar begins is told in another test
            cell.number_format = shown if not isinstance(value, int | float) or 0 <= value < 60_000 else "0"
    book.save(path)
    theirs = openpyxl.load_workbook(path, data_only=True).active
    ours = one(path)
    assert trimmed(ours.rows) == trimmed(theirs.iter_rows(values_only=True))
    for (r, c), shown in ours.formats.items():
        assert theirs.cell(r + 1, c + 1).number_format == shown


def test_shared_texts_with_several_fonts_and_a_reading_aid(tmp_path):
    """The pieces of a text are joined, how a word is spoken is left out, letters spelt by number become letters."""
    texts = ("<si><r><t>so</t></r><r><t> la</t></r><rPh sb='0' eb='1'><t>ignored</t></rPh></si>"
             "<si><t>a_x000D_\nb_x0041_</t></si><si><t></t></si>")  # fmt: skip
    rows = '<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c><c r="C1" t="s"><v>2</v></c></row>'
    path = write_parts(tmp_path / "a.xlsx", workbook_parts(rows, texts=texts))
    assert one(path).rows == [["so la", "a\nbA", ""]]


def test_texts_with_struck_letters_count_as_struck(tmp_path):
    """Where only some letters of a cell are struck through, a person must decide which count."""
    texts = "<si><r><rPr><strike/></rPr><t>17</t></r><r><t> 16</t></r></si><si><t>5</t></si>"
    rows = (
        '<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c>'
        '<c r="C1" t="inlineStr"><is><r><rPr><strike val="1"/></rPr><t>9</t></r></is></c>'
        '<c r="D1" t="inlineStr"><is><r><rPr><strike val="0"/></rPr><t>9</t></r></is></c></row>'
    )
    grid = one(write_parts(tmp_path / "a.xlsx", workbook_parts(rows, texts=texts)))
    assert grid.struck == {(0, 0), (0, 2)}


def test_places_that_are_not_written_out(tmp_path):
    """Programs may leave the places of rows and cells out: they follow one another."""
    rows = '<row><c><v>1</v></c><c><v>2</v></c></row><row r="4"><c r="C4"><v>3</v></c><c><v>4</v></c></row><row/>'
    grid = one(write_parts(tmp_path / "a.xlsx", workbook_parts(rows)))
    assert grid.rows == [[1, 2], [], [], [None, None, 3, 4], []]


def test_numbers_of_any_length(tmp_path):
    """A long id keeps every digit; a number beyond all bounds is shown as the error that a spreadsheet program shows."""
    rows = f'<row r="1"><c r="A1"><v>12345678901234567891</v></c><c r="B1"><v>{"9" * 400}</v></c><c r="C1"><v>nan</v></c></row>'
    assert one(write_parts(tmp_path / "a.xlsx", workbook_parts(rows))).rows == [
        [12345678901234567891, "#NUM!", "#NUM!"]
    ]  # fmt: skip


def test_formulas_with_and_without_their_value(tmp_path):
    """A formula whose last value was an empty text has a value; one without any value has none."""
    rows = (
        '<row r="1"><c r="A1"><f>1+1</f><v>2</v></c><c r="B1" t="str"><f>""</f><v></v></c><c r="C1"><f>1+1</f><v/></c>'
        '<c r="D1"><f t="shared" si="0"/></c><c r="E1" t="e"><f>1/0</f><v>#DIV/0!</v></c></row>'
    )
    grid = one(write_parts(tmp_path / "a.xlsx", workbook_parts(rows)))
    assert grid.rows == [[2, None, UNSAVED, UNSAVED, "#DIV/0!"]]
    assert grid.formulas == {(0, column) for column in range(5)}


def test_what_stands_beside_the_values(tmp_path):
    """Hidden rows and columns, merged ranges, colours, lines and comments are known by their places."""
    book = openpyxl.Workbook()
    sheet = book.active
    for row in (["ID", "Pre", "Post"], ["a1", 5, 6], ["a2", 7, 8]):
        sheet.append(row)
    sheet.merge_cells("E1:F2")
    sheet.row_dimensions[3].hidden = True
    sheet.column_dimensions["C"].hidden = True
    sheet["B2"].fill = PatternFill("solid", fgColor="FFFF00")
    sheet["C2"].fill = PatternFill("solid", fgColor="FFFFFF")
    sheet["B3"].font = Font(strike=True)
    sheet["A3"].comment = Comment("restarted", "teacher")
    book.save(tmp_path / "a.xlsx")
    grid = one(tmp_path / "a.xlsx")
    assert (grid.hidden_rows, grid.hidden_columns, grid.merged) == ({2}, {2}, [(0, 4, 1, 5)])
    assert (grid.fills, grid.struck, grid.comments) == ({(1, 1): "FFFF00"}, {(2, 1)}, {(2, 0): "restarted"})


def test_the_calendar_that_begins_in_1904(tmp_path):
    """The same number is another day, four years later, where the workbook says so."""
    styles = '<cellXfs><xf numFmtId="0"/><xf numFmtId="14"/></cellXfs>'
    rows = '<row r="1"><c r="A1" s="1"><v>40000</v></c></row>'
    days = [
        one(write_parts(tmp_path / f"{at}.xlsx", workbook_parts(rows, styles=styles, book=book))).rows[0][0]
        for at, book in enumerate(("", '<workbookPr date1904="1"/>'))
    ]
    assert days == [dt.datetime(2009, 7, 6), dt.datetime(2013, 7, 7)]


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ('<row r="2"/><row r="2"/>', "(rows out of order)"),
        ('<row r="1"><c r="B1"/><c r="A1"/></row>', "(cells out of order)"),
        ('<row r="1"><c r="B7"/></row>', "(cells out of order)"),
        ('<row r="1"><c r="1B"/></row>', "(place_of: reference must be like C14. Got '1B'.)"),
        ('<row r="1"><c r="A1" t="s"><v>9</v></c></row>', "(list index out of range)"),
        ('<row r="1"><c r="A1"><v>x</v></c></row>', "(could not convert string to float: 'x')"),
    ],
)
def test_mangled_cells(tmp_path, rows, says):
    """A sheet that contradicts itself is refused: no cell moves, none is dropped."""
    path = write_parts(tmp_path / "a.xlsx", workbook_parts(rows))
    with pytest.raises(UnreadableError) as refused:
        read_workbook(path)
    assert str(refused.value) == f"The workbook is damaged {says}. Save it again and try once more."


def test_links_out_of_the_file_are_not_followed(tmp_path):
    """A sheet that lies elsewhere, on the network or the disk, is not there."""
    for target in ('Target="http://127.0.0.1:9/s.xml" TargetMode="External"', 'Target="../../../../etc/passwd"'):
        parts = workbook_parts("")
        links = "xl/_rels/workbook.xml.rels"
        parts[links] = parts[links].replace('Target="worksheets/sheet1.xml"', target)
        with pytest.raises(UnreadableError) as refused:
            read_workbook(write_parts(tmp_path / "a.xlsx", parts))
        assert str(refused.value) == (
            "The workbook is damaged (its sheet Marks is not there). Save it again and try once more."
        )


def test_a_workbook_of_charts_only(tmp_path):
    """Sheets of charts hold no cells; a workbook of nothing else is refused."""
    parts = workbook_parts("")
    links = "xl/_rels/workbook.xml.rels"
    parts[links] = parts[links].replace('/worksheet"', '/chartsheet"')
    with pytest.raises(UnreadableError, match="it holds no sheet of cells"):
        read_workbook(write_parts(tmp_path / "a.xlsx", parts))
