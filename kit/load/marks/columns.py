"""One column of marks: what only the whole column can tell about each of its cells."""

from __future__ import annotations

import re
from datetime import date

from kit.load.columns import plain
from kit.load.declared import MarkColumn, Rules, Scale
from kit.load.formats.cells import Value
from kit.load.ledger import Account
from kit.load.marks.dated import Cell, read_dates_back
from kit.load.marks.mark import Mark, read_mark, settle
from kit.load.marks.parts import read_parts, refuse_parts
from kit.load.marks.worded import read_codes, read_in_order, refuse_words, without_letter_grades
from kit.load.ratings.raters import split_raters
from kit.load.sheets import Row, SheetRead


def decimal_sign(read: SheetRead, rows: list[Row]) -> str:
    """Find the decimal sign of the file; a mixture is refused with one row of each."""
    comma, point = [], []
    for row in rows:
        for column in read.source.marks:
            value = read.cell(row.index, column.column)
            if isinstance(value, str):
                comma += [(row.index, value)] if re.fullmatch(r"\s*\d+,\d+\s*(?:/\s*\d+\s*)?", value) else []
                point += [row.index] if re.fullmatch(r"\s*\d+\.\d+\s*(?:/\s*\d+\s*)?", value) else []
    if comma and point:
        numbers = read.account.sheet.numbers
        read.account.refuse(
            why="decimals_mixed", index=comma[0][0],
            found=f"Row {numbers[comma[0][0]]} has a decimal comma and row {numbers[point[0]]} a decimal point.",
            do="Write all numbers of the file the same way.",
        )  # fmt: skip
    for index, value in comma:
        read.account.change("decimal comma", index, value, value.replace(",", "."))
    return "," if comma else "."


def read_columns(read: SheetRead, rows: list[Row], rules: Rules) -> None:
    """Read the columns of marks of a sheet into its rows, each settled by what the whole column tells.

    Parameters
    ----------
    read : SheetRead
        The sheet; columns that it does not have are passed over.
    rows : list of Row
        The rows about students; each gets its marks, faulty ones included.
    rules : Rules
        ``missing_codes`` says which numbers stand for no mark.
    """
    decimal = read.source.decimal or decimal_sign(read, rows)
    maxima = _maximum_row(read.account)
    for column in read.source.marks:
        at = read.at(column.column)
        if at is None:
            continue
        cells = _cells(read, column, at, rows, decimal)
        if column.parts:
            read_parts(read.account, column, cells)
        elif column.order:
            for row, value, mark in read_in_order(read.account, column, cells):
                _keep(row, column, value, mark)
        else:
            _read_points(read, column, cells, rules, column.max_points or _possible_points(read.account, maxima, at))


def _cells(read: SheetRead, column: MarkColumn, at: int, rows: list[Row], decimal: str) -> list[Cell]:
    """Read each cell of a column by itself."""
    cells, known, formats, dash = [], {}, read.account.sheet.formats, read.source.dash
    for row in rows:
        value, shown = read.cell(row.index, column.column), formats.get((row.index, at), "")
        # a column of marks holds few different cells, so each kind of cell is read once
        spelling = (type(value), value, shown)
        if spelling not in known:
            known[spelling] = read_mark(value, shown, decimal=decimal, dash=dash)
        cells.append((row, value, known[spelling]))
    return cells


def _read_points(read: SheetRead, column: MarkColumn, cells: list[Cell], rules: Rules, most: float | None) -> None:
    """Settle the marks of a column of points, percents or shares."""
    account, source = read.account, read.source
    cells = split_raters(account, column, without_letter_grades(cells), source.raters)
    only = most or _only_maximum(cells)
    refuse_words(account, column, cells)
    cells = refuse_parts(account, column, cells)
    cells = read_codes(account, column, cells, codes=rules.missing_codes, most=_highest(source.scale, only, cells))
    cells = read_dates_back(account, column, cells, most=only, declared=source.date_marks)
    scale = source.scale or _scale(account, column, cells, only)
    settled: dict[tuple[Mark, float | None], Mark] = {}
    for row, value, mark in cells:
        highest = _as_number(row.fields["max_points"]) or most or (None if scale else only)
        if (mark, highest) not in settled:
            settled[mark, highest] = settle(mark, max_points=highest, scale=scale)
        _keep(row, column, value, settled[mark, highest])


def _highest(scale: Scale, only: float | None, cells: list[Cell]) -> float | None:
    """Find the number that no mark of a column can be above."""
    own = [most for row, _, _ in cells if (most := _as_number(row.fields["max_points"]))]
    return 100.0 if scale == "percent" else max(own, default=only)


def _keep(row: Row, column: MarkColumn, value: Value, mark: Mark) -> None:
    """Add a mark to its row, and count how it was read."""
    row.marks.append((column, mark))
    if mark.rule:
        row.account.change(mark.rule, row.index, "(private)" if mark.private else value, _shown(mark))


def _maximum_row(account: Account) -> int | None:
    """Find the totals row that names the maxima: "Points possible", or "Max" above the students."""
    first = min(account.data, default=0)
    for index in (index for index, kind in account.kinds.items() if kind == "total"):
        words = {plain(cell) for cell in account.sheet.rows[index] if isinstance(cell, str)}
        # below the students, "Max" is the best mark of the class
        if "points possible" in words or (index < first and words & {"maximum", "max"}):
            return index
    return None


def _possible_points(account: Account, index: int | None, at: int) -> float | None:
    """Read the maximum of a column from the row that names the maxima, as course platforms export it."""
    cells = account.sheet.rows[index] if index is not None else []
    most = _as_number(cells[at]) if at < len(cells) else None
    if most:
        account.change("most points taken from the sheet", index, cells[at], most)
    return most


def _only_maximum(marks: list[Cell]) -> float | None:
    """Find the maximum that all text cells of a column agree on, such as 20 in ``17/20``."""
    named = {mark.max_points for _, value, mark in marks if mark.max_points and not isinstance(value, date)}
    return named.pop() if len(named) == 1 else None


def _scale(account: Account, column: MarkColumn, marks: list[Cell], most: float | None) -> Scale:
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
            do='Write them all one way, or declare scale = "points", "percent" or "share".'
            if parts
            else "Write them all one way, or the most points of the test beside the column in study.toml: max_points.",
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
        return float(value) if value is not None and not isinstance(value, date) else None
    except (TypeError, ValueError):
        return None
