"""The key of a test -> its scored notes or beats, each with degree, approach and whether it was drilled."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import pandas as pd

from kit.load.columns import plain
from kit.load.declared import Rules
from kit.load.declared_music import KeySource, Syllables
from kit.load.formats.cells import Book, Value
from kit.load.items.columns import known_key_heading, looks_like_keys, suggest_keys
from kit.load.items.right import read_right
from kit.load.ledger import Account
from kit.load.melody.steps import approaches
from kit.load.notes import UNKNOWN, Note, read_notes, write_notes
from kit.load.opened import Opened, open_file, quoted, word_key
from kit.load.sheets import Row, SheetRead, data_rows, text_of
from kit.load.suggest import Suggestion
from kit.load.syllables.degrees import from_tonic
from kit.load.syllables.read import read_syllables
from kit.reasons import REASONS
from kit.tables import ITEMS, conform

KEY_COLUMNS = (
    "form",
    "measure",
    "melody",
    "item",
    "degree",
    "alter",
    "approached_by",
    "drilled",
    "file",
    "sheet",
    "row",
)
"""Columns of a key, as in the table of items."""

ONLY_MELODY = "1"
"""Name of the melody where a test has one and no column names it."""

looks_like = looks_like_keys

_FIELDS = ("form", "melody", "item", "degree", "approach", "drilled")
_APPROACH_WORDS = {
    "step": ("step", "steps", "stepwise", "by step"),
    "triad_skip": ("triad skip", "tonic triad skip", "tonic chord skip", "skip in the tonic chord", "chord skip"),
    "other_skip": ("other skip", "another skip", "other leap", "skip outside the tonic chord"),
    "repeat": ("repeat", "repeated", "same note"),
    "": ("", "first", "first note", "none", "-", "start"),
}  # fmt: skip
_APPROACH_OF = {word: approach for approach, words in _APPROACH_WORDS.items() for word in words}
_DERIVED = ("skip", "leap")
"""Words that leave open which skip is meant; the notes tell."""


@dataclass(slots=True)
class KeyNote:
    """One row of a key on its way into the table."""

    row: Row
    form: str
    measure: str
    melody: str
    item: int
    note: Note | None = None
    approach: str | None = None
    drilled: bool | None = None

    @property
    def place(self) -> tuple[str, str, str, int]:
        """Form, measure, melody and place in the melody, as they are compared."""
        return word_key(self.form), self.measure, word_key(self.melody), self.item

    @property
    def tags(self) -> tuple:
        """What the key says of the note."""
        return self.note, self.approach, self.drilled


@dataclass(slots=True)
class KeysRead:
    """The key as read; a key names no person."""

    accounts: list[Account]
    suggestions: list[Suggestion]
    notes: list[KeyNote]
    people: list[Row] = field(default_factory=list)

    def table(self) -> pd.DataFrame:
        """Lay the key out: one row for each scored note or beat, in the order of the file.

        Returns
        -------
        DataFrame
            The columns of ``KEY_COLUMNS``, with the types of the table of items.
        """
        rows = [
            (note.form, note.measure, note.melody, note.item, note.note and note.note.degree,
             note.note and note.note.alter, note.approach or "", note.drilled, sheet.file, sheet.name,
             sheet.numbers[note.row.index])
            for note in self.notes
            for sheet in (note.row.account.sheet,)
        ]  # fmt: skip
        return conform(pd.DataFrame(rows, columns=list(KEY_COLUMNS)), ITEMS)[list(KEY_COLUMNS)]


def read_keys(book: Book, source: KeySource, rules: Rules) -> KeysRead:
    """Read the key of a test.

    Parameters
    ----------
    book : Book
        The file.
    source : KeySource
        What is declared about it; the rest is recognised from the headings.
    rules : Rules
        ``syllables`` names the system of the notes where the source does not.

    Returns
    -------
    KeysRead
        Its notes. Where the key does not say how a note is reached, the notes themselves tell.
    """
    opened: Opened = open_file(book, source, _FIELDS, suggest_keys, known_key_heading)
    syllables = rules.syllables_of(source)
    notes: list[KeyNote] = []
    for read in opened.complete(("item",), 'item = "Note"'):
        rows = data_rows(read, _FIELDS, lambda _: "", nameless=True)
        notes += [note for row in rows if (note := _read_row(read, row)) is not None]
        _read_degrees(read, notes, syllables)
    notes = _without_repeats(notes)
    _derive_approaches(notes, syllables)
    return KeysRead(opened.accounts, opened.suggestions, notes)


@lru_cache(maxsize=10_000, typed=True)
def item_number(value: Value) -> int | None:
    """Read the place of a note in its melody: a whole number from 1, else None."""
    text = text_of(value)
    return int(text) if text.isdecimal() and 0 < len(text) < 5 and int(text) else None


def set_item_aside(row: Row, column: str, found: Value) -> None:
    """Set a row aside whose place in the melody is no number."""
    row.account.set_row_aside(
        row.index, column=column, why="item_number", found=f"The place of the note is {quoted(found)}.",
        do="Write 1 for the first note of a melody, 2 for the second, and so on.",
    )  # fmt: skip


def _read_row(read: SheetRead, row: Row) -> KeyNote | None:
    """Read one row but for its notes; without a place in the melody it is set aside."""
    source, fields = read.source, row.fields
    item = item_number(fields["item"])
    if item is None:
        set_item_aside(row, source.item, fields["item"])
        return None
    note = KeyNote(
        row,
        text_of(fields["form"]) or source.form_is,
        source.measure_is,
        text_of(fields["melody"]) or ONLY_MELODY,
        item,
    )
    if source.approach:
        note.approach = _approach(row, source.approach, plain(text_of(fields["approach"])))
    mark = read_right(fields["drilled"])
    if mark.fault:
        row.account.set_cell_aside(
            row.index, source.drilled, why=mark.fault, found=f"Drilled is {quoted(fields['drilled'])}.",
            do="Write 1 for drilled and 0 for not drilled.",
        )  # fmt: skip
    note.drilled = mark.right
    return note


def _approach(row: Row, column: str, word: str) -> str | None:
    """Read the word for the way to a note; None where the notes are to tell."""
    if word in _APPROACH_OF:
        return _APPROACH_OF[word]
    if word not in _DERIVED:
        row.account.set_cell_aside(
            row.index, column, why="unknown_code", found=f"The approach is {quoted(word)}.",
            do="Write step, triad skip, other skip or repeat, and leave it empty for a first note.",
        )  # fmt: skip
    return None


def _read_degrees(read: SheetRead, notes: Iterable[KeyNote], syllables: Syllables) -> None:
    """Read the degree of each note of one sheet; each spelling is read once."""
    heading, known = read.source.degree, {}
    for note in notes:
        row = note.row
        text = text_of(row.fields["degree"]) if row.account is read.account else ""
        if not text:
            continue
        if text not in known:
            known[text] = read_one_note(text, syllables)
        note.note, fault, rule = known[text]
        if fault:
            row.account.set_cell_aside(
                row.index, heading, why=fault, found=f"The note is {quoted(text)}. {REASONS[fault]}",
                do="Write one note of the declared syllables, or declare the syllables in study.toml.",
            )  # fmt: skip
        elif rule:
            row.account.change(rule, row.index, text, write_notes([note.note]))


def read_one_note(text: str, syllables: Syllables) -> tuple[Note | None, str, str]:
    """Read a cell that names a single note.

    Parameters
    ----------
    text : str
        Such as ``high do``, ``so,`` or ``#4``.
    syllables : Syllables
        The system.

    Returns
    -------
    note : Note or None
        None where there is a fault.
    fault, rule : str
        Reason code, and the normalisation in words; either may be empty.
    """
    sung = read_syllables(text, syllables)
    if sung.fault or len(sung.notes) != 1 or sung.notes[0].degree is None:
        return None, sung.fault or "syllable_unknown", ""
    return read_notes(from_tonic(sung.text, syllables))[0], "", sung.rule or sung.note


def _without_repeats(notes: list[KeyNote]) -> list[KeyNote]:
    """Leave out notes listed a second time: set aside where they say the same, refused where they do not."""
    first: dict[tuple, KeyNote] = {}
    for note in notes:
        known = first.setdefault(note.place, note)
        if known is note:
            continue
        account, index = note.row.account, note.row.index
        if known.tags == note.tags:
            account.set_row_aside(index, why="same_row_twice", found="The note is listed twice.", do="Delete one row.")
        else:
            account.refuse(
                why="key_twice", index=index,
                found=f"Note {note.item} of melody {note.melody} is listed twice, with different tags.",
                do="Delete the row that is wrong.",
            )  # fmt: skip
    return list(first.values())


def _derive_approaches(notes: Sequence[KeyNote], syllables: Syllables) -> None:
    """Tell from the notes of each melody how one is reached, where the key does not."""
    melodies: dict[tuple, dict[int, KeyNote]] = defaultdict(dict)
    for note in notes:
        melodies[note.place[:3]][note.item] = note
    for melody in melodies.values():
        if all(note.approach is not None or note.note is None for note in melody.values()):
            continue
        # a note that the key leaves out stands as one that is not known, so that nothing is said of the next one
        places = range(min(melody), max(melody) + 1)
        known = [melody[place].note or UNKNOWN if place in melody else UNKNOWN for place in places]
        found = approaches(write_notes(known), mode=syllables.mode or "major")
        for place, approach in zip(places, found, strict=True):
            note = melody.get(place)
            if note is not None and note.approach is None:
                note.approach = approach
                if approach:
                    note.row.account.change("approach told by the notes of the key", note.row.index, "", approach)
