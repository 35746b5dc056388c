"""Whom a drill log names: each person once, so that a million lines need no million look-ups."""

from __future__ import annotations

import re

import numpy as np

from kit.load.codes import listed, smallest
from kit.load.drills.lines import Log
from kit.load.drills.values import Fault
from kit.load.layout import is_blank
from kit.load.ledger import Account
from kit.load.people.keys import id_text, name_key
from kit.load.sheets import Row

NOBODY = -1
"""In place of a person, for a line about the class."""

_BETWEEN = re.compile(r"\s*(?:[,;/&+]|\band\b|\bund\b)\s*", re.IGNORECASE)
_SIGN = re.compile(r"[,;/&+]|\b(?:and|und)\b", re.IGNORECASE)
_ENDING = re.compile(r"\s+(?:all|both|each)\b.*$", re.IGNORECASE)

SEVERAL_STUDENTS = Fault(
    "several_students", "The line is about several singers.",
    'Write a line for each; or several_students = "one_each" in study.toml, if it holds for each of them.',
)  # fmt: skip
NOBODY_NAMED = Fault("no_student", "The line tells how somebody sang and names nobody.", "Fill in who sang.")

Person = tuple[str, str]
"""School id and key of the name."""


class PeopleAccount:
    """Stands for the account of a log where persons are concerned: what is said of one holds for all their lines."""

    def __init__(self, account: Account, first: np.ndarray, times: np.ndarray) -> None:
        self.main, self.first, self.times = account, first, times
        self.aside: dict[int, dict] = {}

    @property
    def sheet(self) -> object:
        """The sheet of the log."""
        return self.main.sheet

    @property
    def problems(self) -> list:
        """The problems of the log."""
        return self.main.problems

    def place(self, index: int | None = None, column: str = "") -> dict:
        """Say where a person is named first."""
        return self.main.place(None if index is None else int(self.first[index]), column)

    def change(self, rule: str, index: int, before: object, after: object) -> None:
        """Count a normalisation for every line of the person."""
        self.main.change(rule, int(self.first[index]), before, after, times=int(self.times[index]))

    def set_row_aside(self, index: int, **why: str) -> None:
        """Keep why the lines of a person cannot be used."""
        self.aside[index] = why

    def refuse(self, *, index: int | None = None, **what: str) -> None:
        """Record a fault for which the whole file is refused."""
        self.main.refuse(index=None if index is None else int(self.first[index]), **what)


