"""Days of choirs in a drill log: each numbered once, so that long logs are counted quickly."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

EPOCH_WEEKDAY = 3
"""Day 0 of the count of days was a Thursday."""
NEVER = np.iinfo(np.int64).min
"""The number of a missing day."""


@dataclass(frozen=True, slots=True)
class ChoirDays:
    """Choirs and days of some lines.

    Attributes
    ----------
    at : ndarray of int, shape (n,)
        Place of each line in `days`; -1 for a line without a day or without a choir.
    days : DataFrame
        Columns choir and date, each pair once, by choir and then by day.
    """

    at: np.ndarray
    days: pd.DataFrame

    def total(self, values: np.ndarray, lines: np.ndarray) -> np.ndarray:
        """Add up the values of some lines, day by day."""
        chosen = np.flatnonzero(lines & (self.at >= 0))
        return np.bincount(self.at[chosen], weights=values[chosen], minlength=len(self.days))

    def number(self, lines: np.ndarray) -> np.ndarray:
        """Count some lines, day by day."""
        return np.bincount(self.at[lines & (self.at >= 0)], minlength=len(self.days))


def day_numbers(dates: pd.Series) -> np.ndarray:
    """Give days as whole numbers, all of one day alike; a missing day is a very low number."""
    return dates.to_numpy().astype("datetime64[D]").astype(np.int64)


def dated(lines: pd.DataFrame) -> pd.DataFrame:
    """Leave out lines without a day; the very table where there is none."""
    known = lines["date"].notna().to_numpy()
    return lines if known.all() else lines[known]


def numbered(keys: np.ndarray, most: int) -> tuple[np.ndarray, np.ndarray]:
    """Give the different keys in order, and the place of each key among them.

    Parameters
    ----------
    keys : ndarray of int, shape (n,)
        From 0 on.
    most : int
        Above every key; where it is not much more than `n`, nothing is sorted.

    Returns
    -------
    different, place : ndarray of int
    """
    if is_sparse(keys, most):
        return np.unique(keys, return_inverse=True)
    found = different(keys, most)
    place = np.zeros(most, dtype=np.int64)
    place[found] = np.arange(found.size)
    return found, place[keys]


def different(keys: np.ndarray, most: int) -> np.ndarray:
    """Give the different keys in order; as `numbered`."""
    if is_sparse(keys, most):
        return np.unique(keys)
    there = np.zeros(most, dtype=bool)
    there[keys] = True
    return np.flatnonzero(there)


def places(known: np.ndarray, keys: np.ndarray, most: int) -> np.ndarray:
    """Find keys among others.

    Parameters
    ----------
    known : ndarray of int, shape (m,)
        Different keys from 0 on, in order.
    keys : ndarray of int, shape (n,)
        Keys to look up; those below 0 are nowhere.
    most : int
        Above every key; where it is not much more than `n`, nothing is searched.

    Returns
    -------
    ndarray of int, shape (n,)
        Place of each key in `known`; -1 where it is not there.
    """
    if not known.size:
        return np.full(keys.size, -1)
    if is_sparse(keys, most):
        at = np.minimum(np.searchsorted(known, keys), known.size - 1)
        return np.where(known[at] == keys, at, -1)
    at = np.full(most + 1, -1)
    at[known] = np.arange(known.size)
    return at[np.maximum(keys, -1)]


def is_sparse(keys: np.ndarray, most: int) -> bool:
    """Say whether so many keys are possible that sorting costs less than a list of all of them."""
    return most > 8 * keys.size + 1000


def choir_days(lines: pd.DataFrame) -> ChoirDays:
    """Give the days of each choir their places.

    Parameters
    ----------
    lines : DataFrame
        Columns choir and date.

    Returns
    -------
    ChoirDays
    """
    choir, day = lines["choir"].astype("category").cat, day_numbers(lines["date"])
    names, codes = choir.categories.astype(object), choir.codes.to_numpy()
    order = np.argsort(names)
    known = day != NEVER
    if "" in choir.categories:
        known &= codes != choir.categories.get_loc("")
    rows = slice(None) if known.all() and known.size else known
    at, first = np.full(len(lines), -1), int(day[rows].min()) if known.any() else 0
    span = int(day[rows].max()) - first + 1 if known.any() else 1
    key = np.argsort(order)[codes[rows]] * span + (day[rows] - first)
    each, at[rows] = numbered(key, max(1, len(names)) * span)
    days = pd.to_datetime(each % span + first, unit="D").astype("datetime64[us]")
    return ChoirDays(at, pd.DataFrame({"choir": names[order][each // span].astype("str"), "date": days}))
