"""Delimited text of any length -> columns of codes, read as a stream: each different cell is kept once."""

from __future__ import annotations

import csv
import hashlib
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.csv

from kit.load.codes import Codes, smallest
from kit.load.formats import bounds, textfile
from kit.load.formats.cells import Sheet

LARGEST_LOG = 2 * 2**30
"""Bytes of a text file that is read as a stream at most; beyond it the memory of a school computer ends."""
MOST_SPLIT = 100_000
"""Rows with more or fewer fields than the header that are listed one by one; with more the file is no table."""

_HEAD = 2**18
_BLOCK = 2**19
_ROWS_AT_ONCE = 250_000
_LINE_END = re.compile(r"\r\n|\r|\n")


@dataclass(frozen=True, slots=True)
class Head:
    """The top of a text file that can be read as a stream.

    Attributes
    ----------
    path : Path
        The file.
    sheet : Sheet
        Its first rows.
    top : str
        Their text.
    quoted : bool
        Whether a quotation mark stands anywhere below them.
    """

    path: Path
    sheet: Sheet
    top: str
    quoted: bool


@dataclass(slots=True)
class Streamed:
    """The rows below the header.

    Attributes
    ----------
    columns : dict of int to Codes
        Column -> its codes.
    records : ndarray of int, shape (n,)
        For each row of the columns its place among all records below the header, from 0; the others were split.
    split : list of (int, int, str)
        Place among all records, number of fields, and the text of each row with more or fewer fields than the header.
    lines : ndarray of int or None, shape (n,)
        For each row how many line ends stand inside its fields; None where there are none in the whole file.
    """

    columns: dict[int, Codes]
    records: np.ndarray
    split: list[tuple[int, int, str]]
    lines: np.ndarray | None = None


class NotStreamableError(ValueError):
    """The file needs the reader that takes it in as a whole."""


def open_head(path: Path, encoding: str = "") -> Head | None:
    """Look at the top of a file and say whether it can be read as a stream.

    Parameters
    ----------
    path : Path
        The file.
    encoding : str, optional
        Encoding where the study file declares one.

    Returns
    -------
    Head or None
        None for workbooks, other encodings than UTF-8, and files that are missing or broken.

    Raises
    ------
    UnreadableError
        If the file is larger than the kit reads at all.
    """
    if not path.is_file() or encoding.casefold() not in ("", "utf-8", "utf8", "utf-8-sig"):
        return None
    if path.stat().st_size > LARGEST_LOG:
        raise bounds.UnreadableError(
            "file_large", f"The file has {path.stat().st_size // 2**20} MB.",
            f"The kit reads at most {LARGEST_LOG // 2**20} MB: split it.",
        )  # fmt: skip
    with path.open("rb") as file:
        top = file.read(_HEAD)
    whole = len(top) < _HEAD
    if textfile.is_binary(top) or top.startswith((b"PK\x03\x04", b"PAR1", b"\xd0\xcf\x11\xe0")) or not top.strip():
        return None
    try:
        top = top if whole else top[: top.rfind(b"\n") + 1]
        text = top.decode("utf-8-sig")
        rows, numbers, _ = textfile.split(text)
    except (UnicodeDecodeError, bounds.UnreadableError, csv.Error):
        return None
    quoted = _is_quoted(path, len(top))
    return None if quoted is None else Head(path, Sheet(path.name, "", rows, numbers), text, quoted)


