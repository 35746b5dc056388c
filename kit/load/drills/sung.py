"""Cells of a drill log about notes, before they are read: patterns that a spreadsheet spoilt, words, remarks."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime

import pyarrow as pa

from kit.load.days import read_day
from kit.load.declared_music import DateOrder, Syllables
from kit.load.drills.values import Fault, Meaning, as_texts
from kit.load.formats.cells import Value
from kit.load.formats.formulas import UNSAVED
from kit.load.layout import is_blank
from kit.load.marks.mark import NO_MARK
from kit.load.people.keys import id_text
from kit.load.syllables.read import read_unique

Cells = Sequence[Value] | pa.Array

_NUMBER_SYSTEMS = ("numbers", "numbered_notation")
_MONTHS = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
_DATE = re.compile(
    r"\d{4}-\d\d-\d\d(?:[ t].*)?|\d{1,2}/\d{1,2}/(?:\d{4}|\d{2})(?: .*)?|\d{1,2}-\d{1,2}-\d{4}"
    rf"|\d{{1,2}}[- ]{_MONTHS}(?:[- ]\d{{2,4}})?|{_MONTHS}[- ]\d{{1,4}}", re.IGNORECASE,
)  # fmt: skip
_FORMULA = re.compile(r"#(?:NAME\?|VALUE!|REF!|N/A|NUM!|NULL!|DIV/0!)|=.*")

_LOST_DATE = Fault(
    "pattern_lost", "A spreadsheet program turned the pattern into a date.",
    "Format the column as text and type it again, best with spaces: 1 3 5.",
)  # fmt: skip
_LOST_FORMULA = Fault(
    "pattern_lost", "A spreadsheet program took the pattern for a formula.",
    "Format the column as text and type it again without the sign at its beginning.",
)  # fmt: skip


def lost_pattern(value: Value) -> Fault | None:
    """Say whether a spreadsheet program turned a pattern into a date, a formula or an error."""
    if isinstance(value, date):
        return _LOST_DATE
    if isinstance(value, str):
        text = value.strip()
        if text == UNSAVED or _FORMULA.fullmatch(text):
            return _LOST_FORMULA
        if _DATE.fullmatch(text):
            return _LOST_DATE
    return None


def recovered(value: Value, system: str, order: DateOrder) -> str:
    """Find the numbers that were typed before a spreadsheet program made a date of them.

    Parameters
    ----------
    value : str or date
        The date that stands there.
    system : str
        How the class names its notes; only numbers can be recovered.
    order : str
        In which order the program reads dates, as the study file declares it.

    Returns
    -------
    str
        ``1 3 5`` for the third of January 2005 where months come first; empty where it cannot be told.
    """
    if system not in _NUMBER_SYSTEMS or order not in ("day_first", "month_first"):
        return ""
    day = value.date() if isinstance(value, datetime) else value
    if isinstance(value, str):
        day = read_day(value, order=order).date
    if not isinstance(day, date) or day.year // 10 != 200:
        return ""
    typed = (day.day, day.month, day.year % 100) if order == "day_first" else (day.month, day.day, day.year % 100)
    return " ".join(map(str, typed)) if all(1 <= number <= 8 for number in typed) else ""


def read_patterns(values: Sequence[Value], system: str, order: DateOrder) -> Meaning:
    """Read codes of patterns, several with single spaces; those that a spreadsheet spoilt are faults.

    Parameters
    ----------
    values : sequence of str, number, date or None
        The different cells.
    system : str
        How the class names its notes.
    order : str
        In which order dates are read, where the study file declares it.

    Returns
    -------
    Meaning
        The codes.
    """
    written, faults, changes = [], {}, {}
    for at, value in enumerate(values):
        text = "" if is_blank(value) else id_text(value)
        if fault := lost_pattern(value):
            text = recovered(value, system, order).replace(" ", "-")
            if text:
                changes[at] = ("date read back as a pattern of numbers", str(value), text)
            else:
                faults[at] = fault
        elif parts := [part for part in re.split(r"\s*[,;+&]\s*|\s+(?:and\s+)?", text) if part]:
            joined = " ".join(parts)
            if joined != text:
                changes[at] = ("several patterns written with spaces", text, joined)
            text = joined
        written.append(text)
    meaning = as_texts(written)
    meaning.faults, meaning.changes = faults, changes
    return meaning


def plain_notes(value: Value, system: str, order: DateOrder) -> tuple[str, Fault | None, str]:
    """Prepare a cell of notes for reading: its text, what is wrong with it, and the rule of a recovery.

    Parameters
    ----------
    value : str, number, date or None
        The cell.
    system, order : str
        As for `recovered`.

    Returns
    -------
    text : str
        Notes as written; empty for nothing.
    fault : Fault or None
        Where a spreadsheet program spoilt the cell.
    rule : str
        The normalisation, in words; empty for none.
    """
    if fault := lost_pattern(value):
        text = recovered(value, system, order)
        return (text, None, "date read back as a pattern of numbers") if text else ("", fault, "")
    text = "" if is_blank(value) else id_text(value)
    return (
        ("" if text.casefold() in NO_MARK and text.casefold() not in ("d", "r", "m", "f", "s", "l", "t") else text),
        None,
        "",
    )


def is_remark(text: str, system: Syllables) -> bool:
    """Say whether a text is a sentence rather than notes: it has a longer word, and no word names a note."""
    words = re.split(r"[\s.,;:!]+", text.strip())
    longer = any(len(word) > 3 and word.isalpha() for word in words)
    return len(words) > 1 and longer and all(read.fault for read in read_unique(words, system).values())
