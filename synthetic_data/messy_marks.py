"""Messy fixtures about marks: notations, percents, dates, absences, bounds, words for occasions (F53 to F70, F90)."""

from __future__ import annotations

from datetime import datetime

from messy_files import IDS, Messy, expect, marks, share, sheet
from messy_layout import HEADINGS, PLAIN
from openpyxl.worksheet.worksheet import Worksheet
from workbook import text_table, workbook


def mark_fixtures() -> Messy:
    """Make the fixtures about marks and occasions."""
    made = Messy()
    for part in (_notations, _percents, _shares, _percent_format, _dates, _dates_unclear, _no_mark, _absent, _excused,
                 _over_maximum, _many_over_maximum, _below_zero, _two_maxima, _occasion_words):  # fmt: skip
        part(made)
    return made


def _columns(**settings: float | str) -> list[dict]:
    """Declare Pre and Post as columns of marks."""
    return [{"column": "Pre", "occasion": "pre", **settings}, {"column": "Post", "occasion": "post", **settings}]


def _notations(made: Messy) -> None:
    """F53: points of most points in one cell, five ways."""
    cells = [("11/20", "14/20"), ("7 / 20", "12 of 20"), ("15 out of 20", "15/20"), ("9 of 20", "17-20"),
             ("12/20", "11/ 20"), ("4/20", "9 /20"), ("18 Out Of 20", "19/20")]  # fmt: skip
    made.files["F53.csv"] = text_table(sheet(HEADINGS, cells))
    expected = [*PLAIN[:3], (9, None), *PLAIN[4:7]]
    made.used(
        "F53a", "F53.csv", "17/20 and its cousins are 17 of 20; 17-20 could be a range and is set aside.",
        marks=marks(expect(expected), most=20), used=7, set_aside=[(5, "Post", "unclear_mark")],
    )  # fmt: skip
    made.used(
        "F53b", "F53.csv", "17-20 is 17 of 20 where the study file says so.", settings={"dash": "of"},
        marks=marks(expect([*PLAIN[:3], (9, 17), *PLAIN[4:7]]), most=20), used=7,
    )  # fmt: skip


def _percents(made: Messy) -> None:
    """F54: percents, with and without anything that settles what a bare number is."""
    mixed = [("85%", "90%"), ("85 %", "90%"), ("0.85", "95%"), (".85", "80%"), ("85", "88%"), ("70", "75%")]
    signs = [("85%", "90%"), ("85 %", "95 %"), ("55%", "60%"), ("70%", "75.5%"), ("100%", "95%"), ("0%", "30%")]
    points = [("85%", "18"), ("17", "90 %"), ("11", "14"), ("55%", "12"), ("20", "100%"), ("0", "5%")]
    for name, cells in (("mixed", mixed), ("signs", signs), ("points", points)):
        made.files[f"F54_{name}.csv"] = text_table(sheet(HEADINGS, cells))
    percents = expect([(share(float(a.strip("% ")) / 100), share(float(b.strip("% ")) / 100)) for a, b in signs])
    made.used("F54a", "F54_signs.csv", "A percent sign makes a mark a share.", marks=marks(percents), used=6)
    made.refused(
        "F54b", "F54_mixed.csv", "Shares, percents and bare numbers in one column are refused with their counts.",
        why="scale_mixed",
    )  # fmt: skip
    of_twenty = expect([(17, 18), (17, 18), (11, 14), (11, 12), (20, 20), (0, 1)])
    made.used(
        "F54c", "F54_points.csv", "With the most points declared, bare numbers are points and percents become points.",
        settings={"student": "ID", "marks": _columns(max_points=20)}, marks=marks(of_twenty, most=20), used=6,
    )  # fmt: skip


def _shares(made: Messy) -> None:
    """F54: bare numbers that the study file calls shares or percents."""
    shares = [("0.85", ".9"), (".85", "0.95"), ("0.5", "0.55"), ("0.7", "1"), ("1", ".95"), ("0", "0.3")]
    percents = [(str(round(100 * float(a))), str(round(100 * float(b)))) for a, b in shares]
    made.files["F54_shares.csv"] = text_table(sheet(HEADINGS, shares))
    made.files["F54_percents.csv"] = text_table(sheet(HEADINGS, percents))
    expected = marks(expect((share(float(a)), share(float(b))) for a, b in shares))
    made.used(
        "F54d", "F54_shares.csv", "Bare numbers up to 1 are shares where the study file says so.",
        settings={"scale": "share"}, marks=expected, used=6,
    )  # fmt: skip
    made.used(
        "F54e", "F54_percents.csv", "Bare numbers up to 100 are percents where the study file says so.",
        settings={"scale": "percent"}, marks=expected, used=6,
    )  # fmt: skip


