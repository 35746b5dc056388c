"""The codebook of what lies beside a page: every column with its meaning, its unit and what empty means."""

from __future__ import annotations

from collections.abc import Collection
from functools import cache
from pathlib import Path

import pandas as pd

COLUMNS = Path(__file__).with_suffix(".csv")
TEACHER_ONLY = ("committee_students.csv", "left_out.csv")
"""Files with lines about single students."""
NOTE = (
    "The folder tables holds every printed table as it is printed, tables.xlsx all of them in one workbook. The tables "
    "of the study itself, with random ids, and their codebook are written by: python -m kit report STUDY --share FOLDER"
)


@cache
def columns() -> pd.DataFrame:
    """Read the codebook.

    Returns
    -------
    DataFrame
        file, column, meaning, unit, empty_where; one row for each column of each file.
    """
    return pd.read_csv(COLUMNS, dtype=str, keep_default_na=False)


def columns_table(audience: str, *, files: Collection[str] = ()) -> pd.DataFrame:
    """Lay out the columns of the files beside a page.

    Parameters
    ----------
    audience : str
        Who will read it; only a teacher's copy has files with single students.
    files : collection of str, optional
        Files that lie there for sure beside numbers.csv, such as those of a script for R; all others that this audience
        may have are left out.

    Returns
    -------
    DataFrame
        Columns File and column, Meaning, Unit, Empty where.
    """
    usual = {"numbers.csv", *(TEACHER_ONLY[1:] if audience == "teacher" else ())}
    every = columns()
    here = every[every["file"].isin(usual | set(files))]
    shown = pd.DataFrame({
        "File and column": here["file"] + ": " + here["column"], "Meaning": here["meaning"],
        "Unit": here["unit"], "Empty where": here["empty_where"],
    })  # fmt: skip
    return shown.reset_index(drop=True)
