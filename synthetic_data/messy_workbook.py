"""Messy fixtures about workbooks: headers of several rows, what is hidden, struck, coloured or noted (F10 to F85)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from messy_files import IDS, Messy, sheet
from messy_layout import HEADINGS, PLAIN
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill
from openpyxl.worksheet.worksheet import Worksheet
from workbook import text_table, workbook

MEASURES = ("pitch", "rhythm", "pitch", "rhythm")
OCCASIONS = ("pre", "pre", "post", "post")
FOUR = ((11, 8, 14, 9), (7, 7, 12, 10), (15, 12, 15, 13), (9, 6, 13, 6), (12, 11, 11, 12))
"""Marks of five students: pitch and rhythm before, pitch and rhythm after."""


def workbook_fixtures() -> Messy:
    """Make the fixtures about what only a workbook has."""
    made = Messy()
    for part in (_merged, _three_rows, _hidden_sheet, _hidden_column, _hidden_rows, _sections, _side_by_side, _formulas,
                 _errors, _colours, _comments, _struck):  # fmt: skip
        part(made)
    return made


def scores(rows: Sequence[tuple], occasions: Sequence[str] = ("pre", "post"), measures: Sequence[str] = ()) -> list:
    """List the rows of the scores table for students in the order of IDS; None is a mark that is not there."""
    return [
        {"student": student, "occasion": occasion, "measure": measure, "points": float(points)}
        for student, row in zip(IDS, rows, strict=False)
        for occasion, measure, points in zip(occasions, measures or ["total"] * len(row), row, strict=True)
        if points is not None
    ]


def _people(rows: Sequence[Sequence]) -> list[list]:
    """Put ids before rows."""
    return [[student, *row] for student, row in zip(IDS, rows, strict=False)]


def _merged(made: Messy) -> None:
    """F10: Fall and Spring each over Pitch and Rhythm."""
    top, low = ["ID", "Fall", None, "Spring", None], [None, "Pitch", "Rhythm", "Pitch", "Rhythm"]
    made.files["F10.xlsx"] = workbook({"Marks": [top, low, *_people(FOUR)]}, dress=_merge("A1:A2", "B1:C1", "D1:E1"))
    made.study(
        "F10a", "A heading merged over two columns counts for both of them, and for no other.",
        sources={"scores": [{"file": "F10.xlsx"}]}, used=5, tables={"scores": scores(FOUR, OCCASIONS, MEASURES)},
        changes=[("heading joined from several rows", 4)], header=2,
    )  # fmt: skip
    made.files["F10.csv"] = text_table([top, low, *_people(FOUR)])
    made.refused(
        "F10b", "F10.csv", "Text has no merged cells: how far a heading reaches is not guessed.",
        why="merged_header", row=2,
    )  # fmt: skip


def _merge(*ranges: str):  # noqa: ANN202 - a function that dresses a sheet
    """Make the function that merges ranges of a sheet."""

    def dress(worksheet: Worksheet) -> None:
        for cells in ranges:
            worksheet.merge_cells(cells)

    return dress


def _three_rows(made: Messy) -> None:
    """F11: a row of days between the tests and their parts."""
    rows = [
        [None, "Fall", None, "Spring", None],
        [None, datetime(2025, 9, 15), None, datetime(2026, 2, 9), None],
        ["ID", "Pitch 1", "Rhythm 1", "Pitch 2", "Rhythm 2"],
        *_people(FOUR),
    ]
    made.files["F11.xlsx"] = workbook({"Marks": rows}, dress=_merge("B1:C1", "D1:E1", "B2:C2", "D2:E2"))
    made.refused(
        "F11a", "F11.xlsx", "A header of three rows is refused, listing what was read.", why="merged_header", row=1
    )
    columns = [
        {"column": heading, "occasion": occasion, "measure": measure}
        for heading, occasion, measure in zip(rows[2][1:], OCCASIONS, MEASURES, strict=True)
    ]
    made.study(
        "F11b", "Once the columns are declared by their lowest headings, the rows above are title lines.",
        sources={"scores": [{"file": "F11.xlsx", "student": "ID", "marks": columns}]}, used=5, title=2,
        tables={"scores": scores(FOUR, OCCASIONS, MEASURES)},
    )  # fmt: skip


def _hidden_sheet(made: Messy) -> None:
    """F15: a hidden sheet with last year's marks."""
    old = sheet(HEADINGS, [(1, 2), (3, 4), (5, 6)])

    def dress(worksheet: Worksheet) -> None:
        worksheet.sheet_state = "hidden" if worksheet.title.startswith("old") else "visible"

    made.files["F15.xlsx"] = workbook({"Marks": sheet(HEADINGS, PLAIN), "old (do not use)": old}, dress=dress)
    made.study(
        "F15", "A hidden sheet is set aside row by row, never merged in.", sources={"scores": [{"file": "F15.xlsx"}]},
        used=8, tables={"scores": scores(PLAIN)}, set_aside=[(row, "", "sheet_hidden") for row in range(1, 5)],
    )  # fmt: skip