def _percent_format(made: Messy) -> None:
    """F55: 0.85 shown as 85 %."""
    cells = [(0.55, 0.7), (0.35, 0.6), (0.75, 0.75), (0.45, 0.65), (0.6, 0.55), (0, 0.15)]
    made.files["F55.xlsx"] = workbook({"Marks": sheet(HEADINGS, cells)}, dress=_as_percent)
    made.used(
        "F55a", "F55.xlsx", "A number shown as percent is a share.", used=6,
        marks=marks(expect((share(a), share(b)) for a, b in cells)),
    )  # fmt: skip
    made.used(
        "F55b", "F55.xlsx", "With the most points declared, a number shown as percent gives points too.", used=6,
        settings={"student": "ID", "marks": _columns(max_points=20)},
        marks=marks(expect((20 * a, 20 * b) for a, b in cells), most=20),
    )  # fmt: skip


def _as_percent(worksheet: Worksheet) -> None:
    """Show every mark as percent."""
    for row in worksheet.iter_rows(min_row=2, min_col=2):
        for cell in row:
            cell.number_format = "0%"


def _spoiled(points: int, most: int) -> datetime | str:
    """Give what a spreadsheet program keeps of points/most typed into a cell: a date where it can be one."""
    return datetime(2026, points, most) if 1 <= points <= 12 else f"{points}/{most}"


def _as_date(worksheet: Worksheet) -> None:
    """Show every date as month and day."""
    for row in worksheet.iter_rows(min_row=2, min_col=2):
        for cell in row:
            if isinstance(cell.value, datetime):
                cell.number_format = "d-mmm"


def _dates(made: Messy) -> None:
    """F57: 5/20 that became 20 May, next to 17/20 that stayed."""
    cells = [(_spoiled(a, 20), _spoiled(b, 20)) for a, b in PLAIN]
    made.files["F57.xlsx"] = workbook({"Marks": sheet(HEADINGS, cells)}, dress=_as_date)
    expected = marks(expect(PLAIN), most=20)
    made.used(
        "F57a",
        "F57.xlsx",
        "Dates are read back where their day is the one maximum of the column.",
        used=8,
        marks=expected,
    )
    dates = [(_spoiled(a, 20), _spoiled(b, 20)) for a, b in ((5, 7), (8, 12), (3, 9), (11, 12), (1, 4), (6, 10))]
    made.files["F57_only_dates.xlsx"] = workbook({"Marks": sheet(HEADINGS, dates)}, dress=_as_date)
    made.used(
        "F57b", "F57_only_dates.xlsx", "The declared maximum settles a column that holds nothing but dates.", used=6,
        settings={"student": "ID", "marks": _columns(max_points=20)},
        marks=marks(expect(((5, 7), (8, 12), (3, 9), (11, 12), (1, 4), (6, 10))), most=20),
    )  # fmt: skip
    made.used(
        "F57c", "F57_only_dates.xlsx", "Dates without a maximum stay dates and are set aside.", used=0, marks=[],
        set_aside=[(row, column, "unclear_mark") for row in range(2, 8) for column in ("Post", "Pre")],
    )  # fmt: skip


def _dates_unclear(made: Messy) -> None:
    """F57: dates that do not agree on a maximum."""
    cells = [("17/20", "14/20"), (_spoiled(7, 20), "12/20"), (_spoiled(5, 12), "15/20"), ("13/20", "16/20"),
             ("14/20", "11/20"), ("15/20", "19/20")]  # fmt: skip
    cells = [(a, b if b not in ("12/20", "11/20") else int(b[:2])) for a, b in cells]
    made.files["F57_disagree.xlsx"] = workbook({"Marks": sheet(HEADINGS, cells)}, dress=_as_date)
    expected = expect([(17, 14), (None, 12), (None, 15), (13, 16), (14, 11), (15, 19)])
    made.used(
        "F57d", "F57_disagree.xlsx", "Where one date does not fit the maximum, no date of the column is read back.",
        marks=marks(expected, most=20), used=6,
        set_aside=[(3, "Pre", "unclear_mark"), (4, "Pre", "unclear_mark")],
    )  # fmt: skip


def _no_mark(made: Messy) -> None:
    """F62: zero, and four ways to write nothing."""
    cells = [(0, 3), ("", 12), ("-", 15), (".", 13), ("n/a", 11), (4, 0), (" ", "N/A"), ("–", "0")]
    made.files["F62.csv"] = text_table(sheet(HEADINGS, cells))
    none = "unspecified"
    expected = expect([(0, 3), (none, 12), (none, 15), (none, 13), (none, 11), (4, 0), (none, none), (none, 0)])
    made.used("F62", "F62.csv", "Zero is a mark; an empty cell, a dash or n/a is none.", marks=marks(expected), used=8)


