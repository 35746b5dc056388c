"""Published checklists for reports: what each item asks, in our words, and the part of the report that meets it."""

from __future__ import annotations

import csv
import html
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from typing import Any, Protocol

import pandas as pd

from kit.errors import UnknownChoiceError
from kit.report.headings import link
from kit.report.layout import Written
from kit.report.said import Said

ITEMS = Path(__file__).with_suffix(".csv")
"""The items: checklist, number, what it asks in our words, headings that meet it, what must be known, scope."""
RANDOM = ("D4", "D5", "D5b")
PUBLISHED = {
    "TREND": "Des Jarlais, Lyles & Crepaz (2004). American Journal of Public Health 94, 361-366 (22 items)",
    "CONSORT": "Campbell, Piaggio, Elbourne & Altman (2012). BMJ 345, e5661 (25 items, with those for clusters)",
    "JARS-Quant": (
        "Appelbaum, Cooper, Kline, Mayo-Wilson, Nezu & Rao (2018). American Psychologist 73, 3-25 (tables 1 and 2 and "
        "the items for replications, the latter from memory)"
    ),
}
"""Checklist -> where it is published."""
TO_ADD = {
    "assignment": "assignment.how in study.toml",
    "attrition": "two approaches in the roster, and both tests",
    "baseline": "two approaches in the roster, and first tests",
    "compared": "two approaches in the roster, with two choirs each",
    "features": "repeats.same_and_different in study.toml",
    "likeness": "several choirs of each approach",
    "log": "a drill log ([[drills]] in study.toml)",
    "missing": "two approaches in the roster, with two choirs each",
    "original": "the study that is repeated ([repeats] in study.toml)",
    "raters": "marks of a second rater",
    "reliability": "marks of single notes ([[items]]), or the test's reliability ([tests.NAME] in study.toml)",
    "sample_reliability": "marks of single notes ([[items]] in study.toml)",
    "subgroups": "comparison.subgroups in study.toml",
    "tests.what": "what ([tests.NAME] in study.toml)",
}
"""Something that is not known -> what would make it known; a setting that is not listed names itself."""
NO_PART = "this report has no part for it"