def _hidden_column(made: Messy) -> None:
    """F16: a hidden column with an older mark."""
    rows = [["ID", "Pre", "Old post", "Post"], *_people([(pre, 2, post) for pre, post in PLAIN])]

    def dress(worksheet: Worksheet) -> None:
        worksheet.column_dimensions["C"].hidden = True

    made.files["F16.xlsx"] = workbook({"Marks": rows}, dress=dress)
    made.study(
        "F16a", "A hidden column is left out and named.", sources={"scores": [{"file": "F16.xlsx"}]}, used=8,
        tables={"scores": scores(PLAIN)}, changes=[("column is hidden in the workbook, left out", 8)],
    )  # fmt: skip
    columns = [{"column": "Pre", "occasion": "pre"}, {"column": "Old post", "occasion": "post"}]
    made.study(
        "F16b", "Once the study file names it, a hidden column is read.",
        sources={"scores": [{"file": "F16.xlsx", "student": "ID", "marks": columns}]}, used=8,
        tables={"scores": scores([(pre, 2) for pre, _ in PLAIN])},
    )  # fmt: skip


def _hidden_rows(made: Messy) -> None:
    """F17: two rows that a filter hides."""

    def dress(worksheet: Worksheet) -> None:
        for row in (3, 6):
            worksheet.row_dimensions[row].hidden = True

    made.files["F17.xlsx"] = workbook({"Marks": sheet(HEADINGS, PLAIN)}, dress=dress)
    made.study(
        "F17", "Rows that a filter hides are read like the others, and counted.",
        sources={"scores": [{"file": "F17.xlsx"}]}, used=8, tables={"scores": scores(PLAIN)},
        changes=[("row is hidden in the workbook, read all the same", 2)],
    )  # fmt: skip


def _sections(made: Messy) -> None:
    """F19: titles of voices between the students, and an average below each voice."""
    people = _people(PLAIN)
    rows = [HEADINGS, ["Soprano", None, None], *people[:4], ["Soprano average", 10.5, 13.5], ["Alto 1", None, None],
            *people[4:], ["Alto mean", 8.5, 10.5], ["Subtotal", 76, 96]]  # fmt: skip
    made.files["F19.csv"] = text_table(rows)
    made.study(
        "F19", "Titles of sections and their averages are no students.", sources={"scores": [{"file": "F19.csv"}]},
        used=8, tables={"scores": scores(PLAIN)}, changes=[("title of a section, counted with the totals", 2)], total=5,
    )  # fmt: skip


def _side_by_side(made: Messy) -> None:
    """F21: two choirs beside each other on one sheet."""
    left, right = sheet(HEADINGS, PLAIN[:4]), [HEADINGS, *([f"Z{at}", 1, 2] for at in range(4))]
    rows = [[*row, None, *other] for row, other in zip(left, right, strict=True)]
    made.files["F21.xlsx"] = workbook({"Both choirs": rows})
    made.refused("F21a", "F21.xlsx", "Two tables on one sheet are refused, with the cells of each.", why="two_tables",
                 row=1)  # fmt: skip
    made.study(
        "F21b", "Once its cells are declared, one of two tables is read and nothing of the other.",
        sources={"scores": [{"file": "F21.xlsx", "cells": "A1:C5"}]}, used=4, tables={"scores": scores(PLAIN[:4])},
    )  # fmt: skip


