"""What a drill log cannot be trusted with, and what is therefore not shown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import pandas as pd

from kit.questions.practice import meetings

LONGEST_MEETING = 90.0
"""Minutes of drill in one meeting that are not believed (our own rule)."""
SAME_LINES = 5
"""Lines of a day that must be the same as another day's to look copied (our own rule)."""
FEWEST_DAYS = 8
"""Meetings on either side of a week before good days only are looked for (our own rule)."""
FEWER = 0.85
"""Share of the meetings of before below which meetings are missing (our own rule)."""
UNLIKELY = 0.01
"""Chance of so many days without a bad one, were days as before, below which it is told (our own rule)."""
LOW = 2.0
"""Whole-class ratings up to this one tell of a day that did not go well, on a scale of four."""


class Finding(Protocol):
    """One warning about a log, as the loader gives it."""

    kind: str
    found: str
    do: str
    file: str
    choir: str


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something odd in a log and what follows from it.

    Attributes
    ----------
    kind : str
        A kind of the loader's warnings, or ``"good_days"``, ``"copied"``, ``"minutes"``.
    choir, file : str
        Where; empty where it concerns several.
    found : str
        What stands there.
    since : Timestamp or None
        From which day on.
    follows : str
        ``"no_shares"``: not counted in shares of tries right; ``"no_minutes"``: not counted in minutes;
        ``"told"``: told beside the numbers.
    """

    kind: str
    choir: str
    file: str
    found: str
    follows: str
    since: pd.Timestamp | None = None


FOLLOWS = {"errors_only": "no_shares", "all_right": "no_shares", "all_wrong": "no_shares", "two_logs": "no_shares"}


def doubts(drills: pd.DataFrame, findings: Iterable[Finding] = ()) -> list[Doubt]:
    """Collect what is odd in a log, with what follows from it.

    Parameters
    ----------
    drills : DataFrame
        The drill log.
    findings : iterable of Finding, optional
        The loader's warnings about it.

    Returns
    -------
    list of Doubt
    """
    told = [Doubt(one.kind, one.choir, one.file, one.found, FOLLOWS.get(one.kind, "told")) for one in findings]
    return [*told, *_good_days(drills), *_copied(drills), *_minutes(drills)]


def _good_days(drills: pd.DataFrame) -> list[Doubt]:
    """Find choirs that from some week on log fewer meetings, and of those no bad one."""
    found = []
    for choir, days in meetings(drills).dropna(subset=["rating"]).groupby("choir", sort=True):
        since = _turn(days["date"].to_numpy(), days["rating"].to_numpy() <= LOW)
        if since is not None:
            found.append(Doubt(
                "good_days", str(choir), "", "fewer meetings are logged and none of them as having gone badly",
                "no_shares", pd.Timestamp(since),
            ))  # fmt: skip
    return found


def _turn(dates: np.ndarray, bad: np.ndarray) -> np.datetime64 | None:
    """Give the first day of the last stretch without a bad day, if before it days were bad and closer together."""
    last = np.flatnonzero(bad)
    if not len(last) or last[-1] + 1 >= len(dates) - FEWEST_DAYS or last[-1] + 1 < FEWEST_DAYS:
        return None
    turn = last[-1] + 1
    week = (dates.astype("datetime64[D]").astype(np.int64) + 3) // 7  # day 0 of this count was a Thursday
    chance = (1 - bad[:turn].mean()) ** (len(dates) - turn)
    # the week of the turn belongs to both sides
    before, after = week[week < week[turn]], week[week > week[turn]]
    if not len(before) or not len(after):
        return None
    pace = [len(part) / len(np.unique(part)) for part in (before, after)]
    return dates[turn] if chance < UNLIKELY and pace[1] < FEWER * pace[0] else None


def _copied(drills: pd.DataFrame) -> list[Doubt]:
    """Find days of a choir whose lines are the very lines of another day."""
    lines = drills.loc[
        (drills["unit"] == "one") & drills["date"].notna(), ["choir", "date", "student", "pattern", "sung", "right"]
    ]
    hashed = pd.util.hash_pandas_object(
        lines[["student", "pattern", "sung", "right"]].astype(str), index=False
    ).to_numpy()
    keyed = lines.assign(line=hashed).groupby(["choir", "date"], observed=True)["line"].agg(["size", "sum"])
    keyed = keyed[keyed["size"] >= SAME_LINES].reset_index()
    same = keyed[keyed.duplicated(["choir", "size", "sum"], keep=False)]
    return [
        Doubt("copied", str(choir), "", f"{len(days)} days hold the same students, patterns and answers", "no_shares")
        for choir, days in same.groupby("choir", observed=True, sort=True)
    ]


def _minutes(drills: pd.DataFrame) -> list[Doubt]:
    """Find meetings whose minutes cannot be."""
    days = meetings(drills)
    odd = days[(days["minutes"] > LONGEST_MEETING) | (days["minutes"] <= 0)]
    return [
        Doubt("minutes", str(choir), "", f"{len(rows)} meetings have minutes that cannot be", "no_minutes")
        for choir, rows in odd.groupby("choir", sort=True)
    ]


def trusted(drills: pd.DataFrame, found: Sequence[Doubt], *, use: str = "no_shares") -> pd.DataFrame:
    """Leave out the lines that a doubt keeps from being counted.

    Parameters
    ----------
    drills : DataFrame
        The drill log.
    found : sequence of Doubt
        From `doubts`.
    use : str, optional
        ``"no_shares"`` for lines to count shares of, ``"no_minutes"`` for lines to count minutes of.

    Returns
    -------
    DataFrame
        The rest of the log.
    """
    kept = np.ones(len(drills), dtype=bool)
    choir, file = drills["choir"].astype(str), drills["file"].astype(str)
    for doubt in found:
        if doubt.follows != use:
            continue
        where = ((choir == doubt.choir) | (not doubt.choir)) & ((file == doubt.file) | (not doubt.file))
        if doubt.since is not None:
            where &= drills["date"] >= doubt.since
        if doubt.kind == "minutes":
            where &= (drills["minutes"] > LONGEST_MEETING) | (drills["minutes"] <= 0)
        kept &= ~where.to_numpy()
    return drills[kept]
