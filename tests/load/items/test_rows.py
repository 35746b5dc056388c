"""Rows of single notes: what is refused for the whole sheet, and how raters are named."""

from kit.load.columns import plain
from kit.load.declared_music import ItemSource
from kit.load.formats.cells import Sheet
from kit.load.items.key import ItemKey
from kit.load.items.marks import MarkReader
from kit.load.items.rows import ItemSheet, cells_of_marks, refuse_spoiled
from kit.load.layout import Header
from kit.load.ledger import Account
from kit.load.sheets import Row, SheetRead
from kit.load.suggest import Suggestion

FIELDS = ("occasion", "form", "rater", "melody", "item", "right", "second_rater", "syllable_right", "sung", "string")


def sheet_of(rows: list[list], **declared) -> tuple[ItemSheet, list[Row]]:
    """Make the reader of a sheet without a key, and its rows."""
    headings = tuple(rows[0])
    header = Header(0, headings, {plain(heading): at for at, heading in enumerate(headings)}, ())
    account = Account(Sheet("f.csv", "", rows, list(range(1, len(rows) + 1))))
    read = SheetRead(account, header, Suggestion(ItemSource(file="f.csv", **declared), ()))
    data = [
        Row(account, index, f"S{index}", "", "",
            {field: read.cell(index, getattr(read.source, field)) for field in FIELDS})
        for index in range(1, len(rows))
    ]  # fmt: skip
    return ItemSheet(read, ItemKey({}), MarkReader.of(cells_of_marks(read, data), {})), data


def marks(sheet: ItemSheet, rows: list[Row]) -> list[list]:
    """Read the rows and list their marks."""
    return [[(mark.tags.item, mark.right) for mark in sheet.read_row(row)] for row in rows]


def test_rows_without_a_key():
    """Without a key the columns or the declared count say how many notes there are."""
    sheet, rows = sheet_of([["n1", "n2"], [1, 0], ["", 1]], items=("n1", "n2"))
    assert marks(sheet, rows) == [[(1, True), (2, False)], [(1, None), (2, True)]]
    sheet, rows = sheet_of([["S"], ["101"], ["11"]], string="S", item_count=3)
    assert marks(sheet, rows) == [[(1, True), (2, False), (3, True)], []]


def test_spoiled_strings_are_gathered():
    """All strings that a spreadsheet program shortened are told in one problem for each way of spoiling."""
    sheet, rows = sheet_of([["S"], ["11"], [1.0e20], ["1"], ["011"]], string="S", item_count=3)
    marks(sheet, rows)
    refuse_spoiled(sheet)
    assert [(problem.why, problem.row) for problem in sheet.read.account.problems] == [
        ("zeros_eaten", 2), ("digits_lost", 3)
    ]  # fmt: skip
    assert "(rows 2, 4)" in sheet.read.account.problems[0].found


def test_names_of_raters():
    """Declared names count; of two undeclared raters each is named by the heading of his column."""
    declared = {"item": "N", "right": "R", "second_rater": "B"}
    rows = [["N", "R", "B"], [1, 1, 1]]
    assert sheet_of(rows, **declared)[0].raters() == ("R", "B")
    assert sheet_of(rows, **declared, rater_is="JM", second_rater_is="KB")[0].raters() == ("JM", "KB")
    assert sheet_of(rows, item="N", right="R", rater_is="JM")[0].raters() == ("JM", "")
    assert sheet_of(rows, **declared, rater="N")[0].raters() == ("", "B")


def test_one_fault_of_a_row_and_all_faults():
    """One faulty mark is set aside by itself; where nothing is left, the row is."""
    sheet, rows = sheet_of([["n1", "n2"], ["x", 1], ["x", "/"]], items=("n1", "n2"))
    assert marks(sheet, rows) == [[(2, True)], []]
    account = sheet.read.account
    assert [problem.column for problem in account.cells_aside] == ["n1", "n2"]
    assert list(account.aside) == [2]
