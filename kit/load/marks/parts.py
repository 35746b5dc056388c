"""Cells that hold several marks, such as pitch and rhythm in ``P12 R8``: taken apart as declared, never guessed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from kit.load.columns import plain
from kit.load.declared import MarkColumn
from kit.load.formats.cells import Value
from kit.load.ledger import Account
from kit.load.marks.dated import Cell
from kit.load.marks.mark import Mark, settle

_PART = r"([A-Za-z]*)\s*[:=]?\s*(\d+(?:\.\d+)?)"
_EACH = re.compile(_PART)
_SEVERAL = re.compile(rf"{_PART}(?:\s*[/,;|+&]?\s*{_PART})+")
_LABELLED = re.compile(r"[A-Za-z]+\s*[:=]?\s*\d+(?:\.\d+)?(?:\s*[/,;|+&]?\s*[A-Za-z]+\s*[:=]?\s*\d+(?:\.\d+)?)+")
_UNREADABLE = ("formula", "cell")
_UNCLEAR = Mark(fault="one_of_two")
_MAXIMA_OF_ONE_TEST = 2
"""Different maxima in one column beyond which, with a mark above one of them, a/b is no mark (our rule)."""


def read_parts(account: Account, column: MarkColumn, cells: list[Cell]) -> None:
    """Take the cells of a column apart into the declared parts and add the marks to the rows.

    Parameters
    ----------
    account : Account
        The account of the sheet.
    column : MarkColumn
        The column, with its ``parts`` and ``part_points``.
    cells : list of (Row, value, Mark)
        Its cells.
    """
    most = (*column.part_points, *(None for _ in column.parts))
    columns = [
        replace(column, measure=part, parts=(), part_points=(), max_points=points)
        for part, points in zip(column.parts, most, strict=False)
    ]
    for row, value, mark in cells:
        if mark.missing_reason:
            row.marks += [(part, replace(mark, rule="")) for part in columns]
            continue
        points = _points(value, column.parts)
        if not points:
            row.marks.append((column, mark if mark.fault.startswith(_UNREADABLE) else _UNCLEAR))
            continue
        account.change(
            "several marks in one cell", row.index, value, ", ".join(f"{k} {v:g}" for k, v in points.items())
        )
        row.marks += [
            (part, settle(Mark(points=points[part.measure]), max_points=part.max_points, scale="")) for part in columns
        ]


def refuse_parts(account: Account, column: MarkColumn, cells: list[Cell]) -> list[Cell]:
    """Refuse a column whose cells seem to hold several marks each, where no parts are declared.

    Parameters
    ----------
    account : Account
        The account of the sheet.
    column : MarkColumn
        The column.
    cells : list of (Row, value, Mark)
        Its cells.

    Returns
    -------
    list of (Row, value, Mark)
        The cells, with ``one_of_two`` for those in doubt.
    """
    labelled = [row.index for row, value, _ in cells if isinstance(value, str) and _LABELLED.fullmatch(value.strip())]
    paired = [(row.index, mark) for row, value, mark in cells if isinstance(value, str) and mark.max_points]
    above = [index for index, mark in paired if mark.points is not None and mark.points > mark.max_points]
    several = len({mark.max_points for _, mark in paired}) > _MAXIMA_OF_ONE_TEST
    at = labelled if len(labelled) > 1 else above if several else []
    if not at:
        return cells
    account.refuse(
        why="one_of_two", index=at[0], column=column.column,
        found="The cells of the column seem to hold two marks each, and nothing says which is which.",
        do='Declare the column of marks in study.toml with its parts, such as  parts = ["pitch", "rhythm"].',
    )  # fmt: skip
    return [(row, value, _UNCLEAR if row.index in set(at) else mark) for row, value, mark in cells]


def _points(value: Value, parts: Sequence[str]) -> dict[str, float]:
    """Give each part its number, by its letter where letters stand there, else by the order; empty where unclear."""
    if not isinstance(value, str) or not _SEVERAL.fullmatch(value.strip()):
        return {}
    found = _EACH.findall(value)
    if len(found) != len(parts):
        return {}
    numbers = [float(number) for _, number in found]
    if not any(label for label, _ in found):
        return dict(zip(parts, numbers, strict=True))
    named = [[part for part in parts if label and plain(part).startswith(label.casefold())] for label, _ in found]
    if any(len(fitting) != 1 for fitting in named) or len({fitting[0] for fitting in named}) != len(parts):
        return {}
    return {fitting[0]: number for fitting, number in zip(named, numbers, strict=True)}
