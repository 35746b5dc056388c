"""Delimited text: which encoding, which delimiter, which line."""

from __future__ import annotations

import codecs
import csv
import io
import unicodedata
from collections import Counter
from collections.abc import Iterator
from itertools import islice

from kit.load.formats import bounds
from kit.load.formats.bounds import Allowance, UnreadableError, check_column, check_length, check_row

DELIMITERS = (",", ";", "\t", "|")
_DELIMITER_WORDS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
_MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
_ENCODING_WORDS = {
    "utf-8": "UTF-8", "utf-8-sig": "UTF-8 with a byte-order mark", "utf-16": "UTF-16",
    "utf-16-le": "UTF-16", "cp1252": "Windows-1252", "mac_roman": "Mac Roman",
}  # fmt: skip
_SAMPLE = 2**20
"""Letters at the top of a file by which the delimiter is told."""
_TYPOGRAPHIC = set("‘’‚“”„–—…•°½¼¾×†€")


class EncodingError(UnreadableError):
    """The bytes cannot be turned into text for certain."""


def is_binary(content: bytes) -> bool:
    """Say whether the bytes are no text in any encoding that a spreadsheet program writes."""
    if content.startswith(tuple(mark for mark, _ in _MARKS)) or _utf16_without_mark(content):
        return False
    head = content[:4096]
    if head.startswith((b"%PDF", b"\x89PNG", b"\xff\xd8\xff", b"GIF8")):
        return True
    control = sum(byte < 32 and byte not in b"\t\n\r\f\x1a" for byte in head)
    return control > len(head) / 50


def decode(content: bytes, declared: str = "") -> tuple[str, str]:
    """Turn bytes into text.

    Parameters
    ----------
    content : bytes
        The file.
    declared : str, optional
        Encoding that the study file declares.

    Returns
    -------
    text, remark : str
        The text without byte-order mark, and which encoding it was read in.

    Raises
    ------
    EncodingError
        If the declared encoding does not fit, or two encodings give plausible text.
    """
    encoding = declared or _encoding(content)
    try:
        text = content.decode(encoding)
    except (UnicodeDecodeError, LookupError):
        raise EncodingError(
            "encoding_unclear", f"The file is not in the encoding {encoding!r}.",
            'Save it as "CSV UTF-8", or declare another encoding.',
        ) from None  # fmt: skip
    return text.removeprefix("\ufeff"), f"read as {_ENCODING_WORDS.get(encoding, encoding)}"


def split(text: str) -> tuple[list[list[str]], list[int], str]:
    """Cut text into rows of fields.

    Parameters
    ----------
    text : str
        The whole file.

    Returns
    -------
    rows : list of list of str
        Fields, as they stand.
    numbers : list of int
        For each row the line on which it begins, counted from 1.
    remark : str
        Which delimiter was used.
    """
    _refuse_nothing_signs(text)
    skipped = 0
    first, _, rest = text.partition("\n")
    if first.strip().strip('"').lower().startswith("sep=") and len(first.strip().strip('"')) == 5:
        delimiter, text, skipped = first.strip().strip('"')[4], rest, 1
    else:
        delimiter = _delimiter(text)
    rows, numbers = [], []
    for number, row in _records(text, delimiter, 1 + skipped):
        rows.append(row)
        numbers.append(number)
    return rows, numbers, f"fields parted by {_DELIMITER_WORDS.get(delimiter, delimiter)}"


def _records(text: str, delimiter: str, line: int) -> Iterator[tuple[int, list[str]]]:
    """Yield each record with the line on which it begins, as long as the file keeps within the bounds."""
    first, begin, end, allowance = line, 0, 0, Allowance()
    # the library's own bound is higher than the kit's, and its error names no number
    csv.field_size_limit(bounds.LONGEST_CELL + 1)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        for at, row in enumerate(reader):
            check_row(at)
            check_column(len(row) - 1)
            allowance.take(len(row) + 1)
            if row and max(map(len, row)) > bounds.LONGEST_CELL:
                check_length(max(map(len, row)), f"A field on line {line}")
            yield line, row
            begin, end, line = line - first, reader.line_num, reader.line_num + first
    except csv.Error:
        check_length(bounds.LONGEST_CELL + 1, f"A field on line {line}")
    if end - begin > 1:
        _refuse_open_quote(text, delimiter, begin, first)


