"""Where the numbers come from: the table of all numbers, the rows left out, and the files beside a page."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import Path

import pandas as pd

from kit.estimate import COLUMNS, Estimate

_FORMULA = re.compile(r"\s*[=+\-@\t\r]")
_NUMBER = re.compile(r"[+-]?\d[\d.,]*(?: %)?")


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
    """Put an apostrophe before text cells that a spreadsheet program would run as a formula; ``+2.4`` is a number."""
    safe = table.copy()
    for column in safe.columns:
        if not pd.api.types.is_numeric_dtype(safe[column]):
            text = safe[column].astype(object)
            risky = text.map(_is_formula)
            safe[column] = text.where(~risky, "'" + text.astype(str))
    return safe


def _is_formula(value: object) -> bool:
    """Say whether a spreadsheet program would run a cell as a formula."""
    return isinstance(value, str) and bool(_FORMULA.match(value)) and not _NUMBER.fullmatch(value)


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
        Label of each printed table -> its CSV text, formulas escaped already.
    """
    for name, rows in (("numbers", numbers), ("left_out", left_out)):
        if rows is not None:
            text = escape_formulas(rows).to_csv(index=False, lineterminator="\n")
            (folder / f"{name}.csv").write_bytes(text.encode())
    if tables:
        (folder / "tables").mkdir()
    for label, text in tables.items():
        (folder / "tables" / f"{label}.csv").write_bytes(text.encode())
