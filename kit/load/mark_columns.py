"""One column of marks: what only the whole column can tell about each of its cells."""

from __future__ import annotations

import re
from datetime import datetime

from kit.load.cells import Value
from kit.load.columns import plain
from kit.load.declared import MarkColumn, Scale
from kit.load.ledger import Account
from kit.load.marks import Mark, read_mark, settle
from kit.load.sheets import Row, SheetRead


def decimal_sign(read: SheetRead, rows: list[Row]) -> str:
    """Find the decimal sign of the file; a mixture is refused with one row of each."""
    comma, point = [], []
    for row in rows:
        for column in read.source.marks:
            value = read.cell(row.index, column.column)
            if isinstance(value, str):
                comma += [row.index] if re.fullmatch(r"\s*\d+,\d+\s*(?:/\s*\d+\s*)?", value) else []
                point += [row.index] if re.fullmatch(r"\s*\d+\.\d+\s*(?:/\s*\d+\s*)?", value) else []
    if comma and point:
        numbers = read.account.sheet.numbers
        read.account.refuse(
            why="decimals_mixed", index=comma[0],
            found=f"Row {numbers[comma[0]]} has a decimal comma and row {numbers[point[0]]} a decimal point.",
            do="Write all numbers of the file the same way.",
        )  # fmt: skip
    if comma:
        read.account.change("decimal comma", comma[0], "17,5", "17.5")
    return "," if comma else "."


def read_column(read: SheetRead, column: MarkColumn, rows: list[Row], decimal: str) -> None:
    """Read one column of marks into the rows, settled by what the whole column tells."""
    account, source, at = read.account, read.source, read.at(column.column)
    if at is None:
        return
    marks, known = [], {}
    for row in rows:
        value, shown = read.cell(row.index, column.column), account.sheet.formats.get((row.index, at), "")
        # a column of marks holds few different cells, so each kind of cell is read once
        spelling = (type(value), value, shown)
        if spelling not in known:
            known[spelling] = read_mark(value, shown, decimal=decimal, dash=source.dash)
        marks.append((row, value, known[spelling]))
    marks = _without_letter_grades(marks)
    most = column.max_points or _possible_points(read, at)
    only = most or _only_maximum(marks)
    dates_fit = all(mark.max_points == only for _, value, mark in marks if isinstance(value, datetime))
    scale = source.scale or _scale(account, column, marks, only)
    for row, value, mark in marks:
        unclear = isinstance(value, datetime) and not (only and dates_fit)
        own = _as_number(row.fields["max_points"])
        found = Mark(fault="unclear_mark") if unclear else mark
        settled = settle(found, max_points=own or most or (None if scale else only), scale=scale)
        row.marks.append((column, settled))
        if settled.rule:
            account.change(settled.rule, row.index, "(private)" if settled.private else value, _shown(settled))


def _without_letter_grades(marks: list[tuple[Row, Value, Mark]]) -> list[tuple[Row, Value, Mark]]:
    """Take back that a lone A means absent where other letters show that the column holds letter grades."""
    letters = {value.strip().casefold() for _, value, _ in marks if isinstance(value, str)}
    if not letters & {"b", "c", "d", "f", "a+", "a-", "b+", "b-", "c+", "c-", "d+", "d-"}:
        return marks
    grade = Mark(fault="not_a_mark")
    return [
        (row, value, grade if isinstance(value, str) and value.strip().casefold() == "a" else mark)
        for row, value, mark in marks
    ]


def _possible_points(read: SheetRead, at: int) -> float | None:
    """Read the maximum from a totals row such as "Points possible", as course platforms export it."""
    account = read.account
    for index, kind in account.kinds.items():
        cells = account.sheet.rows[index]
        words = {plain(cell) for cell in cells if isinstance(cell, str)}
        if kind == "total" and words & {"points possible", "maximum", "max"} and at < len(cells):
            most = _as_number(cells[at])
            if most:
                account.change("most points taken from the sheet", index, cells[at], most)
            return most
    return None


def _only_maximum(marks: list[tuple[Row, Value, Mark]]) -> float | None:
    """Find the maximum that all text cells of a column agree on, such as 20 in ``17/20``."""
    named = {mark.max_points for _, value, mark in marks if mark.max_points and not isinstance(value, datetime)}
    return named.pop() if len(named) == 1 else None


def _scale(account: Account, column: MarkColumn, marks: list[tuple[Row, Value, Mark]], most: float | None) -> Scale:
    """Tell points from shares where the column alone can tell; a mixture is refused with its counts."""
    bare = [mark for _, _, mark in marks if mark.points is not None and mark.max_points is None]
    parts = [mark for mark in bare if 0 < mark.points < 1 and (mark.points * 4) % 1]
    wholes = [mark for mark in bare if mark.points > 1]
    percents = [mark for _, _, mark in marks if mark.share is not None]
    if (parts and wholes) or (percents and bare and not most):
        account.refuse(
            why="scale_mixed", column=column.column,
            found=f"{len(parts)} marks are shares such as 0.85, {len(wholes)} are whole numbers such as 85, "
            f"{len(percents)} have a percent sign.",
            do='Write them all one way, or declare scale = "points", "percent" or "share".',
        )  # fmt: skip
    return "share" if parts and not wholes and not most else ""


def _shown(mark: Mark) -> str:
    """Write a mark as an example for the check page."""
    if mark.missing_reason:
        return mark.missing_reason.replace("_", " ")
    of = f" of {mark.max_points:g}" if mark.max_points else ""
    return f"{mark.points:g}{of}" if mark.points is not None else f"share {mark.share:g}"


def _as_number(value: Value) -> float | None:
    """Read a plain number, typed or as text."""
    try:
        return float(value) if value is not None and not isinstance(value, datetime) else None
    except (TypeError, ValueError):
        return None
