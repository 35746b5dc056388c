"""The shape of a sheet: title lines, the header, blank and repeated rows, totals and titles of sections."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from kit.load.columns import field_of, mark_heading, occasion_rank, plain
from kit.load.formats.cells import Sheet, Value
from kit.load.formats.worksheet import name_of
from kit.load.header import HeaderRows, Known, find_rows, heading_text, is_blank, is_half_header
from kit.load.ledger import Account

_VOICES = r"sopranos?|mezzos?|altos?|trebles?|tenors?|baritones?|bass(?:es)?"
_TOTAL = re.compile(
    rf"(?:(?:class|choir|group|section|overall|grand|sub|boys|girls|men|women|(?:{_VOICES})(?: \d)?)[\s-]*)?"
    r"(?:totals?|sum|means?|average|avg|median|s\.?d|st\.?\s?dev|standard deviation|count|max|maximum|min|minimum"
    rf"|points possible|highest|lowest)(?:\s+(?:score|mark|points|{_VOICES}))?|n\s*=\s*\d+"
    r"|(?:[^\W\d][\w'’.-]* ){1,3}(?:averages?|avg|median|std\.? dev)"
)
_SECTION = re.compile(
    rf"(?:(?:first|second|1st|2nd)\s+)?(?:{_VOICES})(?:\s*(?:\d|i|ii))?(?:\s+(?:section|part|voice))?"
)
_TEST_STUDENT = re.compile(r"(?:student,\s*test|test,\s*student|test student|student test)")


@dataclass(frozen=True, slots=True)
class Header:
    """Where the header stands and what it says; ``columns`` maps a plain heading to its column index.

    ``joined`` lists (before, after) of the headings that were read from several rows; ``left_out`` gives the heading
    of each hidden column, which no reader sees; ``twice`` holds the plain headings that two columns have.
    """

    index: int
    headings: tuple[str, ...]
    columns: dict[str, int]
    title: tuple[str, ...]
    joined: tuple[tuple[str, str], ...] = ()
    left_out: tuple[tuple[int, str], ...] = ()
    twice: frozenset[str] = frozenset()

    def column(self, heading: str) -> int | None:
        """Find the column of a heading, without regard to case and spaces."""
        return self.columns.get(plain(heading))


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
    sheet, rows = account.sheet, find_rows(account.sheet, wanted, known)
    if rows is None:
        _refuse_headerless(account)
        return None
    headings, left_out = _without_hidden(sheet, rows.headings, wanted)
    title = []
    for above in range(rows.top):
        blank = all(map(is_blank, sheet.rows[above]))
        account.call(above, "blank" if blank else "title")
        title += [] if blank else [" ".join(str(cell) for cell in sheet.rows[above] if not is_blank(cell))]
    for index in range(rows.top, rows.index + 1):
        account.call(index, "header")
    if not rows.plain_pair and not _all_there(wanted, headings):
        _refuse_deep_header(account, rows)
        return None
    half = not wanted and rows.top == rows.index and _refuse_half_header(account, rows.index)
    columns = None if half else _columns(account, rows.index, headings, wanted, known)
    if columns is None:
        return None
    joined = tuple((" / ".join(parts), heading) for parts, heading in zip(rows.parts, headings, strict=True)
                   if heading and len(parts) > 1)  # fmt: skip
    twice = frozenset(key for at, text in enumerate(headings) if (key := plain(text)) and columns[key] != at)
    return Header(rows.index, headings, columns, tuple(title), joined, left_out, twice)


def sort_rows(account: Account, header: Header, *, student: int | None, names: tuple[int, ...]) -> None:
    """Record which rows below the header are blank, repeated headings, totals or titles of sections.

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
            _refuse_stacked(account, header, index)
        elif _is_total(row, student, names):
            account.call(index, "total")
        elif _is_section(row):
            account.call(index, "total")
            account.change("title of a section, counted with the totals", index, "(a title)", "(no student)")


def _refuse_stacked(account: Account, header: Header, index: int) -> None:
    """Refuse a sheet in which a repeated header stands below the name of another test."""
    above = next((at for at in range(index - 1, header.index, -1) if account.kinds.get(at) != "blank"), None)
    cells = _filled(account.sheet.rows[above]) if above is not None else []
    if len(cells) == 1 and isinstance(cells[0], str) and occasion_rank(cells[0]):
        account.call(above, "title")
        account.refuse(
            why="stacked_tables", index=above,
            found=f'The table of another test begins here: "{cells[0].strip()}".',
            do="Put each test on a sheet of its own, or into a column of its own.",
        )  # fmt: skip


def refuse_twice(account: Account, index: int, heading: str) -> None:
    """Refuse a sheet in which two columns have one heading."""
    account.refuse(
        why="column_twice", index=index, column=heading, found=f'Two columns have the heading "{heading}".',
        do='Give each its own heading, such as "Score Fall" and "Score Spring".',
    )  # fmt: skip


