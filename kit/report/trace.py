"""Where the numbers come from: the table of all numbers, the rows left out, and the files beside a page."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pandas as pd

from kit.estimate import COLUMNS, Estimate
from kit.glossary import GLOSSARY
from kit.plaintext import escape_formula
from kit.report.numbers import MISSING, exact
from kit.report.privacy.rounding import told_n, told_value
from kit.sources import SOURCES

STATS = Path(__file__).parents[1] / "stats"


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


def plain_row(estimate: Estimate) -> dict[str, Any]:
    """Lay a number out as a row that every notebook format can carry: an open end of an interval becomes a word.

    Parameters
    ----------
    estimate : Estimate
        A number on a page.

    Returns
    -------
    dict
        ``Estimate.as_row`` with plain Python numbers; ``"inf"`` and ``"-inf"`` as text.
    """
    row = {key: value.item() if hasattr(value, "item") else value for key, value in estimate.as_row().items()}
    return {key: str(v) if isinstance(v, float) and math.isinf(v) else v for key, v in row.items()}


def trail(estimates: Iterable[Estimate]) -> pd.DataFrame:
    """Lay out what leads from each number to its formula, its check and its texts.

    Parameters
    ----------
    estimates : iterable of Estimate
        Numbers on a page.

    Returns
    -------
    DataFrame
        One row each: Label, Value, Interval, Based on, Statistic, In words, Formula, Check, Method, Texts.
    """
    return pd.DataFrame([_trail(estimate) for estimate in estimates], columns=list(_TRAIL))


def formulas(trail: pd.DataFrame) -> pd.DataFrame:
    """Lay out each statistic of a trail once: its words, where its formula and its check stand, and its texts.

    Parameters
    ----------
    trail : DataFrame
        From `trail`.

    Returns
    -------
    DataFrame
        One row for each statistic; two lines in a cell.
    """
    by = trail.groupby("Statistic", sort=True)
    methods = by["Method"].agg(lambda told: "; ".join(dict.fromkeys(told)))
    texts = by["Texts"].agg(lambda told: "; ".join(dict.fromkeys(told)))
    first = by.first()
    return pd.DataFrame(
        {
            "Statistic": first.index + "\n" + first["In words"],
            "Formula and check": first["Formula"] + "\n" + first["Check"],
            "Intervals and texts": methods + "\n" + texts,
        }
    ).reset_index(drop=True)


def texts(estimates: Iterable[Estimate]) -> list[str]:
    """List the keys of the texts that numbers rest on, each once, in the order of the alphabet."""
    return sorted({key for e in estimates for key in (e.source, e.interval.source if e.interval else "") if key})


def cited(estimates: Iterable[Estimate]) -> str:
    """Cite the texts that numbers rest on, in short: ``Becker (1988); Student (1908)``."""
    listed = [SOURCES[key] for key in texts(estimates)]
    return "; ".join(f"{source.author} ({source.year})" if source.year else source.author for source in listed)


_TRAIL = (
    "Label", "Value", "Interval", "Based on", "Statistic", "In words", "Formula", "Check", "Method", "Texts",
)  # fmt: skip


def _trail(estimate: Estimate) -> dict[str, str]:
    """Write one number of the trail."""
    interval = estimate.interval
    unit = estimate.unit.removesuffix("s") if estimate.value == 1 else estimate.unit
    left_out = f" ({estimate.dropped} left out)" if estimate.dropped else ""
    return {
        "Label": estimate.label,
        "Value": f"{told_value(estimate) or exact(estimate.value)} {unit}",
        "Interval": f"{exact(interval.low)} to {exact(interval.high)}" if interval else MISSING,
        "Based on": f"{told_n(estimate)} {estimate.counted}{left_out}",
        "Statistic": estimate.name,
        "In words": GLOSSARY[estimate.name].words,
        "Formula": f"{_formulas().get(estimate.name, 'kit/stats')}, def {estimate.name}",
        "Check": f"tests/reference/{estimate.name}.json",
        "Method": interval.method if interval else "no interval",
        "Texts": cited([estimate]),
    }


@cache
def _formulas() -> dict[str, str]:
    """Find the module of every function of ``kit.stats``, without importing it."""
    return {
        name: f"kit/stats/{path.relative_to(STATS).as_posix()}"
        for path in sorted(STATS.rglob("*.py"))
        for name in re.findall(r"^def ([a-z]\w*)\(", path.read_text(encoding="utf-8"), re.MULTILINE)
    }


def numbers_table(rows: Iterable[Mapping]) -> pd.DataFrame:
    """Gather the numbers of all shown objects, each label once.

    Parameters
    ----------
    rows : iterable of mapping
        As `plain_row` gives them.

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
    table = pd.DataFrame(list(numbers.values()), columns=list(COLUMNS))
    # an open end is a word on its way here, and a column of nothing has no type
    return table.astype(dict.fromkeys(("value", "low", "high", "level", "p", "df"), "float64"))


def escape_formulas(table: pd.DataFrame) -> pd.DataFrame:
    """Put an apostrophe before text cells that a spreadsheet program would run as a formula; ``+2.4`` is a number."""
    safe = table.copy()
    for column in safe.columns:
        if not pd.api.types.is_numeric_dtype(safe[column]):
            safe[column] = [escape_formula(cell) if isinstance(cell, str) else cell for cell in safe[column]]
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
