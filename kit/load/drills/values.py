"""What the different cells of a drill log mean: each is read once, however many rows hold it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

from kit.load.codes import smallest
from kit.load.columns import plain
from kit.load.days import read_day
from kit.load.declared_music import DateOrder, DrillSource
from kit.load.formats.cells import Value
from kit.load.formats.formulas import UNSAVED
from kit.load.items.right import read_right, right_words
from kit.load.layout import is_blank
from kit.load.marks.mark import NO_MARK
from kit.load.minutes import clock_of, read_minutes
from kit.load.people.keys import id_text
from kit.reasons import REASONS

SIGN_YES, SIGN_NO, SIGN_NONE = 1, 0, -1
"""How yes, no and nothing are kept in the look-up table of a column of marks."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a cell is not used, what stands there, and what to do."""

    why: str
    found: str
    do: str


@dataclass(slots=True)
class Meaning:
    """What the different cells of one column mean.

    Attributes
    ----------
    table : ndarray, shape (number of different cells,)
        The value of each: a number, a day, yes or no, or the place of a text in ``texts``.
    texts : list of str, or pyarrow array of str
        The different texts, where the column holds texts.
    faults : dict of int to Fault
        Cells that cannot be used.
    changes : dict of int to (str, str, str)
        Cells that were normalised: the rule, before, after.
    alike : dict of str to ndarray of bool
        Further changes, where they are too many to be listed: the rule -> the cells it was applied to.
    before : list, pyarrow array or None
        The cells themselves, for an example of those.
    one_word : ndarray of bool or None
        Cells of notes in which most words are the same.
    """

    table: np.ndarray
    texts: Sequence[str] = field(default_factory=list)
    faults: dict[int, Fault] = field(default_factory=dict)
    changes: dict[int, tuple[str, str, str]] = field(default_factory=dict)
    alike: dict[str, np.ndarray] = field(default_factory=dict)
    before: Sequence | None = None
    one_word: np.ndarray | None = None

    def rules(self) -> dict[str, np.ndarray]:
        """Say of each rule to which cells it was applied."""
        rules = {rule: cells.copy() for rule, cells in self.alike.items()}
        for at, (rule, _, _) in self.changes.items():
            rules.setdefault(rule, np.zeros(len(self.table), bool))[at] = True
        return rules

    def example(self, cell: int) -> tuple[str, str]:
        """Show a changed cell before and after."""
        if cell in self.changes:
            return self.changes[cell][1:]
        return str(self.before[cell]), str(self.texts[int(self.table[cell])])


_MINUTES_DO = {
    "minutes_unclear": 'Write one number of minutes; or minutes_span = "midpoint" in study.toml for ~5 and 5-7.',
    "minutes_impossible": 'Correct it; or write minutes_unit = "seconds" in study.toml, if it is in seconds.',
}
_SIGN_DO = {
    "right_unclear": 'Say what the sign means in study.toml, such as right_words = { x = "wrong" }.',
    "not_a_mark": 'Write 1 or 0; or say what the word means in study.toml, such as right_words = { super = "right" }.',
    "formula_unsaved": "Open the workbook in a spreadsheet program, save it, and use it then.",
    "formula_error": "Correct the formula, or type the mark.",
}
_SEVERAL_DAYS = Fault(
    "several_days", "The line sums up several days.",
    'Write a line for each day; or weekly = "one_each" in study.toml, if every day was alike.',
)  # fmt: skip
_WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_HARMLESS = {"about", "minutes", "mins", "hours", "seconds", "sept", "june", "july", "week"}
_DASH = r"\s*(?:-|–|—|to|till|until|through|thru)\s*"
_WEEK_OF = re.compile(r"(?:week|wk)\.?\s*(?:of|beginning|from|commencing|starting)?\s*:?\s+(.+)")
_WEEKDAY_SPAN = re.compile(
    rf"({'|'.join(_WEEKDAYS)})[a-z]*\.?(?:{_DASH}|\s*[,/&+]\s*)({'|'.join(_WEEKDAYS)})[a-z]*\b.*"
)
_SAME_MONTH = re.compile(r"([^\W\d_]+\.?)\s*(\d{1,2})\s*[-–—]\s*(\d{1,2})((?:,?\s+\d{4})?)")


