"""Small school files of every kind, and seeded ways of breaking them: bytes, text, cells, XML members, archives."""

from __future__ import annotations

import csv
import functools
import io
import json
import re
import zipfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from xml.sax.saxutils import escape

import numpy as np
from pydantic import TypeAdapter

from kit.load.declared import RosterSource, Rules, ScoreSource, Source
from kit.load.declared_music import (
    AttendanceSource,
    DrillSource,
    ItemSource,
    KeySource,
    PatternSource,
    RatingSource,
)
from kit.settings import read_settings

DATA = Path(__file__).parents[2] / "synthetic_data"
KINDS: dict[str, type] = {
    "scores": ScoreSource, "rosters": RosterSource, "drills": DrillSource, "items": ItemSource, "keys": KeySource,
    "patterns": PatternSource, "ratings": RatingSource, "attendance": AttendanceSource,
}  # fmt: skip
_SEED = 20261125
_ROWS = 14
_LARGEST_SEED = 60_000
"""Bytes of a fixture that is mutated at most: the large ones are about size, and have tests of their own."""

INJECTIONS = (
    "<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "</td></table><h1>x", "<!--", "]]>", "&lt;b&gt;&amp;",
    "=1+1", '=HYPERLINK("http://a.invalid","x")', "=cmd|' /C calc'!A0", "+1+1", "-1+1", "@SUM(A1)", "\t=1+1", "\r=1+1",
    "{{7*7}}", "${7*7}", "%s%n", "{0.__class__}", "'; DROP TABLE scores;--", "javascript:alert(1)",
    "\x1b[2J\x1b[31mred", "\x1b]0;title\x07", "a\nb", "a\rb", "\x08\x08",
)  # fmt: skip
PATHS = (
    "../../etc/passwd", "..\\..\\windows\\x", "/etc/passwd", "C:\\con", "file:///etc/passwd", "~/.x", ".", "..", "nul",
    "a/b", "private/crosswalk.csv",
)  # fmt: skip
NUMBERS = (
    "1e309", "-1e309", "1e-400", "9" * 400, "-" + "9" * 5000, "0." + "1" * 3000, "nan", "inf", "-inf", "Infinity", "NaN", "1_000",
    "0x1F", "1e5", "1E", "--1", "+5", "1,000,000", "1.000,5", "½", "²", "٣", "५", "１２", "-0", "1/0", "0/0", "5/1e309", "%", "1e308%",
    "17/" + "9" * 400, "Ⅳ", "三", "9007199254740993", "1e400/1e400", "12:30", "1:99:99", "-5 min", "1e309 min",
)  # fmt: skip
DATES = (
    "0000-00-00", "0000-01-01", "9999-12-31", "10000-01-01", "2025-02-30", "31/2/25", "29/2/2023", "1/1/0", "99/99/9999", "1.1.",
    "2025-13-01", "-2025-01-01", "1900-02-29", "2958466", "-1", "45000.99999", "1e12", "2025-W01-1", "0/0/0", "1/1/1000000",
    "2025-09-15T25:61:61", "٢٠٢٥-٠٩-١٥", "Feb 30", "September 31, 2025", "1677-09-20", "2262-04-12",
)  # fmt: skip
LETTERS = (
    "\u202eevil", "a\u200bb", "\ufeff", "x\ufeffy", "\u2066abc\u2069", "e\u0301" * 20, "Z͑ͫ̓ͪ̂ͫ̽͏̴̙̤̞͉͚̯̞̠͍A̴̵̜̰͔ͫ͗͢", "👩‍👩‍👧‍👦", "🎵", "ﷺ", "İ", "ß",
    "ǆ", "\u00a0", "\u2028", "\u2029", "\x85", "\x0b", "\x0c", "\x1c", "\x1e", "\x7f", "\ud7ff", "\U0010ffff", "\ufffe",
    "\x00", "_x0000_", "_xD800_", "_x000D_", "\N{COMBINING ENCLOSING KEYCAP}", "ﬁ", "ſ", "K", "Å",
)  # fmt: skip
MUSIC = (
    "do re mi", "do" * 2000, "1 2 3 #4 5,", "b1 #7 ##4", "n", "0 - ?", "P01 P01 P01", "x", "✓✗", "right", "1" * 5000, "1101",
    "01", "10-12", "1/2/3", "do | | re", "so,", "do'''''''", "ti" + "," * 300, "7 " * 3000, "I-", "1+", "III", "superior",
    "A", "P", "absent", "18 (JM)", "17;16", "17-20", "5..2", "1e2", "TRUE", "#REF!", "#DIV/0!", "[", "(", "a{1,9999}", "\\",
)  # fmt: skip
PLAIN = (
    "",
    " ",
    "  \t ",
    "0",
    "Total",
    "n=3",
    "ID",
    "Pre",
    "Post",
    "Name",
    "Class avg",
    "Student, Test",
    "Date",
    "NA",
    "None",
    "null",
)
NASTY = (*INJECTIONS, *PATHS, *NUMBERS, *DATES, *LETTERS, *MUSIC, *PLAIN)

