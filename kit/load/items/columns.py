"""Headings of single notes, of the key of a test, and of lists of patterns, recognised with the evidence."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from kit.load.columns import field_of, plain
from kit.load.declared import names_of
from kit.load.declared_music import ItemSource, KeySource, PatternSource
from kit.load.formats.cells import Value
from kit.load.layout import Header
from kit.load.suggest import Suggestion, fill_fields

SHORTEST_RUN = 3
"""Columns named with one word and the numbers 1, 2, 3... from which on they are taken for single notes."""

ENOUGH_ROWS = 1_000
"""Rows that tell whether a column holds ids or names."""

_SHARED = {
    "melody": ("melody", "tune", "exercise", "melody no", "melody number", "line"),
    "item": ("note", "item", "beat", "note no", "note number", "item no", "item number", "beat number", "position"),
}
_ITEM_WORDS = _SHARED | {
    "right": ("right", "marked", "correct", "pitch right", "note right", "pitch correct", "note correct", "beat right"),
    "syllable_right": ("syllable", "syllable right", "syllable correct", "name right"),
    "sung": ("sung", "sung instead", "sang", "sang instead", "heard", "heard instead", "sung as"),
    "second_rater": ("blind", "second rater", "rater 2", "second scorer", "second marking", "blind rater"),
    "string": ("notes", "note marks", "item string", "items", "string", "marks of notes", "notes right and wrong"),
}
_KEY_WORDS = _SHARED | {
    "degree": ("degree", "scale degree", "syllable", "solfa", "note name", "name of note"),
    "approach": ("approach", "approached by", "reached by", "approached", "move"),
    "drilled": ("drilled", "practised", "practiced", "taught"),
}
_PATTERN_WORDS = {
    "pattern": ("pattern", "code", "pattern code", "pattern no", "pattern number"),
    "notes": ("notes", "syllables", "pattern notes", "sequence", "solfa"),
}
_ITEM_OF = {word: field for field, words in _ITEM_WORDS.items() for word in words}
_KEY_OF = {word: field for field, words in _KEY_WORDS.items() for word in words}
_PATTERN_OF = {word: field for field, words in _PATTERN_WORDS.items() for word in words}
_NUMBERED = re.compile(r"([^\W\d]*)\s?0*(\d{1,4})")
_RANGE = re.compile(r"(.*?)(\d{1,4})\s*\.\.\s*(.*?)(\d{1,4})")


def item_field(heading: object) -> str:
    """Name the field of an item file that a heading means; empty for none."""
    shared = field_of(heading)
    if shared in ("student", "name", "choir", "occasion", "date", "form", "rater"):
        return shared
    return _ITEM_OF.get(plain(heading), "")


def known_item_heading(cell: object) -> bool:
    """Say whether a cell could be a heading of a file of single notes."""
    return bool(item_field(cell)) or _numbered(cell) is not None


def known_key_heading(cell: object) -> bool:
    """Say whether a cell could be a heading of the key of a test."""
    return bool(_key_field(cell))


def known_pattern_heading(cell: object) -> bool:
    """Say whether a cell could be a heading of a list of patterns."""
    return plain(cell) in _PATTERN_OF


def suggest_items(source: ItemSource, header: Header, rows: list[list[Value]]) -> Suggestion:
    """Fill the undeclared fields of a file of single notes from the headings.

    Parameters
    ----------
    source : ItemSource
        As far as it is declared; declared fields stay as they are.
    header : Header
        The header of the sheet.
    rows : list of list
        The rows below the header.

    Returns
    -------
    Suggestion
        With the layout: a row for each note, a column for each, or a string of marks.
    """
    rows = rows[:ENOUGH_ROWS]
    fields = ("student", "name", "choir", "occasion", "form", "rater", "melody")
    # from here on each column by its own heading, so that those of a range are known to be read
    source = replace(source, items=columns_of(source.items, header))
    filled, evidence = fill_fields(source, header, rows, fields, item_field)
    if not (source.item or source.items or source.string):
        run = numbered_run(header.headings)
        if run:
            filled = replace(filled, items=run)
            evidence.append(f'a column for each note: "{run[0]}" to "{run[-1]}"')
            return Suggestion(filled, tuple(evidence))
        filled, more = fill_fields(filled, header, rows, ("item",), item_field)
        evidence += more
    # what stands beside the marks depends on the layout: only a row about one note can say what was sung
    beside = ("right", "second_rater", "syllable_right", "sung") if filled.item else ("string", "second_rater")
    filled, more = fill_fields(filled, header, rows, () if filled.items else beside, item_field)
    return Suggestion(filled, (*evidence, *more), _open_questions(filled))


def suggest_keys(source: KeySource, header: Header, rows: list[list[Value]]) -> Suggestion:
    """Fill the undeclared fields of the key of a test from the headings."""
    filled, evidence = fill_fields(
        source, header, rows, ("form", "melody", "item", "degree", "approach", "drilled"), _key_field
    )
    decide = () if filled.item else ("no column gives the place of a note in its melody: name it under item",)
    return Suggestion(filled, tuple(evidence), decide)


def suggest_patterns(source: PatternSource, header: Header, rows: list[list[Value]]) -> Suggestion:
    """Fill the undeclared fields of a list of patterns from the headings."""
    filled, evidence = fill_fields(source, header, rows, ("pattern", "notes"), _pattern_field)
    missing = [field for field in ("pattern", "notes") if not getattr(filled, field)]
    return Suggestion(filled, tuple(evidence), tuple(f"no column is known to hold the {field}" for field in missing))


def looks_like_items(headings: Sequence[str]) -> int:
    """Count the headings that only a file of single notes has."""
    fields = [_ITEM_OF.get(plain(heading), "") for heading in headings]
    if _count(headings, _KEY_OF, ("degree", "approach", "drilled")) > 1:
        return 0
    single = sum(field in ("right", "sung", "second_rater", "item") for field in fields)
    single = single if "item" in fields else 0
    return (
        single
        + sum(plain(h) in ("item string", "note marks", "marks of notes") for h in headings)
        + (len(numbered_run(headings)) if any(map(_names_person, headings)) else 0)
    )


def looks_like_keys(headings: Sequence[str]) -> int:
    """Count the headings that only the key of a test has."""
    known = {_KEY_OF.get(plain(heading), "") for heading in headings}
    tags = known & {"degree", "approach", "drilled"}
    return len(tags) + 1 if "item" in known and tags and not any(map(_names_person, headings)) else 0


def looks_like_patterns(headings: Sequence[str]) -> int:
    """Count the headings that only a list of patterns has."""
    fields = {_PATTERN_OF.get(plain(heading), "") for heading in headings}
    short = sum(bool(plain(heading)) for heading in headings) <= 4
    return 2 if {"pattern", "notes"} <= fields and short and not any(map(_names_person, headings)) else 0


def numbered_run(headings: Iterable[str]) -> tuple[str, ...]:
    """Find the longest run of headings such as n1, n2, n3: one word, and numbers that go up by one."""
    runs: list[list[str]] = []
    last: tuple[str, int] | None = None
    for heading in headings:
        found = _numbered(heading)
        if found and last and found == (last[0], last[1] + 1):
            runs[-1].append(heading)
        else:
            runs.append([heading] if found else [])
        last = found
    longest = max(runs, key=len, default=[])
    return tuple(longest) if len(longest) >= SHORTEST_RUN else ()


def columns_of(items: Sequence[str], header: Header) -> tuple[str, ...]:
    """Write out ranges such as ``n1..n24``, with the numbers as the headings write them.

    Parameters
    ----------
    items : sequence of str
        Headings and ranges, as declared.
    header : Header
        The header of the sheet.

    Returns
    -------
    tuple of str
        One heading for each note, in order.
    """
    columns: list[str] = []
    for heading in items:
        match = None if header.column(heading) is not None else _RANGE.fullmatch(heading.strip())
        if not match or plain(match[3]) not in ("", plain(match[1])):
            columns.append(heading)
            continue
        for number in range(int(match[2]), int(match[4]) + 1):
            padded = f"{match[1]}{number:0{len(match[2])}d}"
            columns.append(padded if header.column(padded) is not None else f"{match[1]}{number}")
    return tuple(columns)


def _numbered(heading: object) -> tuple[str, int] | None:
    """Split a heading such as n12 or Note 3; None where it is another one, or begins with a word we know."""
    match = _NUMBERED.fullmatch(plain(heading))
    if not match or match[1] in ("t", "w", "wave", "time", "test", "round", "judge", "rater", "attempt", "try"):
        return None
    return match[1], int(match[2])


def _names_person(heading: object) -> bool:
    """Say whether a heading tells whom a row is about."""
    return field_of(heading) in ("student", "name") and plain(heading) != "code"


def _key_field(heading: object) -> str:
    """Name the field of a key; what else means an approach to teaching is here the way to a note."""
    return "form" if field_of(heading) == "form" else _KEY_OF.get(plain(heading), "")


def _pattern_field(heading: object) -> str:
    """Name the field of a list of patterns."""
    return _PATTERN_OF.get(plain(heading), "")


def _count(headings: Iterable[str], of: Mapping[str, str], fields: Sequence[str]) -> int:
    """Count the headings that mean one of the fields."""
    return sum(of.get(plain(heading), "") in fields for heading in headings)


def _open_questions(source: ItemSource) -> tuple[str, ...]:
    """Say what stays open about the layout."""
    if not (source.item or source.items or source.string):
        return ("no column of single notes is recognised: name item and right, or items, or string",)
    if source.item and not source.right:
        return ("no column says whether a note was right: name it under right",)
    if not source.student and not names_of(source):
        return ("no column names the student: name it under student",)
    return ()
