"""What the readers of keys, patterns, single notes, ratings and attendance share: the sheets of one file, opened."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache

from kit.load.columns import plain
from kit.load.declared import Source, names_of
from kit.load.formats.cells import Book, Value
from kit.load.layout import Known
from kit.load.ledger import Account
from kit.load.sheets import SheetRead, Suggest, open_sheets, text_of
from kit.load.suggest import Suggestion

_LONGEST_QUOTED = 24


@dataclass(slots=True)
class Opened:
    """The sheets of one file.

    Attributes
    ----------
    reads : list of SheetRead
        Sheets that hold such a table.
    accounts : list of Account
        One for each sheet of the file, those of ``reads`` included.
    """

    reads: list[SheetRead] = field(default_factory=list)
    accounts: list[Account] = field(default_factory=list)

    @property
    def suggestions(self) -> list[Suggestion]:
        """How each sheet was understood."""
        return [read.suggestion for read in self.reads]

    def complete(self, fields: tuple[str, ...], example: str) -> Iterator[SheetRead]:
        """Go through the sheets that have every field; the others are refused with what to name."""
        for read in self.reads:
            missing = [field for field in fields if not getattr(read.source, field)]
            if not missing:
                yield read
                continue
            found = "; ".join(read.suggestion.decide) or f"no column is known to hold the {' or the '.join(missing)}"
            read.account.refuse(
                why="wrong_columns", index=read.header.index, found=f"{found[0].upper()}{found[1:]}.",
                do=f"Name the columns in study.toml, such as {example}.",
            )  # fmt: skip


def open_file(book: Book, source: Source, fields: tuple[str, ...], suggest: Suggest, known: Known) -> Opened:
    """Open the sheets of a file that a source is about.

    Parameters
    ----------
    book : Book
        The file.
    source : Source
        What is declared about it.
    fields : tuple of str
        Fields of the source that hold one heading each; those declared must be there, and so must the names.
    suggest : callable
        Fills what is not declared.
    known : callable
        Says whether a cell could be a heading of this kind of table.

    Returns
    -------
    Opened
        The sheets, with an account for each.
    """
    declared = [heading for field in fields if (heading := getattr(source, field))]
    opened = Opened()
    for sheet in open_sheets(book, source, [*declared, *names_of(source)], suggest, known):
        opened.accounts.append(sheet if isinstance(sheet, Account) else sheet.account)
        if isinstance(sheet, SheetRead):
            opened.reads.append(sheet)
    return opened


def quoted(value: Value) -> str:
    """Write a cell between quotation marks for a sentence; only the beginning of a long one."""
    text = text_of(value)
    return f'"{text}"' if len(text) <= _LONGEST_QUOTED else f'"{text[:_LONGEST_QUOTED]}..."'


@lru_cache(maxsize=10_000, typed=True)
def word_key(value: Value) -> str:
    """Write a form, melody or choir the way such words are compared: as text, small letters, single spaces."""
    return plain(text_of(value))