Mutation = Callable[[np.random.Generator, bytes], bytes]


@dataclass(frozen=True, slots=True)
class Seed:
    """A sound or messy file with what is declared about it."""

    name: str
    kind: str
    content: bytes
    source: Source
    rules: Rules


@dataclass(frozen=True, slots=True)
class Case:
    """A study of mutated files: one of each kind."""

    number: int
    files: dict[str, bytes]
    sources: tuple[Source, ...]
    rules: Rules
    steps: dict[str, str]

    def only(self, file: str) -> Case:
        """Narrow the study to one file."""
        sources = tuple(source for source in self.sources if source.file == file)
        return replace(self, files={file: self.files[file]}, sources=sources)


# ---------------------------------------------------------------------------------------------------------------- seeds

_RATINGS = """Date,Choir,Part,Judge 1,Judge 2,Judge 3,Final
2026-03-06,Hobnail Treble,concert,I,II,I,I
2026-03-06,Hobnail Treble,sight reading,II,II,III,II
2026-03-07,Wicket Mixed,concert,1,2,I,I
2026-03-07,Wicket Mixed,sight reading,III,III,II,III
"""
_RATINGS_LONG = """Date,Choir,Judge,Rating
3/6/2026,Hobnail Treble,A,Superior
3/6/2026,Hobnail Treble,B,Excellent
3/14/2026,Wicket Mixed,A,Good
"""
_ATTENDANCE = """Student ID,Choir,2025-09-22,2025-09-23,2025-09-24,2025-11-27
R4KT,Hobnail Treble,P,P,A,
B9WX,Hobnail Treble,P,E,P,
H2MZ,Wicket Mixed,A,P,P,-
"""
_ATTENDANCE_LONG = """Student,Choir,Date,Attendance
R4KT,Hobnail Treble,22/9/2025,present
B9WX,Hobnail Treble,22/9/2025,absent
R4KT,Hobnail Treble,23/9/2025,excused
"""
_OWN = (
    Seed("ratings.csv", "ratings", _RATINGS.encode(),
         RatingSource(file="", choir="Choir", date="Date", part="Part", judges=("Judge 1", "Judge 2", "Judge 3"),
                      final="Final", higher_is_better=False, panel_rule="median"), Rules()),
    Seed("ratings_long.csv", "ratings", _RATINGS_LONG.encode(),
         RatingSource(file="", choir="Choir", date="Date", judge="Judge", rating="Rating", higher_is_better=False,
                      labels=("Superior", "Excellent", "Good", "Fair", "Poor")), Rules(date_order="month_first")),
    Seed("attendance.csv", "attendance", _ATTENDANCE.encode(),
         AttendanceSource(file="", student="Student ID", choir="Choir",
                          codes={"P": "present", "A": "absent", "E": "excused", "-": "no_school"}), Rules()),
    Seed("attendance_long.csv", "attendance", _ATTENDANCE_LONG.encode(),
         AttendanceSource(file="", student="Student", choir="Choir", date="Date", code="Attendance"),
         Rules(date_order="day_first", no_school=("2025-11-24..2025-11-28",))),
)  # fmt: skip


