"""What real files would have wrong, put into the district's files of marks and its roster."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime

from log_mess import day_first
from mess import Mess, Page
from openpyxl.styles import PatternFill
from openpyxl.worksheet.worksheet import Worksheet

PITCH, RHYTHM = "Pitch (of 24)", "Rhythm (of 24)"
MOST = 24
TWO_RATERS = ("Pitch JM (of 24)", "Pitch KB (of 24)")
"""At Ninepin Row the teacher and the blind rater wrote their marks side by side."""
OLD_SHEET, OLD_COLUMN = "old (do not use)", "Pitch last year (of 24)"
OLD_MAXIMUM = 20
"""The rhythm test of the last wave at Corduroy Road had fewer beats."""
YELLOW = PatternFill("solid", start_color="FFFFEE88")


def mess_marks(pages: list[Page], mess: Mess, names: dict[str, str]) -> None:
    """Put the faults in.

    Parameters
    ----------
    pages : list of Page
        Every sheet of marks, and the roster.
    mess : Mess
        Where each fault is listed.
    names : dict of str to str
        Student id -> invented name, family name first.
    """
    parts: dict[str, Callable[..., None]] = {
        "hobnail_lane.xlsx": _hobnail, "wicket_lane.xlsx": _wicket, "thimble_hill.csv": _thimble,
        "ninepin_row.xlsx": _ninepin, "corduroy_road.csv": _corduroy, "roster.csv": _roster,
        "second_rater.csv": _second_rater,
    }  # fmt: skip
    for page in pages:
        if page.file in parts:
            parts[page.file](page, mess, names)


def dress(sheet: Worksheet, page: Page, mess: Mess) -> None:
    """Format the cells of a workbook's sheet where a fault is a matter of format."""
    for cell in sheet[page.above + 1]:
        sheet.column_dimensions[cell.column_letter].width = max(10, len(str(cell.value or "")) + 2)
    for fault in mess.listed():
        if (fault["file"], fault["sheet"]) != (page.file, page.name):
            continue
        cell = sheet.cell(fault["row"], page.at(fault["column"]) + 1) if fault["column"] else None
        if fault["fixture"] == "F55":
            cell.number_format = "0%"
        elif fault["fixture"] == "F57":
            cell.number_format = "d-mmm"
        elif fault["fixture"] == "F83":
            cell.fill = YELLOW
        elif fault["fixture"] == "F16":
            sheet.column_dimensions[cell.column_letter].hidden = True
        elif fault["fixture"] == "F10":
            for first in range(2, len(page.headings) + 1, 2):
                sheet.merge_cells(start_row=1, end_row=1, start_column=first, end_column=first + 1)
    if page.name == OLD_SHEET:
        sheet.sheet_state = "hidden"


def _marked(page: Page, heading: str, *, highest: int = MOST) -> Iterator[list]:
    """Give rows with a mark of 1 to ``highest``, far enough apart that faults do not crowd one student."""
    at = page.at(heading)
    yield from [row for row in page.data if isinstance(row[at], int) and 0 < row[at] <= highest][::2]


def _hobnail(page: Page, mess: Mess, _names: dict[str, str]) -> None:
    """Title lines, points of most points, dates, colours, words for absence."""
    if page.name == OLD_SHEET:
        for row in page.rows:
            mess.note("F15", page, row, outcome="row aside", why="sheet_hidden")
        return
    page.rows[:0] = [[f"{page.name}, reading tests"], ["marked live by T1"]]
    page.above = 2
    mess.note("F09", page, page.rows[0], outcome="read")
    marked = list(_marked(page, PITCH, highest=12))
    mess.cell("F57", page, marked[0], PITCH, datetime(2026, marked[0][page.at(PITCH)], MOST))
    for row in marked[1:3]:
        mess.cell("F53", page, row, PITCH, f"{row[page.at(PITCH)]}/{MOST}")
    mess.note("F83", page, marked[-1], RHYTHM, outcome="left out")
    for row, word in zip((row for row in page.data if row[page.at(PITCH)] == "abs"), ("Absent", "A"), strict=False):
        mess.cell("F63", page, row, PITCH, word)


