"""The shape of a sheet: title lines, the header, blank and repeated rows, totals."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from kit.load.cells import Value
from kit.load.columns import field_of, mark_heading, plain
from kit.load.ledger import Account

_DEEPEST_HEADER = 40
"""Rows at the top of a sheet among which the header is looked for."""

_TOTAL = re.compile(
    r"(?:(?:class|choir|group|section|overall|grand)\s+)?"
    r"(?:totals?|sum|means?|average|avg|median|s\.?d|st\.?\s?dev|standard deviation|count|max|maximum|min|minimum"
    r"|points possible|highest|lowest)(?:\s+(?:score|mark|points))?|n\s*=\s*\d+"
)
_TEST_STUDENT = re.compile(r"(?:student,\s*test|test,\s*student|test student|student test)")


@dataclass(frozen=True, slots=True)
class Header:
    """Where the header stands and what it says; ``columns`` maps a plain heading to its column index."""

    index: int
    headings: tuple[str, ...]
    columns: dict[str, int]
    title: tuple[str, ...]

    def column(self, heading: str) -> int | None:
        """Find the column of a heading, without regard to case and spaces."""
        return self.columns.get(plain(heading))


def is_blank(value: Value) -> bool:
    """Say whether a cell holds nothing that can be seen."""
    return value is None or (isinstance(value, str) and not value.strip())


Known = Callable[[object], bool]


def known_heading(cell: object) -> bool:
    """Say whether a cell could be a heading of a file of marks or a roster."""
    return bool(field_of(cell)) or mark_heading(cell) is not None


def find_header(account: Account, declared: Iterable[str] = (), known: Known = known_heading) -> Header | None:
    """Find the header of a sheet and record title lines, blank rows and headings.

    Parameters
    ----------
    account : Account
        The account of the sheet; title, header and blank rows above the data are recorded in it.
    declared : iterable of str, optional
        Headings that the study file names: with them only a row that holds one counts as header.
    known : callable, optional
        Says whether a cell could be a heading.

    Returns
    -------
    Header or None
        ``None``, with a problem in the account, if no row looks like a header or two columns have one name.
    """
    wanted = {plain(heading) for heading in declared if heading}
    index = _header_index(account.sheet.rows, wanted, known)
    if index is None:
        _refuse_headerless(account)
        return None
    cells = account.sheet.rows[index]
    headings = tuple("" if is_blank(cell) else " ".join(str(cell).replace("\ufeff", "").split()) for cell in cells)
    title = []
    for above in range(index):
        blank = all(map(is_blank, account.sheet.rows[above]))
        account.call(above, "blank" if blank else "title")
        title += [] if blank else [" ".join(str(cell) for cell in account.sheet.rows[above] if not is_blank(cell))]
    account.call(index, "header")
    columns = _columns(account, index, headings, wanted, known)
    return None if columns is None else Header(index, headings, columns, tuple(title))


def sort_rows(account: Account, header: Header, *, student: int | None, names: tuple[int, ...]) -> None:
    """Record which rows below the header are blank, repeated headings, or totals.

    Parameters
    ----------
    account : Account
        The account of the sheet.
    header : Header
        Its header.
    student : int or None
        Column of the student id, if there is one.
    names : tuple of int
        Columns of the name, if there are any.
    """
    repeated = tuple(plain(heading) for heading in header.headings)
    first = next((at for at, heading in enumerate(repeated) if heading), 0)
    for index in range(header.index + 1, len(account.sheet.rows)):
        row = account.sheet.rows[index]
        if all(map(is_blank, row)):
            account.call(index, "blank")
        elif first < len(row) and isinstance(row[first], str) and _repeats(row, repeated, first):
            account.call(index, "header")
        elif _is_total(row, student, names):
            account.call(index, "total")


def is_test_student(row: list[Value], names: tuple[int, ...]) -> bool:
    """Say whether a row is the test account that a course platform adds to its export."""
    return bool(_TEST_STUDENT.fullmatch(plain(" ".join(str(row[c]) for c in names if c < len(row) and row[c]))))


def _header_index(rows: list[list[Value]], wanted: set[str], known: Known) -> int | None:
    """Take the row with most headings that are declared or known; the first of equals."""
    best, best_count = None, 0
    for index, row in enumerate(rows[:_DEEPEST_HEADER]):
        texts = [cell for cell in row if isinstance(cell, str) and cell.strip()]
        if wanted:
            count = len(wanted & {plain(cell) for cell in texts})
        else:
            count = sum(map(known, texts))
            count = count if len(texts) >= 2 and count >= 2 and len(texts) >= len(_filled(row)) - 1 else 0
        if count > best_count:
            best, best_count = index, count
    return best


def _filled(row: list[Value]) -> list[Value]:
    """Cells of a row that hold something."""
    return [cell for cell in row if not is_blank(cell)]


def _refuse_headerless(account: Account) -> None:
    """Say why no header was found: nothing there, or nothing known."""
    filled = [row for row in account.sheet.rows if _filled(row)]
    if not filled:
        account.refuse(why="no_header", found="The sheet is empty.", do="Fill it, or leave it out.")
        return
    read = ", ".join(str(cell) for cell in _filled(filled[0])[:8])
    account.refuse(
        why="wrong_columns",
        found=f"No row holds headings that the kit knows. The first row reads: {read}.",
        do="Give the columns headings such as ID, Choir, Pre, Post, or name yours in study.toml.",
    )


def _columns(
    account: Account, index: int, headings: tuple[str, ...], wanted: set[str], known: Known
) -> dict[str, int] | None:
    """Map headings to columns; two columns of one name are refused where either matters."""
    columns: dict[str, int] = {}
    for at, heading in enumerate(headings):
        key = plain(heading)
        if not key:
            continue
        matters = key in wanted or (not wanted and known(key))
        if key in columns and matters:
            account.refuse(
                why="column_twice", index=index, column=heading,
                found=f'Two columns have the heading "{heading}".',
                do='Give each its own heading, such as "Score Fall" and "Score Spring".',
            )  # fmt: skip
            return None
        columns.setdefault(key, at)
    return columns


def _repeats(row: list[Value], headings: tuple[str, ...], first: int) -> bool:
    """Say whether a row repeats the headings; one look at the first of them is enough for most rows."""
    if plain(row[first]) != headings[first]:
        return False
    return tuple(plain(cell) if not is_blank(cell) else "" for cell in row)[: len(headings)] == headings


def _is_total(row: list[Value], student: int | None, names: tuple[int, ...]) -> bool:
    """Say whether a row is a total: no student id, and a word for totals where the student should stand."""
    if student is not None and student < len(row) and not is_blank(row[student]):
        return bool(_TOTAL.fullmatch(plain(row[student])))
    where = names or range(min(3, len(row)))
    texts = [plain(row[c]) for c in where if c < len(row) and isinstance(row[c], str) and row[c].strip()]
    texts = texts or [plain(cell) for cell in row if isinstance(cell, str) and cell.strip()][:1]
    return any(_TOTAL.fullmatch(text) for text in texts)