@functools.cache
def seeds() -> dict[str, tuple[Seed, ...]]:
    """List the small files of each kind."""
    every = [*_OWN, *_of_study(DATA / "one_choir"), *_of_study(DATA / "two_larches"), *_of_manifest(DATA / "messy")]
    return {kind: tuple(seed for seed in every if seed.kind == kind and seed.content) for kind in KINDS}


@functools.cache
def family_names() -> frozenset[str]:
    """List the family names of the students of the files, in small letters, that are no other word of the district."""
    with (DATA / "two_larches" / "roster.csv").open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    said = {word.casefold() for row in rows for key in ("Choir", "School") for word in row[key].split()}
    return frozenset(row["Name"].partition(",")[0].casefold() for row in rows) - said


def _of_study(folder: Path) -> list[Seed]:
    """Take the first rows of every file of a demo study."""
    settings = read_settings(folder)
    return [
        Seed(source.file, _kind_of(source), _head((folder / source.file).read_bytes()), source, settings.rules)
        for source in settings.sources
    ]


def _of_manifest(folder: Path) -> list[Seed]:
    """Take every fixture with the settings of its entry."""
    found = []
    for entry in json.loads((folder / "manifest.json").read_text(encoding="utf-8")):
        declared = dict(entry["settings"])
        rules = TypeAdapter(Rules).validate_python(declared.pop("rules", {}))
        if "sources" in entry:
            sources = [(kind, each) for kind, listed in entry["sources"].items() for each in listed]
        else:
            kind = "rosters" if entry["kind"] == "roster" else "scores"
            sources = [(kind, declared | {"file": file}) for file in entry["files"]]
        for kind, each in sources:
            content = (folder / each["file"]).read_bytes()
            if len(content) <= _LARGEST_SEED:
                source = TypeAdapter(KINDS[kind]).validate_python(each)
                found.append(Seed(each["file"], kind, content, source, rules))
    return found


def _kind_of(source: Source) -> str:
    """Name the kind of a source."""
    return next(kind for kind, record in KINDS.items() if isinstance(source, record))


def _head(content: bytes) -> bytes:
    """Cut a file to its first rows, so that thousands of it can be read."""
    if not content.startswith(b"PK"):
        return b"\n".join(content.split(b"\n")[:_ROWS]) + b"\n"
    parts = unzipped(content)
    for name in parts:
        if name.startswith("xl/worksheets/sheet"):
            cut = parts[name].split(b"</row>")
            if len(cut) > _ROWS:
                parts[name] = b"</row>".join(cut[:_ROWS]) + b"</row>" + cut[-1]
    return zipped(parts)


def unzipped(content: bytes) -> dict[str, bytes]:
    """Unpack an archive; nothing where it is none."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            return {name: archive.read(name) for name in archive.namelist()}
    except Exception:
        return {}


def zipped(parts: dict[str, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    """Pack an archive."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", method) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return packed.getvalue()


# ---------------------------------------------------------------------------------------------------------------- bytes


def _place(rng: np.random.Generator, content: bytes | str) -> int:
    """Draw a place in a text, its beginning and end included."""
    return int(rng.integers(0, len(content) + 1))


def truncated(rng: np.random.Generator, content: bytes) -> bytes:
    """Cut the end off."""
    return content[: _place(rng, content)]


def beheaded(rng: np.random.Generator, content: bytes) -> bytes:
    """Cut the beginning off."""
    return content[_place(rng, content) :]


