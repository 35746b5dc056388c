"""Numbers of students that are told rounded, in tables, sentences and the table of all numbers alike."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Protocol

import pandas as pd

from kit.estimate import Estimate, Interval
from kit.report.privacy.coding import AtLeast, AtMost
from kit.report.said import Caption, Said

_WHY = ": the exact number would give small groups away."
_OF = f"Of {{}} students{_WHY}"
_OF_TESTS = f"Of {{}} tests{_WHY}"
_THIS = f"This is {{}}{_WHY}"
_DIGITS = {"points": 1, "share": 2}
"""Decimals of a value that is told with a rounded number of students: more of them would give that number back."""
_OTHER_DIGITS = 2
_NUMBER = re.compile(
    r"(?<![\w.,/\-\u2212])(?:about )?(\d{1,3}(?:,\d{3})+|\d+)(?![\w/]|[.,\-]\d)"
    r"(?!\s*(?:%|percent|points?|SD|choirs?|schools?|meetings?|minutes?|hours?|times?|days?|weeks?|tests?)\b)"
)
"""A whole number that stands alone and does not count or measure something else."""
_TESTS = re.compile(r"(?<![\w.,/\-\u2212])(\d{1,3}(?:,\d{3})+|\d+)(?= tests\b)")
_NOT_STUDENTS = re.compile(r"(?:\bgrades?|\bform|\brater|\btable|\bfigure|\bweek|\btest|\bseed)\s$", re.IGNORECASE)
NARROW = 4
"""How many times its width a range lies from nothing at least that is told by its middle."""
COLUMNS = ("Students", "n", "Based on", "Estimate", "Value")
"""Columns of tables that hold numbers of students."""


class Withheld(Protocol):
    """What a copy must not tell exactly; see ``kit.questions.disclosure.Withheld``."""

    ranges: Mapping[int, tuple[int, int]]
    hidden: Collection[str]
    exempt: Collection[str]
    tests: int
    few: bool


@dataclass(frozen=True, slots=True)
class Rounding:
    """What is told less exactly.

    Attributes
    ----------
    ranges : mapping of int to tuple of int
        Number of students -> between which ends readers know it; without any, everything stays as it is.
    exempt : tuple of str
        Choirs and schools whose own numbers are told exactly.
    tests : int
        Width of the ranges by which numbers of tests are told; 0 where they are told exactly.
    """

    ranges: Mapping[int, tuple[int, int]] = field(default_factory=dict)
    exempt: tuple[str, ...] = ()
    tests: int = 0

    @classmethod
    def of(cls, withheld: Withheld | None) -> Rounding:
        """Take over what must not be told exactly."""
        if withheld is None:
            return cls()
        return cls(withheld.ranges, tuple(sorted(withheld.exempt)), withheld.tests)

    @property
    def numbers(self) -> frozenset[int]:
        """Numbers of students that are not told exactly."""
        return frozenset(self.ranges)

    def near(self, number: float) -> int:
        """Give the number in the middle of the range that a number is told by."""
        return _middle(self.ranges[int(number)])

    def words(self, number: float) -> str:
        """Write a number as it is told: ``about 340`` by the middle of a narrow range, else ``25 to 34``."""
        return _words(self.ranges[int(number)])

    def estimates(self, estimates: Iterable[Estimate]) -> list[Estimate]:
        """Round numbers of students in estimates; see `estimate`."""
        return [self.estimate(one) for one in estimates]

    def estimate(self, one: Estimate) -> Estimate:
        """Round what an estimate tells of numbers of students, and the digits that would give it back.

        Parameters
        ----------
        one : Estimate
            Any number of a report.

        Returns
        -------
        Estimate
            The same one where nothing of it is rounded, or it is already; else with a note for each rounded number.
        """
        if self._tests(one):
            return self._of_tests(one)
        telling = self._numbers(one)
        if not telling or any(note.endswith(_WHY) for note in one.notes):
            return one
        changed: dict[str, Any] = {"notes": one.notes}
        if one.n in telling:
            changed |= {"n": self.near(one.n), "df": None, "notes": (*changed["notes"], _OF.format(self.words(one.n)))}
        if one.name == "count" and one.value in telling:
            told = _THIS.format(self.words(one.value))
            changed |= {"value": float(self.near(one.value)), "notes": (*changed["notes"], told)}
        elif one.name != "count":
            digits = _DIGITS.get(one.unit, _OTHER_DIGITS)
            changed |= {"value": _cut(one.value, digits), "interval": _cut_interval(one.interval, digits)}
        return replace(one, **changed)

    def said(self, said: Said) -> Said:
        """Round the numbers of students in sentences, with the estimates whose numbers they hold."""
        sentences = tuple(self.text(sentence, said.estimates) for sentence in said.sentences)
        return replace(said, sentences=sentences, estimates=tuple(self.estimates(said.estimates)))

    def caption(self, caption: Caption, estimates: Sequence[Estimate]) -> Caption:
        """Round the numbers of students in a caption and in what a blind reader is told."""
        return replace(caption, alt=self.text(caption.alt, estimates), note=self.text(caption.note, estimates))

    def text(self, text: str, estimates: Iterable[Estimate]) -> str:
        """Round the numbers of students in a text: ``314 of about 340 students``.

        Parameters
        ----------
        text : str
            A sentence.
        estimates : iterable of Estimate
            The estimates whose numbers it holds, exact; other numbers in it stay.

        Returns
        -------
        str
        """
        listed = list(estimates)
        told = {number for one in listed for number in self._numbers(one)}
        tests = {number for one in listed for number in self._tests(one)}
        text = _TESTS.sub(lambda found: self._tests_word(found, tests), text) if tests else text
        return _NUMBER.sub(lambda found: self._word(found, told), text) if told else text

    def rows(self, rows: pd.DataFrame) -> pd.DataFrame:
        """Round numbers of students in the columns of a table that hold them."""
        columns = [column for column in COLUMNS if column in rows and self.ranges]
        exact = {
            column: rows[column].map(lambda cell: _NUMBER.sub(lambda found: self._word(found, self.ranges), str(cell)))
            for column in columns
        }
        return rows.assign(**exact) if columns else rows

    def _numbers(self, one: Estimate) -> set[int]:
        """Give the numbers of an estimate that are rounded."""
        if one.counted != "students" or one.about.endswith(self.exempt):
            return set()
        return {int(number) for number in (one.n, *([one.value] if one.name == "count" else []))
                if number in self.ranges}  # fmt: skip

    def _word(self, found: re.Match[str], numbers: Collection[int]) -> str:
        """Write a rounded number; one that is written as a range or with a word already stays."""
        before = found.string[: found.start()]
        named = _NOT_STUDENTS.search(before) or found[0].startswith("about") or before.endswith(" to ")
        number = int(found[1].replace(",", ""))
        if number not in numbers or named or found.string[found.end() :].startswith(" to "):
            return found[0]
        return self.words(number)

    def _tests(self, one: Estimate) -> set[int]:
        """Give the numbers of tests of an estimate that are rounded; none is no group."""
        if not self.tests or one.counted != "tests" or any(note.endswith(_WHY) for note in one.notes):
            return set()
        return {int(number) for number in (one.n, *([one.value] if one.name == "count" else [])) if number}

    def _of_tests(self, one: Estimate) -> Estimate:
        """Round the numbers of tests that an estimate tells."""
        of = _step(one.n, self.tests)
        notes = (*one.notes, _OF_TESTS.format(_words(of)))
        if one.name != "count":
            digits = _DIGITS.get(one.unit, _OTHER_DIGITS)
            cut = {"value": _cut(one.value, digits), "interval": _cut_interval(one.interval, digits)}
            return replace(one, n=_middle(of), notes=notes, **cut)
        told = _step(int(one.value), self.tests)
        notes = (*notes, _THIS.format(_words(told))) if one.value else notes
        return replace(one, n=_middle(of), value=float(_middle(told)) if one.value else 0.0, notes=notes)

    def _tests_word(self, found: re.Match[str], numbers: Collection[int]) -> str:
        """Write a rounded number of tests."""
        number = int(found[1].replace(",", ""))
        told = number not in numbers or found.string[: found.start()].endswith(("about ", " to "))
        return found[0] if told else _words(_step(number, self.tests))


def _middle(ends: tuple[int, int]) -> int:
    """Give the number in the middle of a range."""
    return (sum(ends) + 1) // 2


def _words(ends: tuple[int, int]) -> str:
    """Write a range: by its middle where it is narrow."""
    low, high = ends
    return f"about {_middle(ends):,}" if low >= NARROW * (high - low + 1) else f"{low:,} to {high:,}"


def _step(number: int, width: int) -> tuple[int, int]:
    """Give the range of a number of tests; as ``kit.questions.told_totals.step``."""
    near = width * math.floor(number / width + 0.5)
    return max(near - width // 2, 0), near + width // 2 - 1


def told_n(estimate: Estimate) -> str:
    """Write the number of what an estimate rests on, as a range or with a word where it is rounded."""
    return _told(estimate, _OF) or _told(estimate, _OF_TESTS) or str(estimate.n)


def told_value(estimate: Estimate) -> str:
    """Write a count as a range or with a word where it is rounded; empty where it is not."""
    return _told(estimate, _THIS)


def _told(estimate: Estimate, form: str) -> str:
    """Find the words for a rounded number in the notes."""
    start, end = form.split("{}")
    found = (note for note in estimate.notes if note.startswith(start) and note.endswith(end))
    return next((note.removeprefix(start).removesuffix(end) for note in found), "")


def _cut(value: float, digits: int) -> float:
    """Round a value; an open end stays open, and a share that is told as a range stays one."""
    return value if math.isinf(value) or isinstance(value, AtMost | AtLeast) else round(value, digits)


def _cut_interval(interval: Interval | None, digits: int) -> Interval | None:
    """Round the ends of an interval."""
    if interval is None:
        return None
    return replace(interval, low=_cut(interval.low, digits), high=_cut(interval.high, digits))
