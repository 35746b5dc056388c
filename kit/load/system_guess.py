"""Which syllable system a file seems to be written in: its own texts, put before the evidence of `suggest_system`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

from kit.load.declared import Source
from kit.load.declared_music import DrillSource, ItemSource, KeySource, PatternSource, Syllables
from kit.load.formats.cells import Sheet, read_book
from kit.load.formats.fast_csv import open_head
from kit.load.header import is_blank
from kit.load.layout import find_header
from kit.load.ledger import Account
from kit.load.syllables.evidence import suggest_system

_COLUMNS = {DrillSource: ("target", "sung"), ItemSource: ("sung",), KeySource: ("degree",), PatternSource: ("notes",)}
"""Kind of file -> the fields whose columns hold notes."""

Proposed = tuple[Source, tuple[str, ...]]


def propose_system(path: Path, source: Source) -> Proposed:
    """Fill in the syllable system that the texts of a file point to.

    Parameters
    ----------
    path : Path
        The file.
    source : Source
        With the headings of its columns filled in.

    Returns
    -------
    source : Source
        With ``syllables``, where all evidence points to one system; else as it was.
    evidence : tuple of str
        What speaks for it, with counts; also where it does not settle the matter.
    """
    fields = _COLUMNS.get(type(source), ())
    headings = [heading for field in fields if (heading := getattr(source, field))]
    if not headings or source.syllables:
        return source, ()
    found = suggest_system(_texts(path, source, headings))
    evidence = tuple(f"syllables: {sentence}" for sentence in (*found.evidence, *found.conflicts))
    if not found.system:
        return source, evidence
    return replace(source, syllables=Syllables(system=found.system)), evidence


def _texts(path: Path, source: Source, headings: list[str]) -> Iterator[str]:
    """Give the cells of the columns that hold notes; of a long text file those of its first rows."""
    head = open_head(path, source.encoding)
    for sheet in (head.sheet,) if head else read_book(path, encoding=source.encoding).sheets:
        if not sheet.hidden:
            yield from _column_texts(sheet, headings)


def _column_texts(sheet: Sheet, headings: Iterable[str]) -> Iterator[str]:
    """Give the texts below some headings."""
    header = find_header(Account(sheet), headings)
    if header is None:
        return
    columns = [at for heading in headings if (at := header.column(heading)) is not None]
    for row in sheet.rows[header.index + 1 :]:
        yield from (row[at] for at in columns if at < len(row) and isinstance(row[at], str) and not is_blank(row[at]))
