"""Estimates as rows of a table, with methods, sources and notes below it."""

from __future__ import annotations

from collections.abc import Sequence

from kit.estimate import COUNTED_NOT_ESTIMATED, Estimate
from kit.glossary import GLOSSARY
from kit.report import numbers, trace


def row(estimate: Estimate, level: float) -> dict[str, str]:
    """Write one estimate as the row of a table."""
    return {
        "What": f"{GLOSSARY[estimate.name].words}: {_plainly(estimate.about)}",
        "Estimate": numbers.value_cell(estimate),
        f"{numbers.percent_level(level)} interval": numbers.interval_cell(estimate),
        "Based on": f"{estimate.n} {estimate.counted if estimate.n != 1 else estimate.counted.removesuffix('s')}",
    }


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
    lines.append(f"Sources: {trace.cited(estimates)}.")
    return [*lines, *notes]


def hidden_words(number: int, smallest: int) -> str:
    """Say how many numbers are hidden."""
    what = "number is" if number == 1 else "numbers are"
    why = f"so that nobody can be recognized: shown numbers rest on {smallest} students or more"
    return f"{number} {what} not shown, {why}."
