"""Estimates as rows of a table, with methods, sources and notes below it."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from kit.estimate import COUNTED_NOT_ESTIMATED, Estimate
from kit.glossary import GLOSSARY
from kit.report import numbers, trace
from kit.report.privacy.rounding import told_n, told_value


def laid_out(estimates: Sequence[Estimate], level: float) -> pd.DataFrame:
    """Write estimates as the rows of a table; without any interval there is no column of them.

    Parameters
    ----------
    estimates : sequence of Estimate
        At least one.
    level : float
        Confidence level of the intervals.

    Returns
    -------
    DataFrame
        Columns What, Estimate, interval where there is one, and Based on, unless everything is a plain count.
    """
    table = pd.DataFrame([row(estimate, level) for estimate in estimates])
    if not any(estimate.interval for estimate in estimates):
        table = table.drop(columns=f"{numbers.percent_level(level)} interval")
    if all(estimate.value == estimate.n and estimate.unit == estimate.counted for estimate in estimates):
        table = table.drop(columns="Based on")
    return table


def row(estimate: Estimate, level: float) -> dict[str, str]:
    """Write one estimate as the row of a table."""
    words = GLOSSARY[estimate.name].words
    return {
        "What": _plainly(estimate.about) if estimate.name == "count" else f"{words}: {_plainly(estimate.about)}",
        "Estimate": f"{told} {estimate.unit}" if (told := told_value(estimate)) else numbers.value_cell(estimate),
        f"{numbers.percent_level(level)} interval": numbers.interval_cell(estimate),
        "Based on": _based_on(estimate),
    }


def _based_on(estimate: Estimate) -> str:
    """Write how many the number rests on, and in how many choirs where these decide how sure it is."""
    counted = estimate.counted if estimate.n != 1 else estimate.counted.removesuffix("s")
    choirs = estimate.clusters or 1 if estimate.interval and estimate.counted == "students" else 1
    return f"{told_n(estimate)} {counted}{f' in {choirs} choirs' if choirs > 1 else ''}"


def _plainly(about: str) -> str:
    """Say whom a number is about; of a test with one score only, the name of the score says nothing."""
    return about.removeprefix("total, ")


def notes_below(estimates: Sequence[Estimate]) -> list[str]:
    """Write methods, sources and notes once each."""
    named: dict[str, dict[str, None]] = {}
    for estimate in estimates:
        if estimate.interval:
            named.setdefault(estimate.interval.method, {})[GLOSSARY[estimate.name].words] = None
    notes = dict.fromkeys(note for e in estimates for note in e.notes if note != COUNTED_NOT_ESTIMATED)
    lines = []
    if named:
        told = [f"{', '.join(words)} by {method}" for method, words in named.items()]
        lines.append(f"Intervals: {'; '.join(told)}.")
    if cited := trace.cited(one for one in estimates if one.name != "count"):
        lines.append(f"Sources: {cited}.")
    return [*lines, *notes]


def hidden_words(number: int, smallest: int) -> str:
    """Say how many numbers are hidden."""
    what = "number is" if number == 1 else "numbers are"
    why = f"so that nobody can be recognized: shown numbers rest on {smallest} students or more"
    return f"{number} {what} not shown, {why}."