def bits_flipped(rng: np.random.Generator, content: bytes) -> bytes:
    """Flip up to eight bits."""
    changed = bytearray(content)
    for _ in range(int(rng.integers(1, 9)) if content else 0):
        changed[int(rng.integers(len(changed)))] ^= 1 << int(rng.integers(8))
    return bytes(changed)


def bytes_inserted(rng: np.random.Generator, content: bytes) -> bytes:
    """Put bytes somewhere: noise, NULs, a byte-order mark, a lone surrogate, the end-of-file sign."""
    at = _place(rng, content)
    noise = (
        rng.bytes(int(rng.integers(1, 40))), bytes(int(rng.integers(1, 40))), b"\xef\xbb\xbf", b"\xff\xfe", b"\xed\xa0\x80",
        b"\x1a", b"\xc0\x80", b"\xf4\x90\x80\x80", b"\r", b"\n\n\n", b'"', b"\xfe\xff",
    )  # fmt: skip
    return content[:at] + noise[int(rng.integers(len(noise)))] + content[at:]


def piece_repeated(rng: np.random.Generator, content: bytes) -> bytes:
    """Repeat a piece of the file, or move it."""
    first, second = sorted((_place(rng, content), _place(rng, content)))
    at = _place(rng, content)
    return content[:at] + content[first:second] * int(rng.integers(1, 4)) + content[at:]


def piece_lost(rng: np.random.Generator, content: bytes) -> bytes:
    """Lose a piece in the middle."""
    first, second = sorted((_place(rng, content), _place(rng, content)))
    return content[:first] + content[second:]


def prefixed(rng: np.random.Generator, content: bytes) -> bytes:
    """Give the file the first bytes of another kind."""
    heads = (b"PK\x03\x04", b"PAR1", b"\xd0\xcf\x11\xe0", b"%PDF", b"<?xml", b"<html>", b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff",
             b"sep=;\n", b"sep=\x00\n", b'"sep=,"\r', b"\x1f\x8b", b"#!/bin/sh\n")  # fmt: skip
    return heads[int(rng.integers(len(heads)))] + content


ON_BYTES: tuple[Mutation, ...] = (
    truncated, beheaded, bits_flipped, bytes_inserted, piece_repeated, piece_lost, prefixed
)  # fmt: skip

# ----------------------------------------------------------------------------------------------------------------- text


def nasty(rng: np.random.Generator) -> str:
    """Draw a value that no teacher wrote, or that one did."""
    return NASTY[int(rng.integers(len(NASTY)))]


def _text(content: bytes) -> str:
    """Read bytes as text so that every byte comes back."""
    return content.decode("utf-8", "surrogateescape")


def _bytes(text: str) -> bytes:
    """Write text as bytes, whatever it holds."""
    return text.encode(
        "utf-8", "surrogateescape" if not re.search("[\ud800-\udc7f\udd00-\udfff]", text) else "surrogatepass"
    )


def _grid(content: bytes) -> tuple[list[list[str]], str]:
    """Cut text into cells without regard to quotation marks; the delimiter is the most frequent sign."""
    text = _text(content)
    delimiter = max(",;\t|", key=text.count)
    return [line.split(delimiter) for line in text.split("\n")], delimiter


def _joined(grid: list[list[str]], delimiter: str) -> bytes:
    """Write cells as text again."""
    return _bytes("\n".join(delimiter.join(row) for row in grid))


def reencoded(rng: np.random.Generator, content: bytes) -> bytes:
    """Write the text in another encoding."""
    text = content.decode("utf-8", "replace") + ("é" if rng.random() < 0.5 else "")
    encodings = ("utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252", "latin-1", "mac_roman", "cp037", "utf-7", "shift_jis",
                 "utf-8-sig")  # fmt: skip
    return text.encode(encodings[int(rng.integers(len(encodings)))], "replace")


