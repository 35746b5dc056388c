"""Messy fixtures about drill logs: dates, minutes, lines about several (F86 to F88, F94, F95, F103 to F105, F107)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from messy_files import IDS, Messy
from openpyxl.worksheet.worksheet import Worksheet
from workbook import text_table, workbook

SESSIONS = ("Date", "Choir", "Minutes")
TRIES = ("Date", "Student", "Asked", "Sung", "Right")
SPELT = "syllables and octave marks written one way"
LETTERED = {"syllables": {"system": "movable_i_up_e_down"}}
NUMBERED = {"syllables": {"system": "numbers"}}


def log_fixtures() -> Messy:
    """Make the fixtures about drill logs."""
    made = Messy()
    for part in (_day_order, _serial_numbers, _no_year, _minutes, _odd_minutes, _several_students, _weeks, _weekends,
                 _long):  # fmt: skip
        part(made)
    return made


def log(file: str, **settings: object) -> dict:
    """Declare a drill log."""
    return {"drills": [{"file": file, **settings}]}


def _sessions(days: Sequence[object], minutes: Sequence[object] = ()) -> list[Sequence]:
    """Write a session of one choir on each day."""
    lengths = list(minutes) or [5] * len(days)
    return [SESSIONS, *([day, "Larch Treble", length] for day, length in zip(days, lengths, strict=True))]


def _dated(days: Sequence[str]) -> dict[str, list[Mapping]]:
    """Expect these days in the drills table."""
    return {"drills": [{"date": day, "choir": "Larch Treble"} for day in days]}


def tries(cells: Sequence[tuple], day: str = "2025-10-06") -> list[Sequence]:
    """Write a try of one student after the other; each gives asked, sung and right."""
    return [TRIES, *([day, student, *cell] for student, cell in zip(IDS, cells, strict=False))]


def _day_order(made: Messy) -> None:
    """F86: 9/10/25 by evidence, without any, and declared."""
    made.files["F86_shown.csv"] = text_table(_sessions(["9/10/25", "10/10/25", "13/10/25"]))
    made.files["F86_open.csv"] = text_table(_sessions(["9/10/25", "10/10/25", "11/10/25"]))
    made.study(
        "F86a", "A day above 12 shows that all dates of the log have the day first.", sources=log("F86_shown.csv"),
        used=3, tables=_dated(["2025-10-09", "2025-10-10", "2025-10-13"]),
        changes=[("day and month rewritten as year-month-day", 3)],
    )  # fmt: skip
    made.study(
        "F86b", "Without any day above 12 the dates are set aside, except one that is the same both ways.",
        sources=log("F86_open.csv"), used=1, tables=_dated(["2025-10-10"]),
        set_aside=[(2, "Date", "date_unclear"), (4, "Date", "date_unclear")],
        changes=[("date rewritten as year-month-day", 1)],
    )  # fmt: skip
    made.study(
        "F86c", "The study file says that the month comes first.", sources=log("F86_open.csv"), used=3,
        rules={"date_order": "month_first"}, tables=_dated(["2025-09-10", "2025-10-10", "2025-11-10"]),
        changes=[("month and day rewritten as year-month-day", 3)],
    )  # fmt: skip


def _serial_numbers(made: Messy) -> None:
    """F87: the numbers that spreadsheet programs keep for dates, of both calendars."""
    made.files["F87.xlsx"] = workbook({"Log": _sessions([45910, 45911, 12])})
    made.files["F87_1904.csv"] = text_table(_sessions([44448, 44449]))
    made.study(
        "F87a", "A number that stands for a possible school day is that day; any other is none.",
        sources=log("F87.xlsx"), used=2, tables=_dated(["2025-09-10", "2025-09-11"]),
        set_aside=[(4, "Date", "date_unread")], changes=[("number of a spreadsheet program read as a date", 2)],
    )  # fmt: skip
    made.study(
        "F87b", "Where the school year is declared, a number four years off is of the 1904 calendar.",
        sources=log("F87_1904.csv"), used=2, rules={"school_year": 2025}, tables=_dated(["2025-09-10", "2025-09-11"]),
        changes=[("number of a spreadsheet program (1904 calendar) read as a date", 2)],
    )  # fmt: skip


def _no_year(made: Messy) -> None:
    """F88: dates without a year."""
    made.files["F88.csv"] = text_table(_sessions(["Sept 10", "10.09.", "13. Jan"]))
    made.study(
        "F88a", "Dates without a year are set aside until the school year is declared.", sources=log("F88.csv"),
        set_aside=[(row, "Date", "date_unclear") for row in (2, 3, 4)],
    )  # fmt: skip
    made.study(
        "F88b", "The school year gives the year: September of the first, January of the second.",
        sources=log("F88.csv"), used=3, rules={"school_year": 2025},
        tables=_dated(["2025-09-10", "2025-09-10", "2026-01-13"]), changes=[("year taken from the school year", 3)],
    )  # fmt: skip


def _minutes(made: Messy) -> None:
    """F94: minutes in every notation."""
    written = ["5", "5 min", "5'", "0:05", "00:05:00", "~5", "5-7"]
    days = [f"2025-10-{day:02}" for day in range(6, 13)]
    made.files["F94.csv"] = text_table(_sessions(days, written))
    clock = [("unit written beside the number", 2), ("clock time read as minutes", 2)]
    made.study(
        "F94a", "Five minutes in five notations; about five, and five to seven, are no certain number.",
        sources=log("F94.csv"), used=7,
        tables={"drills": [{"minutes": length} for length in (*[5.0] * 5, None, None)]},
        set_aside=[(7, "Minutes", "minutes_unclear"), (8, "Minutes", "minutes_unclear")], changes=clock,
    )  # fmt: skip
    made.study(
        "F94b", "Declared, about five is five, and five to seven its middle.",
        sources=log("F94.csv", minutes_span="midpoint"), used=7,
        tables={"drills": [{"minutes": length} for length in (*[5.0] * 6, 6.0)]},
        changes=[*clock, ("about so many minutes, taken as so many", 1), ("middle of a range of minutes", 1)],
    )  # fmt: skip


def _odd_minutes(made: Messy) -> None:
    """F95: seconds, and the part of a day that a time cell keeps."""
    days = ["2025-10-06", "2025-10-07", "2025-10-08"]
    part = 5 / 1440
    made.files["F95.xlsx"] = workbook({"Log": _sessions(days, [4, 0.0035, 0.0104])})
    made.files["F95.csv"] = text_table(_sessions(days, [300, 240, 180]))
    made.study(
        "F95a", "The part of a day is no length in minutes, unless the cell shows it as a time.",
        sources=log("F95.xlsx"), used=3,
        tables={"drills": [{"minutes": 4.0}, {"minutes": None}, {"minutes": None}]},
        set_aside=[(3, "Minutes", "minutes_unclear"), (4, "Minutes", "minutes_unclear")],
    )  # fmt: skip
    made.files["F95_time.xlsx"] = workbook({"Log": _sessions(days, [part, 2 * part, 3 * part])}, dress=_as_times)
    made.study(
        "F95b", "A time cell is read by the way it is shown.", sources=log("F95_time.xlsx"), used=3,
        tables={"drills": [{"minutes": 5.0}, {"minutes": 10.0}, {"minutes": 15.0}]},
        changes=[("clock time read as minutes", 3)],
    )  # fmt: skip
    made.study(
        "F95c", "Three hundred minutes last longer than any drill.", sources=log("F95.csv"), used=3,
        tables={"drills": [{"minutes": None}] * 3},
        set_aside=[(row, "Minutes", "minutes_impossible") for row in (2, 3, 4)],
    )  # fmt: skip
    made.study(
        "F95d", "Declared as seconds they are three to five minutes.", sources=log("F95.csv", minutes_unit="seconds"),
        used=3, tables={"drills": [{"minutes": 5.0}, {"minutes": 4.0}, {"minutes": 3.0}]},
        changes=[("seconds read as minutes", 3)],
    )  # fmt: skip


def _as_times(sheet: Worksheet) -> None:
    """Show the minutes as times."""
    for row in (2, 3, 4):
        sheet.cell(row, 3).number_format = "h:mm:ss"


def _several_students(made: Messy) -> None:
    """F103: one line about several singers."""
    rows = [("Date", "ID", "Pattern", "Right"), ["2025-10-06", f"{IDS[0]}, {IDS[1]}, {IDS[2]}", "P01", "all ok"],
            ["2025-10-06", IDS[3], "P01", "ok"]]  # fmt: skip
    made.files["F103.csv"] = text_table(rows)
    made.study(
        "F103a", "A line about several singers is set aside.", sources=log("F103.csv"), used=1,
        tables={"drills": [{"student": IDS[3], "right": True}]}, set_aside=[(2, "ID", "several_students")],
        changes=[("sign or word read as right", 2)],
    )  # fmt: skip
    made.study(
        "F103b", "Declared, it stands for a line about each.", sources=log("F103.csv", several_students="one_each"),
        used=2, tables={"drills": [{"student": student, "right": True, "pattern": "P01"} for student in IDS[:4]]},
        changes=[("sign or word read as right", 2)],
    )  # fmt: skip


def _weeks(made: Messy) -> None:
    """F104: one line about a week."""
    days = ["Oct 6-9", "2025-10-13", "Mon-Thu", "week of 10/20/2025"]
    made.files["F104.csv"] = text_table(_sessions(days, ["5 min", 6, "5 min", 4]))
    aside = [(2, "Date", "several_days"), (4, "Date", "several_days"), (5, "Date", "several_days")]
    made.study(
        "F104a", "A line about several days is no session of each: set aside.", sources=log("F104.csv"), used=1,
        tables={"drills": [{"date": "2025-10-13", "minutes": 6.0, "summary": False}]}, set_aside=aside,
        changes=[("unit written beside the number", 2)],
    )  # fmt: skip
    spread = [*((f"2025-10-0{day}", 5.0) for day in (6, 7, 8, 9)), ("2025-10-13", 6.0),
              *((f"2025-10-{day}", 4.0) for day in (20, 21, 22, 24))]  # fmt: skip
    made.study(
        "F104b", "Declared, it stands for each school day, marked as no measured session; without a date it cannot.",
        sources=log("F104.csv", weekly="one_each"), used=3, rules={"school_year": 2025, "no_school": ["2025-10-23"]},
        tables={"drills": [{"date": day, "minutes": length, "summary": day != "2025-10-13"} for day, length in spread]},
        set_aside=[(4, "Date", "several_days")], changes=[("unit written beside the number", 2)],
    )  # fmt: skip


def _weekends(made: Messy) -> None:
    """F105: a log that goes on at the weekend."""
    made.files["F105.csv"] = text_table(_sessions(["2025-10-10", "2025-10-11", "2025-10-12", "2025-10-13"]))
    made.study(
        "F105", "Lines on a Saturday and a Sunday are used; the check page warns of them.", sources=log("F105.csv"),
        used=4, tables=_dated(["2025-10-10", "2025-10-11", "2025-10-12", "2025-10-13"]),
    )  # fmt: skip


def _long(made: Messy) -> None:
    """F107: the shape of a long log; its length is made in the tests."""
    rows = [TRIES]
    day = date(2025, 9, 8)
    for number in range(200):
        right = number % 3
        sung = "do re mi" if right else "do re fa"
        rows.append((day.isoformat(), IDS[number % len(IDS)], "do re mi", sung, int(bool(right))))
    rows.insert(100, ("2025-09-08", IDS[0], "do re mi"))
    made.files["F107.csv"] = text_table(rows)
    expected = [{"target": "1 2 3", "sung": "1 2 3" if number % 3 else "1 2 4", "right": bool(number % 3)}
                for number in range(200)]  # fmt: skip
    made.study(
        "F107", "A log is read as a stream; a row with too few fields is set aside with its line.",
        sources=log("F107.csv", **LETTERED), used=200, tables={"drills": expected}, set_aside=[(101, "", "row_shape")],
    )  # fmt: skip
