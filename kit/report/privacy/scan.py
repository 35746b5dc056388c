"""The search of a finished folder: every file of a report is opened and read for what belongs to a person."""

from __future__ import annotations

import base64
import binascii
import io
import re
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from kit.report.privacy.columns_read import columns_of
from kit.report.privacy.names import find_personal
from kit.report.privacy.short_ids import ShortIds

_TAG = re.compile(r"<[^>]*>")
_SHAPES = re.compile(r"\b(?:d|points|transform|viewBox|style)=\"[^\"]*\"")
"""Attributes of a drawing that hold nothing but numbers."""
_COMMENT = re.compile(r"<!--\s*(.*?)\s*-->", re.DOTALL)
_ENDS = re.compile(r"</(?:w:p|w:tc|si|c|row|text:p|p|td|th|li|h\d|text|title|desc)>|<(?:w:br|br|w:tab)\b[^>]*>")
"""Where a word ends in a packed document or a page, though no blank stands there."""
_TOLD = re.compile(
    r"\b(?:\w+:)?(?:descr|title|tooltip|author|initials|name|alt|creator|lastModifiedBy|Target|tblCaption w:val"
    r"|tblDescription w:val|comment w:author)=\"([^\"]*)\""
)
"""What tags of a packed document tell; others hold the places of cells, marks of styles and colors."""
_LOOKS = re.compile(r"(?:styles|theme\d*|fontTable|numbering)\.xml$")
"""Parts that say how a document looks: their words (Note, Good, Title) are those of the program it is made for."""
_COLOR = re.compile(r"#[0-9A-Fa-f]{3,8}\b")
_PICTURE = re.compile(r"data:image/png;base64,([\w+/=]+)")
_STREAM = re.compile(rb"stream\r?\n(.*?)endstream", re.DOTALL)
_TELLING = re.compile(
    rb"/(?:Title|Author|Subject|Keywords|Creator|Alt|ActualText|Contents|T|TU|URI|E|F|UF)\s*"
    rb"(?:\(((?:[^()\\]|\\.)*)\)|<([0-9A-Fa-f\s]*)>)",
    re.DOTALL,
)
_RUN = re.compile(rb"[\x20-\x7e]{12,}")
"""Letters in a file that is none of text: shorter ones stand there by chance."""
_PNG = b"\x89PNG\r\n\x1a\n"
_MOST_BYTES = 200_000_000
"""Bytes that one packed part may unfold to."""


@dataclass(frozen=True, slots=True)
class Found:
    """What a file would give away.

    Attributes
    ----------
    file : str
        The file, as seen from the folder.
    words : tuple of str
        Names, ids, addresses and days of birth in it or in its name.
    """

    file: str
    words: tuple[str, ...]


def scan_folder(folder: Path, personal: Iterable[str], *, texts: Mapping[str, str] | None = None) -> list[Found]:
    """Search every file of a folder, and the files' names, for what belongs to a person.

    Parameters
    ----------
    folder : Path
        A finished report.
    personal : iterable of str
        As for `kit.report.privacy.names.find_personal`.
    texts : mapping of str to str, optional
        Name of a file -> its words, where they are known better than they can be read from it: the letters of a
        printed page are drawn.

    Returns
    -------
    list of Found
        The page first, then by name.
    """
    listed, known = list(personal), texts or {}
    found, short = [], ShortIds(listed)
    for path in sorted(folder.rglob("*"), key=lambda path: (path.suffix != ".html", path)):
        if path.is_file():
            name = path.relative_to(folder).as_posix()
            read = [*words_of(path.read_bytes(), path.suffix), re.sub(r"[/._]+", " ", name), known.get(path.name, "")]
            words = dict.fromkeys(word for text in read for word in find_personal(text, listed))
            words |= dict.fromkeys(_short(short, read, path)) if short.ids else {}
            found += [Found(name, tuple(words))] if words else []
    return found


def _short(short: ShortIds, read: Iterable[str], path: Path) -> Iterator[str]:
    """Find ids that are too short to be words: in the texts of a file, and in the columns of its tables."""
    for text in read:
        yield from short.in_text(text)
    for heading, cells in columns_of(path.read_bytes(), path.suffix.lower()):
        yield from short.in_column(heading, cells)


def words_of(content: bytes, suffix: str) -> Iterator[str]:
    """Read the words of a file.

    Parameters
    ----------
    content : bytes
        The file.
    suffix : str
        Its ending, which says how to read it; of an unknown one the letters are read.

    Yields
    ------
    str
        Texts, a line for each paragraph or cell; of pictures and printed pages also what stands unseen in them.
    """
    readers = {".png": _picture, ".pdf": _printed, ".html": _page, ".svg": _page, ".ipynb": _page}
    packed = content.startswith(b"PK\x03\x04")
    yield from (_packed if packed else readers.get(suffix.lower(), _letters))(content)