def line_ends_changed(rng: np.random.Generator, content: bytes) -> bytes:
    """End lines in another way."""
    ends = (b"\r", b"\r\n", b"\r\r\n", b"\n\r", b"\x0b", b"\x0c", "\u2028".encode(), b"\x85", b"\n\n", b"")
    return content.replace(b"\r\n", b"\n").replace(b"\n", ends[int(rng.integers(len(ends)))])


def delimiters_changed(rng: np.random.Generator, content: bytes) -> bytes:
    """Part the fields by another sign, everywhere or on some lines."""
    grid, delimiter = _grid(content)
    other = ",;\t| :~\x1f"[int(rng.integers(8))]
    some = rng.random() < 0.5
    return _bytes("\n".join((other if not some or rng.random() < 0.5 else delimiter).join(row) for row in grid))


def quotes_strewn(rng: np.random.Generator, content: bytes) -> bytes:
    """Put quotation marks in places where they open and never close."""
    text = _text(content)
    for _ in range(int(rng.integers(1, 6))):
        at = _place(rng, text)
        text = text[:at] + ('"', '""', "'", '"\n', ',"', '",')[int(rng.integers(6))] + text[at:]
    return _bytes(text)


def cells_replaced(rng: np.random.Generator, content: bytes) -> bytes:
    """Write nasty values into some cells."""
    grid, delimiter = _grid(content)
    for _ in range(int(rng.integers(1, 7))):
        row = grid[int(rng.integers(len(grid)))]
        value = nasty(rng)
        quoted = '"' + value.replace('"', '""') + '"' if rng.random() < 0.7 else value
        row[int(rng.integers(len(row)))] = quoted
    return _joined(grid, delimiter)


def column_replaced(rng: np.random.Generator, content: bytes) -> bytes:
    """Write nasty values into a whole column below the header."""
    grid, delimiter = _grid(content)
    column, only = int(rng.integers(max(map(len, grid)))), nasty(rng) if rng.random() < 0.4 else ""
    for row in grid[1:]:
        if column < len(row):
            row[column] = '"' + (only or nasty(rng)).replace('"', '""') + '"'
    return _joined(grid, delimiter)


def header_changed(rng: np.random.Generator, content: bytes) -> bytes:
    """Remove, double, swap, empty or misspell headings, or remove or double the header."""
    grid, delimiter = _grid(content)
    header, at = grid[0], int(rng.integers(len(grid[0])))
    match int(rng.integers(7)):
        case 0:
            del header[at]
        case 1:
            header.insert(at, header[int(rng.integers(len(header)))])
        case 2:
            header[at] = header[int(rng.integers(len(header)))]
        case 3:
            header[at] = nasty(rng)
        case 4:
            del grid[0]
        case 5:
            grid.insert(int(rng.integers(len(grid) + 1)), list(header))
        case _:
            rng.shuffle(header)
    return _joined(grid, delimiter)


def rows_changed(rng: np.random.Generator, content: bytes) -> bytes:
    """Double, drop, shorten, lengthen or swap rows."""
    grid, delimiter = _grid(content)
    for _ in range(int(rng.integers(1, 5))):
        at = int(rng.integers(len(grid)))
        match int(rng.integers(6)):
            case 0:
                grid.insert(at, list(grid[int(rng.integers(len(grid)))]))
            case 1:
                grid.pop(at)
            case 2:
                grid[at] = grid[at][: int(rng.integers(len(grid[at]) + 1))]
            case 3:
                grid[at] = grid[at] + [nasty(rng)] * int(rng.integers(1, 30))
            case 4:
                grid.insert(at, [""] * int(rng.integers(0, 5)))
            case _:
                rng.shuffle(grid[at])
        grid = grid or [[""]]
    return _joined(grid, delimiter)


