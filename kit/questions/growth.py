"""Did scores change, by how much, and for whom."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from kit.errors import TooFewError
from kit.estimate import Estimate
from kit.questions.whom import LeftOut, both, one_maximum
from kit.stats.association import correlation, expected_regression
from kit.stats.effects import d_pre
from kit.stats.means import mean_gain, mean_score
from kit.stats.power import detectable_gain
from kit.stats.proportions import share_wilson

SMALLEST_THIRD = 3
"""Students that a starting group needs."""
THIRDS = {3: ("lowest", "middle", "highest"), 2: ("lower", "higher")}
ALIKE = "Students of one choir are alike, so this interval is narrower than it should be; the choirs' own is not."


@dataclass(frozen=True, slots=True)
class Scale:
    """The unit in which change is told.

    ``unit`` is ``"points"`` or ``"share"``, ``maximum`` the most points where it is known, and ``why`` says
    in a sentence why shares are used; empty for points.
    """

    unit: str
    maximum: float | None
    why: str = ""

    def of(self, pairs: pd.DataFrame, side: str) -> np.ndarray:
        """Take the marks of one side in this unit."""
        return pairs[f"{side}_{self.unit}"].to_numpy()


def scale(pairs: pd.DataFrame) -> Scale:
    """Choose the unit of change: points where both tests have one maximum, else shares of the maximum.

    Counted: students tested both times.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    Scale
    """
    counted = both(pairs)
    points = counted[["pre_points", "post_points"]].notna().all(axis=None)
    if points and one_maximum(counted):
        most = counted["pre_max"].dropna()
        return Scale("points", float(most.iloc[0]) if len(most) else None)
    why = "The two tests do not have the same number of points" if points else "Some marks are given in percent only"
    return Scale("share", 1.0, f"{why}, so change is told in percent of the points.")


def before_and_after(pairs: pd.DataFrame, *, level: float = 0.95) -> list[Estimate]:
    """Estimate both means, the mean gain, its size, and how many rose, stayed or fell.

    Counted: students tested both times. With several choirs the gain is that of the choirs' means,
    since singers of one choir are alike.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    level : float, optional
        Confidence level.

    Returns
    -------
    list of Estimate
        As many as the data can carry; empty if nobody was tested both times.
    """
    counted, unit = both(pairs), scale(pairs)
    measure = pairs.attrs.get("measure", "score")
    pre, post = unit.of(counted, "pre"), unit.of(counted, "post")
    everybody = f"{measure}, all students tested twice"
    several = _choirs(counted) > 1
    asked: list[Callable[[], Estimate]] = [
        lambda: mean_score(pre, about=f"{measure}, first test", unit=unit.unit, level=level),
        lambda: mean_score(post, about=f"{measure}, second test", unit=unit.unit, level=level),
        lambda: (
            _choir_gain(counted, unit, measure, level)
            if several
            else mean_gain(pre, post, about=everybody, unit=unit.unit, level=level)
        ),
        lambda: _note(d_pre(pre, post, about=everybody, level=level), several),
        lambda: _note(correlation(pre, post, about=everybody, level=level), several),
    ]
    estimates = [estimate for ask in asked if (estimate := _asked(ask)) is not None]
    return estimates + _directions(post - pre, measure, level)


def by_starting_third(pairs: pd.DataFrame, *, level: float = 0.95) -> list[Estimate]:
    """Estimate the gain of low, middle and high starters beside what chance alone would give.

    Counted: students tested both times, in thirds of their first score; equal scores stay together, and
    where that leaves a third with fewer than three students, in halves.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    level : float, optional
        Confidence level.

    Returns
    -------
    list of Estimate
        For each group its first mean, its mean gain, and the gain expected by chance alone; empty where the
        data cannot carry them.
    """
    counted, unit = both(pairs), scale(pairs)
    measure = pairs.attrs.get("measure", "score")
    pre, post = unit.of(counted, "pre"), unit.of(counted, "post")
    estimates = []
    for name, group in _starting_groups(pre):
        about = f"{measure}, {name} starters"
        try:
            estimates += [
                mean_score(pre[group], about=f"{about} at the first test", unit=unit.unit, level=level),
                mean_gain(pre[group], post[group], about=about, unit=unit.unit, level=level),
                expected_regression(pre, post, group=group, about=about, unit=unit.unit, level=level),
            ]
        except TooFewError:
            return []
    return estimates


def by_choir(
    pairs: pd.DataFrame, *, smallest: int = 10, level: float = 0.95
) -> tuple[list[Estimate], tuple[LeftOut, ...]]:
    """Estimate the gain of each choir that is large enough, in the order of their names.

    Counted: students tested both times whose choir is known.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    smallest : int, optional
        Students that a choir needs.
    level : float, optional
        Confidence level.

    Returns
    -------
    estimates : list of Estimate
        One mean gain for each choir.
    left_out : tuple of LeftOut
        Choirs that are too small.
    """
    counted, unit = both(pairs), scale(pairs)
    measure = pairs.attrs.get("measure", "score")
    estimates, left_out = [], []
    for choir, rows in counted[counted["choir"] != ""].groupby("choir"):
        if len(rows) < max(smallest, 2):
            left_out.append(LeftOut(choir, f"{len(rows)} tested both times; at least {max(smallest, 2)} are needed."))
            continue
        pre, post = unit.of(rows, "pre"), unit.of(rows, "post")
        estimates.append(mean_gain(pre, post, about=f"{measure}, {choir}", unit=unit.unit, level=level))
    return estimates, tuple(left_out)


def bands(pairs: pd.DataFrame, *, number: int = 5) -> pd.DataFrame:
    """Count students in bands of the score scale, before and after.

    Counted: students tested both times.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    number : int, optional
        How many bands; for points fewer where they have no whole-numbered edges.

    Returns
    -------
    DataFrame
        Columns low, high (the highest mark of the band, in points or as a share), before, after; empty if
        nobody was tested both times. A mark on an edge belongs to the band above it, a full mark to the last.
    """
    counted, unit = both(pairs), scale(pairs)
    if counted.empty:
        return pd.DataFrame({"low": [], "high": [], "before": [], "after": []})
    pre, post = unit.of(counted, "pre"), unit.of(counted, "post")
    top = unit.maximum or float(np.ceil(max(pre.max(), post.max())))
    edges = np.linspace(0, top, number + 1)
    if unit.unit == "points":
        edges = np.unique(np.round(edges))
    inside = np.append(edges[:-1], np.nextafter(max(top, pre.max(), post.max()), np.inf))
    before, after = np.histogram(pre, inside)[0], np.histogram(post, inside)[0]
    return pd.DataFrame({"low": edges[:-1], "high": edges[1:], "before": before, "after": after})


def detectable(pairs: pd.DataFrame, *, level: float = 0.95) -> Estimate | None:
    """Say what size of gain a group like this could have shown four times in five.

    Counted: students tested both times.

    Returns
    -------
    Estimate or None
        None where the correlation of the tests is not known.
    """
    counted, unit = both(pairs), scale(pairs)
    about = f"{pairs.attrs.get('measure', 'score')}, a group like this"
    try:
        r = correlation(unit.of(counted, "pre"), unit.of(counted, "post"), about=about, level=level).value
        return detectable_gain(n=len(counted), correlation=r, about=about, level=level)
    except (TooFewError, ValueError):
        return None


def _choirs(counted: pd.DataFrame) -> int:
    """Count the choirs that are named."""
    return counted.loc[counted["choir"] != "", "choir"].nunique()


def _choir_gain(counted: pd.DataFrame, unit: Scale, measure: str, level: float) -> Estimate:
    """Estimate the mean gain of choirs, each choir counting once."""
    columns = [f"pre_{unit.unit}", f"post_{unit.unit}"]
    means = counted[counted["choir"] != ""].groupby("choir")[columns].mean()
    gain = mean_gain(means[columns[0]], means[columns[1]], about=f"{measure}, all choirs", unit=unit.unit, level=level)
    note = f"Each of the {len(means)} choirs counts once, by its mean: singers of one choir are alike."
    return replace(gain, counted="choirs", clusters=len(means), notes=(*gain.notes, note))


def _note(estimate: Estimate, several: bool) -> Estimate:
    """Add that students of one choir are alike."""
    return replace(estimate, notes=(*estimate.notes, ALIKE)) if several else estimate


def _asked(ask: Callable[[], Estimate]) -> Estimate | None:
    """Ask for an estimate; None where the data cannot carry it."""
    try:
        return ask()
    except TooFewError:
        return None


def _directions(gains: np.ndarray, measure: str, level: float) -> list[Estimate]:
    """Estimate the shares of students who rose, stayed the same and fell."""
    if not len(gains):
        return []
    hits = {"rose": gains > 0, "stayed the same": gains == 0, "fell": gains < 0}
    return [
        share_wilson(int(rows.sum()), len(gains), about=f"{measure}, {name}", level=level)
        for name, rows in hits.items()
    ]


def _starting_groups(pre: np.ndarray) -> list[tuple[str, np.ndarray]]:
    """Part students by first score into thirds, else halves; equal scores stay together."""
    for number, names in THIRDS.items():
        if len(pre) < number * SMALLEST_THIRD:
            continue
        edges = np.quantile(pre, np.arange(1, number) / number, method="inverted_cdf")
        place = np.searchsorted(edges, pre, side="left")
        groups = [place == at for at in range(number)]
        if all(group.sum() >= SMALLEST_THIRD for group in groups):
            return list(zip(names, groups, strict=True))
    return []
