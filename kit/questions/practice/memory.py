"""Does it stick: learning and fading, what is left after a break, tries needed until a pattern is there."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from kit.errors import TooFewError
from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.practice.days import dated, day_numbers
from kit.questions.practice.exposed import exposed
from kit.stats.learning.criterion import to_criterion, trials_to_criterion
from kit.stats.learning.kaplan_meier import WaitingCurve, kaplan_meier, median_time
from kit.stats.learning.practice import PracticeRates, practice_rates
from kit.stats.learning.practice_curve import practice_curve
from kit.stats.learning.retention import Around, around_break, retention_change

SHORTEST_BREAK = 10
"""Days without any line from which a break is looked at (our own rule)."""
SOON = 10
"""Days after a break within which the first try counts as one after the break (our own rule)."""
FEWEST = 10
"""Pairs of a student and a pattern below which nothing is told of breaks and of tries needed (our own rule)."""
MOST_TRIES = 100_000
"""First tries from which on rates rest on singers drawn at random: more would not move what is said (our own rule)."""
SEED = 1
DRAWN = "From the tries of"
FEW_SINGERS = "Too few singers stand behind it to be shown."
EPOCH = pd.Timestamp(0).toordinal()
NO_BREAK = "The log has no break of ten days or more with the same students and patterns on both sides."


@dataclass(frozen=True, slots=True)
class Rates:
    """Learning and fading, the fit for the curve, or why there is none."""

    rates: PracticeRates | None
    answers: Answers
    curve: pd.DataFrame


def rates(tried: pd.DataFrame, drills: pd.DataFrame, *, level: float = 0.95) -> Rates:
    """Estimate how the chance of a right first try goes with practice before and with days since.

    Counted: dated first tries that can be trusted.

    Parameters
    ----------
    tried, drills : DataFrame
        First tries, and the whole log.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Rates
        The curve has columns times, low, share, high.
    """
    rows, about = exposed(tried, drills), "first tries in the drill log"
    rows, told = _some_singers(rows)
    try:
        found = practice_rates(
            rows["right"].to_numpy(float), rows["student"].cat.codes.to_numpy(np.int64),
            rows["pattern"].cat.codes.to_numpy(np.int64), rows["times"].to_numpy(float), rows["days"].to_numpy(float),
            about=about, level=level,
        )  # fmt: skip
    except TooFewError as error:
        return Rates(None, Answers([LeftOut(about, str(error))]), pd.DataFrame())
    times = np.arange(0, int(rows["times"].quantile(0.95)) + 1)
    low, share, high = practice_curve(found, times, float(rows["days"].median()), level=level)
    curve = pd.DataFrame({"times": times, "low": low, "share": share, "high": high})
    kept = [found.learning, found.forgetting] if found.forgetting else [found.learning]
    return Rates(found, Answers([replace(one, notes=(*one.notes, *told)) for one in kept]), curve)


def _some_singers(rows: pd.DataFrame) -> tuple[pd.DataFrame, tuple[str, ...]]:
    """Keep the tries of singers drawn at random where there are more tries than the answer needs; say so."""
    if len(rows) <= MOST_TRIES:
        return rows, ()
    who = rows["student"].cat.codes.to_numpy(np.int64)
    tries = np.bincount(who)
    order = np.random.default_rng(SEED).permutation(tries.size)
    drawn = np.zeros(tries.size, dtype=bool)
    drawn[order[np.cumsum(tries[order]) <= MOST_TRIES]] = True
    kept = rows[drawn[who]]
    singers, everyone = int((drawn & (tries > 0)).sum()), int((tries > 0).sum())
    return kept, (
        f"{DRAWN} {singers:,} of {everyone:,} singers drawn at random, {len(kept):,} of {len(rows):,} tries.",
    )


def longest_break(drills: pd.DataFrame) -> tuple[pd.Timestamp, pd.Timestamp] | None:
    """Find the longest time without any line, as its last day before and its first day after."""
    days = np.unique(day_numbers(dated(drills[["date"]])["date"]))
    apart = np.diff(days)
    if not len(apart) or apart.max() < SHORTEST_BREAK:
        return None
    at = int(apart.argmax())
    return pd.Timestamp(days[at], unit="D"), pd.Timestamp(days[at + 1], unit="D")


def around(tried: pd.DataFrame, drills: pd.DataFrame) -> Around | None:
    """Put the last tries before the longest break beside the first ones after it, same student and pattern."""
    found = longest_break(drills)
    rows = dated(tried)
    if found is None or rows.empty:
        return None
    last, first = (day.toordinal() - EPOCH for day in found)
    return around_break(
        rows["right"].to_numpy(float), rows["student"].cat.codes.to_numpy(np.int64),
        rows["pattern"].cat.codes.to_numpy(np.int64), day_numbers(rows["date"]).astype(float),
        last=last, first=first, within=SOON,
    )  # fmt: skip


def sides(found: Around | None, *, smallest: int = 1) -> pd.DataFrame:
    """Give the shares on both sides of the break, for the picture; no row where pairs or singers are too few.

    Returns
    -------
    DataFrame
        Columns before, after, pairs.
    """
    columns = ["before", "after", "pairs"]
    if found is None or len(found.before) < FEWEST or len(np.unique(found.students)) < smallest:
        return pd.DataFrame(columns=columns)
    return pd.DataFrame([(found.before.mean(), found.after.mean(), len(found.before))], columns=columns)


def retained(found: Around | None, *, smallest: int = 1, level: float = 0.95) -> Answers:
    """Estimate how the share of right tries changed over the break; see `around`."""
    about = "the longest break of the log, same students and patterns"
    if found is None or len(found.before) < FEWEST:
        return Answers([LeftOut(about, NO_BREAK)])
    if len(np.unique(found.students)) < smallest:
        return Answers([LeftOut(about, FEW_SINGERS)])
    return Answers([ask(retention_change, found.before, found.after, found.students, about=about, level=level)])


def criterion(
    tried: pd.DataFrame, *, in_a_row: int, smallest: int = 1, level: float = 0.95
) -> tuple[WaitingCurve | None, Answers]:
    """Estimate how many first tries it takes until so many in a row are right.

    Counted: pairs of a student and a pattern; who has not got there is kept as not there yet.

    Parameters
    ----------
    tried : DataFrame
        From `kit.questions.practice.notes.tries`.
    in_a_row : int
        Right first tries in a row.
    smallest : int, optional
        Students needed to show anything.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    WaitingCurve or None
        The share not there yet after so many tries.
    Answers
        The tries that half need, or why that is not known.
    """
    about = f"{in_a_row} right first tries in a row, each student and pattern"
    if tried.empty:
        return None, Answers([LeftOut(about, "No first try is logged.")])
    if tried["student"].nunique() < smallest:
        return None, Answers([LeftOut(about, FEW_SINGERS)])
    codes = (tried[name].cat.codes.to_numpy(np.int64) for name in ("student", "pattern"))
    there = to_criterion(tried["right"].to_numpy(float), *codes, in_a_row=in_a_row)
    if 0 < len(set(there.students[there.reached].tolist())) < smallest:
        return None, Answers([LeftOut(about, FEW_SINGERS)])
    curve = kaplan_meier(there.trials, there.reached, clusters=there.students, level=level)
    found = ask(
        median_time, there.trials, there.reached, clusters=there.students, about=about, unit="tries", level=level
    )
    if isinstance(found, Estimate):
        if curve.at_risk[curve.times >= found.value][0] < FEWEST:
            why = f"Fewer than {FEWEST} pairs are followed for as many tries as half would need."
            return curve, Answers([LeftOut(about, why)])
        # the statistic of this name does the same from single tries
        found = replace(found, name=trials_to_criterion.__name__, counted="students at an item")
    return curve, Answers([found])


def steps(curve: WaitingCurve | None) -> pd.DataFrame:
    """Lay the curve of who is not there yet out as rows, for the picture, as long as 10 pairs or more are followed.

    Without anyone who got there in that time there is nothing to see, and no row.

    Returns
    -------
    DataFrame
        Columns times, waiting, low, high, censored.
    """
    names = ["times", "waiting", "low", "high", "censored"]
    rows = pd.DataFrame({name: [] if curve is None else getattr(curve, name) for name in names})
    rows = rows if curve is None else rows[curve.at_risk >= FEWEST]
    return rows[rows["waiting"].lt(1).any() & rows["waiting"].notna()]