class Settings(Protocol):
    """A study file; see ``kit.settings.Settings``."""

    program: object
    research: object
    repeats: Any
    comparison: Any
    assignment: Any
    tests: Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One item of a checklist.

    Attributes
    ----------
    item : str
        Its number in the published list.
    asks : str
        What it asks, in our words.
    headings : tuple of str
        Parts of the report that meet it.
    needs : tuple of str
        What must be known so that they do.
    only : str
        ``"clusters"`` if it is asked only where whole choirs were assigned.
    """

    item: str
    asks: str
    headings: tuple[str, ...]
    needs: tuple[str, ...]
    only: str


def checklist_for(code: str) -> str:
    """Name the checklist of an evaluation: one list where the lot decided, another where it did not.

    Parameters
    ----------
    code : str
        Code of the design.

    Returns
    -------
    str
    """
    return "CONSORT" if code in RANDOM else "TREND"


@cache
def items(checklist: str) -> tuple[Item, ...]:
    """Read the items of a checklist.

    Parameters
    ----------
    checklist : str
        A key of `PUBLISHED`.

    Returns
    -------
    tuple of Item

    Raises
    ------
    UnknownChoiceError
        If there is no such checklist.
    """
    if checklist not in PUBLISHED:
        raise UnknownChoiceError("items", "checklist", checklist, tuple(PUBLISHED))
    with ITEMS.open(encoding="utf-8", newline="") as lines:
        return tuple(
            Item(item=row["item"], asks=row["asks"], headings=tuple(filter(None, row["headings"].split("; "))),
                 needs=tuple(row["needs"].split()), only=row["only"])
            for row in csv.DictReader(lines) if row["checklist"] == checklist
        )  # fmt: skip


def facts(settings: Settings, **found: object) -> set[str]:
    """List what is known of a study: settings that are filled in, and findings that are there.

    Parameters
    ----------
    settings : Settings
        The study file.
    **found
        Keys of `TO_ADD` -> what was found; an empty list, a table without rows and an answer without its main number
        count as nothing.

    Returns
    -------
    set of str
        Such as ``"program.why"`` and ``"compared"``.
    """
    known = {name for name, value in found.items() if _is_there(value)}
    for section in ("program", "research", "repeats"):
        known |= {f"{section}.{name}" for name, value in _filled(getattr(settings, section))}
    declared = settings.comparison.how or settings.assignment.how
    tests = settings.tests.values()
    told = {
        "assignment": declared != "undeclared",
        "comparison.primary": settings.comparison.primary,
        "repeats.rule": settings.repeats.rule != "none_declared",
        "features": settings.repeats.same_and_different,
        "tests.what": any(test.what for test in tests),
        "reliability": "sample_reliability" in known or any(test.reliability is not None for test in tests),
    }
    return (known - set(told)) | {name for name, value in told.items() if value}


def _filled(section: object) -> Iterator[tuple[str, object]]:
    """Give the settings of a section that say something."""
    for field in fields(section):
        if value := getattr(section, field.name):
            yield field.name, value


def _is_there(value: object) -> bool:
    """Say whether something was found."""
    for part in ("main", "rows", "levels", "answers"):
        if hasattr(value, part):
            return bool(getattr(value, part))
    return bool(value)


def checklist_table(checklist: str, known: Collection[str], *, clusters: bool = True) -> pd.DataFrame:
    """Lay out a checklist with the parts that meet each item, or what is missing.

    Parameters
    ----------
    checklist : str
        A key of `PUBLISHED`.
    known : collection of str
        From `facts`.
    clusters : bool, optional
        Whether whole choirs or schools were assigned.

    Returns
    -------
    DataFrame
        Columns Item, Asks for, Where.
    """
    rows = [(one.item, one.asks, _where(one, known)) for one in items(checklist) if clusters or one.only != "clusters"]
    return pd.DataFrame(rows, columns=["Item", "Asks for", "Where"])


def _where(item: Item, known: Collection[str]) -> str:
    """Say where an item is met, or what to add so that it is."""
    if not item.headings:
        return f"not reported: {NO_PART}"
    missing = [need for need in item.needs if need not in known]
    if missing:
        return f"not reported: add {' and '.join(TO_ADD.get(need, f'{need} in study.toml') for need in missing)}"
    return "; ".join(item.headings)


def met(table: pd.DataFrame) -> int:
    """Count the items that a report meets."""
    return int((~table["Where"].str.startswith("not reported")).sum())


def in_words(checklist: str, table: pd.DataFrame) -> Said:
    """Say how many items are met, what that means, and where the list is published.

    Parameters
    ----------
    checklist : str
        A key of `PUBLISHED`.
    table : DataFrame
        From `checklist_table`.

    Returns
    -------
    Said
    """
    there = met(table)
    missing = len(table) - there
    told = [
        f"The list is {checklist}: {PUBLISHED[checklist]}. Its items stand here in our own short words; the published "
        "text decides.",
        f"Of {len(table)} entries this report has a part for {there}. That a part is there does not mean that a "
        "reviewer will be content with it.",
    ]
    if missing:
        told.append(f"For {missing} nothing is reported yet; the last column says what to add.")
    return Said(tuple(told), limits=True)


def linked_row(headings: Collection[str]) -> Callable[[Sequence[str]], Written]:
    """Write rows of a checklist whose headings lead to the parts of the page.

    Parameters
    ----------
    headings : collection of str
        Headings that lead somewhere.

    Returns
    -------
    callable
        For ``Page.table(write=...)``.
    """

    def write(cells: Sequence[str]) -> Written:
        *others, where = cells
        parts = where.split("; ")
        shown = "; ".join(map(link, parts)) if set(parts) <= set(headings) else html.escape(where)
        return Written([*map(html.escape, others), shown])

    return write


def headings_of(checklist: str) -> set[str]:
    """List the headings that a checklist leads to."""
    return {heading for item in items(checklist) for heading in item.headings}
