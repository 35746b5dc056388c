"""What a drill log cannot be trusted with, and what is therefore not shown."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Protocol

import numpy as np
import pandas as pd

from kit.questions.practice import meetings
from kit.questions.practice.days import EPOCH_WEEKDAY, choir_days, day_numbers

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
    follows : str
        ``"no_shares"``: not counted in shares of tries right; ``"no_minutes"``: minutes not counted;
        ``"no_meetings"``: not counted as meetings; ``"once"``: counted once; ``"told"``: told beside the numbers.
    since : Timestamp or None
        From which day on.
    days : tuple of int
        On which days, counted from 1970-01-01; empty where it concerns all.
    """

    kind: str
    choir: str
    file: str
    found: str
    follows: str
    since: pd.Timestamp | None = None
    days: tuple[int, ...] = ()


FOLLOWS = {
    "errors_only": "no_shares", "all_right": "no_shares", "all_wrong": "no_shares", "two_logs": "once",
    "weekend": "no_meetings", "no_school": "no_meetings",
}  # fmt: skip


def doubts(
    drills: pd.DataFrame, findings: Iterable[Finding] = (), closed: Collection[date] | None = None
) -> list[Doubt]:
    """Collect what is odd in a log, with what follows from it.

    Parameters
    ----------
    drills : DataFrame
        The drill log.
    findings : iterable of Finding, optional
        The loader's warnings about it.
    closed : collection of date, optional
        Days without school. Where they are not handed over, lines on such days are told and not left out.

    Returns
    -------
    list of Doubt
    """
    told = [_doubt(one, drills, closed) for one in findings]
    days = meetings(drills)
    return [*told, *_good_days(days), *_copied(drills), *_minutes(days)]


def _doubt(one: Finding, drills: pd.DataFrame, closed: Collection[date] | None) -> Doubt:
    """Say what follows from a warning of the loader."""
    follows, days = FOLLOWS.get(one.kind, "told"), ()
    if follows == "no_meetings":
        here = np.unique(day_numbers(drills.loc[drills["date"].notna() & (drills["file"] == one.file), "date"]))
        shut = np.array(sorted(closed or ()), "datetime64[D]").astype(np.int64)
        weekend = (here + EPOCH_WEEKDAY) % 7 >= 5
        days = tuple(here[weekend if one.kind == "weekend" else ~weekend & np.isin(here, shut)].tolist())
    return Doubt(one.kind, one.choir, one.file, one.found, follows if days or follows != "no_meetings" else "told",
                 days=days)  # fmt: skip


def _good_days(every: pd.DataFrame) -> list[Doubt]:
    """Find choirs that from some week on log fewer meetings, and of those no bad one."""
    found, rated = [], every[every["rating"].notna()]
    dates, bad, choirs = rated["date"].to_numpy(), rated["rating"].to_numpy() <= LOW, rated["choir"].to_numpy(object)
    begin = np.flatnonzero(np.append(True, choirs[1:] != choirs[:-1])) if len(rated) else []
    for start, end in pairwise([*begin, len(rated)]):
        choir, since = choirs[start], _turn(dates[start:end], bad[start:end])
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
    """Find days of a choir whose lines are the very lines of another day, right and wrong ones."""
    lines = drills[["choir", "date", "student", "pattern", "sung", "right"]]
    found, dated = choir_days(lines), (drills["unit"] == "one").to_numpy(bool)
    mark = lines["right"].astype("Int64").fillna(2).to_numpy(np.int64)
    hashed = pd.util.hash_array(_line_keys(lines[["student", "pattern", "sung"]]) * 3 + mark)
    days = found.days.assign(
        size=found.number(dated),
        mixed=(found.number(dated & (mark == 0)) > 0) & (found.number(dated & (mark == 1)) > 0),
        # two halves of the hash, each added up exactly
        one=found.total((hashed >> 33).astype(float), dated),
        other=found.total((hashed & 2**31 - 1).astype(float), dated),
    )  # fmt: skip
    days = days[(days["size"] >= SAME_LINES) & days["mixed"]]
    same = days[days.duplicated(["choir", "size", "one", "other"], keep=False)]
    return [
        Doubt("copied", str(choir), "", f"{len(rows)} days hold the same students, patterns and answers", "no_shares",
              days=tuple(day_numbers(rows["date"]).tolist()))
        for choir, rows in same.groupby("choir", sort=True)
    ]  # fmt: skip