def _refuse_open_quote(text: str, delimiter: str, begin: int, first: int) -> None:
    """Refuse a file whose last record is many lines only because a quotation mark was never closed."""
    lines = islice(io.StringIO(text, newline=""), begin, None)
    try:
        list(csv.reader(lines, delimiter=delimiter, strict=True))
    except csv.Error as error:
        if "unexpected end" in str(error):
            raise UnreadableError(
                "file_broken", f"A quotation mark that is opened on line {begin + first} is never closed.",
                "Close it, or take it away.",
            ) from None  # fmt: skip


def _refuse_nothing_signs(text: str) -> None:
    """Refuse a text with signs of number 0: a program wrote it, or a disk lost part of it."""
    at = text.find("\0")
    if at >= 0:
        raise UnreadableError(
            "file_broken", f"Line {text.count(chr(10), 0, at) + 1} holds a sign that is no letter (number 0).",
            "The file is damaged: export it again from the spreadsheet program.",
        )  # fmt: skip


def _encoding(content: bytes) -> str:
    """Find the encoding: a mark, else UTF-8 where it fits, else the one of two that reads plausibly."""
    for mark, encoding in _MARKS:
        if content.startswith(mark):
            return encoding
    if _utf16_without_mark(content):
        return "utf-16-le"
    try:
        content.decode("utf-8")
    except UnicodeDecodeError:
        return _single_byte_encoding(content)
    return "utf-8"


def _utf16_without_mark(content: bytes) -> bool:
    """Tell little-endian UTF-16 by its zero at every second place."""
    head = content[:400]
    return len(head) >= 4 and head[1::2].count(0) > 0.8 * len(head[1::2]) and head[::2].count(0) == 0


def _single_byte_encoding(content: bytes) -> str:
    """Choose between the two single-byte encodings that school computers write."""
    fitting = [encoding for encoding in ("cp1252", "mac_roman") if _reads_plausibly(content, encoding)]
    if len(fitting) == 1:
        return fitting[0]
    readings = " or ".join(_ENCODING_WORDS[encoding] for encoding in fitting or ("cp1252", "mac_roman"))
    raise EncodingError(
        "encoding_unclear", f"The accented letters can be read as {readings}.",
        'Save the file as "CSV UTF-8", or write encoding = "cp1252" (Windows) or "mac_roman" (older Macs).',
    )  # fmt: skip


def _reads_plausibly(content: bytes, encoding: str) -> bool:
    """Say whether every special character is typographic, or a letter whose case suits its neighbours."""
    try:
        text = content.decode(encoding)
    except UnicodeDecodeError:
        return False
    return all(
        character in _TYPOGRAPHIC or _suits(text[at - 1 : at] if at else "", character, text[at + 1 : at + 2])
        for at, character in enumerate(text)
        if ord(character) > 127
    )


def _suits(before: str, letter: str, after: str) -> bool:
    """Judge a letter by its case: a capital begins a word or stands among capitals, a small letter does not."""
    if unicodedata.category(letter) == "Lu":
        return not before.isalpha() or before.isupper()
    return unicodedata.category(letter) == "Ll" and not (before.isupper() and after.isupper())


def _delimiter(text: str) -> str:
    """Choose the delimiter that cuts most lines into the same number of fields, at least two."""
    lines = [line for line in text[:_SAMPLE].splitlines() if line.strip()][:200]
    best, best_score = ",", 0.0
    for delimiter in DELIMITERS:
        widths = Counter(width for width in _widths(lines, delimiter) if width > 1)
        if widths:
            width, times = max(widths.items(), key=lambda item: (item[1], item[0]))
            score = times + min(width, 50) / 100
            if score > best_score:
                best, best_score = delimiter, score
    return best


def _widths(lines: list[str], delimiter: str) -> list[int]:
    """Count the fields of each line; of none where a field is longer than a cell may be."""
    try:
        return [len(row) for row in csv.reader(lines, delimiter=delimiter)]
    except csv.Error:
        return []