def _letters(content: bytes) -> Iterator[str]:
    """Read a text file, and of any other file the letters in it."""
    marked = content.startswith((b"\xff\xfe", b"\xfe\xff"))
    if b"\0" in content and not marked:
        content = b"\n".join(_RUN.findall(content))
    yield content.decode("utf-16" if marked else "utf-8", errors="replace")


def _page(content: bytes) -> Iterator[str]:
    """Read a page or a drawing: as it is written, and as it is read, where a name may be set in two ways."""
    [text] = _letters(content)
    for packed in _PICTURE.findall(text):
        yield from _picture(_unfolded(packed))
    # the letters of a drawing are shapes, each word beside them in a comment
    plain = _COLOR.sub("", _COMMENT.sub(r"\n\1\n", _SHAPES.sub("", text)))
    yield plain
    yield _TAG.sub("", _ENDS.sub("\n", _PICTURE.sub("", plain)))


def _unfolded(packed: str) -> bytes:
    """Unfold a picture that stands in a page."""
    try:
        return base64.b64decode(packed)
    except binascii.Error:
        return b""


def _packed(content: bytes) -> Iterator[str]:
    """Read a packed document: the names and words of its parts, what their tags tell, and its pictures."""
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        for part in parts.infolist():
            yield re.sub(r"[/._]+", " ", part.filename)
            if part.file_size > _MOST_BYTES:
                raise ValueError(f"scan_folder: a part of a packed file must have at most {_MOST_BYTES} bytes.")
            inside = parts.read(part)
            if _LOOKS.search(part.filename):
                continue
            if part.filename.endswith((".xml", ".rels")):
                text = re.sub(r">\s+<", "><", inside.decode("utf-8", errors="replace"))
                yield _TAG.sub("", _ENDS.sub("\n", text))
                yield "\n".join(dict.fromkeys(_TOLD.findall(text)))
            else:
                yield from words_of(inside, Path(part.filename).suffix)


def _picture(content: bytes) -> Iterator[str]:
    """Read what is written into a picture beside what it shows."""
    at, kind = (len(_PNG), b"") if content.startswith(_PNG) else (0, b"IEND")
    while kind != b"IEND" and at + 8 <= len(content):
        length, kind = int.from_bytes(content[at : at + 4], "big"), content[at + 4 : at + 8]
        inside = content[at + 8 : at + 8 + length]
        if kind in (b"tEXt", b"iTXt", b"zTXt", b"eXIf"):
            yield from _written(kind, inside)
        at += length + 12
    # what follows the end of a picture is not seen either
    if at < len(content):
        yield from _letters(content[at:])


def _written(kind: bytes, inside: bytes) -> Iterator[str]:
    """Read a text of a picture: key, and words that may be folded."""
    key, _, rest = inside.partition(b"\0")
    yield key.decode("latin-1")
    if kind == b"zTXt":
        rest = _inflated(rest[1:])
    elif kind == b"iTXt" and rest[:1] == b"\1":
        rest = _inflated(rest[2:].split(b"\0", 2)[-1])
    yield from (rest.decode(code, errors="replace").replace("\0", "\n") for code in ("utf-8", "latin-1"))


def _inflated(folded: bytes) -> bytes:
    """Unfold what is folded; what cannot be is taken as it is."""
    try:
        return zlib.decompressobj().decompress(folded, _MOST_BYTES)
    except zlib.error:
        return folded


def _printed(content: bytes) -> Iterator[str]:
    """Read what a printed page tells beside its letters, which are drawn: properties, bookmarks, alternative texts."""
    for part in (content, *(_inflated(stream) for stream in _STREAM.findall(content))):
        if part.lstrip().startswith((b"<?xpacket", b"<?xml")):
            yield part.decode("utf-8", errors="replace")
        for letters, digits in _TELLING.findall(part):
            yield _string(re.sub(rb"\\([()\\])", rb"\1", letters) or _from_hex(digits))


def _from_hex(digits: bytes) -> bytes:
    """Read a text that is written in digits."""
    plain = re.sub(rb"\s", b"", digits)
    return bytes.fromhex(plain[: len(plain) // 2 * 2].decode("ascii"))


def _string(text: bytes) -> str:
    """Read a text of a printed page."""
    return text.decode("utf-16" if text.startswith((b"\xfe\xff", b"\xff\xfe")) else "latin-1", errors="replace")
