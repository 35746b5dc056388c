"""Attendance -> the attendance table: a row for each student and day, read by the codes that the study declares."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import pandas as pd

from kit.load.columns import field_of, plain
from kit.load.days import Day, order_of, read_day
from kit.load.declared import Rules
from kit.load.declared_music import AttendanceSource, DateOrder, Present
from kit.load.formats.cells import Book, Value
from kit.load.layout import Header, is_blank
from kit.load.ledger import Account
from kit.load.opened import open_file, quoted
from kit.load.sheets import Row, SheetRead, choir_reader, data_rows, text_of
from kit.load.suggest import Suggestion, fill_fields
from kit.reasons import REASONS
from kit.tables import ATTENDANCE, conform

_FIELDS = ("date", "code")
_HEADINGS = ("student", "choir", *_FIELDS)
_CODE_WORDS = ("attendance", "present", "attended", "absent or present", "attendance code", "present or absent")
_SELF_EVIDENT: Mapping[str, Present] = {
    "present": "present", "absent": "absent", "excused": "excused", "no school": "no_school", "no_school": "no_school",
}  # fmt: skip
FEWEST_DAYS_ALONE = 5
"""Columns headed by days that a sheet must have to be taken for attendance without being declared: tests have fewer."""
_LISTED = 8
_LONGEST_CODE = 12


@dataclass(slots=True)
class AttendanceRead:
    """Attendance as read; ``table`` is to be asked for when the persons are known.

    ``noted`` lists for each row of ``people`` the (day, heading, what was noted).
    """

    accounts: list[Account]
    suggestions: list[Suggestion]
    people: list[Row]
    noted: list[list[tuple[date, str, Present]]]

    def table(self) -> pd.DataFrame:
        """Lay attendance out, one row for each student and day.

        Returns
        -------
        DataFrame
            The attendance table; a day noted twice for a student of a choir counts once.
        """
        rows: list[tuple] = []
        first: dict[tuple, str] = {}
        for row, noted in zip(self.people, self.noted, strict=True):
            sheet = row.account.sheet
            for day, column, present in noted if row.open else ():
                place = (row.student, row.choir, day)
                if place in first:
                    _set_repeat_aside(row, column, alike=first[place] == present, alone=len(noted) == 1)
                    continue
                first[place] = present
                rows.append((row.student, row.choir, pd.Timestamp(day), present, sheet.file, sheet.name,
                             sheet.numbers[row.index]))  # fmt: skip
        return conform(pd.DataFrame(rows, columns=ATTENDANCE.names), ATTENDANCE)


def read_attendance(book: Book, source: AttendanceSource, rules: Rules) -> AttendanceRead:
    """Read one file of attendance.

    Parameters
    ----------
    book : Book
        The file.
    source : AttendanceSource
        What is declared about it; ``codes`` above all, since P, A, T and X mean different things in different schools.
    rules : Rules
        ``date_order`` and ``school_year`` hold where the source does not say.

    Returns
    -------
    AttendanceRead
        Empty cells say nothing, unless ``codes`` gives a meaning to ``""``.
    """
    opened = open_file(book, source, _HEADINGS, suggest_attendance, known_attendance_heading)
    codes = dict(_SELF_EVIDENT) | {plain(code): present for code, present in source.codes.items()}
    people: list[Row] = []
    listed: list[list[tuple[date, str, Present]]] = []
    for read in opened.reads:
        if not _layout_is_clear(read):
            continue
        rows = data_rows(read, _FIELDS, choir_reader(read, len(opened.reads) > 1))
        cells = list(_long(read, rows, rules) if read.source.code else _wide(read, rows, rules))
        if not source.codes and (unknown := Counter(_unknown(cells, codes))):
            _refuse_codes(read, unknown)
            continue
        noted: dict[int, list[tuple[date, str, Present]]] = {}
        for row, day, column, value in cells:
            present = _read_code(row, column, value, codes, alone=bool(read.source.code))
            if present is not None:
                noted.setdefault(row.index, []).append((day, column, present))
        _set_silent_aside(rows, {row.index for row, _, _, value in cells if not is_blank(value)} | set(noted))
        people += rows
        listed += [noted.get(row.index, []) for row in rows]
    return AttendanceRead(opened.accounts, opened.suggestions, people, listed)


def known_attendance_heading(cell: object) -> bool:
    """Say whether a cell could be a heading of a file of attendance: a field, or a day."""
    return bool(_field(cell)) or _is_day(cell)


def suggest_attendance(source: AttendanceSource, header: Header, rows: list[list[Value]]) -> Suggestion:
    """Fill the undeclared fields of a file of attendance from the headings."""
    clear = {_field(heading) for heading in header.headings if plain(heading) != "code"}

    def words(heading: object) -> str:
        # a column called Code holds ids, unless another one does and none is called Attendance
        lone = plain(heading) == "code" and "student" in clear and "code" not in clear
        return "code" if lone else _field(heading)

    filled, evidence = fill_fields(source, header, rows, ("student", "name", "choir", "date", "code"), words)
    days = [heading for heading in header.headings if heading and _is_day(heading)]
    if not filled.code and days:
        evidence.append(f'a column for each day: "{days[0]}" to "{days[-1]}"')
    decide = () if filled.code or days else ("no column holds a code, and no heading is a day",)
    return Suggestion(filled, tuple(evidence), decide)


def looks_like(headings: Sequence[str]) -> int:
    """Count the headings that only a file of attendance has."""
    days = sum(map(_is_day, headings))
    return (days if days >= FEWEST_DAYS_ALONE else 0) + sum(plain(heading) in _CODE_WORDS for heading in headings)


def _field(heading: object) -> str:
    """Name the field of a file of attendance that a heading means; empty for none."""
    if plain(heading) in _CODE_WORDS:
        return "code"
    field = field_of(heading)
    return field if field in ("student", "name", "choir", "date") else ""


def _is_day(heading: object) -> bool:
    """Say whether a heading is a day, clear or not."""
    if isinstance(heading, str) and not any(map(str.isdigit, heading)):
        return False
    day = read_day(heading) if isinstance(heading, str | date) else Day()
    return day.date is not None or day.fault == "date_unclear"


def _layout_is_clear(read: SheetRead) -> bool:
    """Refuse a sheet with neither a column of codes nor columns of days."""
    source = read.source
    if (source.code and source.date) or (not source.code and any(map(_is_day, read.header.headings))):
        return True
    read.account.refuse(
        why="wrong_columns", index=read.header.index,
        found="There is neither a column of codes with a column of dates, nor a column for each day.",
        do='Name the columns in study.toml, such as date = "Date" and code = "Code".',
    )  # fmt: skip
    return False


Noted = tuple[Row, date, str, Value]


def _long(read: SheetRead, rows: list[Row], rules: Rules) -> Iterable[Noted]:
    """Go through rows about one student on one day."""
    source = read.source
    order = _order(source, rules, [row.fields["date"] for row in rows])
    for row in rows:
        value = row.fields["date"]
        day = read_day(value, order=order, school_year=rules.school_year)
        if day.date is None:
            row.account.set_row_aside(
                row.index, column=source.date, why=day.fault or "date_unread",
                found=f"The date is {quoted(value)}." if day.fault else "The row has no date.",
                do=day.do or "Fill in the day.",
            )  # fmt: skip
            continue
        if day.rule:
            row.account.change(day.rule, row.index, value, day.date)
        yield row, day.date, source.code, row.fields["code"]


def _wide(read: SheetRead, rows: list[Row], rules: Rules) -> Iterable[Noted]:
    """Go through the cells of a sheet with a column for each day; a day that cannot be read is refused."""
    headings = [heading for heading in read.header.headings if heading and _is_day(heading)]
    order = _order(read.source, rules, headings)
    days: dict[str, date] = {}
    for heading in headings:
        day = read_day(heading, order=order, school_year=rules.school_year)
        if day.date is None:
            read.account.refuse(
                why=day.fault, index=read.header.index, column=heading, found=f'The heading is "{heading}".', do=day.do
            )
        else:
            days[heading] = day.date
    for row in rows:
        for heading, day in days.items():
            yield row, day, heading, read.cell(row.index, heading)


def _order(source: AttendanceSource, rules: Rules, values: Iterable[Value]) -> DateOrder:
    """Find the order of day and month: declared, or shown by the dates."""
    return source.date_order or rules.date_order or order_of(values)


def _unknown(cells: Iterable[Noted], codes: Mapping[str, Present]) -> Iterable[str]:
    """List the codes whose meaning is not known."""
    for _, _, _, value in cells:
        if not is_blank(value) and plain(text_of(value)) not in codes:
            yield text_of(value)


def _refuse_codes(read: SheetRead, unknown: Counter[str]) -> None:
    """Refuse a file whose codes nobody has explained."""
    shown = unknown.most_common(_LISTED)
    listed = ", ".join(f"{quoted(code)} ({times})" for code, times in shown)
    more = f" and {len(unknown) - len(shown)} more" if len(unknown) > len(shown) else ""
    lines = ", ".join(f'{_toml_key(code)} = ""' for code, _ in shown)
    read.account.refuse(
        why="unknown_code", column=read.source.code,
        found=f"The study file does not say what these codes mean: {listed}{more}.",
        do=f"Write codes = {{{lines}}} beside the file in study.toml, each present, absent, excused or no_school.",
    )  # fmt: skip


def _toml_key(code: str) -> str:
    """Write a code as a key of a settings file."""
    bare = code.isascii() and code.isalnum()
    return code if bare else '"' + code.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _read_code(row: Row, column: str, value: Value, codes: Mapping[str, Present], *, alone: bool) -> Present | None:
    """Read one code; one whose meaning is not known is set aside, with the row where it is alone in it."""
    text = "" if is_blank(value) else text_of(value)
    present = codes.get(plain(text))
    if present is not None:
        if plain(text) != present:
            row.account.change(f"code read as {present.replace('_', ' ')}", row.index, text, present)
    elif text or alone:
        shown = f'The code is "{text}". ' if 0 < len(text) <= _LONGEST_CODE else ""
        said = {
            "why": "unknown_code",
            "found": f"{shown}{REASONS['unknown_code']}" if text else "The row has no code.",
            "do": "Add it under codes, beside the file in study.toml." if text else "Fill in the code.",
        }
        if alone:
            row.account.set_row_aside(row.index, column=column, **said)
        else:
            row.account.set_cell_aside(row.index, column, **said)
    return present


def _set_silent_aside(rows: list[Row], told: set[int]) -> None:
    """Set aside the rows of students for whom no day holds a code."""
    for row in rows:
        if row.open and row.index not in told:
            row.account.set_row_aside(
                row.index, why="unknown_code", found="The row has no code.", do="Fill in the codes, or delete the row."
            )


def _set_repeat_aside(row: Row, column: str, *, alike: bool, alone: bool) -> None:
    """Set aside that a day was noted once more for a student: the row, where it holds nothing else."""
    said = {
        "why": "same_row_twice" if alike else "unclear_mark",
        "found": f"The day was noted twice for the student, {'alike' if alike else 'in two ways; the first counts'}.",
        "do": "Delete the one that does not count.",
    }
    if alone:
        row.account.set_row_aside(row.index, column="" if alike else column, **said)
    else:
        row.account.set_cell_aside(row.index, column, **said)