def read_dates(
    values: Sequence[Value], order: DateOrder, school_year: int | None
) -> tuple[Meaning, dict[int, list[date]]]:
    """Read the days of a log.

    Parameters
    ----------
    values : sequence of str, number, date or None
        The different cells.
    order : str
        Whether day or month comes first.
    school_year : int or None
        Calendar year in which the school year begins.

    Returns
    -------
    days : Meaning
        The days.
    spans : dict of int to list of date
        Number of a cell that names several days -> the days, none where it cannot be told which.
    """
    days = Meaning(np.full(len(values), np.datetime64("NaT"), "datetime64[us]"))
    spans: dict[int, list[date]] = {}
    for at, value in enumerate(values):
        day = read_day(value, order=order, school_year=school_year)
        if day.date:
            days.table[at] = np.datetime64(day.date)
            if day.rule:
                days.changes[at] = (day.rule, str(value), day.date.isoformat())
        elif isinstance(value, str) and value == UNSAVED:
            days.faults[at] = _unsaved()
        elif day.fault:
            span = _span(" ".join(str(value).casefold().split()), order, school_year)
            if span is None:
                days.faults[at] = Fault(day.fault, f'The date is "{_shown(value)}".', day.do)
            else:
                days.faults[at], spans[at] = _SEVERAL_DAYS, span
    return days, spans


def _span(text: str, order: DateOrder, school_year: int | None) -> list[date] | None:
    """Read a cell that names several days: the days from Monday to Friday, none if unknown; None for any other cell."""
    if match := _WEEK_OF.fullmatch(text):
        first = read_day(match[1], order=order, school_year=school_year).date
        return _weekdays(first - timedelta(first.weekday()), first + timedelta(4 - first.weekday())) if first else []
    if _WEEKDAY_SPAN.fullmatch(text):
        return []
    if match := _SAME_MONTH.fullmatch(text):
        ends = [f"{match[1]} {day}{match[4]}" for day in (match[2], match[3])]
    else:
        ends = re.split(r"\s+(?:-|–|—|to|till|until|through|thru)\s+|\s*[–—]\s*", text)
        if len(ends) == 1 and text.count("-") == 1 and "/" in text:
            ends = text.split("-")
    if len(ends) != 2:
        return None
    read = [read_day(end, order=order, school_year=school_year) for end in ends]
    if any(day.fault == "date_unread" for day in read):
        return None
    first, last = (day.date for day in read)
    return _weekdays(first, last) if first and last and timedelta() < last - first < timedelta(31) else []


def _weekdays(first: date, last: date) -> list[date]:
    """List the days from Monday to Friday between two days, both included."""
    days = [first + timedelta(at) for at in range((last - first).days + 1)]
    return [day for day in days if day.weekday() < 5]


def read_lengths(values: Sequence[Value], formats: Mapping[int, str], source: DrillSource) -> Meaning:
    """Read the minutes of a log."""
    clock = clock_of(values)
    lengths = Meaning(np.full(len(values), np.nan))
    for at, value in enumerate(values):
        read = read_minutes(value, formats.get(at, ""), unit=source.minutes_unit, span=source.minutes_span, clock=clock)
        if read.fault:
            lengths.faults[at] = Fault(read.fault, f'The minutes are "{_shown(value)}".', _MINUTES_DO[read.fault])
        elif read.minutes is not None:
            lengths.table[at] = read.minutes
            if read.rule:
                lengths.changes[at] = (read.rule, str(value), f"{read.minutes:g}")
    return lengths


