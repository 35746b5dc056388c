"""The codebook and the data package: every column of every table, in words and for programs."""

import frictionless
import pandas as pd
import pytest

from kit.codebook import COLUMNS, TYPES, codebook, codebook_page
from kit.datapackage import data_package, table_schema
from kit.tables import ATTENDANCE, NORMALISED, PATTERNS, SCORES, STUDENTS, Column, Table


def test_every_column_is_described():
    """One row for each column of each table, in order, with meaning and type."""
    book = codebook(NORMALISED)
    assert tuple(book.columns) == COLUMNS
    assert list(zip(book["table"], book["column"], strict=True)) == [
        (table.name, name) for table in NORMALISED for name in table.names
    ]
    assert (book["meaning"].str.len() > 5).all()
    assert set(book["type"]) <= set(TYPES.values())
    row = book.set_index(["table", "column"]).loc[("attendance", "present")]
    assert row["allowed"] == "present | absent | excused | no_school"
    assert row["required"] == "yes"


def test_the_page():
    """A heading for each table, a line for each column; a stroke in a school's word does not break the table."""
    odd = Table("ratings", "a rating", (Column("part", "text", "What.", allowed=("", "a|b"), required=True),))
    assert codebook_page([odd]) == (
        "# Codebook\n\nAn empty cell is a missing value. Dates are written year-month-day.\n\n## ratings\n\n"
        "One row is a rating.\n\n| Column | Type | Meaning |\n|---|---|---|\n"
        "| part | string, never empty | What. One of: a\\|b. |\n"
    )
    page = codebook_page(NORMALISED)
    assert all(f"\n## {table.name}\n" in page for table in NORMALISED)
    assert "| points | number, in points | Points earned;" in page


def test_schema_of_scores():
    """Types, required columns, words and limits are those of the table; students are pointed to."""
    schema = table_schema(SCORES, listed=True)
    fields = {field["name"]: field for field in schema["fields"]}
    assert list(fields) == SCORES.names
    assert fields["student"]["constraints"] == {"required": True}
    assert fields["share"]["constraints"] == {"minimum": 0, "maximum": 1}
    assert "absent" in fields["missing_reason"]["constraints"]["enum"]
    assert fields["date"] == {"name": "date", "type": "date", "title": "Date", "description": "Day of the test."}
    assert schema["missingValues"] == [""]
    assert schema["foreignKeys"] == [
        {"fields": ["student"], "reference": {"resource": "students", "fields": ["student"]}}
    ]
    assert "foreignKeys" not in table_schema(SCORES, listed=False)


def test_keys():
    """Students and patterns have a key of their own; attendance has none."""
    assert table_schema(STUDENTS, listed=True)["primaryKey"] == ["student"]
    assert "foreignKeys" not in table_schema(STUDENTS, listed=True)
    assert table_schema(PATTERNS, listed=True)["primaryKey"] == ["pattern"]
    assert "primaryKey" not in table_schema(ATTENDANCE, listed=True)


@pytest.mark.parametrize("table", NORMALISED, ids=lambda table: table.name)
def test_another_program_takes_every_schema(table, tmp_path):
    """The general library of the standard accepts the schema of every normalised table, and an empty table of it."""
    schema = frictionless.Schema.from_descriptor(table_schema(table, listed=False))
    assert schema.field_names == table.names
    pd.DataFrame(columns=table.names).to_csv(tmp_path / "empty.csv", index=False)
    report = frictionless.Resource(path="empty.csv", basepath=str(tmp_path), schema=schema).validate()
    assert report.flatten(["note"]) == []


def test_package():
    """A package names its version of the standard and one file for each table, as text tables."""
    package = data_package([STUDENTS, SCORES], title="T", description="D")
    assert package["$schema"] == "https://datapackage.org/profiles/2.0/datapackage.json"
    assert [(r["name"], r["path"], r["type"], r["encoding"]) for r in package["resources"]] == [
        ("students", "students.csv", "table", "utf-8"), ("scores", "scores.csv", "table", "utf-8"),
    ]  # fmt: skip
    assert frictionless.Package.from_descriptor(package).resource_names == ["students", "scores"]
