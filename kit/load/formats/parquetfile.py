"""Parquet tables -> rows of cells, the names of the columns first."""

from __future__ import annotations

import math
from datetime import date, datetime, time, timedelta
from pathlib import Path

import pyarrow as pa
import pyarrow.compute
import pyarrow.parquet

from kit.load.formats.bounds import LARGEST_UNPACKED, Allowance, UnreadableError, check_column, check_length, check_row
from kit.load.formats.worksheet import Value


def read_parquet(path: Path) -> list[list[Value]]:
    """Read a table.

    Parameters
    ----------
    path : Path
        A .parquet file.

    Returns
    -------
    list of list
        The names of the columns, then the rows; a column of lists or records gives their text.

    Raises
    ------
    UnreadableError
        If the file is damaged or larger than the bounds.
    """
    allowance = Allowance()
    try:
        with pa.OSFile(str(path)) as source:
            table = _table(source, allowance)
        for column in table.columns:
            _check_texts(column)
        columns = [_cells(column, allowance) for column in table.columns]
    except UnreadableError:
        raise
    except (OSError, ValueError, TypeError, KeyError, OverflowError, MemoryError) as error:
        raise UnreadableError(
            "file_broken", "The table cannot be opened.", "Save it again and try once more."
        ) from error
    return [list(table.column_names), *(list(row) for row in zip(*columns, strict=True))]


def _table(source: pa.NativeFile, allowance: Allowance) -> pa.Table:
    """Read the whole table, unless it says of itself that it is larger than the bounds; texts are kept once each."""
    file = pa.parquet.ParquetFile(source)
    about, columns = file.metadata, file.schema_arrow
    check_row(about.num_rows)
    check_column(about.num_columns - 1)
    allowance.take(about.num_rows * (about.num_columns + 1))
    size = sum(about.row_group(at).total_byte_size for at in range(about.num_row_groups))
    if size > LARGEST_UNPACKED:
        raise UnreadableError(
            "file_large", f"The table unpacks to {size // 2**20} MB.",
            f"The kit reads at most {LARGEST_UNPACKED // 2**20} MB: split it.",
        )  # fmt: skip
    source.seek(0)
    texts = [column.name for column in columns if pa.types.is_string(column.type) or pa.types.is_binary(column.type)]
    return pa.parquet.ParquetFile(source, read_dictionary=texts).read()


def _check_texts(column: pa.ChunkedArray) -> None:
    """Refuse a column that holds a text of more letters than a cell may have, before each row gets its copy."""
    for chunk in column.chunks:
        texts = chunk.dictionary if pa.types.is_dictionary(chunk.type) else chunk
        if pa.types.is_string(texts.type) or pa.types.is_binary(texts.type) or pa.types.is_large_string(texts.type):
            longest = pa.compute.max(pa.compute.binary_length(texts)).as_py() or 0
            # a letter takes at most four bytes
            check_length(longest // 4, "A cell")


def _cells(column: pa.ChunkedArray, allowance: Allowance) -> list[Value]:
    """List the cells of a column; a text that stands in many rows is one text."""
    cells: list[Value] = []
    for chunk in column.chunks:
        if pa.types.is_dictionary(chunk.type):
            texts = [_plain(value) for value in chunk.dictionary.to_pylist()]
            indices = chunk.indices.to_pylist()
            lengths = [len(text) if isinstance(text, str) else 1 for text in texts]
            allowance.spell(sum(lengths[at] for at in indices if at is not None))
            cells += [None if at is None else texts[at] for at in indices]
        else:
            cells += map(_plain, chunk.to_pylist())
    return cells


def _plain(value: object) -> Value:
    """Make a cell of a value of the table: a number that is none is an empty cell, a clock's zone is left out."""
    if isinstance(value, datetime):
        return value.replace(tzinfo=None)
    if isinstance(value, float):
        return None if math.isnan(value) else value if math.isfinite(value) else str(value)
    if value is None or isinstance(value, str | int | date | time | timedelta):
        return value
    return str(value)