def grown(rng: np.random.Generator, content: bytes) -> bytes:
    """Make a cell, a row or the number of rows very large."""
    grid, delimiter = _grid(content)
    row = grid[int(rng.integers(len(grid)))]
    match int(rng.integers(5)):
        case 0:
            row[int(rng.integers(len(row)))] = nasty(rng)[:4] * 25_000
        case 1:
            row.extend([""] * 100_000)
        case 2:
            grid.extend([[]] * 20_000)
        case 3:
            row.extend(["1"] * 1_990)
        case _:
            grid.extend(grid[-2:-1] * 200)
    return _joined(grid, delimiter)


ON_TEXT: tuple[Mutation, ...] = (
    reencoded, line_ends_changed, delimiters_changed, quotes_strewn, cells_replaced, cells_replaced, column_replaced,
    column_replaced, header_changed, header_changed, rows_changed, rows_changed,
)  # fmt: skip
RARE: tuple[Mutation, ...] = (grown,)

# ------------------------------------------------------------------------------------------------------------ workbooks

_ATTRIBUTE = re.compile(rb'(\b[A-Za-z:]+=")([^"]*)(")')
_CONTENT = re.compile(rb"(<(?:v|t|f|text:p)(?: [^>]*)?>)([^<]*)(</)")


def _one_part(rng: np.random.Generator, parts: dict[str, bytes]) -> str:
    """Draw a part, sheets more often than others."""
    sheets = [name for name in parts if "sheet" in name.lower() or name == "content.xml"]
    names = sheets if sheets and rng.random() < 0.7 else list(parts)
    return names[int(rng.integers(len(names)))]


def _substituted(
    rng: np.random.Generator, pattern: re.Pattern[bytes], content: bytes, new: Callable[[], bytes]
) -> bytes:
    """Replace the middle of some matches."""
    places = list(pattern.finditer(content))
    if not places:
        return content
    chosen = sorted(set(rng.integers(len(places), size=int(rng.integers(1, 6))).tolist()), reverse=True)
    for at in chosen:
        match = places[at]
        content = content[: match.start(2)] + new() + content[match.end(2) :]
    return content


def _xml_value(rng: np.random.Generator) -> bytes:
    """Write a nasty value, mostly as XML allows it."""
    value = nasty(rng)
    return _bytes(escape(value, {'"': "&quot;"}) if rng.random() < 0.9 else value)


def values_replaced(rng: np.random.Generator, content: bytes) -> bytes:
    """Write nasty values into cells of a workbook."""
    return _on_part(rng, content, lambda part: _substituted(rng, _CONTENT, part, lambda: _xml_value(rng)))


def attributes_replaced(rng: np.random.Generator, content: bytes) -> bytes:
    """Write wrong places, kinds, styles, names and numbers into attributes of a workbook."""
    wrong = (
        "A1", "XFD1048576", "XFE1048577", "A0", "ZZZZ9", "1", "0", "-1", "99999999", "1e309", "", "s", "b", "e", "d", "n", "str",
        "inlineStr", "A1:XFD1048576", "A1:A1", "B2:A1", "rId1", "rId99", "../../x", "/etc/passwd", "true", "hidden",
        "veryHidden", "time", "date", "percentage", "boolean", "2025-99-99", "PT99999999H", "PT", "0000-01-01", "1048576", "16384",
    )  # fmt: skip

    def new() -> bytes:
        return wrong[int(rng.integers(len(wrong)))].encode() if rng.random() < 0.8 else _xml_value(rng)

    return _on_part(rng, content, lambda part: _substituted(rng, _ATTRIBUTE, part, new))


def member_broken(rng: np.random.Generator, content: bytes) -> bytes:
    """Break the bytes of one part and pack it soundly."""
    change = ON_BYTES[int(rng.integers(len(ON_BYTES)))]
    return _on_part(rng, content, lambda part: change(rng, part))


def _on_part(rng: np.random.Generator, content: bytes, change: Callable[[bytes], bytes]) -> bytes:
    """Change one part of an archive."""
    parts = unzipped(content)
    if not parts:
        return bits_flipped(rng, content)
    name = _one_part(rng, parts)
    return zipped(parts | {name: change(parts[name])})


