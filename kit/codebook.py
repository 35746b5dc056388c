"""The codebook: every column of every table with its type, unit, meaning and words, as a table and as a page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import pandas as pd

from kit.tables import Column, ColumnType, Table

TYPES: dict[ColumnType, str] = {
    "text": "string", "integer": "integer", "number": "number", "date": "date", "yes_no": "boolean",
}  # fmt: skip
"""Types as Table Schema names them."""

COLUMNS = ("table", "column", "type", "unit", "required", "allowed", "meaning")


def codebook(tables: Iterable[Table]) -> pd.DataFrame:
    """Lay out what every column means.

    Parameters
    ----------
    tables : iterable of Table
        The tables.

    Returns
    -------
    DataFrame
        One row for each column: table, column, type, unit, required, allowed, meaning.
    """
    rows = [
        (table.name, column.name, TYPES[column.type], column.unit, "yes" if column.required else "no",
         " | ".join(words_of(column)), column.meaning)
        for table in tables
        for column in table.columns
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=list(COLUMNS))


def codebook_page(tables: Iterable[Table]) -> str:
    """Write the codebook as a page of Markdown.

    Parameters
    ----------
    tables : iterable of Table
        The tables.

    Returns
    -------
    str
    """
    lines = ["# Codebook", "", "An empty cell is a missing value. Dates are written year-month-day."]
    for table in tables:
        lines += ["", f"## {table.name}", "", f"One row is {table.row_is}.", "", *_table_lines(table)]
    return "\n".join(lines) + "\n"


def words_of(column: Column) -> tuple[str, ...]:
    """List the words that a column may hold; an empty cell is a missing value and no word."""
    return tuple(word for word in column.allowed if word)


def _table_lines(table: Table) -> Iterator[str]:
    """Write the columns of one table."""
    yield "| Column | Type | Meaning |"
    yield "|---|---|---|"
    for column in table.columns:
        kind = f"{TYPES[column.type]}, in {column.unit}" if column.unit else TYPES[column.type]
        words = f" One of: {', '.join(words_of(column))}." if words_of(column) else ""
        kind += ", never empty" if column.required else ""
        yield f"| {column.name} | {kind} | {_cell(column.meaning + words)} |"


def _cell(text: str) -> str:
    """Write text into a cell of a Markdown table; a school's word may hold a stroke."""
    return text.replace("\\", "\\\\").replace("|", "\\|")
