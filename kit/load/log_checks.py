"""What looks odd in drill logs that were read: warnings with counts, for a person to judge; nothing is left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
import pandas as pd

from kit.load.no_school import days_without_school

Kind = Literal[
    "all_right", "all_wrong", "errors_only", "same_minutes", "no_school", "weekend", "backward", "gap", "two_logs",
    "no_date", "summed_up",
]  # fmt: skip
KINDS = get_args(Kind)
"""Kinds of warnings about drill logs."""

ENOUGH_TRIES = 20
"""From how many marked tries on a choir without a single miss, or hit, is worth a question (our own rule)."""
ENOUGH_SESSIONS = 10
"""From how many sessions on one length for all of them is worth a question (our own rule)."""
LONGEST_GAP = 10
"""School days without a line that pass without a question: two weeks (our own rule)."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One warning.

    Attributes
    ----------
    kind : str
        One of `KINDS`.
    found : str
        What stands there, in a sentence.
    do : str
        What to look at, in a sentence.
    times : int
        How many lines, days or gaps it is about.
    file, choir : str
        Where; empty where it concerns several.
    row : int or None
        The first line that it is about.
    """

    kind: Kind
    found: str
    do: str
    times: int
    file: str = ""
    choir: str = ""
    row: int | None = None


def check_logs(drills: pd.DataFrame, no_school: Iterable[str] = ()) -> list[Finding]:
    """Look for what is odd in drill logs.

    Parameters
    ----------
    drills : DataFrame
        The drills table.
    no_school : iterable of str, optional
        Days without school and ranges of them, as ``Rules.no_school`` lists them.

    Returns
    -------
    list of Finding
        File by file and choir by choir; the drills table itself is not touched.
    """
    closed = np.array(sorted(days_without_school(no_school)), "datetime64[D]")
    found = [*_errors_only(drills), *_undated(drills), *_summed_up(drills), *_on_closed_days(drills, closed)]
    for (file, choir), lines in drills.groupby(["file", "choir"], sort=False, observed=True):
        where = {"file": str(file), "choir": str(choir)}
        found += [*_one_sided(lines, where), *_same_minutes(lines, where), *_backward(lines, where)]
    for choir, lines in drills.groupby("choir", sort=False, observed=True):
        found += [*_gaps(lines, str(choir), closed), *_two_logs(lines, str(choir))]
    return found


def _days(lines: pd.DataFrame) -> np.ndarray:
    """List the days of some lines, each once, in order."""
    return np.unique(lines["date"].dropna().to_numpy().astype("datetime64[D]"))


def _count(number: int, noun: str) -> str:
    """Write a number with its noun."""
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"


def _of(choir: str) -> str:
    """Name a choir in a sentence."""
    return f'Choir "{choir}"' if choir else "The log"


def _written(day: np.datetime64) -> str:
    """Write a day in words, as reports do."""
    known = day.item()
    return f"{known.day} {known:%B %Y}"


def _one_sided(lines: pd.DataFrame, where: dict[str, str]) -> Iterator[Finding]:
    """Find choirs in which every try is right, or every one wrong."""
    marked = lines["right"].dropna()
    if len(marked) < ENOUGH_TRIES or lines["errors_only"].any():
        return
    if marked.all():
        yield Finding(
            "all_right", f"{_of(where['choir'])}: all {len(marked):,} tries are marked right.",
            "Were misses written down too?", len(marked), row=_first(lines), **where,
        )  # fmt: skip
    elif not marked.any():
        yield Finding(
            "all_wrong", f"{_of(where['choir'])}: all {len(marked):,} tries are marked wrong.",
            "If only mistakes were written down, write errors_only = true beside the file in study.toml.",
            len(marked), row=_first(lines), **where,
        )  # fmt: skip


def _errors_only(drills: pd.DataFrame) -> Iterator[Finding]:
    """Say which files hold mistakes only."""
    for file, lines in drills[drills["errors_only"]].groupby("file", sort=False, observed=True):
        yield Finding(
            "errors_only", f"{file} holds mistakes only ({_count(len(lines), 'line')}): it gives no accuracy.",
            "Nothing, if that is so; what was sung instead is still counted.", len(lines), str(file), row=_first(lines),
        )  # fmt: skip


def _same_minutes(lines: pd.DataFrame, where: dict[str, str]) -> Iterator[Finding]:
    """Find choirs in which every session has the same length."""
    minutes = lines.loc[~lines["summary"], "minutes"].dropna()
    if len(minutes) >= ENOUGH_SESSIONS and (minutes == minutes.iloc[0]).all():
        yield Finding(
            "same_minutes", f"{_of(where['choir'])}: all {len(minutes):,} sessions have {minutes.iloc[0]:g} minutes.",
            "Are these minutes done, or minutes planned?", len(minutes), row=_first(lines), **where,
        )  # fmt: skip


def _on_closed_days(drills: pd.DataFrame, closed: np.ndarray) -> Iterator[Finding]:
    """Find lines on weekends and on days without school."""
    days = drills["date"].to_numpy().astype("datetime64[D]")
    known = ~np.isnat(days)
    weekend = known & ((days.astype(np.int64) + 3) % 7 >= 5)  # day 0 of this count was a Thursday
    for kind, lines, said in (
        ("weekend", weekend, "on a Saturday or Sunday"),
        ("no_school", known & ~weekend & np.isin(days, closed), "on a day without school"),
    ):
        for file, chosen in drills[lines].groupby("file", sort=False, observed=True):
            yield Finding(
                kind, f"{file}: {_count(len(chosen), 'line')} {said}.", "Correct the dates if they are wrong.",
                len(chosen), str(file), row=_first(chosen),
            )  # fmt: skip


def _backward(lines: pd.DataFrame, where: dict[str, str]) -> Iterator[Finding]:
    """Find lines dated after a line that stands below them."""
    dated = lines[lines["date"].notna()]
    days = dated["date"].to_numpy().astype("datetime64[D]").astype(np.int64)
    if len(days) < 2:
        return
    later = np.flatnonzero(days[:-1] > np.minimum.accumulate(days[::-1])[::-1][1:])
    # a log kept with the newest day on top is in order too
    if len(later) and not (days[:-1] >= days[1:]).all():
        yield Finding(
            "backward", f"{_of(where['choir'])}: {_count(len(later), 'line')} dated after a line further down.",
            "Were these lines written later, or is a date wrong?", len(later), row=_first(dated.iloc[later[:1]]),
            **where,
        )  # fmt: skip


def _gaps(lines: pd.DataFrame, choir: str, closed: np.ndarray) -> Iterator[Finding]:
    """Find stretches of more than two weeks of school without a line."""
    days = _days(lines)
    if len(days) < 2:
        return
    between = np.busday_count(days[:-1] + 1, days[1:], holidays=closed)
    for at in np.flatnonzero(between > LONGEST_GAP).tolist():
        yield Finding(
            "gap", f"{_of(choir)}: no line from {_written(days[at] + 1)} to {_written(days[at + 1] - 1)} "
            f"({_count(int(between[at]), 'school day')}).",
            "Was there no drill, or was it not written down?", int(between[at]), choir=choir,
        )  # fmt: skip


def _two_logs(lines: pd.DataFrame, choir: str) -> Iterator[Finding]:
    """Find choirs whose days stand in two files or sheets."""
    days = lines.loc[lines["date"].notna(), ["date", "file", "sheet"]].drop_duplicates()
    twice = days.groupby("date", observed=True).size()
    twice = twice[twice > 1]
    if len(twice):
        there = days[days["date"].isin(twice.index)]
        listed = sorted({f"{file} {sheet}".strip() for file, sheet in zip(there["file"], there["sheet"], strict=True)})
        yield Finding(
            "two_logs", f"{_of(choir)}: {_count(len(twice), 'day')} in more than one log ({', '.join(listed)}).",
            "If one copies the other, leave one out.", len(twice), choir=choir,
        )  # fmt: skip


def _undated(drills: pd.DataFrame) -> Iterator[Finding]:
    """Find files in which some lines have no date and others do."""
    for file, lines in drills.groupby("file", sort=False, observed=True):
        without = lines[lines["date"].isna()]
        if 0 < len(without) < len(lines):
            yield Finding(
                "no_date", f"{file}: {_count(len(without), 'line')} without a date.", "Fill the dates in.",
                len(without), str(file), row=_first(without),
            )  # fmt: skip


def _summed_up(drills: pd.DataFrame) -> Iterator[Finding]:
    """Say which files hold days that stand for a line about several."""
    for file, lines in drills[drills["summary"]].groupby("file", sort=False, observed=True):
        yield Finding(
            "summed_up", f"{file}: {_count(len(lines), 'day')} from lines that sum up several days.",
            "They count as days of drill, not as measured sessions.", len(lines), str(file), row=_first(lines),
        )  # fmt: skip


def _first(lines: pd.DataFrame) -> int:
    """Give the row of the first line."""
    return int(lines["row"].iloc[0])