def is_test_student(row: list[Value], names: tuple[int, ...]) -> bool:
    """Say whether a row is the test account that a course platform adds to its export."""
    return bool(_TEST_STUDENT.fullmatch(plain(" ".join(str(row[c]) for c in names if c < len(row) and row[c]))))


def _without_hidden(
    sheet: Sheet, headings: tuple[str, ...], wanted: set[str]
) -> tuple[tuple[str, ...], tuple[tuple[int, str], ...]]:
    """Take the headings of hidden columns away, unless the study file names them and no visible column has them."""
    shown = {plain(text) for at, text in enumerate(headings) if at not in sheet.hidden_columns}
    out = tuple(
        (at, text)
        for at, text in enumerate(headings)
        if text and at in sheet.hidden_columns and (plain(text) not in wanted or plain(text) in shown)
    )
    gone = {at for at, _ in out}
    return tuple("" if at in gone else text for at, text in enumerate(headings)), out


def _all_there(wanted: set[str], headings: tuple[str, ...]) -> bool:
    """Say whether the study file names columns of marks of this header, and all that it names are there."""
    there = {plain(text) for text in headings if text}
    return wanted <= there and any(field_of(key) in ("", "points") for key in wanted)


def _refuse_deep_header(account: Account, rows: HeaderRows) -> None:
    """Refuse a header of three rows or more, and list how its columns read."""
    numbers = account.sheet.numbers
    read = ", ".join(f'"{heading}"' for heading in rows.headings if heading)
    account.refuse(
        why="merged_header", index=rows.top,
        found=f"The header spreads over rows {numbers[rows.top]} to {numbers[rows.index]}. Read together: {read}.",
        do="Write the headings into one row, or name the columns of marks in study.toml as they are listed here.",
    )  # fmt: skip


def _filled(row: list[Value]) -> list[Value]:
    """Cells of a row that hold something."""
    return [cell for cell in row if not is_blank(cell)]


def _refuse_headerless(account: Account) -> None:
    """Say why no header was found: nothing there, or nothing known."""
    first = next((index for index, row in enumerate(account.sheet.rows) if _filled(row)), None)
    if first is None:
        account.refuse(why="no_header", found="The sheet is empty.", do="Fill it, or leave it out.")
        return
    # what stands there is not repeated: without a header it is somebody's name
    account.refuse(
        why="wrong_columns",
        found="No row holds headings that the kit knows; the first one that is not blank is row "
        f"{account.sheet.numbers[first]}.",
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
            if _refuse_two_tables(account, index, headings):
                return None
            refuse_twice(account, index, heading)
            return None
        columns.setdefault(key, at)
    return columns


def _refuse_two_tables(account: Account, index: int, headings: tuple[str, ...]) -> bool:
    """Refuse a sheet with two tables: an empty column, and headings to its right that stand to its left as well."""
    rows = account.sheet.rows[index:]
    for gap in range(1, len(headings) - 1):
        left, right = headings[:gap], headings[gap + 1 :]
        shared = {plain(text) for text in left if text} & {plain(text) for text in right if text}
        if headings[gap] or not shared or any(gap < len(row) and not is_blank(row[gap]) for row in rows):
            continue
        if len(shared) < 2 and not any(field_of(key) in ("student", "name") for key in shared):
            continue
        last = index + max(at for at, row in enumerate(rows) if any(not is_blank(cell) for cell in row))
        first = next(at for at, text in enumerate(headings) if text)
        begin = next(at for at, text in enumerate(headings) if at > gap and text)
        one = f"{name_of(index, first)}:{name_of(last, gap - 1)}"
        other = f"{name_of(index, begin)}:{name_of(last, len(headings) - 1)}"
        account.refuse(
            why="two_tables", index=index, found=f"Two tables stand side by side: {one} and {other}.",
            do=f'Put each on a sheet of its own, or write cells = "{one}" in study.toml to read one of them.',
        )  # fmt: skip
        return True
    return False


def _refuse_half_header(account: Account, index: int) -> bool:
    """Refuse a header whose upper row stands over some columns only, with nothing to say over which others as well."""
    if not is_half_header(account.sheet, index):
        return False
    numbers = account.sheet.numbers
    upper, lower = (", ".join(f'"{text}"' for cell in account.sheet.rows[at] if (text := heading_text(cell)))
                    for at in (index - 1, index))  # fmt: skip
    account.refuse(
        why="merged_header", index=index,
        found=f"The header has two rows. Row {numbers[index - 1]} reads: {upper}. Row {numbers[index]} reads: {lower}.",
        do='Write the headings into one row, such as "Fall Pitch", "Fall Rhythm".',
    )  # fmt: skip
    return True


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


def _is_section(row: list[Value]) -> bool:
    """Say whether a row holds nothing but the name of a voice."""
    first = next((cell for cell in row if not is_blank(cell)), None)
    if not isinstance(first, str) or not _SECTION.fullmatch(plain(first)):
        return False
    return sum(not is_blank(cell) for cell in row) == 1
