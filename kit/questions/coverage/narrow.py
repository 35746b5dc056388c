"""Which ranges of a report are known to be too narrow: scores and numbers of students like these, in the long runs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations
from math import log

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from kit.estimate import Estimate
from kit.questions.coverage import long_runs
from kit.questions.coverage.worlds import Scores
from kit.questions.quality.raters import TwiceMarked
from kit.questions.scale import paired_marks

SKEWED = 1.0
"""Skewness, in either direction, from which on scores count as skewed: Bishara and Hittner (2017)."""
AT_TOP = 0.15
"""Share of students at the top from which on scores count as bound by it (our rule)."""
STANDS_FOR = {"limit_of_agreement_high": "limit_of_agreement_low", "agreement_bias": "mean_gain"}
"""Number that was not simulated -> the one made in the same way that was."""
OF_DIFFERENCES = ("agreement_bias", "limit_of_agreement_low", "limit_of_agreement_high")


@dataclass(frozen=True, slots=True)
class Narrow:
    """A range that is known to be too narrow.

    Attributes
    ----------
    estimate : Estimate
        The number whose range it is.
    held : Estimate
        Share of simulated studies like this one whose range held the truth.
    scores : str
        What kind of scores these are: normal, skewed or ceiling.
    students : int
        Students of the simulated studies.
    """

    estimate: Estimate
    held: Estimate
    scores: Scores
    students: int


def kind_of(*columns: ArrayLike, top: float | None = None) -> Scores:
    """Say which kind of scores these are.

    Counted: every number that is there.

    Parameters
    ----------
    *columns : array_like, shape (n,)
        Scores, gains or differences; NaN where missing.
    top : float or None, optional
        The highest score that there can be.

    Returns
    -------
    {"normal", "skewed", "ceiling"}
        Of the column that is farthest from normal.

    Examples
    --------
    >>> kind_of([1, 2, 3, 4, 5]), kind_of([1, 1, 1, 2, 9]), kind_of([6, 7, 8, 8], top=8)
    ('normal', 'skewed', 'ceiling')
    """
    kept = [values[~np.isnan(values)] for values in (np.asarray(column, dtype=float) for column in columns)]
    kept = [values for values in kept if values.size]
    if top is not None and any(np.isclose(values, top).mean() >= AT_TOP for values in kept):
        return "ceiling"
    return "skewed" if any(abs(_skewness(values)) >= SKEWED for values in kept) else "normal"


def too_narrow(estimates: Iterable[Estimate], *columns: ArrayLike, top: float | None = None) -> tuple[Narrow, ...]:
    """Find the ranges that hold the truth clearly too seldom for scores of this kind and about as many students.

    Counted: simulated studies, of the size among those tried that is nearest. Numbers that count choirs, or have no
    range, are not judged.

    Parameters
    ----------
    estimates : iterable of Estimate
        Numbers about students.
    *columns, top
        What they are made of, as in `kind_of`.

    Returns
    -------
    tuple of Narrow
        In their order; empty where none is known to be too narrow.
    """
    scores, runs = kind_of(*columns, top=top), _runs()
    found = []
    for one in estimates:
        way = _way(one)
        sizes = [size for name, kind, size in runs if (name, kind) == (way, scores)]
        if not sizes or one.interval is None or one.counted != "students":
            continue
        size = min(sizes, key=lambda size, n=one.n: abs(log(size / n)))
        off, held = runs[way, scores, size]
        if off == "below":
            found.append(Narrow(one, held, scores, size))
    return tuple(found)


def of_gains(changes: Iterable[Estimate], pairs: pd.DataFrame) -> tuple[Narrow, ...]:
    """Find the ranges of scores and gains that are known to be too narrow for students like these.

    Counted: as in `too_narrow`; an average gain is judged by the gains, an average score by the scores of its test.

    Parameters
    ----------
    changes : iterable of Estimate
        From `kit.questions.growth.before_and_after`.
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    tuple of Narrow
    """
    chosen, pre, post = paired_marks(pairs)
    scores = {"first test": (pre,), "second test": (post,)}
    found = []
    for one in changes:
        of_test = scores.get(one.about.rpartition(", ")[2], (pre, post))
        found += too_narrow([one], *((post - pre,) if one.name == "mean_gain" else of_test), top=chosen.maximum)
    return tuple(found)


def of_raters(marked: Iterable[Estimate], twice: Mapping[str, TwiceMarked]) -> tuple[Narrow, ...]:
    """Find the ranges of the agreement of two raters that are known to be too narrow for marks like these.

    Counted: as in `too_narrow`; differences are judged by the differences, agreement by the marks.

    Parameters
    ----------
    marked : iterable of Estimate
        From `kit.questions.quality.raters_agree`, those that are told.
    twice : mapping of str to TwiceMarked
        From `kit.questions.quality.twice_marked`.

    Returns
    -------
    tuple of Narrow
    """
    marked, found = list(marked), []
    for which, one in twice.items():
        for pair in permutations(one.marks, 2):
            both = one.both(pair)
            apart = both.iloc[:, 0] - both.iloc[:, 1]
            for each in marked:
                if each.about.endswith(f", {pair[0]} minus {pair[1]}, {which}"):
                    columns = (apart,) if each.name in OF_DIFFERENCES else (both.iloc[:, 0], both.iloc[:, 1])
                    found += too_narrow([each], *columns)
    return tuple(found)


def _skewness(values: np.ndarray) -> float:
    """Third moment over the cube of the spread; 0 where there is none."""
    away, spread = values - values.mean(), values.std()
    return float((away**3).mean() / spread**3) if spread > 0 else 0.0


def _way(one: Estimate) -> str:
    """Name the simulated way by which a range was made."""
    name = STANDS_FOR.get(one.name, one.name)
    left_out = one.interval is not None and one.interval.method.startswith("jackknife")
    return f"{name}_jackknife" if left_out else name


@lru_cache(maxsize=1)
def _runs() -> dict[tuple[str, str, int], tuple[str, Estimate]]:
    """Lay the long runs out: way, kind of scores and size -> how far off, and how often the truth was held."""
    found = long_runs()
    told = found.rows[found.rows["told"] > 0]
    return {
        (row.way, row.scores, row.n): (row.off, held)
        for row, held in zip(told.itertuples(), found.estimates, strict=True)
    }