def _absent(made: Messy) -> None:
    """F63: words for absent; A among numbers, and A among letter grades."""
    cells = [("abs", 14), ("Absent", 12), (15, "A"), (9, "ab"), ("ABS", 11), (4, 9), (18, "absent ")]
    made.files["F63.csv"] = text_table(sheet(HEADINGS, cells))
    away = "absent"
    expected = expect([(away, 14), (away, 12), (15, away), (9, away), (away, 11), (4, 9), (18, away)])
    made.used("F63a", "F63.csv", "Absent is no mark, whichever word says so.", marks=marks(expected), used=7)
    letters = [(11, "B+"), (7, "C"), (15, "A"), (9, "B"), (12, "B-"), (4, "D"), (18, "A")]
    made.files["F63_letters.csv"] = text_table(sheet(HEADINGS, letters))
    made.used(
        "F63b", "F63_letters.csv", "Among letter grades, A is a grade and no absence; grades are no marks.",
        marks=marks(expect((points, None) for points, _ in letters)), used=7,
        set_aside=[(row, "Post", "not_a_mark") for row in range(2, 9)],
    )  # fmt: skip


def _excused(made: Messy) -> None:
    """F64: words for excused, some of which say something private."""
    cells = [("ex", 14), ("exc", 12), (15, "excused"), (9, "exempt"), ("IEP", 11), (4, "504"), ("ELL", 19), (0, 3)]
    made.files["F64.csv"] = text_table(sheet(HEADINGS, cells))
    out = "excused"
    expected = expect([(out, 14), (out, 12), (15, out), (9, out), (out, 11), (4, out), (out, 19), (0, 3)])
    made.used(
        "F64", "F64.csv", "Excused is no mark, and the word that says why is repeated nowhere.",
        marks=marks(expected), used=8,
    )  # fmt: skip


def _of_twenty(made: Messy, name: str, cells: list[tuple[float, float]]) -> None:
    """Write marks under headings that name the most points."""
    made.files[name] = text_table(sheet(("ID", "Pre /20", "Post /20"), cells))


def _over_maximum(made: Messy) -> None:
    """F68: one mark in forty-eight above the most points."""
    ids = [f"{a}{b}" for a in IDS[:6] for b in "1234"]
    cells = [(5 + at % 7, 8 + at % 9) for at in range(24)]
    rows = [[student, *row] for student, row in zip(ids, cells, strict=True)]
    rows[10][2] = 22
    made.files["F68.csv"] = text_table([("ID", "Pre /20", "Post /20"), *rows])
    expected = {
        student: (pre, None if at == 10 else post)
        for at, (student, (pre, post)) in enumerate(zip(ids, cells, strict=True))
    }
    made.used(
        "F68a", "F68.csv", "One mark above the most points is set aside by itself.",
        marks=marks(expected, most=20), used=24, set_aside=[(12, "Post /20", "over_maximum")],
    )  # fmt: skip


def _many_over_maximum(made: Messy) -> None:
    """F68: too many marks above the most points."""
    _of_twenty(made, "F68_many.csv", [(11, 21), (7, 22), (15, 24), *PLAIN[3:8]])
    made.refused(
        "F68b", "F68_many.csv", "With more than one mark in twenty above it, the most points must be wrong.",
        why="many_over_maximum",
    )  # fmt: skip


def _below_zero(made: Messy) -> None:
    """F69: marks below zero."""
    _of_twenty(made, "F69.csv", [(11, 14), (-3, 12), (15, -1), *PLAIN[3:8]])
    expected = expect([(11, 14), (None, 12), (15, None), *PLAIN[3:8]])
    made.used(
        "F69", "F69.csv", "A mark below zero is set aside.", marks=marks(expected, most=20), used=8,
        set_aside=[(3, "Pre /20", "below_zero"), (4, "Post /20", "below_zero")],
    )  # fmt: skip


def _two_maxima(made: Messy) -> None:
    """F70: tests of different length."""
    made.files["F70.csv"] = text_table(sheet(("ID", "Pre (out of 20)", "Post (out of 24)"), PLAIN))
    made.used(
        "F70", "F70.csv", "Each test keeps its own most points, so that only shares can be compared.",
        marks=marks(expect(((pre, 20), (post, 24)) for pre, post in PLAIN)), used=8,
    )  # fmt: skip


def _occasion_words(made: Messy) -> None:
    """F90: one occasion under several words."""
    before, after = ("Pre", "Fall", "BOY", "T1", "fall ", "pre"), ("Post", "Spring", "EOY", "T2", "SPRING", "Camp")
    rows = [(i, wave, row[0]) for i, wave, row in zip(IDS, before, PLAIN, strict=False)]
    rows += [(i, wave, row[1]) for i, wave, row in zip(IDS, after, PLAIN, strict=False)]
    made.files["F90.csv"] = text_table([("ID", "Wave", "Score"), *rows])
    aliases = {"pre": ["Fall", "BOY", "T1"], "post": ["Spring", "EOY", "T2"]}
    made.refused(
        "F90a", "F90.csv", "Words of several families cannot be put in order unless their meaning is declared.",
        why="occasion_order",
    )  # fmt: skip
    made.used(
        "F90b", "F90.csv", "Declared words for an occasion are one; an undeclared one is set aside.",
        settings={"rules": {"occasions": aliases}}, used=11, marks=marks(expect([*PLAIN[:5], (4, None)])),
        set_aside=[(13, "", "unknown_occasion")],
    )  # fmt: skip
