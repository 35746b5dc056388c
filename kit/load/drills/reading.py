"""One log read: what its columns of codes mean, which lines and cells are set aside, and its part of the table."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pandas as pd

from kit.errors import Problem
from kit.load.codes import filled, first_of, listed
from kit.load.days import ASK_ORDER, order_of
from kit.load.declared import Rules
from kit.load.drills.lines import Log, refuse_unclear_days
from kit.load.drills.notes import ON_A_VOWEL, on_a_vowel, read_notes_of
from kit.load.drills.people import NOBODY, NOBODY_NAMED, SEVERAL_STUDENTS, People
from kit.load.drills.shared import CHOIR_UNCLEAR, tell_choirs_apart
from kit.load.drills.sung import read_patterns
from kit.load.drills.table import Columns, lay_out
from kit.load.drills.values import (
    SIGN_NONE,
    Fault,
    Meaning,
    read_choirs,
    read_class_ratings,
    read_dates,
    read_lengths,
    read_plain,
    read_signs,
    read_tries,
)
from kit.load.drills.words import are_of_groups, read_words
from kit.load.no_school import days_without_school
from kit.load.people.aliases import meanings
from kit.load.people.shared_choirs import SharedChoirs
from kit.load.suggest import Suggestion

MOST_LISTED = 100_000
"""Lines set aside that are listed one by one; a log with more, and more than one in ten, is refused."""
_READ_ELSEWHERE = {"student", "name", "target", "sung"}
_OF_A_TRY = ("sung", "right", "pitch_right", "syllable_right")


class LogReading:
    """The reading of one log.

    Parameters
    ----------
    log : Log
        Its lines.
    rules : Rules
        What holds for the whole study.
    """

    def __init__(self, log: Log, rules: Rules) -> None:
        self.log, self.rules, self.source = log, rules, log.source
        self.gone = np.zeros(len(log.rows), bool)
        self.columns = Columns(len(log.rows))
        self.people = People(log)
        self.days_of: dict[int, list[date]] = {}
        self._values = {name: listed(log.columns[name].cells) for name in log.columns.keys() - _READ_ELSEWHERE}
        self._faulty: list[tuple[str, np.ndarray, Meaning]] = []
        self._read_choir()
        self._set_lines_aside()
        self._read_dates()
        self._read_words()
        self._read_numbers()
        self._read_signs()
        self._read_notes()
        self._set_cells_aside()
        self.columns.errors_only = self.source.errors_only or self.columns.tell_errors_only(~self.gone)
        self.people.introduce(self.gone, *self.columns.texts["choir"])

    @property
    def suggestion(self) -> Suggestion:
        """How the sheet was understood, with what only its lines tell."""
        found = self.log.suggestion
        if self.columns.errors_only and not self.source.errors_only:
            evidence = (*found.evidence, "errors only: every try of the log is wrong, so no accuracy is computed")
            return replace(found, source=replace(found.source, errors_only=True), evidence=evidence)
        return found

    def table(self, shared: SharedChoirs) -> pd.DataFrame:
        """Lay out the lines as their part of the drills table; lines of unclear persons or choirs are set aside now."""
        self.people.set_unclear_aside(self.gone)
        unclear = tell_choirs_apart(self.log, self.columns, self.people, self.gone, shared)
        self._set_lines(unclear, CHOIR_UNCLEAR, "choir")
        self.log.columns.clear()
        return lay_out(self.log, self.columns, self.people, self.gone, self.days_of)

    def _codes(self, name: str) -> np.ndarray:
        """Codes of a field."""
        return self.log.columns[name].codes

    def _take(self, name: str, meaning: Meaning) -> np.ndarray:
        """Note the changes and faults of a column, and give its codes."""
        codes = self._codes(name)
        self._count_changes(codes, meaning)
        if meaning.faults:
            self._faulty.append((name, codes, meaning))
        return codes

    def _count_changes(self, codes: np.ndarray, meaning: Meaning) -> None:
        """Count how many lines each rule was applied to, with the first as the example."""
        rules = meaning.rules()
        times = np.bincount(codes, minlength=len(meaning.table)) if rules else None
        for rule, cells in rules.items():
            if total := int(times[cells].sum()):
                line = first_of(cells, codes)
                before, after = meaning.example(int(codes[line]))
                self.log.account.change(rule, int(self.log.rows[line]), before, after, times=total)

    def _set_lines(self, lines: np.ndarray, fault: Fault, name: str = "") -> None:
        """Set whole lines aside that are not yet."""
        heading = self.log.heading(name) if name else ""
        for line in np.flatnonzero(lines & ~self.gone).tolist():
            self._set_line(line, heading, fault)

    def _set_line(self, line: int, heading: str, fault: Fault) -> None:
        """Set one line aside."""
        index = int(self.log.rows[line])
        self.log.account.set_row_aside(index, why=fault.why, found=fault.found, do=fault.do, column=heading)
        self.gone[line] = True

    def _read_choir(self) -> None:
        """Read the choirs."""
        choirs = read_choirs(self._values["choir"], meanings("choir", self.rules.aliases))
        self.columns.texts["choir"] = (choirs.table[self._take("choir", choirs)], choirs.texts)

    def _set_lines_aside(self) -> None:
        """Set lines aside about several singers, and tries of nobody."""
        if self.people.several and not self.source.several_students:
            lines = np.zeros(len(self.gone), bool)
            lines[list(self.people.several)] = True
            self._set_lines(lines, SEVERAL_STUDENTS, "student" if "student" in self.log.columns else "name")
        if self.people.named:
            nobody = (self.people.codes == NOBODY) & self._are_tries()
            if "unit" in self.log.columns:
                nobody &= ~are_of_groups(self._values["unit"])[self._codes("unit")]
            self._set_lines(nobody, NOBODY_NAMED)

    def _are_tries(self) -> np.ndarray:
        """Find the lines that tell how somebody sang."""
        tries = np.zeros(len(self.gone), bool)
        for name in _OF_A_TRY:
            if name in self.log.columns:
                tries |= filled(self.log.columns[name].cells)[self._codes(name)]
        return tries

    def _read_dates(self) -> None:
        """Read the days; a line whose day cannot be read, or that is about several, is set aside."""
        if "date" not in self.log.columns:
            return
        values = self._values["date"]
        order = self.source.date_order or self.rules.date_order or order_of(values)
        days, spans = read_dates(values, order, self.rules.school_year)
        codes = self._codes("date")
        self._count_changes(codes, days)
        self.columns.numbers["date"] = (days.table, codes)
        closed = days_without_school(self.rules.no_school)
        for at, fault in days.faults.items():
            open_days = [day for day in spans.get(at, ()) if day not in closed]
            if open_days and self.source.weekly:
                for line in np.flatnonzero(codes == at).tolist():
                    self.days_of[line] = open_days
            else:
                self._set_lines(codes == at, fault, "date")
        unclear = [at for at, fault in days.faults.items() if fault.do == ASK_ORDER]
        refuse_unclear_days(self.log, np.isin(codes, unclear))

    def _read_words(self) -> None:
        """Read activities, units and stages, and plain texts."""
        for name in ("activity", "unit", "stage"):
            if name in self.log.columns:
                declared = self.source.activities if name == "activity" else {}
                words = read_words(self._values[name], name, declared)
                self.columns.texts[name] = (words.table[self._take(name, words)], words.texts)
        for name in ("teacher", "correction"):
            if name in self.log.columns:
                words = read_plain(self._values[name])
                self.columns.texts[name] = (words.table[self._codes(name)], words.texts)

    def _read_numbers(self) -> None:
        """Read minutes, numbers of tries and ratings of the class."""
        readers = {
            "minutes": lambda values: read_lengths(values, self.log.columns["minutes"].formats, self.source),
            "attempt": read_tries, "class_rating": read_class_ratings,
        }  # fmt: skip
        for name, read in readers.items():
            if name in self.log.columns:
                meaning = read(self._values[name])
                self.columns.numbers[name] = (meaning.table, self._take(name, meaning))

    def _read_signs(self) -> None:
        """Read the columns of right and wrong; pitches marked apart go before a mark of the whole."""
        for name in ("right", "pitch_right", "syllable_right", "right_after"):
            if name not in self.log.columns:
                continue
            signs, *counts = read_signs(self._values[name], self.source)
            codes = self._take(name, signs)
            told = signs.table[codes]
            field = "right" if name == "pitch_right" else name
            if name == "pitch_right" and "right" in self.columns.signs:
                told = np.where(told == SIGN_NONE, self.columns.signs["right"], told)
            self.columns.signs[field] = told
            if field == "right" and not np.isnan(counts[1]).all():
                self.columns.numbers["notes_right"], self.columns.numbers["notes_asked"] = (
                    (count, codes) for count in counts
                )

    def _read_notes(self) -> None:
        """Read patterns, what was to be sung and what was sung, by the syllables of each choir."""
        declared_order = self.source.date_order or self.rules.date_order
        codes, choirs = self.columns.texts["choir"]
        systems = [self.rules.syllables_of(self.source, choir) for choir in choirs]
        if "pattern" in self.log.columns:
            used = {system.system for system in systems}
            patterns = read_patterns(self._values["pattern"], used.pop() if len(used) == 1 else "", declared_order)
            self.columns.texts["pattern"] = (patterns.table[self._take("pattern", patterns)], patterns.texts)
        for name in ("target", "sung"):
            if name not in self.log.columns:
                continue
            column = self.log.columns[name]
            pairs, notes, responses = read_notes_of(column, codes, systems, declared_order, words=name == "sung")
            self._count_changes(pairs, notes)
            if notes.faults:
                self._faulty.append((name, pairs, notes))
            self.columns.texts[name] = (notes.table[pairs], notes.texts)
            if name == "sung":
                self._note_responses(pairs, notes, responses)

    def _note_responses(self, pairs: np.ndarray, notes: Meaning, responses: Meaning) -> None:
        """Keep what was noted instead of notes, and take the degrees from melodies on a vowel."""
        if len(responses.texts) > 1:
            self.columns.texts["response"] = (responses.table[pairs], responses.texts)
        if "target" in self.columns.texts:
            texts = self.columns.texts
            texts["sung"], lines = on_a_vowel(pairs, notes, texts["sung"], texts["target"])
            if len(lines):
                first = int(lines[0])
                before, after = str(notes.before[int(pairs[first])]), texts["sung"][1][int(texts["sung"][0][first])]
                self.log.account.change(ON_A_VOWEL, int(self.log.rows[first]), before, after, times=len(lines))

    def _set_cells_aside(self) -> None:
        """Set faulty cells aside, and the whole line where it tells of a try and nothing of it can be read."""
        lines = {}
        for name, codes, meaning in self._faulty:
            wrong = np.zeros(len(meaning.table), bool)
            wrong[list(meaning.faults)] = True
            lines[name] = wrong[codes] & ~self.gone
        if self._too_many(sum(int(each.sum()) for each in lines.values()) + int(self.gone.sum())):
            return
        left = self._is_anything_left()
        for name, codes, meaning in self._faulty:
            heading = self.log.heading(name)
            for line in np.flatnonzero(lines[name]).tolist():
                fault = meaning.faults[int(codes[line])]
                if left[line] or name not in (*_OF_A_TRY, "target"):
                    self._set_cell(line, heading, fault)
                elif not self.gone[line]:
                    self._set_line(line, heading, fault)
        self._faulty.clear()

    def _set_cell(self, line: int, heading: str, fault: Fault) -> None:
        """Set one cell aside; there may be a hundred thousand, so that the line is not looked up anew."""
        sheet = self.log.account.sheet
        self.log.account.cells_aside.append(
            Problem(
                why=fault.why, found=fault.found, do=fault.do, file=sheet.file, sheet=sheet.name,
                row=int(self.log.numbers[line]), column=heading,
            )
        )  # fmt: skip

    def _too_many(self, aside: int) -> bool:
        """Refuse a long log of which too much cannot be read."""
        if aside <= MOST_LISTED or aside <= len(self.gone) / 10:
            return False
        self.log.account.refuse(
            why="many_unread", found=f"{aside:,} of {len(self.gone):,} lines or cells cannot be read.",
            do="See whether the headings in study.toml name the right columns, and whether syllables are declared.",
        )  # fmt: skip
        return True

    def _is_anything_left(self) -> np.ndarray:
        """Find the lines that still tell something: of a session anything, of a try how it went."""
        left = ~self._are_tries()
        for name in ("right", "syllable_right"):
            if name in self.columns.signs:
                left |= self.columns.signs[name] != SIGN_NONE
        for name in ("sung", "response"):
            if name in self.columns.texts:
                table, texts = self.columns.texts[name]
                left |= filled(texts)[table]
        return left
