"""Columns whose marks are words, letters or numbers that stand for something: orders of words, codes for no mark."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from kit.load.columns import plain
from kit.load.declared import MarkColumn
from kit.load.formats.cells import Value
from kit.load.ledger import Account, rows_in_words
from kit.load.marks.dated import Cell
from kit.load.marks.mark import Mark

LETTER_GRADES = frozenset(letter + sign for letter in "abcdf" for sign in ("", "+", "-")) | {"e"}
_MOST_WORDS = 7
"""Levels that a scale of words has at most (our own rule)."""

USUAL_CODES: Mapping[float, int] = {999: 1, 9999: 1, -9: 1, -99: 1, -999: 1, 99: 2, -1: 2}
"""Number that often stands for a missing mark -> how often it must be there to be one (common practice, no source)."""
_FAR_ABOVE = 2
"""A number this many times as large as any other of its column is out of range where no maximum is known."""

_GRADE = Mark(fault="not_a_mark")


def read_in_order(account: Account, column: MarkColumn, cells: list[Cell]) -> list[Cell]:
    """Read words or letters as their places in the declared order, 1 for the worst.

    Parameters
    ----------
    account : Account
        The account of the sheet; words that the order does not have are refused in it.
    column : MarkColumn
        The column, with its ``order``.
    cells : list of (Row, value, Mark)
        Its cells.

    Returns
    -------
    list of (Row, value, Mark)
        Points 1 to the number of levels, without a maximum: a place in an order is no share of anything.
    """
    places = {plain(word): float(at) for at, word in enumerate(column.order, 1)}
    ordered, unknown = [], []
    for row, value, mark in cells:
        place = places.get(_key(value))
        if place:
            mark = Mark(points=place, rule="word or letter read as its place in the declared order")  # noqa: PLW2901
        elif not mark.missing_reason:
            unknown.append(row.index)
            mark = _GRADE  # noqa: PLW2901
        ordered.append((row, value, mark))
    if unknown:
        account.refuse(
            why="grades_order", index=unknown[0], column=column.column,
            found=f"{_cells(unknown)} no word of the declared order: {_rows(account, unknown)}.",
            do="Add the word to order in study.toml, from worst to best, or correct the cell.",
        )  # fmt: skip
    return ordered


def without_letter_grades(cells: list[Cell]) -> list[Cell]:
    """Take back that a lone A means absent where other letters show that the column holds letter grades."""
    letters = {_key(value) for _, value, _ in cells if isinstance(value, str)}
    if not letters & (LETTER_GRADES - {"a", "e"}):
        return cells
    return [(row, value, _GRADE if _key(value) == "a" else mark) for row, value, mark in cells]


FEWEST_TO_PRINT = 3
"""Times that a word must stand in a column of marks to be printed: one that stands less often may be a name."""


def refuse_words(account: Account, column: MarkColumn, cells: list[Cell]) -> None:
    """Refuse a column of marks that holds a few words again and again, the levels of a rubric, in no declared order."""
    given = [(row.index, value, mark) for row, value, mark in cells if not mark.missing_reason]
    words = Counter(_key(value) for _, value, mark in given if isinstance(value, str) and mark.fault == "not_a_mark")
    number = words.total()
    if set(words) <= LETTER_GRADES or not 2 <= len(words) <= _MOST_WORDS or number < 2 * len(words):
        return
    if 2 * number > len(given):
        account.refuse(
            why="grades_order", column=column.column,
            found=f"{number} of {len(given)} marks are words: "
            f"{_quoted_words([value for _, value, _ in given if isinstance(value, str)], words)}.",
            do="Declare the column of marks in study.toml with  order = [...] , its words from worst to best.",
        )  # fmt: skip


def _quoted_words(values: list[str], words: Counter) -> str:
    """List the words of a column, for somebody to put in order; only their number where one may be somebody's name."""
    if min(words.values()) < FEWEST_TO_PRINT:
        return f"{len(words)} different ones"
    spelled = {_key(value): " ".join(value.split()) for value in values if _key(value) in words}
    return ", ".join(f'"{word}"' for word in sorted(spelled.values()))


def read_codes(
    account: Account, column: MarkColumn, cells: list[Cell], *, codes: Mapping[str, str], most: float | None
) -> list[Cell]:
    """Read numbers that stand for a missing mark as declared; undeclared ones that are out of range are refused.

    Parameters
    ----------
    account : Account
        The account of the sheet.
    column : MarkColumn
        The column.
    cells : list of (Row, value, Mark)
        Its cells.
    codes : mapping of str to str
        Code -> why there is no mark.
    most : float or None
        Most points of the test.

    Returns
    -------
    list of (Row, value, Mark)
        With a reason in place of each declared code.
    """
    reasons = {plain(code): reason for code, reason in codes.items()}
    if reasons:
        cells = [(row, value, _by_code(reasons, value, mark)) for row, value, mark in cells]
    unclear = _unclear_codes(cells, most)
    if not unclear:
        return cells
    at = [row.index for row, _, mark in cells if mark.points in unclear and mark.max_points is None]
    listed = ", ".join(f"{code:g}" for code in sorted(unclear))
    account.refuse(
        why="codes_unclear", index=at[0], column=column.column,
        found=f"{_cells(at)} {listed}, which may stand for a missing mark: {_rows(account, at)}.",
        do=f'Write in study.toml what it stands for, such as  missing_codes = {{ "{min(unclear):g}" = "absent" }}.',
        type_this="missing_codes = { " + ", ".join(f'"{code:g}" = "unspecified"' for code in sorted(unclear)) + " }",
    )  # fmt: skip
    fault = Mark(fault="codes_unclear")
    return [(row, value, fault if row.index in set(at) else mark) for row, value, mark in cells]


def _by_code(reasons: Mapping[str, str], value: Value, mark: Mark) -> Mark:
    """Give the declared reason for a cell that holds a code."""
    number = f"{mark.points:g}" if mark.points is not None and mark.max_points is None else ""
    reason = reasons.get(_key(value)) or reasons.get(number, "")
    return Mark(missing_reason=reason, rule="declared code read as no mark") if reason else mark


def _unclear_codes(cells: list[Cell], most: float | None) -> set[float]:
    """Find usual codes that no mark of the column could be."""
    counts = Counter(mark.points for _, _, mark in cells if mark.points is not None and mark.max_points is None)
    likely = {code for code, least in USUAL_CODES.items() if counts[code] >= least}
    if not likely:
        return set()
    others = [points for points in counts if points not in likely]
    limit = most or _FAR_ABOVE * max(others, default=0)
    return {code for code in likely if code < 0 or (limit and code > limit)}


def _key(value: Value) -> str:
    """Write a cell the way words and codes are compared."""
    return f"{value:g}" if isinstance(value, float) else plain(value)


def _cells(at: list[int]) -> str:
    """Begin a sentence about cells."""
    return "One cell holds" if len(at) == 1 else f"{len(at)} cells hold"


def _rows(account: Account, at: Iterable[int]) -> str:
    """List rows by the numbers that the spreadsheet program shows."""
    return rows_in_words([account.sheet.numbers[index] for index in at])
