"""One number, and what a reader needs in order to trust it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any
from zlib import crc32

import pandas as pd

COLUMNS = (
    "label", "about", "name", "value", "low", "high", "level", "method", "unit", "n", "counted",
    "clusters", "p", "df", "dropped", "source", "interval_source", "notes",
)  # fmt: skip

COUNTED_NOT_ESTIMATED = "A count of everyone on file, so it has no interval."
NO_ROSTER = "No roster was given: students with no mark at all are not counted."
_TELLING = re.compile(r"[^\w ,.:;()'\"-]")
"""Signs that tell two names apart."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """A confidence interval: its ends, its level and how it was made.

    Attributes
    ----------
    low, high : float
        Ends, in the unit of the estimate, never rounded; ``-inf`` or ``inf`` for one-sided.
    level : float
        Confidence level, a proportion in (0, 1).
    method : str
        The method in words, as it is printed under a table.
    source : str
        Key in ``kit.sources`` of the text that gives the formula.
    """

    low: float
    high: float
    level: float
    method: str
    source: str

    def __post_init__(self) -> None:
        """Refuse an interval that nobody could read."""
        if not 0 < self.level < 1:
            raise ValueError(f"Interval: level must be between 0 and 1. Got {self.level!r}.")
        if not self.low <= self.high:
            raise ValueError(f"Interval: low must not exceed high. Got {self.low!r} and {self.high!r}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """One number of a report.

    Attributes
    ----------
    about : str
        Whom and what the number is about, in words: ``"Treble 2, pitch"``; unique in a report
        together with ``name``.
    name : str
        The statistic: a function of ``kit.stats``, a key of the glossary, a reference file.
    value : float
        The number, signed, in ``unit``, never rounded; positive = grew / program higher.
    unit : str
        ``"points"``, ``"share"`` (0 to 1), ``"SD"``, ``"students"``, ``"minutes"``.
    n : int
        How many of ``counted`` the value rests on, after leaving out.
    source : str
        Key in ``kit.sources`` of the text that gives the formula.
    interval : Interval or None
        ``None`` where the data cannot carry one; ``notes`` then says why.
    p, df : float or None
        Two-sided p-value and degrees of freedom where the statistic has them.
    clusters : int or None
        Choirs behind the value where they decide its precision.
    counted : str
        What ``n`` counts.
    dropped : int or None
        How many of ``counted`` were left out for missing values; None where readers are not told.
    notes : tuple of str
        Sentences that must be printed with the number.
    """

    about: str
    name: str
    value: float
    unit: str
    n: int
    source: str
    interval: Interval | None = None
    p: float | None = None
    df: float | None = None
    clusters: int | None = None
    counted: str = "students"
    dropped: int | None = 0
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a number that nobody could print."""
        if not math.isfinite(self.value):
            raise ValueError(f"Estimate {self.name!r}: value must be finite. Got {self.value!r}.")
        if self.interval is None and not self.notes:
            raise ValueError(f"Estimate {self.name!r}: with no interval, notes must say why.")

    @property
    def label(self) -> str:
        """Name the number for the trail from page to table: ``mean_gain/treble-2-pitch``."""
        plain = re.sub(r"[^a-z0-9]+", "-", self.about.lower()).strip("-")
        # names without Latin letters, or told apart by a sign alone, would share a label
        lost = "" if self.about.isascii() and not _TELLING.search(self.about) else f"-{crc32(self.about.encode()):08x}"
        return f"{self.name}/{plain}{lost}"

    def as_row(self) -> dict[str, Any]:
        """Lay the number out as one flat row with the keys of ``COLUMNS``."""
        row = asdict(self)
        interval = row.pop("interval") or dict.fromkeys(("low", "high", "level", "method", "source"))
        row |= {"interval_source": interval.pop("source"), **interval}
        row |= {"label": self.label, "notes": " ".join(self.notes)}
        return {column: row[column] for column in COLUMNS}


def frame(estimates: Iterable[Estimate]) -> pd.DataFrame:
    """Lay estimates out as a table, one row each.

    Parameters
    ----------
    estimates : iterable of Estimate
        Any estimates; their order is kept.

    Returns
    -------
    DataFrame, shape (k, 18)
        Columns ``COLUMNS``, the same for every level and method.
    """
    return pd.DataFrame([estimate.as_row() for estimate in estimates], columns=list(COLUMNS))