class People:
    """The persons of a log.

    Attributes
    ----------
    persons : list of (str, str)
        School id and key of the name of each.
    codes : ndarray of int, shape (n,)
        For each line the place of its person, or ``NOBODY``; for a line about several the first of them.
    several : dict of int to tuple of int
        Number of a line -> the persons of a line about several singers.
    rows : list of Row
        Each person as a row to be identified.
    """

    def __init__(self, log: Log) -> None:
        self.log = log
        self.persons: list[Person] = []
        self._known: dict[Person, int] = {}
        self.several: dict[int, tuple[int, ...]] = {}
        self.codes = self._codes(len(log.rows))
        self.rows: list[Row] = []

    @property
    def named(self) -> bool:
        """Say whether the log has a column that names singers."""
        return "student" in self.log.columns or "name" in self.log.columns

    def _codes(self, lines: int) -> np.ndarray:
        """Find the person of each line."""
        student, name = self.log.columns.get("student"), self.log.columns.get("name")
        if student is None and name is None:
            return np.full(lines, NOBODY, np.int8)
        if student is None or name is None:
            column = name if student is None else student
            pairs = [(value, None) if name is None else (None, value) for value in listed(column.cells)]
            codes = column.codes
        else:
            ids, names = listed(student.cells), listed(name.cells)
            joint = student.codes.astype(np.int64) * len(names) + name.codes
            numbers, codes = np.unique(joint, return_inverse=True)
            pairs = [(ids[number // len(names)], names[number % len(names)]) for number in numbers.tolist()]
        found = [self._people(*pair) for pair in pairs]
        table = np.array([people[0] if people else NOBODY for people in found], np.int32)
        for at, people in enumerate(found):
            if len(people) > 1:
                self.several |= dict.fromkeys(np.flatnonzero(codes == at).tolist(), people)
        small = smallest(len(self.persons))
        return table.astype(small)[codes]

    def _people(self, student: object, name: object) -> tuple[int, ...]:
        """Find the persons of one cell, or of an id and a name."""
        several = several_ids(student) if not is_blank(student) else several_names(name) if not is_blank(name) else []
        if len(several) > 1:
            is_id = not is_blank(student)
            return tuple(self._number((part, "") if is_id else ("", name_key(part))) for part in several)
        person = (id_text(student), name_key(name) if name else "")
        return (self._number(person),) if any(person) else ()

    def _number(self, person: Person) -> int:
        """Give a person a number, the same each time."""
        if person not in self._known:
            self._known[person] = len(self.persons)
            self.persons.append(person)
        return self._known[person]

    def introduce(self, gone: np.ndarray, choirs: np.ndarray, texts: list[str]) -> None:
        """Make a row of each person who has a line that is not set aside."""
        lines, people = self._pairs(~gone)
        count = len(self.persons)
        first = np.full(count, -1, np.int64)
        first[people[::-1]] = lines[::-1]
        times = np.bincount(people, minlength=count)
        account = PeopleAccount(self.log.account, self.log.rows[np.maximum(first, 0)], times)
        self.rows = [
            Row(account, at, *self.persons[at], texts[choirs[first[at]]], {}) for at in np.flatnonzero(times).tolist()
        ]

    def _pairs(self, keep: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Pair the lines that are kept with their persons, in the order of the lines."""
        lines = np.flatnonzero(keep & (self.codes != NOBODY))
        people = self.codes[lines].astype(np.int64)
        more = [(line, person) for line, each in self.several.items() if keep[line] for person in each[1:]]
        if more:
            lines = np.concatenate([lines, [line for line, _ in more]])
            people = np.concatenate([people, [person for _, person in more]])
            order = np.argsort(lines, kind="stable")
            lines, people = lines[order], people[order]
        return lines, people

    def set_unclear_aside(self, gone: np.ndarray) -> None:
        """Set the lines aside of persons who could not be identified, and note it in ``gone``."""
        for row in self.rows:
            if not row.open:
                self._set_aside(row.index, row.account.aside[row.index], gone)

    def _set_aside(self, person: int, why: dict, gone: np.ndarray) -> None:
        """Set the lines of one person aside; of a line about several only this one of them."""
        account, heading = self.log.account, self.log.heading("student") or self.log.heading("name")
        lines = np.flatnonzero((self.codes == person) & ~gone).tolist()
        lines += [line for line, people in self.several.items() if person in people[1:] and not gone[line]]
        for line in lines:
            index = int(self.log.rows[line])
            others = tuple(each for each in self.several.get(line, ()) if each != person)
            if others:
                self.several[line], self.codes[line] = others, others[0]
                account.set_cell_aside(index, heading, **why)
                continue
            account.set_row_aside(index, **why)
            gone[line] = True

    def study_ids(self) -> list[str]:
        """List the study id of each person; empty for one who has none."""
        ids = [""] * len(self.persons)
        for row in self.rows:
            ids[row.index] = row.student
        return ids


def several_ids(cell: object) -> list[str]:
    """Part the ids in one cell: ``R4KT, B9WX and H2MZ``; one id stays one."""
    text = id_text(cell)
    parts = [part for part in _BETWEEN.split(_ENDING.sub("", text)) if part] if _SIGN.search(text) else []
    return parts if len(parts) > 1 and all(" " not in part for part in parts) else [text]


def several_names(cell: object) -> list[str]:
    """Part the names in one cell: ``J, K, L all ok``; one comma between two names may be one person's."""
    text = id_text(cell)
    if not _SIGN.search(text):
        return [text]
    bare = _ENDING.sub("", text)
    parts = [part for part in _BETWEEN.split(bare) if part]
    one = len(parts) == 2 and re.fullmatch(r"[^,;/&+]+,[^,;/&+]+", bare) and not re.search(r"\band\b", bare)
    return parts if len(parts) > 1 and not (one and bare == text) else [text]
