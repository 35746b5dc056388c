"""Which rows of a sheet are its header: one row, or several that are read together where merged cells join them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from kit.load.columns import field_of, mark_heading, plain
from kit.load.formats.cells import Sheet, Value
from kit.load.formats.worksheet import Range

DEEPEST_HEADER = 40
"""Rows at the top of a sheet among which the header is looked for."""
_MOST_HEADER_ROWS = 4
_SHORTEST_RUN = 3

Known = Callable[[object], bool]


@dataclass(frozen=True, slots=True)
class HeaderRows:
    """Rows that make a header: the first and the last of them, and what they say together.

    ``parts`` gives for each column the texts from top to bottom; one text where the header has one row.
    """

    top: int
    index: int
    headings: tuple[str, ...]
    parts: tuple[tuple[str, ...], ...]

    @property
    def plain_pair(self) -> bool:
        """Say whether the header is one row, or two that only have one reading."""
        return self.index - self.top <= 1


def is_blank(value: Value) -> bool:
    """Say whether a cell holds nothing that can be seen."""
    return value is None or (isinstance(value, str) and not value.strip())


def heading_text(value: Value) -> str:
    """Write a cell of a header as text; a day without its time."""
    if is_blank(value):
        return ""
    if isinstance(value, date) and str(value).endswith("00:00:00"):
        return value.strftime("%Y-%m-%d")
    return " ".join(str(value).replace("\ufeff", "").split())


def find_rows(sheet: Sheet, wanted: set[str], known: Known) -> HeaderRows | None:
    """Take the row, or the rows joined by merged cells, with most headings that are declared or known.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    wanted : set of str
        Plain headings that the study file names.
    known : callable
        Says whether a cell could be a heading.

    Returns
    -------
    HeaderRows or None
        The first of equals, rows that are joined before single ones.
    """
    best, best_count = None, 0
    counts: list[int] = []
    for index, row in enumerate(sheet.rows[:DEEPEST_HEADER]):
        count = _count(row, wanted, known)
        counts.append(count)
        if count > best_count:
            texts = tuple(map(heading_text, row))
            best, best_count = HeaderRows(index, index, texts, tuple((text,) for text in texts)), count
        joined = _joined(sheet, index)
        count = _count(joined.headings, wanted, known) if joined else 0
        # a row of marks below a header joins with it too, but then fewer headings are known than without it
        if count >= max(best_count, 1) and (wanted or count > max(counts[joined.top : index])):
            best, best_count = joined, count
    return best


def is_half_header(sheet: Sheet, index: int) -> bool:
    """Say whether the row above a header names tests over columns of marks, without merged cells to say over which."""
    if not index:
        return False
    lower, upper = (tuple(map(heading_text, sheet.rows[at])) for at in (index, index - 1))
    over = [at for at, text in enumerate(upper) if text and at < len(lower) and lower[at]]
    return bool(over) and all(
        not _is_person(lower[at]) and (mark := mark_heading(upper[at])) is not None and mark.whens for at in over
    )


def _count(row: Sequence[Value], wanted: set[str], known: Known) -> int:
    """Count the headings of a row that are declared, or known where none is; days may be headings of some tables."""
    days = [cell for cell in row if isinstance(cell, date) and known(cell)]
    texts = [*days, *_running(row, known), *(cell for cell in row if isinstance(cell, str) and cell.strip())]
    if wanted:
        return len(wanted & {plain(cell) for cell in texts})
    count = sum(map(known, texts))
    filled = sum(not is_blank(cell) for cell in row)
    return count if len(texts) >= 2 and count >= 2 and len(texts) >= filled - 1 else 0


def _running(row: Sequence[Value], known: Known) -> list[Value]:
    """Give the numbers 1, 2, 3... of a row, which head a column for each note of a test; none for other numbers."""
    numbers = [cell for cell in row if isinstance(cell, int | float) and not isinstance(cell, bool)]
    runs = len(numbers) >= _SHORTEST_RUN and numbers == list(range(1, len(numbers) + 1))
    return numbers if runs and all(map(known, numbers)) else []


def _joined(sheet: Sheet, index: int) -> HeaderRows | None:
    """Read a row together with those above it that belong to the header; None where none does."""
    lower = _spread(sheet, index)
    top = index
    while top and index - top < _MOST_HEADER_ROWS - 1 and _belongs(sheet, top - 1, lower):
        top -= 1
    if top == index:
        return None
    rows = [_spread(sheet, at) for at in range(top, index + 1)]
    width = max(column for row in rows for column in row) + 1
    parts = tuple(_stacked([row[column] for row in rows if column in row]) for column in range(width))
    headings = tuple(" ".join(texts) for texts in parts)
    named = [plain(text) for text in headings if text]
    return HeaderRows(top, index, headings, parts) if len(set(named)) == len(named) else None


Spread = dict[int, tuple[str, Range]]


@lru_cache(maxsize=8)
def _top_ranges(merged: tuple[Range, ...]) -> tuple[Range, ...]:
    """Choose the merged ranges that begin where a header may stand."""
    return tuple(place for place in merged if place[0] < DEEPEST_HEADER)


def _spread(sheet: Sheet, index: int) -> Spread:
    """List the texts of a row by column; the text of a merged range stands in each of its columns, in no other one."""
    row, widest = sheet.rows[index], max(map(len, sheet.rows[:DEEPEST_HEADER]))
    texts = {
        column: (heading_text(cell), (index, column, index, column))
        for column, cell in enumerate(row)
        if not is_blank(cell)
    }
    for merged in _top_ranges(sheet.merged):
        top, left, bottom, right = merged
        if top <= index <= bottom and left < len(sheet.rows[top]) and not is_blank(sheet.rows[top][left]):
            text = heading_text(sheet.rows[top][left])
            texts |= dict.fromkeys(range(left, min(right + 1, widest)), (text, merged))
    return texts


def _belongs(sheet: Sheet, index: int, lower: Spread) -> bool:
    """Say whether a row is the upper part of the header that ends in ``lower``."""
    upper = _spread(sheet, index)
    over = {column: text for column, text in upper.items() if column not in lower or lower[column] != text}
    below = [lower[column][0] for column in over if column in lower]
    if not over or any(_is_person(text) or not any(map(str.isalpha, text)) for text in below):
        return False
    widths = Counter(place for column, (_, place) in over.items() if column in lower)
    if any(times >= 2 and place[0] == place[2] for place, times in widths.items()):
        return True
    days = [isinstance(cell, date) for cell in sheet.rows[index] if not is_blank(cell)]
    return (len(days) >= 2 and all(days)) or _separates(over, lower)


def _separates(over: Spread, lower: Spread) -> bool:
    """Say whether every heading that stands twice has a text of its own above it, different for each."""
    times = Counter(plain(text) for text, _ in lower.values())
    twice = [column for column, (text, _) in lower.items() if times[plain(text)] > 1]
    pairs = {(plain(lower[column][0]), plain(over[column][0])) for column in twice if column in over}
    return bool(twice) and len(pairs) == len(twice)


def _is_person(text: str) -> bool:
    """Say whether a heading is about the singer, not about marks."""
    return field_of(text) not in ("", "points", "max_points", "occasion", "date", "form", "rater", "attempt")


def _stacked(texts: list[tuple[str, Range]]) -> tuple[str, ...]:
    """Put the texts of one column one below the other; a cell merged downwards counts once."""
    kept = [text for at, (text, place) in enumerate(texts) if at == 0 or texts[at - 1][1] != place]
    return tuple(kept)
