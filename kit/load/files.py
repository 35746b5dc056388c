"""All files of a study -> all tables at once, with every problem of every file."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from kit.errors import Problem, StudyProblems
from kit.load.attempts import settle_attempts
from kit.load.cells import Book, read_book
from kit.load.declared import RosterSource, Rules, ScoreSource, Source
from kit.load.identity import identify
from kit.load.ledger import Account, changes_table, ledger_table, set_aside_table
from kit.load.people import Crosswalk
from kit.load.roster import read_roster, student_table
from kit.load.scores import read_scores, score_table
from kit.load.sheets import Row
from kit.load.suggest import Suggestion

Step = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Loaded:
    """Everything that was read.

    Attributes
    ----------
    students, scores, set_aside, ledger, changes : DataFrame
        The normalised tables of ``kit.tables``.
    problems : tuple of Problem
        Faults for which a file is refused; the tables are then not to be used.
    suggestions : tuple of Suggestion
        How each sheet was understood.
    fingerprints : dict
        File -> SHA-256.
    personal : tuple of str
        Names and school ids met, for the scan of finished reports; never to be printed.
    """

    students: pd.DataFrame
    scores: pd.DataFrame
    set_aside: pd.DataFrame
    ledger: pd.DataFrame
    changes: pd.DataFrame
    problems: tuple[Problem, ...]
    suggestions: tuple[Suggestion, ...]
    fingerprints: dict[str, str]
    personal: tuple[str, ...]

    @property
    def in_the_way(self) -> tuple[Problem, ...]:
        """What stands in the way of a report: the problems, or that no mark could be read."""
        if self.problems or len(self.scores):
            return self.problems
        return (Problem(why="no_data", found="No mark could be read.", do="See what was set aside, and why."),)


def load_files(
    folder: Path,
    sources: Iterable[Source],
    *,
    rules: Rules | None = None,
    crosswalk: Crosswalk | None = None,
    step: Step = lambda _: None,
) -> Loaded:
    """Read every declared file of a study.

    Parameters
    ----------
    folder : Path
        Where the files are.
    sources : iterable of Source
        What is declared of each file; without a roster, the students are those who have marks.
    rules : Rules, optional
        What holds for all files.
    crosswalk : Crosswalk, optional
        Where study ids come from; without one they are drawn anew each time.
    step : callable, optional
        Told the name of each file as it is opened.

    Returns
    -------
    Loaded
        Also when files have problems: all problems of all files are in it.
    """
    rules, crosswalk = rules or Rules(), crosswalk or Crosswalk()
    reading, sources = _Reading(folder, step), tuple(sources)
    listed = reading.each(_of_kind(sources, RosterSource), read_roster)
    marked = reading.each(_of_kind(sources, ScoreSource), lambda book, source: read_scores(book, source, rules))
    identify([*listed, *marked], rules, crosswalk)
    settle_attempts(marked, rules)
    students = student_table(listed, marked, rules)
    crosswalk.save()
    accounts, table = _once(reading.accounts), score_table(marked)
    problems = (*reading.problems, *(problem for account in accounts for problem in account.problems))
    return Loaded(
        students=students, scores=table, set_aside=set_aside_table(accounts),
        ledger=ledger_table(accounts), changes=changes_table(accounts),
        problems=problems,
        suggestions=tuple(reading.suggestions), fingerprints=reading.fingerprints,
        personal=tuple(crosswalk.personal()),
    )  # fmt: skip


def _of_kind(sources: Iterable[Source], kind: type) -> list[Source]:
    """Choose the sources of one kind."""
    return [source for source in sources if isinstance(source, kind)]


def _once(accounts: list[Account]) -> list[Account]:
    """Leave out that one source did not read a sheet which another one did."""
    read = {(account.sheet.file, account.sheet.name) for account in accounts if not account.unread}
    kept, told = [], set()
    for account in accounts:
        place = (account.sheet.file, account.sheet.name)
        if not account.unread or (place not in read and place not in told):
            kept.append(account)
            told.add(place)
    return kept


class _Reading:
    """The files of one study as they are opened: accounts, problems and fingerprints gather here."""

    def __init__(self, folder: Path, step: Step) -> None:
        self.folder, self.step = folder, step
        self.accounts: list[Account] = []
        self.problems: list[Problem] = []
        self.suggestions: list[Suggestion] = []
        self.fingerprints: dict[str, str] = {}
        self._books: dict[tuple[str, str], Book] = {}

    def each(self, sources: Iterable, read: Callable) -> list[Row]:
        """Read each source's file; one that cannot be opened adds its problems and no rows."""
        rows: list[Row] = []
        for source in sources:
            book = self._open(source.file, source.encoding)
            if book is None:
                continue
            found, accounts, suggestions = read(book, source)
            rows += found
            self.accounts += accounts
            self.suggestions += suggestions
        return rows

    def _open(self, file: str, encoding: str) -> Book | None:
        """Open a file once, however many sources name it."""
        if (file, encoding) not in self._books:
            self.step(file)
            try:
                book = read_book(self.folder / file, encoding=encoding)
            except StudyProblems as refused:
                self.problems += refused.problems
                return None
            self._books[file, encoding] = book
            self.fingerprints[file] = book.fingerprint
        return self._books[file, encoding]
