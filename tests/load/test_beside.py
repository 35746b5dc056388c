"""What a workbook says beside its values: counted, never read."""

import openpyxl
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill

from kit.load.declared import ScoreSource
from kit.load.files import load_files


def load(tmp_path, dress, rows=(("ID", "Pre", "Post"), ("a1", 5, 6), ("a2", 7, 8), ("a3", 9, 9))):
    """Write a workbook, dress it and load it."""
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    dress(book.active)
    book.save(tmp_path / "a.xlsx")
    return load_files(tmp_path, [ScoreSource(file="a.xlsx")])


def test_comments_reach_no_table(tmp_path):
    """The words of a comment are in no table and no change; that there is one is told."""

    def dress(sheet):
        sheet["B2"].comment = Comment("sang in Eb", "teacher")
        sheet["A9"].comment = Comment("far below", "teacher")

    loaded = load(tmp_path, dress)
    assert loaded.changes[["rule", "times"]].to_numpy().tolist() == [["comment on a cell, kept out of every output", 2]]
    for table in (loaded.scores, loaded.students, loaded.set_aside, loaded.changes, loaded.ledger):
        assert "Eb" not in table.to_csv()


def test_colours_below_the_header_are_counted(tmp_path):
    """A coloured header says nothing; coloured cells of students are counted with the place of the first."""

    def dress(sheet):
        for place in ("A1", "B3", "B4"):
            sheet[place].fill = PatternFill("solid", fgColor="FFFF00")

    loaded = load(tmp_path, dress)
    assert loaded.changes[["rule", "times", "before", "row"]].to_numpy().tolist() == [
        ["coloured cell: colours are not read", 2, "(B3 is coloured)", 3]
    ]


def test_struck_marks_and_students(tmp_path):
    """A struck mark is set aside by itself; a struck student with the whole row; a struck empty cell is empty."""

    def dress(sheet):
        for place in ("B2", "A3", "D4"):
            sheet[place].font = Font(strike=True)

    loaded = load(tmp_path, dress)
    aside = loaded.set_aside
    assert list(zip(aside.row, aside.column, aside.why, strict=True)) == [
        (2, "Pre", "cell_struck"), (3, "ID", "cell_struck")
    ]  # fmt: skip
    assert loaded.scores.points.tolist() == [6, 9, 9]
    assert loaded.problems == ()


def test_a_struck_choir_is_no_choir(tmp_path):
    """A plain cell that is struck through is set aside and read as empty; the marks of the row stay."""

    def dress(sheet):
        sheet["B2"].font = Font(strike=True)

    loaded = load(tmp_path, dress, (("ID", "Choir", "Pre", "Post"), ("a1", "Treble", 5, 6), ("a2", "Bass", 7, 8)))
    assert list(zip(loaded.set_aside.row, loaded.set_aside.column, loaded.set_aside.why, strict=True)) == [
        (2, "Choir", "cell_struck")
    ]
    assert loaded.scores.choir.tolist() == ["", "", "Bass", "Bass"]


def test_formulas_without_value_where_nobody_looks(tmp_path):
    """A column that is not used may hold formulas without values; one that is used may not."""

    def dress(sheet):
        sheet["D1"] = "Sum (own)"
        for row in (2, 3, 4):
            sheet[f"D{row}"] = f"=B{row}+C{row}"

    assert load(tmp_path, dress).problems == ()

    def dress_used(sheet):
        for row in (2, 3):
            sheet[f"C{row}"] = f"=B{row}+1"

    assert [str(problem) for problem in load(tmp_path, dress_used).problems] == [
        'a.xlsx, sheet "Sheet", row 2, column Post: Formulas without a saved value stand in C2:C3. '
        "Open the workbook in a spreadsheet program, save it, and use it then."
    ]
