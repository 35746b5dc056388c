"""Lists of the patterns of the drill -> the patterns table."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

import pandas as pd

from kit.load.declared import Rules
from kit.load.declared_music import PatternSource, Syllables
from kit.load.formats.cells import Book
from kit.load.items.columns import known_pattern_heading, looks_like_patterns, suggest_patterns
from kit.load.ledger import Account
from kit.load.opened import open_file, quoted, word_key
from kit.load.sheets import Row, data_rows, text_of
from kit.load.suggest import Suggestion
from kit.load.syllables.degrees import from_tonic
from kit.load.syllables.read import read_syllables
from kit.reasons import REASONS
from kit.tables import PATTERNS, conform

looks_like = looks_like_patterns

_FIELDS = ("pattern", "notes")


@dataclass(slots=True)
class PatternsRead:
    """The patterns as read; they name no person."""

    accounts: list[Account]
    suggestions: list[Suggestion]
    patterns: list[tuple[Row, str, str]]
    people: list[Row] = field(default_factory=list)

    def table(self) -> pd.DataFrame:
        """Lay the patterns out in the order of the file.

        Returns
        -------
        DataFrame
            The patterns table.
        """
        rows = [
            (code, notes, sheet.file, sheet.name, sheet.numbers[row.index])
            for row, code, notes in self.patterns
            for sheet in (row.account.sheet,)
        ]
        return conform(pd.DataFrame(rows, columns=PATTERNS.names), PATTERNS)


def read_patterns(book: Book, source: PatternSource, rules: Rules) -> PatternsRead:
    """Read a list of patterns.

    Parameters
    ----------
    book : Book
        The file.
    source : PatternSource
        What is declared about it; the rest is recognised from the headings.
    rules : Rules
        ``syllables`` names the system of the notes where the source does not.

    Returns
    -------
    PatternsRead
        A pattern without a code, or whose notes cannot be read, is set aside.
    """
    opened = open_file(book, source, _FIELDS, suggest_patterns, known_pattern_heading)
    syllables = rules.syllables_of(source)
    patterns: list[tuple[Row, str, str]] = []
    known: dict[str, str] = {}
    for read in opened.complete(_FIELDS, 'pattern = "Code" and notes = "Notes"'):
        for row in data_rows(read, _FIELDS, lambda _: "", nameless=True):
            pattern = _read_row(row, syllables)
            if pattern is not None and _is_new(row, pattern, known):
                patterns.append((row, *pattern))
    return PatternsRead(opened.accounts, opened.suggestions, patterns)


def _read_row(row: Row, syllables: Syllables) -> tuple[str, str] | None:
    """Read the code and the notes of one row; without either it is set aside."""
    code, value = text_of(row.fields["pattern"]), row.fields["notes"]
    text = text_of(value)
    if isinstance(value, datetime):
        row.account.set_row_aside(
            row.index, why="pattern_lost", found="The notes have become a date.",
            do="Format the column as text, and type the notes again.",
        )  # fmt: skip
        return None
    if not code or not text:
        row.account.set_row_aside(
            row.index, why="row_shape", found=f"The row has no {'notes' if code else 'code'}.",
            do="Fill in both, or delete the row.",
        )  # fmt: skip
        return None
    sung = read_syllables(text, syllables)
    if sung.fault:
        row.account.set_row_aside(
            row.index, why=sung.fault, found=f"The notes are {quoted(text)}. {REASONS[sung.fault]}",
            do="Correct them, or declare the syllables in study.toml.",
        )  # fmt: skip
        return None
    if sung.rule:
        row.account.change(sung.rule, row.index, text, sung.text)
    return code, from_tonic(sung.text, syllables)


def _is_new(row: Row, pattern: tuple[str, str], known: dict[str, str]) -> bool:
    """Say whether a code is new; with the same notes it is set aside, with other ones refused."""
    code, notes = pattern
    if word_key(code) not in known:
        known[word_key(code)] = notes
        return True
    if known[word_key(code)] == notes:
        row.account.set_row_aside(
            row.index, why="same_row_twice", found="The pattern is listed twice.", do="Delete one row."
        )
    else:
        row.account.refuse(
            why="key_twice", index=row.index,
            found=f'The pattern "{code}" is "{known[word_key(code)]}" in an earlier row and "{notes}" here.',
            do="Give each pattern a code of its own.",
        )  # fmt: skip
    return False
