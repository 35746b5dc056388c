"""Workbooks of the .xlsx format (ECMA-376) -> their sheets; nothing outside the file is opened."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from kit.load.formats import bounds
from kit.load.formats.archive import Archive, damaged
from kit.load.formats.bounds import Allowance, UnreadableError, check_length
from kit.load.formats.cell_styles import EPOCH, EPOCH_1904, is_on, read_styles
from kit.load.formats.worksheet import Cell, Grid, Texts, place_of, read_grid, written_out

_BOOK = "xl/workbook.xml"


@dataclass(frozen=True, slots=True)
class NamedGrid:
    """One sheet with its name; ``hidden`` says that the workbook does not show it."""

    name: str
    grid: Grid
    hidden: bool


def read_workbook(path: Path) -> list[NamedGrid]:
    """Read every sheet of cells of a workbook.

    Parameters
    ----------
    path : Path
        An .xlsx file.

    Returns
    -------
    list of NamedGrid
        In the order of the workbook; sheets of charts are left out.

    Raises
    ------
    UnreadableError
        If the workbook is damaged or larger than the bounds.
    """
    allowance = Allowance()
    try:
        with Archive(path) as archive:
            sheets = list(_sheets(archive, allowance))
    except UnreadableError:
        raise
    except (ValueError, KeyError, IndexError, OverflowError) as error:  # mangled numbers and places
        raise damaged(str(error)[:200]) from error
    if not sheets:
        raise damaged("it holds no sheet of cells")
    return sheets


def _sheets(archive: Archive, allowance: Allowance) -> Iterator[NamedGrid]:
    """Read the sheets one after the other."""
    book = _Book()
    archive.parse(_BOOK, opened=book.opened, closed=_nothing, data=_nothing)
    if len(book.sheets) > bounds.MOST_SHEETS:
        raise UnreadableError(
            "sheet_large", f"The workbook has {len(book.sheets):,} sheets.",
            f"The kit reads at most {bounds.MOST_SHEETS:,}: split it.",
        )  # fmt: skip
    links = _links(archive, _BOOK)
    texts = _SharedTexts(allowance)
    for part in (part for kind, part in links.values() if kind == "sharedStrings"):
        archive.parse(part, opened=texts.opened, closed=texts.closed, data=texts.data)
    epoch = EPOCH_1904 if book.counts_from_1904 else EPOCH
    shared = Texts(texts.texts, frozenset(texts.struck), read_styles(archive, allowance), epoch)
    for name, link, hidden in book.sheets:
        kind, part = links.get(link, ("", ""))
        if part not in archive.names:
            raise damaged(f"its sheet {name[:31]} is not there")
        if kind == "worksheet":
            grid = read_grid(archive, part, shared, allowance)
            grid.comments.update(_comments(archive, part, allowance))
            yield NamedGrid(name, grid, hidden)


def _links(archive: Archive, part: str) -> dict[str, tuple[str, str]]:
    """List what a part points to inside the file: id -> kind and place; whatever lies outside is left out."""
    folder, name = PurePosixPath(part).parent, PurePosixPath(part).name
    found = {}

    def opened(tag: str, attributes: Mapping[str, str]) -> None:
        if tag == "Relationship" and attributes.get("TargetMode") != "External":
            kind = attributes.get("Type", "").rpartition("/")[2]
            found[attributes.get("Id", "")] = kind, _place(folder, attributes.get("Target", ""))

    archive.parse(f"{folder}/_rels/{name}.rels", opened=opened, closed=_nothing, data=_nothing)
    return found


def _place(folder: PurePosixPath, target: str) -> str:
    """Write where a link points the way the archive lists it."""
    steps: list[str] = []
    for step in (target if target.startswith("/") else f"{folder}/{target}").split("/"):
        if step == "..":
            steps = steps[:-1]
        elif step not in ("", "."):
            steps.append(step)
    return "/".join(steps)


def _comments(archive: Archive, part: str, allowance: Allowance) -> dict[Cell, str]:
    """Read the comments on the cells of one sheet."""
    reader = _Comments(allowance)
    for kind, place in _links(archive, part).values():
        if kind == "comments":
            archive.parse(place, opened=reader.opened, closed=reader.closed, data=reader.data)
    return reader.comments


def _nothing(_: object) -> None:
    """Leave a tag or a text alone."""


class _Book:
    """The list of sheets, and which calendar the numbers of dates follow."""

    def __init__(self) -> None:
        self.sheets: list[tuple[str, str, bool]] = []
        self.counts_from_1904 = False

    def opened(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Take one tag."""
        if tag == "sheet":
            link = next((value for key, value in attributes.items() if key.rpartition(":")[2] == "id"), "")
            name = attributes.get("name", "")
            if len(name) > bounds.LONGEST_NAME:
                raise damaged(f"the name of a sheet has more than {bounds.LONGEST_NAME} letters")
            self.sheets.append((name, link, attributes.get("state", "visible") != "visible"))
        elif tag == "workbookPr":
            self.counts_from_1904 = is_on(attributes, "date1904", "0")


class _SharedTexts:
    """The texts that cells point to, and which of them hold struck-through letters."""

    def __init__(self, allowance: Allowance) -> None:
        self.texts: list[str] = []
        self.struck: set[int] = set()
        self._allowance = allowance
        self._pieces: list[str] = []
        self._length, self._wanted, self._spoken = 0, False, False

    def opened(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Take the beginning of a tag."""
        if tag == "si":
            self._allowance.take(1)
            self._pieces, self._length = [], 0
        elif tag == "t":
            self._wanted = not self._spoken
        elif tag == "rPh":
            self._spoken = True
        elif tag == "strike" and is_on(attributes):
            self.struck.add(len(self.texts))

    def closed(self, tag: str) -> None:
        """Take the end of a tag."""
        if tag == "si":
            self.texts.append(written_out("".join(self._pieces)))
        elif tag == "t":
            self._wanted = False
        elif tag == "rPh":
            self._spoken = False

    def data(self, text: str) -> None:
        """Take letters of a text; how a word is spoken is no part of it."""
        if self._wanted:
            self._length += len(text)
            check_length(self._length, "A cell")
            self._pieces.append(text)


class _Comments:
    """The comments of one sheet, by the cell on which they lie."""

    def __init__(self, allowance: Allowance) -> None:
        self.comments: dict[Cell, str] = {}
        self._allowance = allowance
        self._place: Cell | None = None
        self._wanted, self._length = False, 0

    def opened(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Take the beginning of a tag."""
        if tag == "comment":
            self._allowance.take(1)
            self._place, self._length = place_of(attributes.get("ref", "")), 0
            self.comments[self._place] = ""
        elif tag == "t":
            self._wanted = self._place is not None

    def closed(self, tag: str) -> None:
        """Take the end of a tag."""
        if tag == "comment":
            self._place = None
        elif tag == "t":
            self._wanted = False

    def data(self, text: str) -> None:
        """Take letters of a comment."""
        if self._wanted and self._place is not None:
            self._length += len(text)
            check_length(self._length, "A comment")
            self.comments[self._place] += text
