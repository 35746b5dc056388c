"""Headings of drill logs -> the fields of a drill source, with the evidence, for a person to decide."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kit.load.columns import field_of, plain
from kit.load.declared_music import DrillSource
from kit.load.formats.cells import Value
from kit.load.layout import Header
from kit.load.suggest import Suggestion, fill_fields

FIELDS = (
    "date", "student", "name", "choir", "teacher", "unit", "activity", "stage", "minutes", "pattern", "target", "sung",
    "attempt", "right", "pitch_right", "syllable_right", "correction", "right_after", "class_rating", "note",
)  # fmt: skip
"""Fields of a drill source that are headings."""
SAMPLE = 1000
"""Rows below the header that a suggestion looks at; a log may have millions."""

_HEADINGS = {
    "date": ("date", "day", "session date", "drill date", "week", "week of", "timestamp"),
    "teacher": ("teacher", "director", "led by", "leader", "taught by", "instructor"),
    "unit": ("unit", "who sang", "sung by", "grouping", "size of group"),
    "activity": ("activity", "drill", "kind of drill", "drill type", "type of drill", "exercise", "task",
                 "what we did"),
    "stage": ("stage", "phase", "with notation"),
    "minutes": ("minutes", "minutes done", "minutes actual", "actual minutes", "minutes spent", "min", "mins",
                "duration", "length", "time spent", "how long", "seconds", "sec", "secs"),
    "pattern": ("pattern", "patterns", "pattern id", "pattern no", "pattern number", "pattern code", "card",
                "pattern set"),
    "target": ("target", "to sing", "asked", "notes asked", "given", "prompt", "expected"),
    "sung": ("sung", "response", "sang", "answer", "notes sung", "what was sung", "sung instead", "sang instead",
             "heard", "student response", "mistake", "error"),
    "attempt": ("attempt", "try", "trial", "attempt no", "attempt number", "try no", "try number"),
    "right": ("right", "correct", "ok", "result", "right or wrong", "right/wrong", "correct/wrong", "got it"),
    "pitch_right": ("pitch right", "pitches right", "pitch correct", "pitch ok", "pitch"),
    "syllable_right": ("syllable right", "syllables right", "syllable correct", "syllables correct", "syllable ok",
                       "names right", "name right"),
    "correction": ("correction", "help", "help given", "cue", "cue given", "what i did"),
    "right_after": ("right after", "right after correction", "after correction", "right after help", "correct after"),
    "class_rating": ("class rating", "how it went", "how did it go", "class did", "rating", "went"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments"),
}  # fmt: skip
_FIELD_OF = {heading: field for field, headings in _HEADINGS.items() for heading in headings}
_SHARED = ("student", "name", "choir")
_SECONDS = ("seconds", "sec", "secs")
_ONLY_HERE = {"activity", "stage", "minutes", "target", "correction", "right_after", "class_rating", "unit", "attempt",
              "pitch_right"}  # fmt: skip


def drill_field(heading: object) -> str:
    """Name the field of a drill log that a heading means by itself; empty when it means none."""
    word = plain(heading).strip("? ")
    field = field_of(word)
    return field if field in _SHARED else _FIELD_OF.get(word, "")


def is_drill_heading(cell: object) -> bool:
    """Say whether a cell could be a heading of a drill log."""
    return isinstance(cell, str) and bool(drill_field(cell))


def looks_like(headings: Sequence[str]) -> int:
    """Count the headings that only drill logs have.

    Parameters
    ----------
    headings : sequence of str
        The header of a sheet.

    Returns
    -------
    int
        How many of them mean a field that no other kind of file has.
    """
    fields = {drill_field(heading) for heading in headings if heading}
    # what was sung, with its day, is a log; without a day it may be the marks of single notes
    return len(fields & _ONLY_HERE) + (2 if {"date", "sung"} <= fields else 0)


def suggest_drills(source: DrillSource, header: Header, rows: list[list[Value]]) -> Suggestion:
    """Fill the undeclared fields of a drill source from the headings.

    Parameters
    ----------
    source : DrillSource
        As far as it is declared; declared fields stay as they are.
    header : Header
        The header of the sheet.
    rows : list of list
        The rows below the header, to tell ids from names.

    Returns
    -------
    Suggestion
        Fields that no heading means stay empty.
    """
    filled, evidence = fill_fields(source, header, rows[:SAMPLE], FIELDS, drill_field)
    if not source.minutes_unit and plain(filled.minutes) in _SECONDS:
        filled = replace(filled, minutes_unit="seconds")
        evidence.append(f'minutes: "{filled.minutes}" are seconds, as the heading says')
    return Suggestion(filled, tuple(evidence))
