"""Cells of a drill log about notes: what was to be sung, what was sung, and patterns that a spreadsheet spoilt."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime

import numpy as np
import pyarrow as pa

from kit.load.cells import Value
from kit.load.codes import Codes, listed, taken
from kit.load.days import read_day
from kit.load.declared_music import DateOrder, Syllables
from kit.load.drill_tokens import read_words
from kit.load.drill_values import Fault, Meaning, as_texts
from kit.load.formulas import UNSAVED
from kit.load.layout import is_blank
from kit.load.marks import NO_MARK
from kit.load.people import id_text
from kit.load.responses import read_response
from kit.load.syllables import read_unique

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


_SYLLABLES_DO = {
    "syllable_unclear": "Declare the syllables of the class in study.toml: syllables = { system = ... }.",
    "syllable_unknown": "Correct it; or declare another system of syllables in study.toml.",
    "syllable_minority": "Write it in the system of the rest of the file.",
    "octave_unclear": "Write it without the octave mark, or declare what the mark means in study.toml.",
    "rhythm_or_pitch": "Write beats in a log of their own.",
}
_KEPT_AS_REMARK = ("remark in place of notes left out", "(a remark)", "")


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


def read_notes_of(
    column: Codes, choirs: np.ndarray, systems: Sequence[Syllables], order: DateOrder, *, words: bool
) -> tuple[np.ndarray, Meaning, Meaning]:
    """Read a column of notes, each different cell once for each system of syllables that occurs beside it.

    Parameters
    ----------
    column : Codes
        The cells.
    choirs : ndarray of int, shape (n,)
        Place of each line's choir in ``systems``.
    systems : sequence of Syllables
        What is declared for each choir.
    order : str
        In which order dates are read, where the study file declares it.
    words : bool
        Whether words such as flat or shy may stand in place of notes.

    Returns
    -------
    codes : ndarray of int, shape (n,)
        For each line its place in the two meanings.
    notes : Meaning
        The notes in their written form.
    responses : Meaning
        What was noted instead of notes.
    """
    different = list(dict.fromkeys(systems))
    if len(different) == 1:
        return column.codes, *_read_in(column.cells, different[0], order, words)
    group = np.array([different.index(system) for system in systems])[choirs]
    pairs, codes = np.unique(group * len(column.cells) + column.codes, return_inverse=True)
    parts = [pairs[pairs // len(column.cells) == at] % len(column.cells) for at in range(len(different))]
    read = [
        _read_in(taken(column.cells, part), system, order, words) for part, system in zip(parts, different, strict=True)
    ]
    return codes, _joined([notes for notes, _ in read]), _joined([responses for _, responses in read])


def _read_in(cells: Cells, system: Syllables, order: DateOrder, words: bool) -> tuple[Meaning, Meaning]:
    """Read different cells in one system of syllables: plain words in one go, all others cell by cell."""
    plain = read_words(cells, system) if isinstance(cells, pa.Array) else None
    if plain is None:
        return _read_each(listed(cells), system, order, words)
    others = np.flatnonzero(~plain.done)
    faults = {at: Fault(why, found, _SYLLABLES_DO[why]) for at, (why, found) in plain.faults.items()}
    if not len(others):
        nothing = Meaning(np.zeros(len(plain.table), np.int8), [""])
        return Meaning(plain.table, plain.texts, faults, alike=plain.rules, before=cells), nothing
    notes, responses = _read_each(taken(cells, others).to_pylist(), system, order, words)
    # the few others join the many that were read by their words
    joint = pa.chunked_array([plain.texts, pa.array(notes.texts, pa.string())]).dictionary_encode().chunks
    table = plain.table.copy()
    table[others] = joint[1].indices.to_numpy()[notes.table]
    noted = Meaning(np.zeros(len(table), np.int64), list(dict.fromkeys(["", *responses.texts])))
    noted.table[others] = np.array([noted.texts.index(text) for text in responses.texts], np.int64)[responses.table]
    read = Meaning(table, joint[1].dictionary, alike=plain.rules, before=cells)
    read.faults = faults | {int(others[at]): fault for at, fault in notes.faults.items()}
    read.changes = {int(others[at]): change for at, change in notes.changes.items()}
    return read, noted


def _read_each(values: Sequence[Value], system: Syllables, order: DateOrder, words: bool) -> tuple[Meaning, Meaning]:
    """Read cells one by one."""
    texts, faults, changes, responses = [], {}, {}, [""] * len(values)
    for at, value in enumerate(values):
        text, fault, rule = plain_notes(value, system.system, order)
        if fault:
            faults[at] = fault
        elif rule:
            changes[at] = (rule, str(value), text)
        elif words and (response := read_response(text)):
            changes[at], responses[at], text = ("word in place of notes", text, response), response, ""
        texts.append(text)
    sung = read_unique(texts, system)
    written = []
    for at, text in enumerate(texts):
        read = sung[text]
        if read.fault and words and is_remark(text, system):
            changes[at] = _KEPT_AS_REMARK
        elif read.fault:
            faults[at] = Fault(read.fault, read.found, _SYLLABLES_DO[read.fault])
        elif read.rule and at not in changes:
            changes[at] = (read.rule, text, read.text)
        written.append(read.text)
    notes, noted = as_texts(written), as_texts(responses)
    notes.faults, notes.changes = faults, changes
    return notes, noted


def _joined(parts: list[Meaning]) -> Meaning:
    """Put meanings one behind the other."""
    known: dict[str, int] = {}
    tables = [
        np.array([known.setdefault(text, len(known)) for text in listed(part.texts)], np.int64)[part.table]
        for part in parts
    ]
    joined, start = Meaning(np.concatenate(tables), list(known)), 0
    joined.before = (
        []
        if all(part.before is None for part in parts)
        else pa.concat_arrays(
            [pa.nulls(len(part.table), pa.string()) if part.before is None else part.before for part in parts]
        )
    )
    for part in parts:
        joined.faults |= {start + at: fault for at, fault in part.faults.items()}
        joined.changes |= {start + at: change for at, change in part.changes.items()}
        for rule, cells in part.alike.items():
            joined.alike.setdefault(rule, np.zeros(len(joined.table), bool))[start : start + len(cells)] = cells
        start += len(part.table)
    return joined
