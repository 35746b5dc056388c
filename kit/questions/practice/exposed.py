"""On which days each pattern was practised by whom, and what a try had behind it."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pandas as pd

from kit.questions.practice.days import NEVER, dated, day_numbers, different, places
from kit.questions.practice.notes import named_or_notes


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
    lines = dated(drills[["choir", "pattern", "target", "date"]])
    lines = lines.astype(dict.fromkeys(["choir", "pattern", "target"], "category"))
    named = named_or_notes(lines)
    choir, day, name = lines["choir"].cat, day_numbers(lines["date"]), named.cat
    first, span = (int(day.min()), int(np.ptp(day)) + 1) if len(day) else (0, 1)
    width = max(1, len(name.categories))
    key = (choir.codes.to_numpy(np.int64) * width + name.codes.to_numpy(np.int64)) * span + day - first
    each = different(key, max(1, len(choir.categories)) * width * span)
    parts = _parts(name.categories, _single(lines, named))
    names = sorted({part for several in parts for part in several})
    place = {part: at for at, part in enumerate(names)}
    size = np.array([len(several) for several in parts], dtype=np.int64)
    flat = np.array([place[part] for several in parts for part in several], dtype=np.int64)
    of = each // span % width
    many = size[of]
    inside = np.arange(many.sum()) - np.repeat(np.cumsum(many) - many, many)
    pattern = flat[np.repeat((np.cumsum(size) - size)[of], many) + inside]
    key = (np.repeat(each // span // width, many) * len(names) + pattern) * span + np.repeat(each % span, many)
    each = different(key, max(1, len(choir.categories)) * max(1, len(names)) * span)
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
    """Give the day on which each pattern was last practised, by anyone; see `practised`."""
    lines = dated(drills[["pattern", "target", "date"]])
    lines = lines.astype(dict.fromkeys(["pattern", "target"], "category"))
    named = named_or_notes(lines)
    name = named.cat
    last = np.full(len(name.categories), NEVER)
    np.maximum.at(last, name.codes.to_numpy(), day_numbers(lines["date"]))
    found: dict[str, int] = {}
    for parts, day in zip(_parts(name.categories, _single(lines, named)), last.tolist(), strict=True):
        found |= {part: max(day, found.get(part, NEVER)) for part in parts if day > NEVER}
    names = sorted(found)
    return pd.Series(pd.to_datetime([found[one] for one in names], unit="D"), index=names)


def _single(lines: pd.DataFrame, named: pd.Series) -> set[str]:
    """Name the patterns that singers were asked: they are one pattern each."""
    asked = np.zeros(len(named.cat.categories), dtype=bool)
    asked[named.cat.codes[(lines["target"] != "").to_numpy(bool)]] = True
    return set(named.cat.categories[asked])


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
    days, known = practised(drills), dated(tried)
    pair = days["choir"].to_numpy() * max(1, len(days.attrs["patterns"])) + days["pattern"].to_numpy()
    day = days["day"].to_numpy()
    begin = np.flatnonzero(np.diff(pair, prepend=-1))
    times = np.arange(len(pair)) - np.repeat(begin, np.diff(np.append(begin, len(pair))))
    since = np.where(times > 0, np.diff(day, prepend=0).astype(float), np.nan)
    at = _place_of(known, days, pair, day)
    columns = [np.append(values, np.nan)[at] for values in (times, since)]
    return known.assign(times=columns[0], days=columns[1]).reset_index(drop=True)


def _place_of(tried: pd.DataFrame, days: pd.DataFrame, pair: np.ndarray, day: np.ndarray) -> np.ndarray:
    """Find the row of `days` of each try; -1 where there is none."""
    if not len(days):
        return np.full(len(tried), -1)
    first, span = int(day.min()), int(np.ptp(day)) + 1
    width = max(1, len(days.attrs["patterns"]))
    of = [
        pd.Index(days.attrs[several]).get_indexer(tried[name].cat.categories)
        for name, several in (("choir", "choirs"), ("pattern", "patterns"))
    ]
    choir, pattern = (place[tried[name].cat.codes] for place, name in zip(of, ("choir", "pattern"), strict=True))
    when = day_numbers(tried["date"]) - first
    key = (choir * width + pattern) * span + when
    key[(choir < 0) | (pattern < 0) | (when < 0) | (when >= span)] = -1
    return places(pair * span + day - first, key, max(1, len(days.attrs["choirs"])) * width * span)