def _line_keys(lines: pd.DataFrame) -> np.ndarray:
    """Give lines numbers, so that those with the same texts have the same."""
    key = np.zeros(len(lines), dtype=np.int64)
    for name in lines:
        texts = lines[name].astype("category").cat
        key = key * (len(texts.categories) + 1) + texts.codes.to_numpy(np.int64) + 1
    return key


def _minutes(days: pd.DataFrame) -> list[Doubt]:
    """Find meetings whose minutes cannot be."""
    odd = days[(days["minutes"] > LONGEST_MEETING) | (days["minutes"] <= 0)]
    return [
        Doubt("minutes", str(choir), "", f"{len(rows)} meeting{'s' * (len(rows) > 1)} with minutes that cannot be",
              "no_minutes", days=tuple(day_numbers(rows["date"]).tolist()))
        for choir, rows in odd.groupby("choir", sort=True)
    ]  # fmt: skip


def of_many(drills: pd.DataFrame, *, smallest: int) -> pd.DataFrame:
    """Leave out choirs whose log is about fewer singers than that and never about the class: its days are theirs.

    Counted: every line of the log.

    Parameters
    ----------
    drills : DataFrame
        The drill log.
    smallest : int
        Students that a shown group needs; 1 for a reader who may know everything.

    Returns
    -------
    DataFrame
        The rest of the log.
    """
    alone = (drills["student"] != "").to_numpy(bool)
    singers = drills[alone].groupby("choir", observed=True)["student"].nunique()
    few = set(singers.index[singers < smallest]) - set(drills.loc[~alone, "choir"])
    return drills[~drills["choir"].isin(few)] if few else drills


def trusted(drills: pd.DataFrame, found: Sequence[Doubt], *, use: str = "no_shares") -> pd.DataFrame:
    """Leave out the lines, or their minutes, that a doubt keeps from being counted.

    Parameters
    ----------
    drills : DataFrame
        The drill log.
    found : sequence of Doubt
        From `doubts`.
    use : str, optional
        ``"no_shares"`` for lines to count shares of, ``"no_minutes"`` for lines to count meetings and minutes of.

    Returns
    -------
    DataFrame
        The rest of the log; minutes that cannot be are missing.
    """
    meant = {"no_shares": ("no_shares", "once"), "no_minutes": ("no_minutes", "no_meetings", "once")}[use]
    kept, blank = np.ones(len(drills), dtype=bool), np.zeros(len(drills), dtype=bool)
    day = day_numbers(drills["date"])
    for doubt in found:
        if doubt.follows not in meant:
            continue
        where = np.ones(len(drills), dtype=bool)
        for name, text in (("choir", doubt.choir), ("file", doubt.file)):
            where &= (drills[name] == text).to_numpy(bool) if text else where
        if doubt.since is not None:
            where &= (drills["date"] >= doubt.since).to_numpy()
        if doubt.days:
            where &= np.isin(day, doubt.days)
        if doubt.follows == "no_minutes":
            blank |= where
        else:
            kept &= ~(_again(drills, where) if doubt.follows == "once" else where)
    rest = drills[kept] if not kept.all() else drills
    return rest.assign(minutes=rest["minutes"].mask(blank[kept])) if blank.any() else rest


def _again(drills: pd.DataFrame, where: np.ndarray) -> np.ndarray:
    """Say which of some lines stand in another log already, as often as there."""
    lines = drills.loc[where, ["date", "student", "pattern", "target", "sung", "attempt", "right", "minutes", "stage"]]
    place = [drills.loc[where, name] for name in ("file", "sheet")]
    key = pd.util.hash_pandas_object(lines.assign(student=lines["student"].astype(str)).astype(str), index=False)
    nth = key.groupby([key, *(one.astype(str) for one in place)]).cumcount()
    found = np.zeros(len(drills), dtype=bool)
    found[np.flatnonzero(where)] = pd.DataFrame({"key": key, "nth": nth}).duplicated().to_numpy()
    return found
