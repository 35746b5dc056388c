"""All files of a study -> all tables at once, with every problem of every file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

import pandas as pd

from kit.errors import Problem
from kit.load.declared import RosterSource, Rules, ScoreSource, Source
from kit.load.declared_music import (
    AttendanceSource,
    DrillSource,
    ItemSource,
    KeySource,
    PatternSource,
    RatingSource,
)
from kit.load.duplicates import refuse_two_layouts
from kit.load.ledger import Account, changes_table, ledger_table, set_aside_table
from kit.load.marks.attempts import settle_attempts
from kit.load.marks.scores import read_scores, score_table
from kit.load.order_checks import check_rows
from kit.load.people.identity import identify
from kit.load.people.keys import Crosswalk
from kit.load.people.roster import read_roster, student_table
from kit.load.people.shared_choirs import name_choirs, shared_choirs
from kit.load.reading import Read, Reading, Step
from kit.load.suggest import Suggestion
from kit.tables import ATTENDANCE, DRILLS, ITEMS, PATTERNS, RATINGS, Table, empty

_TABLE_OF = {ItemSource: ITEMS, DrillSource: DRILLS, PatternSource: PATTERNS, RatingSource: RATINGS,
             AttendanceSource: ATTENDANCE}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Loaded:
    """Everything that was read.

    Attributes
    ----------
    students, scores, items, drills, patterns, ratings, attendance, set_aside, ledger, changes : DataFrame
        The normalised tables of ``kit.tables``; those of which the study has no file are empty.
    key : DataFrame
        The scored notes of the tests with their tags, as `kit.load.items.keys.read_keys` gives them; may be empty.
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
    items: pd.DataFrame
    drills: pd.DataFrame
    patterns: pd.DataFrame
    ratings: pd.DataFrame
    attendance: pd.DataFrame
    key: pd.DataFrame
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
        marked = ((table["missing_reason"] == "").any() for table in (self.scores, self.items))
        if self.problems or any(marked) or any(map(len, (self.drills, self.ratings))):
            return self.problems
        return (Problem(why="no_data", found="No mark could be read.", do="See what was set aside, and why."),)

    @property
    def refused(self) -> set[tuple[str, str]]:
        """Name the sheets, by file and name, that have a problem and of which no row is in a table."""
        refused = {(problem.file, problem.sheet) for problem in self.problems}
        tables = (self.students, self.scores, self.items, self.drills, self.ratings, self.attendance, self.patterns)
        for table in tables if refused else ():
            refused -= set(table[["file", "sheet"]].drop_duplicates().itertuples(index=False, name=None))
        return refused


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
    reading, sources = Reading(folder, step), tuple(sources)
    listed = reading.rows(_of_kind(sources, RosterSource), read_roster)
    marked = reading.rows(_of_kind(sources, ScoreSource), lambda book, source: read_scores(book, source, rules))
    others = reading.others((s for s in sources if not isinstance(s, RosterSource | ScoreSource)), rules)
    named = [row for _, read in others for row in read.people]
    identify([*listed, *marked, *named], rules, crosswalk)
    shared = shared_choirs(listed or marked or named, [*listed, *marked, *named], rules)
    name_choirs([*listed, *marked], shared)
    rules = replace(rules, primary_choir=shared.primary(rules.primary_choir))
    refuse_two_layouts(marked)
    settle_attempts(marked, rules)
    check_rows(listed, marked, rules)
    students = student_table(listed, marked or named, rules)
    crosswalk.save()
    for _, read in others:
        if hasattr(read, "choirs"):
            read.choirs = dict(zip(students["student"], students["choir"], strict=True))
        if hasattr(read, "shared"):
            read.shared = shared
        else:
            name_choirs(read.people, shared)
    # the tables first: laying them out may set more rows aside
    tables = {"students": students, **_other_tables(others)}
    tables["scores"] = score_table(marked)
    if not _of_kind(sources, ScoreSource) and len(tables["items"]):
        # here, since most studies have the marks of whole tests
        from kit.load.items.totals import totals  # noqa: PLC0415

        tables["scores"] = totals(tables["items"], tables["key"] if len(tables["key"]) else None).scores
    accounts = _once(reading.accounts)
    problems = (*reading.problems, *(problem for account in accounts for problem in account.problems))
    return Loaded(
        **tables, set_aside=set_aside_table(accounts), ledger=ledger_table(accounts), changes=changes_table(accounts),
        problems=problems, suggestions=tuple(reading.suggestions), fingerprints=reading.fingerprints,
        personal=(*crosswalk.personal(), *sorted(set().union(*(account.private for account in accounts)))),
    )  # fmt: skip


def _other_tables(others: list[tuple[Source, Read]]) -> dict[str, pd.DataFrame]:
    """Lay out the tables beside students and scores; one without a file is empty."""
    tables = {}
    for kind, table in _TABLE_OF.items():
        parts = [read.table() for source, read in others if isinstance(source, kind)]
        tables[table.name] = _joined(parts, table)
    keys = [read.table() for source, read in others if isinstance(source, KeySource)]
    return tables | {"key": pd.concat(keys, ignore_index=True) if keys else pd.DataFrame()}


def _joined(parts: list[pd.DataFrame], table: Table) -> pd.DataFrame:
    """Put the parts of a table below each other; those of drill logs may be long and keep their categories."""
    if len(parts) < 2:
        return (*parts, empty(table))[0]
    if table is not DRILLS:
        return pd.concat(parts, ignore_index=True)
    # here, since most studies have no log that needs the reader of long files
    from kit.load.drills.read import join_logs  # noqa: PLC0415

    return join_logs(parts)


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
