"""The lines of a drill log as columns of codes, taken from a stream of text of any length."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from kit.load.codes import Codes, listed
from kit.load.declared import names_of
from kit.load.declared_music import DrillSource
from kit.load.drills.columns import FIELDS, is_drill_heading, suggest_drills
from kit.load.drills.lines import SPLIT, Log, declared_headings, fields_told, joined, means_anything
from kit.load.formats.cells import Book, Sheet
from kit.load.formats.fast_csv import Head, Streamed, last_line, line_ends, stream
from kit.load.layout import is_test_student, sort_rows
from kit.load.ledger import Account
from kit.load.people.keys import name_key
from kit.load.sheets import SheetRead, choir_reader, open_sheets

NAME_REPLACED = "name replaced by a random study id"
"""The rule that is counted where a name gives way to a study id, as for every other kind of file."""
_TOTAL_SIGN = r"(?i)total|sum|mean|average|avg|median|s\.?\s*d|dev|count|max|min|possible|highest|lowest|n\s*="


def stream_log(head: Head, source: DrillSource) -> tuple[list[Log], list[Account]]:
    """Take the log from a text file of any length.

    Parameters
    ----------
    head : Head
        The top of the file.
    source : DrillSource
        What is declared about it.

    Returns
    -------
    logs : list of Log
        One, or none where something stands in the way.
    accounts : list of Account
        The account of the file.
    """
    book = Book(head.path.name, "", (head.sheet,))
    (read,) = open_sheets(book, source, declared_headings(source), suggest_drills, is_drill_heading)
    if isinstance(read, Account):
        return [], [read]
    if not means_anything(read):
        return [], [read.account]
    log = _StreamedLog(head, read).log()
    return ([log] if log else []), [read.account]


class _Lines(Sequence):
    """The line of each record of a text file, found when it is asked for."""

    def __init__(self, head: Head, header: int, records: int, inside: np.ndarray | None) -> None:
        self._top, self._first = head.sheet.numbers[: header + 1], last_line(head.sheet, header) + 1
        self._records, self._shift = records, None
        if inside is not None:
            self._shift = np.concatenate([[0], np.cumsum(inside)[:-1]])

    def __len__(self) -> int:
        return len(self._top) + self._records

    def __getitem__(self, index: int) -> int:
        if index < len(self._top):
            return self._top[index]
        record = index - len(self._top)
        return self._first + record + (0 if self._shift is None else int(self._shift[record]))

    def below(self, records: np.ndarray) -> np.ndarray:
        """Give the lines of records below the header."""
        lines = self._first + records
        return lines if self._shift is None else lines + self._shift[records]


class _StreamedLog:
    """The way from a stream to a log: read, tell rows that are no lines of the log, name the columns."""

    def __init__(self, head: Head, read: SheetRead) -> None:
        self.head, self.read, self.header = head, read, read.header.index
        source = read.source
        self.at = {name: at for name in FIELDS if name not in ("name", "note")
                   and (at := read.at(getattr(source, name))) is not None}  # fmt: skip
        self.names = tuple(at for heading in names_of(source) if (at := read.at(heading)) is not None)

    def log(self) -> Log | None:
        """Read the rows; None, with a problem in the account, where there are none."""
        width = len(self.head.sheet.rows[self.header])
        wanted = sorted({*self.at.values(), *self.names, *range(min(3, width))})
        streamed = stream(self.head, self.header, wanted)
        if self._blank(streamed).any() and len(wanted) < width:
            # rows may hold something in the other columns
            streamed = stream(self.head, self.header, range(width))
        lines = self._account(streamed)
        keep = self._sorted(streamed)
        rows = streamed.records[keep]
        if not len(rows) and not self.read.account.aside:
            self.read.account.refuse(
                why="no_data", found="There are headings and nothing below them.", do="Fill in the rows."
            )
            return None
        log = Log(self.read.account, self.read.suggestion, rows + self.header + 1, lines.below(rows))
        for name, at in self.at.items():
            log.columns[name] = streamed.columns[at].kept(keep)
        if self.names:
            log.columns["name"] = _joined_codes([streamed.columns[at] for at in self.names]).kept(keep)
        self._name_choir(log)
        return self._without_test_students(log) if self.names else log

    def _account(self, streamed: Streamed) -> _Lines:
        """Open the account of the whole file and set rows aside that do not fit the header."""
        top, records = self.read.account, len(streamed.records) + len(streamed.split)
        inside = streamed.lines
        if inside is not None or any(line_ends(text) for _, _, text in streamed.split):
            whole = np.zeros(records, np.int64)
            whole[streamed.records] = 0 if inside is None else inside
            for place, _, text in streamed.split:
                whole[place] = line_ends(text)
            inside = whole
        lines = _Lines(self.head, self.header, records, inside)
        account = replace(top, sheet=Sheet(self.head.path.name, "", range(len(lines)), lines))
        account.kinds = {index: kind for index, kind in top.kinds.items() if index <= self.header}
        self.read.account = account
        width = len(self.head.sheet.rows[self.header])
        for place, fields, text in streamed.split:
            index = self.header + 1 + place
            if re.sub(r"[\s,;|\"]", "", text):
                account.set_row_aside(index, found=fields_told(fields, width), **SPLIT)
            else:
                account.call(index, "blank")
        return lines

    def _blank(self, streamed: Streamed) -> np.ndarray:
        """Find the rows in which every column read is empty."""
        blank = np.ones(len(streamed.records), bool)
        for column in sorted(streamed.columns.values(), key=lambda column: len(column.cells)):
            if not blank.any():
                break
            empty = pc.equal(pc.utf8_trim_whitespace(column.cells), "").to_numpy(zero_copy_only=False)
            blank &= empty[column.codes] if empty.any() else False
        return blank

    def _sorted(self, streamed: Streamed) -> np.ndarray | slice:
        """Record blank rows, repeated headings and totals in the account; say which rows stay."""
        columns, headings = streamed.columns, self.read.header.headings
        doubtful = self._blank(streamed)
        for at in {*range(min(3, len(headings))), *self.names, *([self.at["student"]] if "student" in self.at else [])}:
            signs = pc.match_substring_regex(columns[at].cells, _TOTAL_SIGN).to_numpy(zero_copy_only=False)
            again = pc.equal(pc.utf8_lower(pc.utf8_trim_whitespace(columns[at].cells)), headings[at].casefold())
            if (signs := signs | again.to_numpy(zero_copy_only=False)).any():
                doubtful |= signs[columns[at].codes]
        if not doubtful.any():
            return slice(None)
        places = np.flatnonzero(doubtful)
        cells = {
            at: pa.array(columns[at].cells).take(pa.array(columns[at].codes[places])).to_pylist() for at in columns
        }
        rows = [
            list(row) for row in zip(*(cells.get(at, [None] * len(places)) for at in range(len(headings))), strict=True)
        ]
        trial = Account(Sheet("", "", [list(headings), *rows], list(range(1, len(rows) + 2))))
        sort_rows(trial, replace(self.read.header, index=0), student=self.at.get("student"), names=self.names)
        keep = np.ones(len(doubtful), bool)
        for row, kind in trial.kinds.items():
            keep[places[row - 1]] = False
            self.read.account.call(self.header + 1 + int(streamed.records[places[row - 1]]), kind)
        return keep

    def _name_choir(self, log: Log) -> None:
        """Find out where the choir is named, if no column does."""
        source = self.read.source
        if source.choir_is or "choir" not in log.columns:
            choir = source.choir_is or choir_reader(self.read, several=False)(0)
            log.columns["choir"] = Codes(np.zeros(len(log.rows), np.int8), [choir])

    def _without_test_students(self, log: Log) -> Log:
        """Set the rows of test accounts aside, and count the names that study ids stand for."""
        column, account = log.columns["name"], log.account
        names = [str(cell) for cell in listed(column.cells)]
        tests = np.array([is_test_student([name], (0,)) for name in names], bool)[column.codes]
        for index in log.rows[tests].tolist():
            account.set_row_aside(index, why="test_student", found="A test account.", do="Nothing: it is no student.")
        named = np.array([bool(name_key(name)) for name in names], bool)[column.codes] & ~tests
        if named.any():
            first = int(log.rows[np.argmax(named)])
            account.change(NAME_REPLACED, first, "(a name)", "(a study id)", times=int(named.sum()))
        return _rows_of(log, ~tests) if tests.any() else log


def _rows_of(log: Log, keep: np.ndarray) -> Log:
    """Keep some lines of a log."""
    columns = {name: column.kept(keep) for name, column in log.columns.items()}
    return replace(log, rows=log.rows[keep], numbers=log.numbers[keep], columns=columns)


def _joined_codes(columns: list[Codes]) -> Codes:
    """Join the parts of a name that stand in several columns."""
    if len(columns) == 1:
        return columns[0]
    first, rest = columns[0], _joined_codes(columns[1:])
    pairs, codes = np.unique(first.codes.astype(np.int64) * len(rest.cells) + rest.codes, return_inverse=True)
    texts = [joined((str(first.cells[pair // len(rest.cells)]), str(rest.cells[pair % len(rest.cells)])))
             for pair in pairs.tolist()]  # fmt: skip
    return Codes(codes, texts)
