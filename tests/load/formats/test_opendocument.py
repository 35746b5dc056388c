"""OpenDocument spreadsheets: values, and what stands beside them."""

import datetime as dt

import pytest

from kit.errors import StudyProblems
from kit.load.formats.cells import read_book
from kit.load.formats.formulas import UNSAVED
from kit.load.formats.opendocument import read_opendocument
from tests.load.parts import document_parts, write_parts

STYLES = (
    '<style:style style:name="gone" style:family="table"><style:table-properties table:display="false"/></style:style>'
    '<style:style style:name="line"><style:text-properties style:text-line-through-style="solid"/></style:style>'
    '<style:style style:name="no"><style:text-properties style:text-line-through-style="none"/></style:style>'
    '<style:style style:name="red"><style:table-cell-properties fo:background-color="#ff0000"/></style:style>'
)


def grid(tmp_path, rows, before=""):
    """Read a document of one table."""
    tables = f'<table:table table:name="Treble">{before}{rows}</table:table>'
    return read_opendocument(write_parts(tmp_path / "a.ods", document_parts(tables, styles=STYLES)))[0].grid


def row(*cells, **named):
    """Write a row of cells."""
    attributes = "".join(f' table:{name.replace("_", "-")}="{value}"' for name, value in named.items())
    return f"<table:table-row{attributes}>{''.join(cells)}</table:table-row>"


def cell(text="", **named):
    """Write a cell; a name of its attributes with two underscores belongs to the office names."""
    spelt = {
        ("office:" + name[2:] if name.startswith("o_") else "table:" + name): value for name, value in named.items()
    }
    attributes = "".join(f' {name.replace("_", "-")}="{value}"' for name, value in spelt.items())
    return f"<table:table-cell{attributes}>{text}</table:table-cell>"


def test_texts(tmp_path):
    """Runs of spaces, tabs, line ends and lines are kept; a cell that says nothing of its kind is text."""
    found = grid(tmp_path, row(
        cell("<text:p>so<text:s text:c='2'/>la<text:tab/>x</text:p><text:p>two</text:p>", o_value_type="string"),
        cell("<text:p>plain <text:span>run</text:span></text:p>"), cell("<text:p/>", o_value_type="string"),
    ))  # fmt: skip
    assert found.rows == [["so  la\tx\ntwo", "plain run"]]


def test_kinds_of_values(tmp_path):
    """Numbers, days, yes and no, times as shown; a number that is none, and the error of a formula, as shown."""
    found = grid(tmp_path, row(
        cell(o_value_type="float", o_value="17.5"), cell(o_value_type="date", o_date_value="2025-09-15"),
        cell(o_value_type="boolean", o_boolean_value="true"),
        cell("<text:p>0:05</text:p>", o_value_type="time", o_time_value="PT0H5M"),
        cell(o_value_type="float", o_value="INF"),
        cell("<text:p>#DIV/0!</text:p>", formula="of:=1/0", o_value_type="string"),
    ))  # fmt: skip
    assert found.rows == [[17.5, dt.datetime(2025, 9, 15), True, "0:05", "#NUM!", "#DIV/0!"]]


def test_beside_the_values(tmp_path):
    """Hidden rows and columns, merged ranges, colours, lines, comments, formulas with and without value."""
    found = grid(
        tmp_path,
        row(cell("<text:p>ID</text:p>"), cell("<text:p>Fall</text:p>", number_columns_spanned=2),
            "<table:covered-table-cell/>")
        + row(cell("<text:p>a1</text:p>", style_name="line"), cell(o_value_type="float", o_value="5", style_name="red"),
              cell(o_value_type="float", o_value="6", formula="of:=1"), visibility="filter")
        + row(cell("<office:annotation><text:p>restarted</text:p></office:annotation><text:p>a2</text:p>",
                   style_name="no"), cell(formula="of:=1")),
        before='<table:table-column table:number-columns-repeated="2"/><table:table-column table:visibility="collapse"/>',
    )  # fmt: skip
    assert found.rows == [["ID", "Fall"], ["a1", 5, 6], ["a2", UNSAVED]]
    assert (found.hidden_rows, found.hidden_columns, found.merged) == ({1}, {2}, [(0, 1, 0, 2)])
    assert (found.struck, found.fills, found.comments) == ({(1, 0)}, {(1, 1): "FF0000"}, {(2, 0): "restarted"})
    assert found.formulas == {(1, 2), (2, 1)}


def test_hidden_tables(tmp_path):
    """A table is hidden by its style."""
    tables = '<table:table table:name="old" table:style-name="gone"/><table:table table:name="new"/>'
    sheets = read_opendocument(write_parts(tmp_path / "a.ods", document_parts(tables, styles=STYLES)))
    assert [(sheet.name, sheet.hidden) for sheet in sheets] == [("old", True), ("new", False)]


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        (document_parts("") | {"META-INF/manifest.xml": "<manifest:encryption-data/>"},
         "The workbook is protected by a password. Open it, save a copy without the password, and use the copy."),
        (document_parts(""), "The workbook is damaged (it holds no sheet). Save it again and try once more."),
        (document_parts(f'<table:table>{row(cell(o_value_type="date", o_date_value="x"))}</table:table>'),
         "The workbook is damaged (Invalid isoformat string: 'x'). Save it again and try once more."),
        ({"content.xml": "<a><b></a>"}, "The workbook is damaged (in content.xml: mismatched tag: line 1, column 8). "
                                        "Save it again and try once more."),
    ],
    ids=["locked", "no table", "date", "tags"],
)  # fmt: skip
def test_documents_that_cannot_be_read(tmp_path, parts, says):
    """Locked, empty and mangled documents are refused in a sentence."""
    path = write_parts(tmp_path / "a.ods", parts)
    with pytest.raises(StudyProblems) as refused:
        read_book(path)
    assert str(refused.value) == f"a.ods: {says}"
