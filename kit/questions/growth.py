"""Did scores change, by how much, and for whom."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.scale import Scale, choirs_of, measure_of, paired_marks, scale, tested
from kit.stats.association import correlation, expected_regression
from kit.stats.effects.sizes import d_pre
from kit.stats.means import mean_gain, mean_score
from kit.stats.power.detectable import detectable_gain
from kit.stats.proportions.shares import share_wilson

__all__ = ["Scale", "bands", "before_and_after", "by_choir", "by_starting_third", "detectable", "scale"]

SMALLEST_THIRD = 3
"""Students that a starting group needs (our rule: with fewer its mean is one student's luck)."""
STARTERS = {3: ("lowest", "middle", "highest"), 2: ("lower", "higher")}
FEWEST_GAINS = 2
"""Gains of students, or of choirs, from which one can tell how far they lie apart."""
SAME = 1e-9
"""Marks closer than this, in points or as shares, are the same mark: shares of two maxima differ by rounding dust."""


def before_and_after(pairs: pd.DataFrame, *, level: float = 0.95) -> Answers:
    """Estimate both means, the mean gain, its size, and how many rose, stayed or fell.

    Counted: students tested both times. With several choirs the mean gain is that of the choirs, each
    counting once; the other numbers are about all their students together and have no interval. Where only
    one test was taken, everyone with a mark of it, for its mean alone.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        About: first test; second test; all students tested twice (or all choirs); rose; stayed the
        same; fell.
    """
    if tested(pairs, "pre").any() != tested(pairs, "post").any():
        return _only_test(pairs, level)
    chosen, pre, post = paired_marks(pairs)
    measure = measure_of(pairs)
    everybody = f"{measure}, all students tested twice"
    options = {"level": level, "choirs": len(choirs_of(pairs))}
    return Answers([
        ask(mean_score, pre, about=f"{measure}, first test", unit=chosen.unit, **options),
        ask(mean_score, post, about=f"{measure}, second test", unit=chosen.unit, **options),
        _gain_of_choirs(pairs, level) if options["choirs"] > 1
        else ask(mean_gain, pre, post, about=everybody, unit=chosen.unit, **options),
        ask(d_pre, pre, post, about=everybody, method="jackknife", **options),
        ask(correlation, pre, post, about=everybody, method="jackknife", **options),
        *_directions(pre, post, measure, **options),
    ])  # fmt: skip


def _only_test(pairs: pd.DataFrame, level: float) -> Answers:
    """Estimate the mean of the only test that was taken."""
    side, which = ("pre", "first test") if tested(pairs, "pre").any() else ("post", "second test")
    unit, taken = scale(pairs).unit, pairs[tested(pairs, side)]
    options = {"unit": unit, "level": level, "choirs": taken.loc[taken["choir"] != "", "choir"].nunique()}
    return Answers([ask(mean_score, pairs[f"{side}_{unit}"], about=f"{measure_of(pairs)}, {which}", **options)])


def _gain_of_choirs(pairs: pd.DataFrame, level: float) -> Estimate | LeftOut:
    """Estimate the mean gain of choirs, each choir counting once by the means of its students."""
    chosen, pre, _ = paired_marks(pairs)
    means, about = _means_of_choirs(pairs), f"{measure_of(pairs)}, all choirs"
    gain = ask(mean_gain, means["pre"], means["post"], about=about, unit=chosen.unit, level=level)
    if isinstance(gain, LeftOut):
        return gain
    note = f"Each of the {len(means)} choirs counts once, by its mean: students of one choir are alike."
    nameless = int((pre.notna() & (pairs["choir"] == "")).sum())
    more = (f"Students whose choir is not known are not in it: {nameless}.",) if nameless else ()
    gone = len(set(pairs["choir"]) - {""}) - len(means)
    return replace(gain, counted="choirs", clusters=len(means), dropped=gone, notes=(*gain.notes, note, *more))


def _means_of_choirs(pairs: pd.DataFrame) -> pd.DataFrame:
    """Average both tests of the students of each choir who took both."""
    _, pre, post = paired_marks(pairs)
    named = pairs["choir"].where(pairs["choir"] != "")
    return pd.DataFrame({"pre": pre, "post": post}).groupby(named).mean().dropna()


def _directions(
    pre: pd.Series, post: pd.Series, measure: str, *, level: float, choirs: int
) -> list[Estimate | LeftOut]:
    """Estimate the shares of students who rose, stayed the same and fell."""
    gains = (post - pre).dropna()
    hits = {"rose": gains > SAME, "stayed the same": gains.abs() <= SAME, "fell": gains < -SAME}
    dropped = len(pre) - len(gains)
    return [
        ask(share_wilson, int(rows.sum()), len(gains), about=f"{measure}, {name}", level=level, dropped=dropped,
            choirs=choirs)
        for name, rows in hits.items()
    ]  # fmt: skip


def by_starting_third(pairs: pd.DataFrame, *, level: float = 0.95) -> Answers:
    """Estimate the gain of low, middle and high starters beside what chance alone would give.

    Counted: students tested both times, in thirds of their first score. Equal scores stay together, so
    thirds are as even as that allows; where one would have fewer than 3 students, in halves.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        For each group the mean of its first scores, its mean gain, and the gain expected by chance alone;
        none at all where the last cannot be told. Without intervals for several choirs.
    """
    chosen, pre, post = paired_marks(pairs)
    pre, post = pre.dropna().to_numpy(), post.dropna().to_numpy()
    measure, options = measure_of(pairs), {"level": level, "unit": chosen.unit, "choirs": len(choirs_of(pairs))}
    answers: list[Estimate | LeftOut] = []
    for name, group in _starting_groups(pre):
        about = f"{measure}, {name} starters"
        chance = ask(expected_regression, pre, post, group=group, about=about, method="jackknife", **options)
        if isinstance(chance, LeftOut):
            return Answers([chance])
        answers += [
            ask(mean_score, pre[group], about=f"{about}, first scores", **options),
            ask(mean_gain, pre[group], post[group], about=about, **options),
            chance,
        ]
    return Answers(answers or [LeftOut(
        f"{measure}, by starting level",
        f"Two groups of at least {SMALLEST_THIRD} students with different first scores are needed.",
    )])  # fmt: skip


def _starting_groups(pre: np.ndarray) -> list[tuple[str, np.ndarray]]:
    """Part students by first score into thirds, else halves: cuts between different scores, nearest to even."""
    scores = np.round(pre, 9)
    values, times = np.unique(scores, return_counts=True)
    up_to = np.cumsum(times)[:-1]
    for number, names in STARTERS.items():
        if len(up_to) < number - 1:
            continue
        cuts = [values[np.abs(up_to - len(scores) * part / number).argmin()] for part in range(1, number)]
        group_of = np.searchsorted(cuts, scores, side="left")
        if np.bincount(group_of, minlength=number).min() >= SMALLEST_THIRD:
            return [(name, group_of == group) for group, name in enumerate(names)]
    return []


def by_choir(pairs: pd.DataFrame, *, smallest: int = 10, level: float = 0.95) -> tuple[Answers, tuple[LeftOut, ...]]:
    """Estimate the gain of each choir that is large enough, in the order of their names.

    Counted: students tested both times whose choir is named.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    smallest : int, optional
        Students tested both times that a choir needs.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    estimates : Answers
        One mean gain for each choir.
    left_out : tuple of LeftOut
        Choirs that are too small, and students without a choir, the same as ``estimates.left_out``.
    """
    chosen, pre, post = paired_marks(pairs)
    answers: list[Estimate | LeftOut] = []
    for choir in sorted(set(pairs["choir"]) - {""}):
        rows = pairs["choir"] == choir
        n = int(pre[rows].notna().sum())
        if n < smallest:
            answers.append(LeftOut(choir, f"{n} tested both times; at least {smallest} are needed."))
        else:
            about = f"{measure_of(pairs)}, {choir}"
            answers.append(ask(mean_gain, pre[rows], post[rows], about=about, unit=chosen.unit, level=level))
    nameless = int(pre[pairs["choir"] == ""].notna().sum())
    if nameless:
        answers.append(LeftOut("students without a choir", f"{nameless} tested both times; no choir is named."))
    found = Answers(answers)
    return found, found.left_out


def bands(pairs: pd.DataFrame, *, number: int | None = None) -> pd.DataFrame:
    """Count students in equal bands of the score scale, before and after.

    Counted: students tested both times.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    number : int, optional
        How many bands. By default five, or four where the maximum can be parted into four whole numbers
        of points and not into five.

    Returns
    -------
    DataFrame
        Columns low, high (in points or as a share), before, after; no rows if nobody was tested both
        times. A mark on an edge belongs to the band above it, a full mark to the last. Where all marks
        are whole, edges are raised to whole numbers, which moves no mark into another band. Where the
        maximum is not known, the scale ends at the highest mark.
    """
    chosen, pre, post = paired_marks(pairs)
    before, after = pre.dropna().to_numpy(), post.dropna().to_numpy()
    columns = ["low", "high", "before", "after"]
    if not len(before):
        return pd.DataFrame([], columns=columns)
    marks = np.concatenate([before, after])
    top = chosen.maximum or float(max(np.ceil(marks.max()), 1))
    edges = np.linspace(0, top, (number or (4 if top % 5 and not top % 4 else 5)) + 1)
    if chosen.unit == "points" and not (marks % 1).any():
        edges = np.unique(np.ceil(np.round(edges, 9)))
    counts = [_counted_in_bands(side, edges) for side in (before, after)]
    return pd.DataFrame(dict(zip(columns, (edges[:-1], edges[1:], *counts), strict=True)))


def _counted_in_bands(marks: np.ndarray, edges: np.ndarray) -> np.ndarray:
    """Count marks in bands, those beyond an end in the last band there; dust below an edge is on it."""
    band = np.searchsorted(edges[1:-1], marks + SAME, side="right")
    return np.bincount(band, minlength=len(edges) - 1)


def detectable(pairs: pd.DataFrame, *, level: float = 0.95) -> Estimate | None:
    """Say what size of gain a group like this could have shown four times in five.

    Counted: students tested both times. With several choirs each choir counts once, by the mean gain of its students.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    level : float, optional
        Confidence level of the interval that must leave zero out, a proportion in (0, 1).

    Returns
    -------
    Estimate or None
        In the unit of the marks. None where fewer than two gains are known, or where all are the same.
    """
    chosen, pre, post = paired_marks(pairs)
    several = len(choirs_of(pairs)) > 1
    means = _means_of_choirs(pairs) if several else pd.DataFrame({"pre": pre, "post": post}).dropna()
    gains = means["post"] - means["pre"]
    if len(gains) < FEWEST_GAINS or gains.std() < SAME:
        return None
    about, options = f"{measure_of(pairs)}, a group like this", {"unit": chosen.unit, "level": level}
    found = detectable_gain(n=len(gains), spread=float(gains.std()), about=about, **options)
    return replace(found, counted="choirs", clusters=len(gains)) if several else found