def _formulas(made: Messy) -> None:
    """F22 and F23: formulas with the value they had last, and without."""
    formulas = {("Marks", "C2"): "B2+3", ("Marks", "C3"): "B3+5"}
    made.files["F22.xlsx"] = workbook({"Marks": sheet(HEADINGS, PLAIN)}, formulas=formulas)
    made.study(
        "F22", "Of a formula the value last saved counts, and every formula is counted.",
        sources={"scores": [{"file": "F22.xlsx"}]}, used=8, tables={"scores": scores(PLAIN)},
        changes=[("formula: the value last saved was read", 2)],
    )  # fmt: skip
    unsaved = sheet(HEADINGS, PLAIN)
    unsaved[3][2] = "=B4+1"
    unsaved[4][2] = "=B5+1"
    made.files["F23.xlsx"] = workbook({"Marks": unsaved})
    made.refused(
        "F23", "F23.xlsx", "Formulas saved without their value are refused, naming the cells.", why="formula_unsaved",
        row=4,
    )  # fmt: skip


def _errors(made: Messy) -> None:
    """F24: errors of formulas where marks should be."""
    rows = sheet(HEADINGS, PLAIN)
    errors = ("#DIV/0!", "#REF!", "#N/A", "#####")
    for row, error in zip(rows[1:], errors, strict=False):
        row[2] = error
    made.files["F24.xlsx"] = workbook({"Marks": rows})
    expected = [(pre, None) for pre, _ in PLAIN[:4]] + list(PLAIN[4:])
    made.study(
        "F24", "The error of a formula is no mark and is set aside.", sources={"scores": [{"file": "F24.xlsx"}]},
        used=8, tables={"scores": scores(expected)},
        set_aside=[(row, "Post", "formula_error") for row in range(2, 6)],
    )  # fmt: skip


def _colours(made: Messy) -> None:
    """F83: a yellow cell and a red row."""

    def dress(worksheet: Worksheet) -> None:
        worksheet["B3"].fill = PatternFill("solid", fgColor="FFFF00")
        for cell in worksheet[5]:
            cell.fill = PatternFill("solid", fgColor="FF0000")
        worksheet["A1"].fill = PatternFill("solid", fgColor="DDDDDD")

    made.files["F83.xlsx"] = workbook({"Marks": sheet(HEADINGS, PLAIN)}, dress=dress)
    made.study(
        "F83", "Colours are never read as data; the coloured cells below the header are counted.",
        sources={"scores": [{"file": "F83.xlsx"}]}, used=8, tables={"scores": scores(PLAIN)},
        changes=[("coloured cell: colours are not read", 4)],
    )  # fmt: skip


def _comments(made: Messy) -> None:
    """F84: comments on two cells."""

    def dress(worksheet: Worksheet) -> None:
        worksheet["B3"].comment = Comment("sang in Eb, restarted", "teacher")
        worksheet["C7"].comment = Comment("cold that day", "teacher")

    made.files["F84.xlsx"] = workbook({"Marks": sheet(HEADINGS, PLAIN)}, dress=dress)
    made.study(
        "F84", "Comments are counted, and their words reach no output.", sources={"scores": [{"file": "F84.xlsx"}]},
        used=8, tables={"scores": scores(PLAIN)}, changes=[("comment on a cell, kept out of every output", 2)],
    )  # fmt: skip


def _struck(made: Messy) -> None:
    """F85: one mark and one student struck through."""

    def dress(worksheet: Worksheet) -> None:
        worksheet["C4"].font = Font(strike=True)
        for cell in worksheet[9]:
            cell.font = Font(strike=True)

    made.files["F85.xlsx"] = workbook({"Marks": sheet(HEADINGS, PLAIN)}, dress=dress)
    expected = [*PLAIN[:2], (PLAIN[2][0], None), *PLAIN[3:7]]
    made.study(
        "F85", "A struck-through mark is no mark, and a struck-through student no student.",
        sources={"scores": [{"file": "F85.xlsx"}]}, used=7, tables={"scores": scores(expected)},
        set_aside=[(4, "Post", "cell_struck"), (9, "ID", "cell_struck")],
    )  # fmt: skip
