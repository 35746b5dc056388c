"""What a report for Word or as PDF is made of: headings, paragraphs, lists, tables, pictures, without any markup."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Literal

Paper = Literal["letter", "a4"]
"""Of sheets; a sheet of letter paper fits on A4 as it is, while one of A4 is taller than letter paper."""
Style = Literal["plain", "note", "code"]
Framed = Literal["box", "banner", "quote"]
Side = Literal["left", "right"]
WIDEST, TALLEST = 4.7, 7.5
"""Inches of the widest and of the tallest picture on paper."""
EASY, NARROWEST = 3.3, 4.2
"""Inches of the height that mostly finds room on a sheet, and how narrow a picture may be made for it."""
MARKS = ("strong", "emph", "sub", "sup", "code")
"""How a piece of text may be set."""


class DocumentError(ValueError):
    """A page cannot be turned into a report for Word or into a PDF; the text says why."""


@dataclass(frozen=True, slots=True)
class Run:
    """A piece of text that is set in one way; a line end in it is a new line.

    Attributes
    ----------
    text : str
        The letters.
    marks : tuple of str
        Of `MARKS`.
    target : str
        Where in the document a click leads: for a printed number its label; empty for none.
    hint : str
        What the page tells of it when it is pointed at; empty for none.
    anchor : str
        The name under which this place can be reached; empty for none.
    width : float
        How wide it is set at least, in the height of its letters; 0 for as wide as it is.
    """

    text: str
    marks: tuple[str, ...] = ()
    target: str = ""
    hint: str = ""
    anchor: str = ""
    width: float = 0.0


Runs = tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; level 1 is the title of the report."""

    level: int
    runs: Runs


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Sentences, and how they are set."""

    runs: Runs
    style: Style = "plain"


@dataclass(frozen=True, slots=True)
class Frame:
    """Parts in one box, in the banner below the title, or set in as a quotation."""

    style: Framed
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Items:
    """A list; each item holds parts."""

    items: tuple[tuple[Part, ...], ...]
    ordered: bool = False


@dataclass(frozen=True, slots=True)
class Definitions:
    """Words with their meanings."""

    words: tuple[tuple[Runs, Runs], ...]


@dataclass(frozen=True, slots=True)
class Box:
    """One cell of a table, the heading of a column or of a row, or a value."""

    runs: Runs
    heads: bool = False
    side: Side = "left"
    columns: int = 1
    rows: int = 1
    whole: bool = False
    """Whether its lines are never broken."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A table.

    Attributes
    ----------
    label : str
        ``table-3``; empty where a user added it.
    caption : tuple of Run
        With its number.
    head, rows : tuple of tuple of Box
        The rows that are repeated on every sheet, and the others.
    """

    label: str = ""
    caption: Runs = ()
    head: tuple[tuple[Box, ...], ...] = ()
    rows: tuple[tuple[Box, ...], ...] = ()

    @property
    def headed(self) -> bool:
        """Say whether its first column heads the rows."""
        return bool(self.rows) and all(row and row[0].heads for row in self.rows)

    @property
    def columns(self) -> int:
        """Count its columns."""
        return max((sum(box.columns for box in row) for row in (*self.head, *self.rows)), default=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture with its caption and what a blind reader is told in its place; its size on the page is in inches."""

    content: bytes = field(repr=False)
    ending: str
    alt: str
    caption: Runs = ()
    label: str = ""
    width: float = 6.4
    height: float = 4.0

    @property
    def printed(self) -> float:
        """Give its width on paper: letters about as large as in a table, and never higher than a sheet leaves."""
        shape = self.width / self.height
        return min(WIDEST, self.width, max(NARROWEST, EASY * shape), TALLEST * shape)


Part = Heading | Paragraph | Frame | Items | Definitions | Grid | Picture


@dataclass(frozen=True, slots=True)
class Document:
    """A whole report.

    Attributes
    ----------
    parts : tuple of Part
        In the order of reading.
    title : str
        Title with what it is about.
    foot : str
        What stands at the foot of each sheet.
    language : str
        Such as ``en``.
    """

    parts: tuple[Part, ...]
    title: str
    foot: str = ""
    language: str = "en"


def words_of(runs: Iterable[Run]) -> str:
    """Give the letters of some pieces of text."""
    return "".join(run.text for run in runs)


def text_of(document: Document) -> str:
    """Give every word of a document, to be searched for names.

    Parameters
    ----------
    document : Document
        What a Word file and a PDF are made of.

    Returns
    -------
    str
        A line for each paragraph, item, caption, alternative text and each line of a cell.
    """
    return "\n".join([document.title, document.foot, *(line for part in flat(document.parts) for line in _lines(part))])


def flat(parts: Iterable[Part]) -> Iterator[Part]:
    """Give every part, and those inside boxes and lists after it.

    Parameters
    ----------
    parts : iterable of Part
        Of a document, in the order of reading.

    Yields
    ------
    Part
    """
    for part in parts:
        yield part
        if isinstance(part, Frame):
            yield from flat(part.parts)
        elif isinstance(part, Items):
            for item in part.items:
                yield from flat(item)


def runs_of(part: Part) -> Iterator[Runs]:
    """Give every stretch of text that a part has itself, in the order of reading."""
    match part:
        case Heading() | Paragraph():
            yield part.runs
        case Definitions():
            for word, meaning in part.words:
                yield from (word, meaning)
        case Grid():
            yield part.caption
            yield from (box.runs for row in (*part.head, *part.rows) for box in row)
        case Picture():
            yield part.caption


def pictures_of(document: Document) -> list[Picture]:
    """List every picture of a document, in the order of reading."""
    return [part for part in flat(document.parts) if isinstance(part, Picture)]


def anchors_of(document: Document) -> set[str]:
    """List every place of a document that a click can lead to."""
    parts = [*flat(document.parts)]
    named = {part.label for part in parts if isinstance(part, Grid | Picture) and part.label}
    return named | {run.anchor for part in parts for runs in runs_of(part) for run in runs if run.anchor}


def _lines(part: Part) -> Iterator[str]:
    """Give every line of a part, with what stands behind it."""
    if isinstance(part, Picture):
        yield part.alt
    for runs in runs_of(part):
        yield words_of(runs)
        yield from (run.hint for run in runs if run.hint)
