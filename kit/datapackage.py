"""The description of exported tables that programs read: a Data Package with a Table Schema for each table.

The standard is the Data Package standard, version 2 (Open Knowledge Foundation, 2024).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from kit.codebook import TYPES, words_of
from kit.tables import Column, Table

FILE = "datapackage.json"
PROFILES = "https://datapackage.org/profiles/2.0"
KEYS = {"students": "student", "patterns": "pattern"}
"""Table -> the column that tells its rows apart; in the others no column does."""


def data_package(tables: Iterable[Table], *, title: str, description: str) -> dict[str, Any]:
    """Describe tables that are written as ``<name>.csv``.

    Parameters
    ----------
    tables : iterable of Table
        The tables, as they are in the files.
    title, description : str
        What the package is.

    Returns
    -------
    dict
        The content of datapackage.json.
    """
    tables = tuple(tables)
    listed = any(table.name == "students" for table in tables)
    return {
        "$schema": f"{PROFILES}/datapackage.json",
        "name": "sight-singing-study",
        "title": title,
        "description": description,
        "resources": [_resource(table, listed=listed) for table in tables],
    }


def table_schema(table: Table, *, listed: bool) -> dict[str, Any]:
    """Describe one table by the Table Schema standard.

    Parameters
    ----------
    table : Table
        The table.
    listed : bool
        Whether the package has a table of students that others point to.

    Returns
    -------
    dict
        Fields with type, title, description and constraints; missing values; keys.
    """
    schema: dict[str, Any] = {"fields": [_field(column) for column in table.columns], "missingValues": [""]}
    if table.name in KEYS:
        schema["primaryKey"] = [KEYS[table.name]]
    if listed and table.name != "students" and "student" in table.names:
        reference = {"resource": "students", "fields": ["student"]}
        schema["foreignKeys"] = [{"fields": ["student"], "reference": reference}]
    return schema


def _resource(table: Table, *, listed: bool) -> dict[str, Any]:
    """Describe one file."""
    return {
        "$schema": f"{PROFILES}/dataresource.json",
        "name": table.name,
        "type": "table",
        "path": f"{table.name}.csv",
        "title": table.name.capitalize(),
        "description": f"One row is {table.row_is}.",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "schema": table_schema(table, listed=listed),
    }


def _field(column: Column) -> dict[str, Any]:
    """Describe one column."""
    constraints: dict[str, Any] = {"required": True} if column.required else {}
    if words := words_of(column):
        constraints["enum"] = list(words)
    if column.unit == "share":
        constraints |= {"minimum": 0, "maximum": 1}
    unit = f" In {column.unit}." if column.unit and column.unit != "share" else ""
    return {
        "name": column.name,
        "type": TYPES[column.type],
        "title": column.name.replace("_", " ").capitalize(),
        "description": f"{column.meaning}{unit}",
        **({"constraints": constraints} if constraints else {}),
    }
