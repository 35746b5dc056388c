"""The tables of the checks of methods: printed numbers beside ours, and how often intervals hold the truth."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import pandas as pd

from kit.estimate import Estimate
from kit.figures.coverage import KINDS
from kit.glossary import GLOSSARY
from kit.report.names_of_ways import NAMES
from kit.report.numbers import MINUS, MISSING, bare, percent_level
from kit.report.trace import cited

PARTS = {"value": "{}", "low": "from {}", "high": "to {}", "p": "p {}"}
OFF = {"below": " low", "above": " high", "": ""}
MORE_DIGITS = 2
NONE_TOLD = (
    "Studies that are too small or too uniform for an interval get none and are left out; such a number rests on fewer "
    "studies, and a dash on none."
)
LOW_AND_HIGH = (
    "Low: the truth is held clearly too seldom, less than 98 hundredths as often as promised even allowing for chance. "
    "High: it is missed less than half as often as the promise allows."
)


class Coverage(Protocol):
    """How often intervals hold the truth; see ``kit.questions.coverage.Coverage``."""

    rows: pd.DataFrame
    estimates: Sequence[Estimate]
    level: float


class SideBySide(Protocol):
    """Printed numbers and ours; see ``kit.questions.published_examples.SideBySide``."""

    rows: pd.DataFrame
    estimates: Sequence[Estimate]


def coverage_table(found: Coverage) -> pd.DataFrame:
    """Lay out a run at one size: a row for each interval, a column for each kind of scores.

    Parameters
    ----------
    found : Coverage
        A run.

    Returns
    -------
    DataFrame
    """
    cells = [f"{held(row)}{_ends(row)}{OFF[row.off]}" for row in found.rows.itertuples()]
    return _wide(found.rows.assign(cell=cells, column=found.rows["scores"].map(KINDS)), KINDS.values())


def sizes_table(found: Coverage, *, scores: str) -> pd.DataFrame:
    """Lay out long runs for one kind of scores: a row for each interval, a column for each size.

    Parameters
    ----------
    found : Coverage
        Long runs.
    scores : {"normal", "skewed", "ceiling"}
        Kind of scores.

    Returns
    -------
    DataFrame
    """
    chosen = found.rows[found.rows["scores"] == scores]
    cells = [f"{held(row).removesuffix(' %')}{OFF[row.off]}" for row in chosen.itertuples()]
    columns = [f"n {n}" for n in dict.fromkeys(chosen["n"])]
    return _wide(chosen.assign(cell=cells, column=[f"n {n}" for n in chosen["n"]]), columns)


def coverage_notes(found: Coverage) -> list[str]:
    """Say how to read a table of a run.

    Parameters
    ----------
    found : Coverage
        A run.

    Returns
    -------
    list of str
    """
    notes = [
        f"How many of the simulated studies have a {percent_level(found.level)} interval that holds the truth; in "
        "brackets how far chance among these studies may have moved the number.",
        LOW_AND_HIGH,
    ]
    if (found.rows["told"] < found.rows["draws"]).any():
        notes.append(NONE_TOLD)
    return [*notes, *([f"Sources: {cited(found.estimates)}."] if len(found.estimates) else [])]


def sizes_notes(found: Coverage) -> list[str]:
    """Say how to read a table of long runs.

    Parameters
    ----------
    found : Coverage
        Long runs.

    Returns
    -------
    list of str
    """
    return [
        "In percent. n: students of one group or of each of two groups; where whole choirs are drawn, choirs of 25 "
        "students.",
        f"{found.rows['draws'].min():,} simulated studies for each number, which may lie "
        "0.7 percentage points off by chance. Made by tests/reference/make_interval_coverage.py.",
        LOW_AND_HIGH,
        *([NONE_TOLD] if (found.rows["told"] < found.rows["draws"]).any() else []),
    ]  # fmt: skip


def examples_table(examples: SideBySide) -> pd.DataFrame:
    """Lay out printed numbers beside ours, with more digits than were printed.

    Parameters
    ----------
    examples : SideBySide
        From ``kit.questions.published_examples``.

    Returns
    -------
    DataFrame
    """
    rows = examples.rows.assign(
        printed=[PARTS[row.part].format(_minus(row.printed)) for row in examples.rows.itertuples()],
        ours=[PARTS[row.part].format(_longer(row.ours, row.printed)) for row in examples.rows.itertuples()],
        what=[f"{GLOSSARY[row.statistic].words}: {row.about}" for row in examples.rows.itertuples()],
    )
    by = rows.groupby("what", sort=False)
    return pd.DataFrame({
        "Number and where it was printed": list(by.groups),
        "Printed": list(by["printed"].agg("\n".join)),
        "This kit": list(by["ours"].agg("\n".join)),
        "Same digits": ["yes" if same else "NO" for same in by["same"].all()],
    })  # fmt: skip


def examples_sources(examples: SideBySide) -> pd.DataFrame:
    """List where the examples were printed, and whether the text itself was seen.

    Parameters
    ----------
    examples : SideBySide
        From ``kit.questions.published_examples``.

    Returns
    -------
    DataFrame
    """
    texts = examples.rows.groupby("about", sort=False)[["source", "status"]].first().reset_index()
    return texts.set_axis(["Example", "Printed in", "Seen"], axis=1)


EXAMPLES_NOTE = (
    "From and to are the ends of an interval, of the level that the text has. Ours have two digits more than were "
    "printed. They are computed anew for this page."
)
SOURCES_NOTE = (
    "From memory: the text itself could not be opened; the numbers remembered of it are what its data give, here and, "
    "for most of them, in R."
)


def held(row: tuple) -> str:
    """Write how often the truth is held.

    Parameters
    ----------
    row : tuple
        A row of a run, with value and told.

    Returns
    -------
    str
    """
    return bare(row.value, "share", n=row.told)


def _ends(row: tuple) -> str:
    """Write the interval of that, if there is one."""
    if pd.isna(row.value):
        return ""
    low, high = (bare(end, "share", n=row.told).removesuffix(" %") for end in (row.low, row.high))
    return f" ({low} to {high})"


def _wide(rows: pd.DataFrame, columns: Sequence[str]) -> pd.DataFrame:
    """Set a row for each interval and a column for each kind."""
    wide = rows.assign(Interval=rows["way"].map(NAMES)).pivot_table(
        index="Interval", columns="column", values="cell", aggfunc="first", sort=False
    )
    return wide[[*columns]].rename_axis(columns=None).fillna(MISSING).reset_index()


def _longer(ours: float, printed: str) -> str:
    """Write a number with two digits more than were printed."""
    return _minus(f"{ours:.{len(printed.partition('.')[2]) + MORE_DIGITS}f}")


def _minus(text: str) -> str:
    """Write a real minus sign."""
    return text.replace("-", MINUS)