def read_signs(values: Sequence[Value], source: DrillSource) -> tuple[Meaning, np.ndarray, np.ndarray]:
    """Read a column of signs for right and wrong.

    Parameters
    ----------
    values : sequence of str, number, bool or None
        The different cells.
    source : DrillSource
        What is declared about the signs.

    Returns
    -------
    signs : Meaning
        ``SIGN_YES``, ``SIGN_NO`` or ``SIGN_NONE`` for each cell.
    notes_right, notes_asked : ndarray of float
        The counts, where a cell gives them.
    """
    words = right_words(values, source.right_words)
    signs = Meaning(np.full(len(values), SIGN_NONE, np.int8))
    counts = np.full((2, len(values)), np.nan)
    for at, value in enumerate(values):
        # "all ok" stands in a line about several singers
        mark = read_right(re.sub(r"^\s*all\s+", "", value, flags=re.I) if isinstance(value, str) else value, words)
        if mark.fault:
            signs.faults[at] = Fault(mark.fault, f"{REASONS[mark.fault]}", _SIGN_DO[mark.fault])
            continue
        if mark.right is not None:
            signs.table[at] = SIGN_YES if mark.right else SIGN_NO
        if mark.notes_asked is not None:
            counts[:, at] = mark.notes_right, mark.notes_asked
        if mark.rule:
            before = "(a word)" if mark.private else str(value)
            signs.changes[at] = (mark.rule, before, {True: "right", False: "wrong", None: ""}[mark.right])
    return signs, counts[0], counts[1]


def read_plain(values: Sequence[Value], write: Callable[[Value], str] = id_text) -> Meaning:
    """Read plain texts."""
    return as_texts("" if is_blank(value) or value == UNSAVED else write(value) for value in values)


def read_choirs(values: Sequence[Value], aliases: Mapping[str, str]) -> Meaning:
    """Read names of choirs; other words for them are replaced by the one that counts."""
    written = ["" if is_blank(value) else id_text(value) for value in values]
    meaning = as_texts(aliases.get(plain(choir), choir) for choir in written)
    meaning.changes = {
        at: ("choir named as the alias file says", choir, aliases[plain(choir)])
        for at, choir in enumerate(written) if aliases.get(plain(choir), choir) != choir
    }  # fmt: skip
    return meaning


def read_tries(values: Sequence[Value]) -> Meaning:
    """Read the numbers of tries: ``1``, ``2nd``, ``try 3``; 0 stands for none."""
    tries = Meaning(np.zeros(len(values), np.int64))
    for at, value in enumerate(values):
        text = "" if is_blank(value) else plain(id_text(value))
        match = re.fullmatch(r"(?:try|attempt|no\.?|#)?\s*([1-9]\d?)(?:st|nd|rd|th)?", text)
        if match:
            tries.table[at] = int(match[1])
            if text != match[1]:
                tries.changes[at] = ("number of the try written in words", id_text(value), match[1])
        elif text and text not in NO_MARK:
            tries.faults[at] = Fault("not_a_mark", "This is no number of a try.", "Write 1, 2, 3.")
    return tries


def read_class_ratings(values: Sequence[Value]) -> Meaning:
    """Read how the class did, as a number of the log's own scale."""
    ratings = Meaning(np.full(len(values), np.nan))
    for at, value in enumerate(values):
        text = "" if is_blank(value) else id_text(value).replace(",", ".")
        if re.fullmatch(r"\d+(\.\d+)?", text):
            ratings.table[at] = float(text)
        elif text and plain(text) not in NO_MARK:
            ratings.faults[at] = Fault("unknown_rating", "This is no number.", "Rate the class with a number.")
    return ratings


def as_texts(values: Iterable[str]) -> Meaning:
    """Give each different text its place."""
    known: dict[str, int] = {}
    table = [known.setdefault(text, len(known)) for text in values]
    return Meaning(np.array(table, smallest(len(known))), list(known))


def _shown(value: Value) -> str:
    """Write a cell without its longer words, which may name somebody."""
    return re.sub(r"[^\W\d_]{4,}", lambda word: word[0] if word[0].casefold() in _HARMLESS else "...", str(value))


def _unsaved() -> Fault:
    """Say that a formula was saved without its value."""
    return Fault("formula_unsaved", REASONS["formula_unsaved"],
                 "Open the workbook in a spreadsheet program, save it, and use it then.")  # fmt: skip
