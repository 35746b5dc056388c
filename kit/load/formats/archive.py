"""The parts of a zipped workbook: unpacked and parsed piece by piece, and never more than the bounds allow."""

from __future__ import annotations

import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from types import TracebackType
from xml.parsers import expat

from kit.load.formats import bounds
from kit.load.formats.bounds import UnreadableError

Open = Callable[[str, Mapping[str, str]], None]
Close = Callable[[str], None]
Data = Callable[[str], None]

_PIECE = 2**18


class Archive:
    """A zipped workbook, open for reading.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    UnreadableError
        If it is damaged or has too many parts.
    """

    def __init__(self, path: Path) -> None:
        try:
            self._zip = zipfile.ZipFile(path)
        except (zipfile.BadZipFile, NotImplementedError, ValueError, OSError) as error:
            raise damaged() from error
        self.names = frozenset(self._zip.namelist())
        self._unpacked = self._tags = 0
        if len(self.names) > bounds.MOST_PARTS:
            self._zip.close()
            raise UnreadableError(
                "file_large", f"The workbook holds {len(self.names):,} files.",
                f"The kit opens at most {bounds.MOST_PARTS:,}: save it again.",
            )  # fmt: skip

    def __enter__(self) -> Archive:
        return self

    def __exit__(self, kind: type | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self._zip.close()

    def parse(self, name: str, *, opened: Open, closed: Close, data: Data, namespaces: bool = False) -> None:
        """Walk through the XML of a part; a part that is not there is empty.

        Parameters
        ----------
        name : str
            Place of the part in the archive.
        opened, closed, data : callable
            Told of each tag with its attributes, each end of a tag, and each run of text; tags come without
            the short name of their namespace.
        namespaces : bool, optional
            Whether attributes come with the whole name of their namespace and a space before their own.
        """
        if name not in self.names:
            return
        parser = self._parser(opened, closed, data, " " if namespaces else None)
        try:
            for fed, piece in self._pieces(name):
                parser.Parse(piece, False)
                # the parser looks through a tag without an end again with each piece
                if fed - parser.CurrentByteIndex > bounds.LONGEST_TAG:
                    raise damaged(f"in {name}: a tag or comment of more than {bounds.LONGEST_TAG // 2**20} MB")
            parser.Parse(b"", True)
        except expat.ExpatError as error:
            raise damaged(f"in {name}: {error}") from error

    def holds(self, name: str, word: bytes) -> bool:
        """Say whether a part is there and its first piece holds a word."""
        return name in self.names and word in next(self._pieces(name), (0, b""))[1]

    def _parser(self, opened: Open, closed: Close, data: Data, separator: str | None) -> expat.XMLParserType:
        """Make a parser that refuses declarations of entities, deep nesting, and tags without end."""
        parser = expat.ParserCreate(namespace_separator=separator)
        parser.buffer_text = True
        depth, mark = 0, separator or ":"

        def open_tag(tag: str, attributes: Mapping[str, str]) -> None:
            nonlocal depth
            depth += 1
            self._tags += 1
            if depth > bounds.DEEPEST_NESTING or self._tags > bounds.MOST_TAGS:
                raise _endless(depth)
            opened(tag.rpartition(mark)[2] if mark in tag else tag, attributes)

        def close_tag(tag: str) -> None:
            nonlocal depth
            depth -= 1
            closed(tag.rpartition(mark)[2] if mark in tag else tag)

        def refuse(*_: object) -> None:
            raise damaged("it declares entities of its own, which no spreadsheet program does")

        parser.StartElementHandler, parser.EndElementHandler = open_tag, close_tag
        parser.CharacterDataHandler, parser.StartDoctypeDeclHandler = data, refuse
        return parser

    def _pieces(self, name: str) -> Iterator[tuple[int, bytes]]:
        """Unpack a part piece by piece and count what comes out so far, whatever the archive says of its size."""
        entry = self._zip.getinfo(name)
        size = 0
        try:
            with self._zip.open(entry) as part:
                while piece := part.read(_PIECE):
                    size += len(piece)
                    self._unpacked += len(piece)
                    _check_size(self._unpacked, size, entry.compress_size)
                    yield size, piece
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, RuntimeError) as error:
            raise damaged() from error


def damaged(detail: str = "") -> UnreadableError:
    """Make the error for a workbook that is cut off or mangled."""
    note = f" ({detail})" if detail else ""
    return UnreadableError("file_broken", f"The workbook is damaged{note}.", "Save it again and try once more.")


def _endless(depth: int) -> UnreadableError:
    """Make the error for XML that is nested too deep, or has too many tags."""
    if depth > bounds.DEEPEST_NESTING:
        return damaged(f"nested more than {bounds.DEEPEST_NESTING} deep")
    return UnreadableError(
        "sheet_large", f"The workbook has more than {bounds.MOST_TAGS:,} tags.", "Split it, or delete what you can."
    )


def _check_size(unpacked: int, size: int, packed: int) -> None:
    """Refuse an archive as soon as too much has come out of it."""
    if unpacked > bounds.LARGEST_UNPACKED:
        raise UnreadableError(
            "file_large", f"The workbook unpacks to more than {bounds.LARGEST_UNPACKED // 2**20} MB.",
            "That is the most the kit reads: split it.",
        )  # fmt: skip
    if size > bounds.FREE_OF_RATIO and size > bounds.LARGEST_RATIO * max(packed, 1):
        raise UnreadableError(
            "file_large", f"A part of the workbook unpacks to more than {bounds.LARGEST_RATIO} times its size.",
            "No workbook of marks does: save it again from the spreadsheet program.",
        )  # fmt: skip
