"""Marks that a spreadsheet program turned into dates: 5/20 became 20 May, 2/30 the first of February 1930."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date

from kit.load.declared import DateMarks, MarkColumn
from kit.load.formats.cells import Value
from kit.load.ledger import Account
from kit.load.marks.mark import Mark
from kit.load.sheets import Row

Cell = tuple[Row, Value, Mark]
_RULE = "date read back as points of maximum"
_LAST_MONTH = 12
_UNCLEAR = Mark(fault="unclear_mark")


def read_dates_back(
    account: Account, column: MarkColumn, cells: list[Cell], *, most: float | None, declared: DateMarks
) -> list[Cell]:
    """Read the dates of a column of marks back to points of a maximum, all of them or none.

    Parameters
    ----------
    account : Account
        The account of the sheet; a column of nothing but dates that could be read in two ways is refused in it.
    column : MarkColumn
        The column.
    cells : list of (Row, value, Mark)
        Its cells.
    most : float or None
        Most points of the test, as declared or as the text cells of the column agree on.
    declared : str
        Whether the month or the day of a date was typed as the points; undeclared, only the maximum tells.

    Returns
    -------
    list of (Row, value, Mark)
        With a mark, or ``unclear_mark``, for each date.
    """
    dates = {value for _, value, _ in cells if isinstance(value, date)}
    if not dates:
        return cells
    marks = _readings(dates, most, declared)
    typed = [value for _, value, mark in cells if not mark.missing_reason]
    if not marks and most is None and len(typed) > 1 and all(_either_way(value) for value in typed):
        account.refuse(
            why="date_unclear", column=column.column,
            found="All marks of the column are dates, such as a spreadsheet program makes of 5/10.",
            do='Write date_marks = "month_is_points" in study.toml if 5/10 became the tenth of May, "day_is_points" '
            "if it became the fifth of October; or type the marks again in cells formatted as text.",
        )  # fmt: skip
    return [(row, value, marks.get(value, _UNCLEAR) if isinstance(value, date) else mark) for row, value, mark in cells]


def _either_way(value: Value) -> bool:
    """Say whether a cell is a date whose day could be a month."""
    return isinstance(value, date) and value.day <= _LAST_MONTH


def _readings(dates: Iterable[date], most: float | None, declared: DateMarks) -> dict[date, Mark]:
    """Read all dates one way that gives them one maximum, the known one; empty where there is no such way."""
    ways: dict[str, Callable[[date, float | None], Mark]] = {"month_is_points": _month, "day_is_points": _day}
    for name, way in ways.items():
        marks = {value: way(value, most) for value in dates}
        maxima = {mark.max_points for mark in marks.values()}
        if declared in ("", name) and (maxima == {most} or (declared and most is None and len(maxima) == 1)):
            return marks
    return {}


def _month(value: date, most: float | None) -> Mark:
    """Take the month as the points, of the day or, where that is 1, of the two last digits of the year."""
    by_year = value.day == 1 and most == value.year % 100
    return Mark(points=float(value.month), max_points=most if by_year else float(value.day), rule=_RULE)


def _day(value: date, most: float | None) -> Mark:
    """Take the day as the points, of the month."""
    return Mark(points=float(value.day), max_points=float(value.month), rule=_RULE)
