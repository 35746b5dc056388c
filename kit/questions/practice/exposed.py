"""On which days each pattern was practised by whom, and what a try had behind it."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pandas as pd

from kit.questions.practice.days import day_numbers, numbered
from kit.questions.practice.notes import named_or_notes

SPAN = 2**22
"""More days than any log has, to tell pairs of choir and pattern apart from days."""


def practised(drills: pd.DataFrame) -> pd.DataFrame:
    """List the days on which each choir practised each pattern.

    Counted: dated lines, about the class or about anyone. A line that names several patterns, as lines about the
    class do, counts for each of them.

    Parameters
    ----------
    drills : DataFrame
        The whole log.

    Returns
    -------
    DataFrame
        Columns choir, pattern, day (a whole number), each once, in this order; `attrs["choirs"]` and
        `attrs["patterns"]` hold the names that both are numbers of.
    """
    lines = drills.loc[drills["date"].notna(), ["choir", "pattern", "target", "date"]]
    lines = lines.astype(dict.fromkeys(["choir", "pattern", "target"], "category"))
    choir, day, name = lines["choir"].cat, day_numbers(lines["date"]), named_or_notes(lines).cat
    single = set(name.categories[np.unique(name.codes[(lines["target"] != "").to_numpy(bool)])])
    first, span = (int(day.min()), int(np.ptp(day)) + 1) if len(day) else (0, 1)
    width = max(1, len(name.categories))
    key = (choir.codes.to_numpy(np.int64) * width + name.codes.to_numpy(np.int64)) * span + day - first
    each = numbered(key, max(1, len(choir.categories)) * width * span)[0]
    parts = _parts(name.categories, single)
    names = sorted({part for several in parts for part in several})
    place = {part: at for at, part in enumerate(names)}
    size = np.array([len(several) for several in parts], dtype=np.int64)
    flat = np.array([place[part] for several in parts for part in several], dtype=np.int64)
    of = each // span % width
    many = size[of]
    inside = np.arange(many.sum()) - np.repeat(np.cumsum(many) - many, many)
    pattern = flat[np.repeat((np.cumsum(size) - size)[of], many) + inside]
    key = (np.repeat(each // span // width, many) * len(names) + pattern) * span + np.repeat(each % span, many)
    each = numbered(key, max(1, len(choir.categories)) * max(1, len(names)) * span)[0]
    pair = each // span
    found = pd.DataFrame(
        {"choir": pair // max(1, len(names)), "pattern": pair % max(1, len(names)), "day": each % span + first}
    )
    found.attrs |= {"choirs": list(choir.categories), "patterns": names}
    return found


def _parts(names: Iterable[str], single: set[str]) -> list[list[str]]:
    """Part lines that name several patterns with spaces between; what was asked of a singer is one pattern."""
    return [[name] if name in single else name.split() for name in names]


def last_days(drills: pd.DataFrame) -> pd.Series:
    """Give the day on which each pattern was last practised, by anyone."""
    found = practised(drills)
    last = found.groupby("pattern")["day"].max()
    names = [found.attrs["patterns"][at] for at in last.index]
    return pd.Series(pd.to_datetime(last.to_numpy(), unit="D"), index=names)


def exposed(tried: pd.DataFrame, drills: pd.DataFrame) -> pd.DataFrame:
    """Say of each try how often its pattern was practised before, and how many days ago.

    Counted: days on which the choir's log has a line of the pattern, about the class or about anyone; a try is later
    than the class's practice of days before, not of its own day.

    Parameters
    ----------
    tried : DataFrame
        From `kit.questions.practice.notes.tries`.
    drills : DataFrame
        The whole log, with lines that give no shares: they are practice too.

    Returns
    -------
    DataFrame
        `tried` with columns times and days (NaN before the first practice), dated tries only.
    """
    days, dated = practised(drills), tried[tried["date"].notna()]
    pair = days["choir"].to_numpy() * max(1, len(days.attrs["patterns"])) + days["pattern"].to_numpy()
    day = days["day"].to_numpy()
    begin = np.flatnonzero(np.diff(pair, prepend=-1))
    times = np.arange(len(pair)) - np.repeat(begin, np.diff(np.append(begin, len(pair))))
    since = np.where(times > 0, np.diff(day, prepend=0).astype(float), np.nan)
    at = _place_of(dated, days, pair * SPAN + day)
    columns = [np.where(at >= 0, np.append(values, np.nan)[at], np.nan) for values in (times, since)]
    return dated.assign(times=columns[0], days=columns[1]).reset_index(drop=True)


def _place_of(dated: pd.DataFrame, days: pd.DataFrame, keys: np.ndarray) -> np.ndarray:
    """Find the row of `days` of each try; -1 where there is none. Tries of one pattern and day are looked up once."""
    codes = [
        pd.Index(days.attrs[several]).get_indexer(dated[name].cat.categories)[dated[name].cat.codes]
        for name, several in (("choir", "choirs"), ("pattern", "patterns"))
    ]
    pair = codes[0].astype(np.int64) * max(1, len(days.attrs["patterns"])) + codes[1]
    which, different = pd.factorize(
        np.where((codes[0] < 0) | (codes[1] < 0), -1, pair * SPAN + day_numbers(dated["date"]))
    )
    if not len(keys):
        return np.full(len(dated), -1)
    at = np.minimum(np.searchsorted(keys, different), len(keys) - 1)
    return np.where(keys[at] == different, at, -1)[which]
