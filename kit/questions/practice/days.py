"""Days of choirs in a drill log: each numbered once, so that long logs are counted quickly."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

EPOCH_WEEKDAY = 3
"""Day 0 of the count of days was a Thursday."""


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
        lines = lines & (self.at >= 0)
        return np.bincount(self.at[lines], weights=values[lines], minlength=len(self.days))

    def number(self, lines: np.ndarray) -> np.ndarray:
        """Count some lines, day by day."""
        return np.bincount(self.at[lines & (self.at >= 0)], minlength=len(self.days))


def day_numbers(dates: pd.Series) -> np.ndarray:
    """Give days as whole numbers, all of one day alike; a missing day is a very low number."""
    return dates.to_numpy().astype("datetime64[D]").astype(np.int64)


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
    if most > 8 * keys.size + 1000:
        return np.unique(keys, return_inverse=True)
    there = np.zeros(most, dtype=bool)
    there[keys] = True
    return np.flatnonzero(there), (np.cumsum(there) - 1)[keys]


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
    names = choir.categories.astype(object)
    order = np.argsort(names)
    known = lines["date"].notna().to_numpy() & (lines["choir"] != "").to_numpy(bool)
    at, first = np.full(len(lines), -1), int(day[known].min()) if known.any() else 0
    span = int(day[known].max()) - first + 1 if known.any() else 1
    key = np.argsort(order)[choir.codes.to_numpy()[known]] * span + day[known] - first
    different, at[known] = numbered(key, max(1, len(names)) * span)
    days = pd.to_datetime(different % span + first, unit="D").astype("datetime64[us]")
    return ChoirDays(at, pd.DataFrame({"choir": names[order][different // span].astype("str"), "date": days}))
