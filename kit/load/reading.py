"""The files of one study as they are opened, each once, and what gathers on the way: accounts, problems, evidence."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import Protocol

import pandas as pd

from kit.errors import Problem, StudyProblems
from kit.load.declared import Rules, Source
from kit.load.declared_music import (
    AttendanceSource,
    DrillSource,
    ItemSource,
    KeySource,
    PatternSource,
    RatingSource,
)
from kit.load.duplicates import content_hash, set_copy_aside
from kit.load.formats.cells import Book, read_book
from kit.load.ledger import Account
from kit.load.sheets import Row
from kit.load.suggest import Suggestion

Step = Callable[[str], None]


class Read(Protocol):
    """What the reader of a file gives: its accounts, how it was understood, whom it names, and later its table.

    ``people`` are to be identified together with those of all other files before ``table`` is asked for. Readers of
    single notes also take ``choirs``, the choir of each student, since such files seldom name it; readers of logs and
    ratings take ``shared``, since their lines about nobody name choirs too, and name the choirs themselves.
    """

    accounts: list[Account]
    suggestions: list[Suggestion]
    people: list[Row]

    def table(self) -> pd.DataFrame:
        """Lay out what was read."""


class Reading:
    """The files of one study as they are opened.

    Parameters
    ----------
    folder : Path
        Where the files are.
    step : callable
        Told the name of each file.
    """

    def __init__(self, folder: Path, step: Step) -> None:
        self.folder, self.step = folder, step
        self.accounts: list[Account] = []
        self.problems: list[Problem] = []
        self.suggestions: list[Suggestion] = []
        self.fingerprints: dict[str, str] = {}
        self._books: dict[tuple[str, str], Book | None] = {}
        self._firsts: dict[tuple[type, str], str] = {}

    def rows(self, sources: Iterable[Source], read: Callable) -> list[Row]:
        """Read files of marks or rosters; one that cannot be opened adds its problems and no rows."""
        rows: list[Row] = []
        for source in sources:
            book = self._open(source)
            if book is None:
                continue
            first = self._firsts.setdefault((type(source), content_hash(book)), source.file)
            if first != source.file:
                self.accounts += set_copy_aside(book, first)
                continue
            found, accounts, suggestions = read(book, source)
            rows += found
            self.accounts += accounts
            self.suggestions += suggestions
        return rows

    def others(self, sources: Iterable[Source], rules: Rules) -> list[tuple[Source, Read]]:
        """Read files of all other kinds; the keys of tests first, since single notes are read by them."""
        sources = list(sources)
        keys = [(source, read) for source in sources if isinstance(source, KeySource)
                if (read := self._read(source, rules, None)) is not None]  # fmt: skip
        key = pd.concat([read.table() for _, read in keys], ignore_index=True) if keys else None
        return [*keys, *((source, read) for source in sources if not isinstance(source, KeySource)
                         if (read := self._read(source, rules, key)) is not None)]  # fmt: skip

    def _read(self, source: Source, rules: Rules, key: pd.DataFrame | None) -> Read | None:
        """Read one file by its kind."""
        try:
            read = self._by_kind(source, rules, key)
        except StudyProblems as refused:
            self.problems += refused.problems
            return None
        if read is not None:
            self.accounts += read.accounts
            self.suggestions += read.suggestions
        return read

    def _by_kind(self, source: Source, rules: Rules, key: pd.DataFrame | None) -> Read | None:
        """Choose the reader; each is imported when a study has such a file, since most have marks only."""
        # ruff: noqa: PLC0415
        if isinstance(source, DrillSource):
            from kit.load.drills.read import read_drills

            self.step(source.file)
            log = read_drills(self.folder / source.file, source, rules, open_book=lambda: self._book(source))
            self.fingerprints[source.file] = log.fingerprint
            return log
        book, read = self._open(source), None
        if book is not None:
            match source:
                case KeySource():
                    from kit.load.items.keys import read_keys as read
                case PatternSource():
                    from kit.load.patterns import read_patterns as read
                case ItemSource():
                    from kit.load.items.read import read_items

                    read = partial(read_items, keys=key)
                case RatingSource():
                    from kit.load.ratings.read import read_ratings as read
                case AttendanceSource():
                    from kit.load.attendance import read_attendance as read
        return read(book, source, rules) if read else None

    def _open(self, source: Source) -> Book | None:
        """Open a file once, however many sources name it; its problems are told once."""
        place = (source.file, source.encoding)
        if place not in self._books:
            self.step(source.file)
            try:
                self._books[place] = self._book(source)
            except StudyProblems as refused:
                self.problems += refused.problems
                self._books[place] = None
        return self._books[place]

    def _book(self, source: Source) -> Book:
        """Read a file as a book of sheets."""
        book = read_book(self.folder / source.file, encoding=source.encoding)
        self.fingerprints[source.file] = book.fingerprint
        return book
