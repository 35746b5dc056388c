"""Which degrees, intervals, ways of reaching a note and patterns are weak: shares of first tries, partly pooled."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, get_args

import numpy as np
import pandas as pd

from kit.errors import TooFewError, UnknownChoiceError
from kit.questions.practice.days import EPOCH_WEEKDAY, dated, day_numbers, numbered
from kit.questions.practice.notes import MOST_UNPLACED, Kinds, kinds, notes
from kit.questions.practice.plan import by_name, height, spoken
from kit.stats.learning.pooled_counts import Pooled, pooled_counts

By = Literal["degree", "approach", "interval", "pattern"]
_COLUMN = {"degree": "note", "approach": "reached", "interval": "interval", "pattern": "pattern"}
FEWEST_TRIES = 20
"""First tries below which nothing is estimated (our own rule)."""
FEWEST_SINGERS = 5
"""Singers below which nothing is estimated: it would tell of single students (our own rule)."""
NO_TRY = "No first try is logged."
MOST_WEEKS = 16
"""Columns of the picture of degrees week by week; of a longer log several weeks are one (our own choice)."""
BITS = 60
"""Notes looked at in one go, a bit for each."""
_WEEKS = ["note", "label", "week", "tries", "singers", "share"]


@dataclass(frozen=True, slots=True)
class Weak:
    """Shares of first tries right, one for each degree, interval, way or pattern.

    Attributes
    ----------
    by : str
        What the rows are.
    pooled : Pooled or None
        The shares; None where there is too little.
    labels : tuple of str
        How each is written.
    why : str
        Why there is nothing; else empty.
    unplaced, wrong : int
        Wrong tries that do not say which note was missed, which single notes leave out; and all wrong tries.
    """

    by: By
    pooled: Pooled | None
    labels: tuple[str, ...] = ()
    why: str = ""
    unplaced: int = 0
    wrong: int = 0


def weak(tried: pd.DataFrame, *, by: str, about: str = "drill log", level: float = 0.95) -> Weak:
    """Estimate how large a share of first tries is right.

    Counted: first tries of single students; by pattern whole tries, else single notes, and these only where at most
    a fifth of the wrong tries do not say which note was missed.

    Parameters
    ----------
    tried : DataFrame
        From `kit.questions.practice.notes.tries`.
    by : str
        ``"degree"``, ``"approach"``, ``"interval"`` or ``"pattern"``.
    about : str, optional
        Whose tries these are.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Weak

    Raises
    ------
    UnknownChoiceError
        If `by` is none of these.
    """
    if by not in get_args(By):
        raise UnknownChoiceError("weak", "by", by, get_args(By))
    return _patterns(tried, about, level) if by == "pattern" else _notes_by(notes(tried), by, about, level)


def weak_all(tried: pd.DataFrame, *, about: str = "drill log", level: float = 0.95) -> dict[str, Weak]:
    """Estimate what `weak` does by each word it takes; the notes are laid out once.

    Counted: as in `weak`.

    Parameters
    ----------
    tried : DataFrame
        From `kit.questions.practice.notes.tries`.
    about : str, optional
        Whose tries these are.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    dict of str to Weak
    """
    each = notes(tried)
    return {
        by: _patterns(tried, about, level) if by == "pattern" else _notes_by(each, by, about, level)
        for by in get_args(By)
    }


def _patterns(tried: pd.DataFrame, about: str, level: float) -> Weak:
    """Estimate shares of whole tries."""
    found = shares(tried.assign(times=1), by="pattern", about=about, level=level)
    said = tried.drop_duplicates("pattern").set_index("pattern")["target"]
    labels = [_pattern_label(item, str(said[item])) for item in (found.pooled.items if found.pooled else ())]
    return replace(found, labels=tuple(labels))


def _notes_by(each: pd.DataFrame, by: By, about: str, level: float) -> Weak:
    """Estimate shares of single notes, if it is known which were missed."""
    wrong, unplaced = each.attrs["wrong"], each.attrs["unplaced"]
    if unplaced > MOST_UNPLACED * wrong:
        return Weak(by, None, why=_not_placed(unplaced, wrong), unplaced=unplaced, wrong=wrong)
    return replace(shares(each, by=by, about=about, level=level), unplaced=unplaced, wrong=wrong)


def _not_placed(unplaced: int, wrong: int) -> str:
    """Say why single notes are not counted."""
    return (
        f"Which note was missed is not known of {unplaced} of {wrong} wrong first tries, so single notes are not "
        "counted. Log what was sung."
    )


def _pattern_label(item: str, target: str) -> str:
    """Write a pattern by its notes and its code."""
    return f"{by_name(target)} ({item})" if target not in {"", item} else by_name(item)


def shares(rows: pd.DataFrame, *, by: str, about: str, level: float = 0.95) -> Weak:
    """Estimate shares of rows that are right, one for each value of a column; `rows` count `times` each; see `weak`."""
    item, student = (rows[name].astype("category").cat for name in (_COLUMN[by], "student"))
    kept = (rows[_COLUMN[by]] != "").to_numpy(bool)
    shape = len(student.categories), len(item.categories)
    both, times = (student.codes.to_numpy(np.int64) * shape[1] + item.codes)[kept], rows["times"].to_numpy()[kept]
    right = rows["right"].to_numpy(bool)[kept]
    tries, hits = (
        np.bincount(both, weights=counts, minlength=shape[0] * shape[1]).reshape(shape)
        for counts in (times, times * right)
    )
    asked, singers = int(tries.sum()), int((tries.sum(axis=1) > 0).sum())
    if not asked:
        return Weak(by, None, why=NO_TRY)
    if asked < FEWEST_TRIES or singers < FEWEST_SINGERS:
        return Weak(by, None, why=f"First tries logged: {asked}, by {_singers(singers)}; at least "
                                  f"{FEWEST_TRIES} by {FEWEST_SINGERS} singers are needed.")  # fmt: skip
    there = sorted(np.flatnonzero(tries.sum(axis=0)), key=lambda at: item.categories[at])
    items = [str(item.categories[at]) for at in there]
    try:
        pooled = pooled_counts(hits[:, there], tries[:, there], items, about=about, level=level)
    except TooFewError as error:
        return Weak(by, None, why=str(error))
    return Weak(by, _named(pooled, by, about), tuple(_label(one, by) for one in items))


def _singers(number: int) -> str:
    """Write a number of singers."""
    return f"{number} singer{'' if number == 1 else 's'}"


def _label(item: str, by: str) -> str:
    """Write a degree by its name."""
    return spoken(item) if by == "degree" else item


def _named(pooled: Pooled, by: str, about: str) -> Pooled:
    """Name the estimates after their items."""
    named = tuple(
        replace(estimate, about=f"{about}, {by} {_label(item, by)}")
        for estimate, item in zip(pooled.estimates, pooled.items, strict=True)
    )
    return replace(pooled, estimates=named, overall=replace(pooled.overall, about=f"{about}, each {by} once"))


def by_week(tried: pd.DataFrame, *, smallest: int = 1) -> pd.DataFrame:
    """Count first tries of each degree week by week, for the picture.

    Counted: single notes of dated first tries, as in `weak`. Cells of fewer singers than `smallest` hold no share; they
    take the next smallest of their degree with them, since the total would give them away: they may be of the same few.

    Parameters
    ----------
    tried : DataFrame
        From `kit.questions.practice.notes.tries`.
    smallest : int, optional
        Singers that a cell needs to be shown.

    Returns
    -------
    DataFrame
        Columns note, label, week (its Monday), tries, singers, share (NaN where hidden); degrees in scale order.
        No row where too few wrong tries say which note was missed. `attrs["weeks"]` tells how many weeks are one.
    """
    known = dated(tried)
    found = kinds(known)
    if found.unplaced > MOST_UNPLACED * found.wrong or found.notes.empty:
        return pd.DataFrame(columns=_WEEKS)
    number = (day_numbers(known["date"]) + EPOCH_WEEKDAY) // 7
    first, step = int(number.min()), -(-(int(np.ptp(number)) + 1) // MOST_WEEKS)
    weeks, week = numbered((number - first) // step, MOST_WEEKS + 1)
    mondays = pd.to_datetime((weeks * step + first) * 7 - EPOCH_WEEKDAY, unit="D")
    asked, right = _notes_of_weeks(found, week, weeks.size)
    singers = _singers_of_weeks(found, week, weeks.size, known["student"])
    rows = [
        (
            note,
            spoken(note),
            mondays[at],
            int(asked[note][at]),
            int(singers[note][at]),
            right[note][at] / asked[note][at],
        )
        for note in sorted(found.notes["note"].cat.categories, key=lambda one: (height(one), one))
        for at in np.flatnonzero(asked[note])
    ]
    cells = pd.DataFrame(rows, columns=_WEEKS).astype({"tries": int, "singers": int})
    cells.loc[_hidden(cells, smallest), "share"] = np.nan
    cells.attrs["weeks"] = step
    return cells


def _kind_of_note(found: Kinds) -> np.ndarray:
    """Give the kind of try that each row of the notes belongs to."""
    return np.repeat(np.arange(found.size.size), found.size)


def _notes_of_weeks(found: Kinds, week: np.ndarray, weeks: int) -> tuple[dict[str, np.ndarray], dict[str, np.ndarray]]:
    """Count, for each note, how often it was asked and how often it was right in each week."""
    kinds_ = found.size.size
    tries = np.bincount(week * kinds_ + found.which, minlength=weeks * kinds_).reshape(weeks, kinds_)
    of, each = _kind_of_note(found), found.notes
    sums: list[dict[str, np.ndarray]] = []
    for counted_ in (np.ones(len(each)), each["right"].to_numpy(float)):
        sums.append({
            note: tries @ np.bincount(of[mine], weights=counted_[mine], minlength=kinds_)
            for note in each["note"].cat.categories
            for mine in [(each["note"] == note).to_numpy(bool)]
        })  # fmt: skip
    return sums[0], sums[1]


def _singers_of_weeks(found: Kinds, week: np.ndarray, weeks: int, students: pd.Series) -> dict[str, np.ndarray]:
    """Count, for each note, the singers who were asked it in each week: a bit for each note."""
    codes, names = found.notes["note"].cat.codes.to_numpy(np.int64), found.notes["note"].cat.categories
    everyone, singers = len(students.cat.categories), {}
    sung = week * everyone + students.cat.codes.to_numpy(np.int64)
    for start in range(0, len(names), BITS):
        bits, seen = np.zeros(found.size.size, dtype=np.int64), np.zeros(weeks * everyone, dtype=np.int64)
        mine = (codes >= start) & (codes < start + BITS)
        np.bitwise_or.at(bits, _kind_of_note(found)[mine], 1 << (codes[mine] - start))
        np.bitwise_or.at(seen, sung, bits[found.which])
        for at, note in enumerate(names[start : start + BITS]):
            singers[note] = (seen >> at & 1).reshape(weeks, -1).sum(axis=1)
    return singers


def _hidden(cells: pd.DataFrame, smallest: int) -> np.ndarray:
    """Say which cells are hidden: too few singers, and the next smallest of the degree, which has enough of them."""
    few = (cells["singers"] < smallest).to_numpy(copy=True)
    for rows in cells.groupby("note").indices.values():
        others = rows[~few[rows]]
        if few[rows].any() and others.size:
            few[others[np.argmin(cells["singers"].to_numpy()[others])]] = True
    return few