def fingerprint(path: Path) -> str:
    """Compute the SHA-256 of a file of any length, in hexadecimal digits."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def stream(head: Head, header: int, columns: Sequence[int]) -> Streamed:
    """Read the rows below the header.

    Parameters
    ----------
    head : Head
        The top of the file.
    header : int
        Index of the header among its rows.
    columns : sequence of int
        Columns to read.

    Returns
    -------
    Streamed
        Codes of the columns, and the rows that do not fit the header.

    Raises
    ------
    NotStreamableError
        If the text is not UTF-8 further down, a field is longer than a block, or too many rows do not fit.
    """
    width, skip = len(head.sheet.rows[header]), last_line(head.sheet, header)
    delimiter, quoted = _delimiter_and_quotes(head, header)
    split: list[tuple[int, int, str]] = []

    def set_aside(row: pa.csv.InvalidRow) -> str:
        split.append((row.number - skip - 1, row.actual_columns, row.text))
        return "skip" if len(split) <= MOST_SPLIT else "error"

    wanted = range(width) if quoted else columns  # line ends inside any field move the lines below
    names = [str(column) for column in range(width)]
    try:
        reader = pa.csv.open_csv(
            head.path,
            read_options=pa.csv.ReadOptions(
                use_threads=False, block_size=_BLOCK, skip_rows=skip, column_names=names
            ),  # only without threads does a row that does not fit tell its number
            parse_options=pa.csv.ParseOptions(
                delimiter=delimiter, quote_char='"' if quoted else False, newlines_in_values=quoted,
                ignore_empty_lines=False,
                invalid_row_handler=set_aside,
            ),
            convert_options=pa.csv.ConvertOptions(
                column_types=dict.fromkeys(names, pa.string()), strings_can_be_null=False,
                include_columns=[str(column) for column in wanted], check_utf8=False,
            ),
        )  # fmt: skip
        gathered = _gather(reader, wanted)
    except pa.ArrowInvalid as error:
        raise NotStreamableError(str(error)) from error
    return _streamed(gathered, columns, split, quoted=quoted)


def last_line(sheet: Sheet, index: int) -> int:
    """Find the line on which a row ends; a field may spread over several."""
    return sheet.numbers[index] + sum(map(line_ends, sheet.rows[index]))


def line_ends(text: str) -> int:
    """Count the line ends inside a field or a row."""
    return len(_LINE_END.findall(text))


def _is_quoted(path: Path, top: int) -> bool | None:
    """Say whether a quotation mark stands below the top of a file; None for a file with NULs in it."""
    quoted = False
    with path.open("rb") as file:
        block = file.read(top)
        while block:
            if b"\0" in block:
                return None
            block = file.read(_BLOCK)
            quoted = quoted or b'"' in block
    return quoted


def _delimiter_and_quotes(head: Head, header: int) -> tuple[str, bool]:
    """Find the delimiter that cuts the header into its fields, and whether quotation marks stand below it."""
    lines = list(io.StringIO(head.top, newline=""))
    above = last_line(head.sheet, header)
    for delimiter in textfile.DELIMITERS:
        if list(csv.reader(lines[head.sheet.numbers[header] - 1 : above], delimiter=delimiter)) == [
            head.sheet.rows[header]
        ]:
            return delimiter, head.quoted or any('"' in line for line in lines[above:])
    raise NotStreamableError("the fields are parted by an unusual sign")


Gathered = dict[int, tuple[list[np.ndarray], list[pa.Array]]]


def _gather(reader: pa.csv.CSVStreamingReader, wanted: Sequence[int]) -> Gathered:
    """Turn blocks of text into codes, a quarter of a million rows at a time, so that the text itself never gathers."""
    gathered: Gathered = {column: ([], []) for column in wanted}
    batches, rows = [], 0
    for batch in reader:
        batches.append(batch)
        rows += batch.num_rows
        if rows >= _ROWS_AT_ONCE:
            _encode(batches, gathered)
            batches, rows = [], 0
    _encode(batches, gathered)
    return gathered


def _encode(batches: list[pa.RecordBatch], gathered: Gathered) -> None:
    """Add the codes of some blocks and their different cells."""
    if not batches:
        return
    table = pa.Table.from_batches(batches)
    for at, (codes, cells) in enumerate(gathered.values()):
        # the chunks share one dictionary that grows: the longest is the last
        chunks = table.column(at).dictionary_encode().chunks
        different = max((chunk.dictionary for chunk in chunks), key=len)
        small = smallest(len(different))
        codes.append(np.concatenate([chunk.indices.to_numpy().astype(small) for chunk in chunks]))
        different.validate(full=True)  # each different cell once: the text as a whole was not looked at
        cells.append(different)
        if (longest := pc.max(pc.binary_length(different)).as_py() or 0) > bounds.LONGEST_CELL:
            raise NotStreamableError(f"a cell of {longest} bytes")


def _streamed(
    gathered: Gathered, columns: Sequence[int], split: list[tuple[int, int, str]], *, quoted: bool
) -> Streamed:
    """Join the codes of all blocks."""
    coded, lines = {}, None
    for column in list(gathered):
        joined = _join(*gathered.pop(column))
        if quoted and (inside := _line_ends(joined)) is not None:
            lines = inside if lines is None else lines + inside
        if column in columns:
            coded[column] = joined
    rows = len(next(iter(coded.values())).codes) if coded else 0
    records = np.arange(rows + len(split), dtype=np.int32)
    if split:
        records = np.delete(records, [place for place, _, _ in split])
    return Streamed(coded, records, split, lines)


def _join(codes: list[np.ndarray], cells: list[pa.Array]) -> Codes:
    """Give the different cells of all blocks one numbering, in the order of their first appearance."""
    if not cells:
        return Codes(np.zeros(0, np.int8), pa.array([], pa.string()))
    chunks = pa.chunked_array(cells).dictionary_encode().chunks
    different = max((chunk.dictionary for chunk in chunks), key=len)
    small = smallest(len(different))
    joined, start = np.empty(sum(map(len, codes)), small), 0
    for at, chunk in enumerate(chunks):
        new = chunk.indices.to_numpy().astype(small)
        end = start + len(codes[at])
        np.take(new, codes[at], out=joined[start:end], mode="clip")
        codes[at], start = np.zeros(0, small), end
    return Codes(joined, different)


def _line_ends(column: Codes) -> np.ndarray | None:
    """Count the line ends inside each row's cell of a column; None where no cell has one."""
    ends = pc.count_substring_regex(column.cells, pattern=_LINE_END.pattern).to_numpy()
    return ends[column.codes] if ends.any() else None