def members_changed(rng: np.random.Generator, content: bytes) -> bytes:
    """Lose, rename, swap or add parts; names that lead out of the folder included."""
    parts = unzipped(content)
    if not parts:
        return truncated(rng, content)
    names = list(parts)
    name, other = (names[int(rng.integers(len(names)))] for _ in range(2))
    match int(rng.integers(6)):
        case 0:
            del parts[name]
        case 1:
            parts[name], parts[other] = parts[other], parts[name]
        case 2:
            parts[f"../../{name}"] = parts.pop(name)
        case 3:
            parts[("../../../evil.txt", "/evil.txt", "C:\\evil.txt", "xl/", "a\x01b")[int(rng.integers(5))]] = b"x"
        case 4:
            parts[name] = b""
        case _:
            parts[name] = zipped(parts)
    return zipped(parts, zipfile.ZIP_STORED if rng.random() < 0.2 else zipfile.ZIP_DEFLATED)


def tags_changed(rng: np.random.Generator, content: bytes) -> bytes:
    """Lose, double or nest tags of a part, or put declarations on top of it."""

    def change(part: bytes) -> bytes:
        tags = list(re.finditer(rb"<[^>]+>", part))
        if not tags:
            return part
        tag = tags[int(rng.integers(len(tags)))]
        match int(rng.integers(5)):
            case 0:
                return part[: tag.start()] + part[tag.end() :]
            case 1:
                return part[: tag.end()] + tag[0] * int(rng.integers(1, 4)) + part[tag.end() :]
            case 2:
                return part[: tag.start()] + b"<x>" * 200 + b"</x>" * 200 + part[tag.start() :]
            case 3:
                return b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]>' + part
            case _:
                other = tags[int(rng.integers(len(tags)))]
                return part[: tag.start()] + other[0] + part[tag.end() :]

    return _on_part(rng, content, change)


ON_WORKBOOKS: tuple[Mutation, ...] = (
    values_replaced, values_replaced, values_replaced, attributes_replaced, attributes_replaced, member_broken, members_changed,
    tags_changed,
)  # fmt: skip

# ---------------------------------------------------------------------------------------------------------------- cases


def mutated(rng: np.random.Generator, content: bytes) -> tuple[bytes, str]:
    """Break a file in one to three ways; say in which."""
    taken = []
    for _ in range(int(rng.choice((1, 1, 2, 3)))):
        chance = rng.random()
        if chance < 0.2:
            pool = ON_BYTES
        elif chance > 0.99:
            pool = RARE
        else:
            pool = ON_WORKBOOKS if content.startswith(b"PK") else ON_TEXT
        change = pool[int(rng.integers(len(pool)))]
        content = change(rng, content)
        taken.append(change.__name__)
    return content, " + ".join(taken)


def _declared(rng: np.random.Generator, seed: Seed, file: str) -> Source:
    """Declare what is true of the file, or nothing, or that it is of another kind."""
    chance = rng.random()
    if chance < 0.7:
        return replace(seed.source, file=file)
    kind = seed.kind if chance < 0.92 else list(KINDS)[int(rng.integers(len(KINDS)))]
    return KINDS[kind](file=file)


def case(number: int) -> Case:
    """Make the mutated study of a number; the same one each time.

    Parameters
    ----------
    number : int
        Any number from 0.

    Returns
    -------
    Case
        One file of each kind; a scores and an items file see the mutated roster and key beside them.
    """
    rng = np.random.default_rng([_SEED, number])
    files, sources, rules, steps = {}, [], [], {}
    for kind, pool in seeds().items():
        seed = pool[int(rng.integers(len(pool)))]
        file = f"{kind} {seed.name}"
        files[file], steps[file] = mutated(rng, seed.content)
        sources.append(_declared(rng, seed, file))
        rules.append(seed.rules)
    return Case(number, files, tuple(sources), rules[int(rng.integers(len(rules)))], steps)