def _wicket(page: Page, mess: Mess, _names: dict[str, str]) -> None:
    """Headings in two rows, numbers shown as percent."""
    upper, lower = [""], ["ID"]
    for heading in page.headings[1:]:
        kind, wave, most = heading.split(" ", 2)
        upper.append(wave if wave not in upper else "")
        lower.append(f"{kind} {most}")
    mess.note("F10", page, page.headings, outcome="read")
    page.rows.insert(0, upper)
    page.rows[1][:] = lower
    page.above = 1
    for row in [row for row in page.data if isinstance(row[1], int) and row[1] % 3 == 0][:2]:
        mess.cell("F55", page, row, PITCH, row[1] / MOST)
    for row in [row for row in page.data if isinstance(row[2], int) and row[2] > 2][3:6]:
        mess.note("F22", page, row, RHYTHM, was=row[2], now=f"2+{row[2] - 2}", outcome="read")


def _thimble(page: Page, mess: Mess, _names: dict[str, str]) -> None:
    """Totals below, a row twice, a second try."""
    twice, again = (row for row, _ in zip(_marked(page, PITCH), range(2), strict=False))
    copy, retest = list(twice), list(again)
    retest[page.at(PITCH)] = min(MOST, again[page.at(PITCH)] + 3)
    page.rows.insert(page.rows.index(twice) + 1, copy)
    page.rows.insert(page.rows.index(again) + 1, retest)
    mess.note("F45", page, copy, outcome="row aside", why="same_row_twice")
    for heading in (PITCH, RHYTHM):
        mess.note("F46", page, retest, heading, outcome="row aside", why="second_attempt")
    marks = [row[page.at(PITCH)] for row in page.data if isinstance(row[page.at(PITCH)], int)]
    average = ["Class average", "", "", "", "", "", f"{sum(marks) / len(marks):.1f}", ""]
    page.rows.append(average)
    mess.note("F18", page, average, outcome="no student")


def _ninepin(page: Page, mess: Mess, _names: dict[str, str]) -> None:
    """Two raters side by side, and a hidden column of older marks."""
    mess.note("F48", page, page.headings, TWO_RATERS[1], outcome="read")
    mark = page.at(TWO_RATERS[0])
    for row in page.data:
        row.append(max(0, row[mark] - 4) if isinstance(row[mark], int) else "")
    page.headings.append(OLD_COLUMN)
    mess.note("F16", page, page.headings, OLD_COLUMN, outcome="left out")


def _corduroy(page: Page, mess: Mess, names: dict[str, str]) -> None:
    """Decimal commas, days before months, names in the other order without an id, another maximum in February."""
    tested = [row for row in page.data if isinstance(row[page.at(PITCH)], int)]
    mess.cells("F04", page, tested, PITCH, "{},0".format)
    mess.cells("F86", page, tested, "Date", day_first)
    late = [row for row in tested if row[page.at("Wave")] == "Feb"]
    mess.cells("F70", page, late, RHYTHM, lambda points: f"{min(points, OLD_MAXIMUM)}/{OLD_MAXIMUM}")
    page.headings.insert(1, "Name")
    for number, row in enumerate(page.data):
        family, given = names[row[0]].split(", ")
        row.insert(1, f"{given} {family}")
        if number in (4, 40, 77):
            mess.cell("F34", page, row, "ID", "")


def _roster(page: Page, mess: Mess, names: dict[str, str]) -> None:
    """Names on the roster, approaches spelt three ways."""
    for number, row in enumerate(page.data):
        if number % 31 == 0 and row[page.at("Approach")] == "ear-first":
            mess.cell("F91", page, row, "Approach", "Ear-First " if number % 2 else "EAR-FIRST")
    page.headings.insert(1, "Name")
    for row in page.data:
        row.insert(1, names[row[0]])


def _second_rater(page: Page, mess: Mess, _names: dict[str, str]) -> None:
    """Ids whose zeros a spreadsheet program dropped."""
    for row in page.data:
        if row[0].startswith("0"):
            mess.cell("F31", page, row, "ID", row[0].lstrip("0"))
