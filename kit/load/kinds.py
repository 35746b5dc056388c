"""What kind of file a school sent: marks, a roster, a drill log, single notes, a key, patterns, ratings, attendance."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from kit.load import attendance
from kit.load.columns import field_of, mark_heading
from kit.load.declared import RosterSource, ScoreSource, Source
from kit.load.declared_music import (
    AttendanceSource,
    DrillSource,
    ItemSource,
    KeySource,
    PatternSource,
    RatingSource,
)
from kit.load.drills import columns as drill_columns
from kit.load.formats.cells import Sheet, Value, read_book
from kit.load.formats.fast_csv import open_head
from kit.load.items import columns as item_columns
from kit.load.ratings import read as ratings

FEWEST = 2
"""Headings of one kind that a sheet must have to be taken for it."""
_TOP = 40
_LOOKS: tuple[tuple[type, Callable[[Sequence[str]], int]], ...] = (
    (KeySource, item_columns.looks_like_keys),
    (PatternSource, item_columns.looks_like_patterns),
    (ItemSource, item_columns.looks_like_items),
    (DrillSource, drill_columns.looks_like),
    (RatingSource, ratings.looks_like),
    (AttendanceSource, attendance.looks_like),
)


def guess_sources(path: Path) -> list[Source]:
    """Say what kinds of file this seems to be, from the headings alone.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    list of Source
        One for each kind that its sheets are of, hidden sheets apart; each names its sheets where the kinds differ.
        A sheet is of the kind with most headings of its own; a file none of whose sheets is of any kind is taken for
        marks.

    Raises
    ------
    StudyProblems
        If the file cannot be opened.
    """
    head = open_head(path)
    sheets = [sheet for sheet in ((head.sheet,) if head else read_book(path).sheets) if not sheet.hidden]
    kinds = {sheet.name: kind for sheet in sheets if (kind := _kind_of(list(_texts(sheet)))) is not None}
    different = list(dict.fromkeys(kinds.values())) or [ScoreSource]
    if len(different) == 1:
        return [different[0](file=path.name)]
    return [
        kind(file=path.name, sheets=tuple(name for name, found in kinds.items() if found is kind)) for kind in different
    ]


def _kind_of(rows: list[list[str]]) -> type | None:
    """Choose the kind of a sheet; None where nothing in it is known."""
    found = [(looks(headings), kind) for kind, looks in _LOOKS for headings in rows]
    most, kind = max(found, key=lambda pair: pair[0], default=(0, ScoreSource))
    marks = max(map(_count_marks, rows), default=0)
    if most >= FEWEST and most > marks:
        return kind
    if marks:
        return ScoreSource
    return RosterSource if any(map(_lists_choirs, rows)) else None


def _texts(sheet: Sheet) -> Iterator[list[str]]:
    """Write the first rows of a sheet as texts, days included, since attendance may have a column for each."""
    for row in sheet.rows[:_TOP]:
        yield [_text(cell) for cell in row if cell is not None]


def _text(cell: Value) -> str:
    """Write a cell the way a heading is compared."""
    return cell if isinstance(cell, str) else str(cell)


def _count_marks(headings: Sequence[str]) -> int:
    """Count the headings of marks."""
    return sum(mark_heading(heading) is not None for heading in headings)


def _lists_choirs(headings: Sequence[str]) -> bool:
    """Say whether a row names students and their choirs."""
    fields = {field_of(heading) for heading in headings}
    return "choir" in fields and bool(fields & {"student", "name"})
