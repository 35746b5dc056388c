"""Where the numbers come from: the table of all numbers, the rows left out, and the files beside a page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

import pandas as pd

from kit.estimate import COLUMNS, Estimate

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


def record(estimates: Iterable[Estimate], into: dict[str, Estimate]) -> None:
    """Remember numbers that were shown, by their label.

    Parameters
    ----------
    estimates : iterable of Estimate
        Numbers on a page.
    into : dict
        Label -> Estimate, in the order of first showing.

    Raises
    ------
    ValueError
        If one label stands for two different numbers.
    """
    for estimate in estimates:
        known = into.setdefault(estimate.label, estimate)
        if known != estimate:
            raise ValueError(f"record: the label {estimate.label!r} stands for two different numbers.")


def numbers_table(rows: Iterable[Mapping]) -> pd.DataFrame:
    """Gather the numbers of all shown objects, each label once.

    Parameters
    ----------
    rows : iterable of mapping
        As `kit.estimate.Estimate.as_row` gives them.

    Returns
    -------
    DataFrame
        Columns ``kit.estimate.COLUMNS``.

    Raises
    ------
    ValueError
        If one label stands for two different numbers.
    """
    numbers: dict[str, Mapping] = {}
    for row in rows:
        known = numbers.setdefault(row["label"], row)
        if dict(known) != dict(row):
            raise ValueError(f"numbers_table: the label {row['label']!r} stands for two different numbers.")
    return pd.DataFrame(list(numbers.values()), columns=list(COLUMNS))


def escape_formulas(table: pd.DataFrame) -> pd.DataFrame:
    """Put an apostrophe before text cells that a spreadsheet program would run as a formula."""
    safe = table.copy()
    for column in safe.columns:
        if not pd.api.types.is_numeric_dtype(safe[column]):
            text = safe[column].astype(object)
            risky = text.map(lambda value: isinstance(value, str) and value.startswith(FORMULA_SIGNS))
            safe[column] = text.where(~risky, "'" + text.astype(str))
    return safe


def write_tables(folder: Path, numbers: pd.DataFrame, left_out: pd.DataFrame | None, tables: Mapping[str, str]) -> None:
    """Write what stands behind a page.

    Parameters
    ----------
    folder : Path
        The report folder.
    numbers : DataFrame
        All numbers.
    left_out : DataFrame or None
        The set-aside table.
    tables : mapping of str to str
        Label of each printed table -> its CSV text.
    """
    escape_formulas(numbers).to_csv(folder / "numbers.csv", index=False, lineterminator="\n")
    if left_out is not None:
        escape_formulas(left_out).to_csv(folder / "left_out.csv", index=False, lineterminator="\n")
    if tables:
        (folder / "tables").mkdir()
    for label, text in tables.items():
        (folder / "tables" / f"{label}.csv").write_text(text, encoding="utf-8")
