"""Does it stick: learning and fading, what is left after a break, tries needed until a pattern is there, transfer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from kit.errors import TooFewError
from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.practice_notes import notes_of_test
from kit.stats.criterion import to_criterion, trials_to_criterion
from kit.stats.kaplan_meier import WaitingCurve, kaplan_meier
from kit.stats.means import mean_gain
from kit.stats.practice import PracticeRates, practice_rates
from kit.stats.practice_curve import practice_curve
from kit.stats.retention import Around, around_break, retention_change

SHORTEST_BREAK = 10
"""Days without any line from which a break is looked at (our own rule)."""
SOON = 10
"""Days after a break within which the first try counts as one after the break (our own rule)."""
FEWEST = 10
"""Pairs of a student and a pattern below which nothing is told of breaks and of tries needed (our own rule)."""
NO_BREAK = "The log has no break of ten days or more with the same students and patterns on both sides."


@dataclass(frozen=True, slots=True)
class Rates:
    """Learning and fading, the fit for the curve, or why there is none."""

    rates: PracticeRates | None
    answers: Answers
    curve: pd.DataFrame


def exposed(tried: pd.DataFrame, drills: pd.DataFrame) -> pd.DataFrame:
    """Say of each try how often its pattern was practised before, and how many days ago.

    Counted: days on which the choir's log has a line of the pattern, about the class or about anyone; a try is later
    than the class's practice of days before, not of its own day.

    Parameters
    ----------
    tried : DataFrame
        From `kit.questions.practice_notes.tries`.
    drills : DataFrame
        The whole log, with lines that give no shares: they are practice too.

    Returns
    -------
    DataFrame
        `tried` with columns times and days (NaN before the first practice), dated tries only.
    """
    lines = drills.loc[drills["date"].notna(), ["choir", "pattern", "target", "date"]].astype(
        {"choir": str, "pattern": str, "target": str}
    )
    lines["pattern"] = lines["pattern"].where(lines["pattern"] != "", lines["target"])
    days = lines.loc[lines["pattern"] != "", ["choir", "pattern", "date"]].drop_duplicates().sort_values("date")
    by = days.groupby(["choir", "pattern"])
    days = days.assign(times=by.cumcount(), days=by["date"].diff().dt.days)
    return tried[tried["date"].notna()].merge(days, on=["choir", "pattern", "date"], how="left")


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
    try:
        found = practice_rates(
            rows["right"].to_numpy(dtype=float, na_value=np.nan), pd.factorize(rows["student"])[0],
            pd.factorize(rows["pattern"])[0], rows["times"].to_numpy(float), rows["days"].to_numpy(float),
            about=about, level=level,
        )  # fmt: skip
    except TooFewError as error:
        return Rates(None, Answers([LeftOut(about, str(error))]), pd.DataFrame())
    times = np.arange(0, int(rows["times"].quantile(0.95)) + 1)
    low, share, high = practice_curve(found, times, float(rows["days"].median()), level=level)
    curve = pd.DataFrame({"times": times, "low": low, "share": share, "high": high})
    kept = [found.learning, found.forgetting] if found.forgetting else [found.learning]
    return Rates(found, Answers(kept), curve)


def longest_break(drills: pd.DataFrame) -> tuple[pd.Timestamp, pd.Timestamp] | None:
    """Find the longest time without any line, as its last day before and its first day after."""
    days = pd.Series(np.unique(drills["date"].dropna().to_numpy()))
    apart = days.diff().dt.days
    if len(days) < 2 or apart.max() < SHORTEST_BREAK:
        return None
    at = int(apart.idxmax())
    return days[at - 1], days[at]


def around(tried: pd.DataFrame, drills: pd.DataFrame) -> Around | None:
    """Put the last tries before the longest break beside the first ones after it, same student and pattern."""
    found = longest_break(drills)
    rows = tried[tried["date"].notna()]
    if found is None or rows.empty:
        return None
    last, first = (day.toordinal() for day in found)
    try:
        return around_break(
            rows["right"].to_numpy(dtype=float, na_value=np.nan), rows["student"].to_numpy(),
            rows["pattern"].to_numpy(), rows["date"].map(pd.Timestamp.toordinal).to_numpy(float),
            last=last, first=first, within=SOON,
        )  # fmt: skip
    except TooFewError:
        return None


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


def retained(found: Around | None, *, level: float = 0.95) -> Answers:
    """Estimate how the share of right tries changed over the break; see `around`."""
    about = "the longest break of the log, same students and patterns"
    if found is None or len(found.before) < FEWEST:
        return Answers([LeftOut(about, NO_BREAK)])
    return Answers([ask(retention_change, found.before, found.after, found.students, about=about, level=level)])


def criterion(tried: pd.DataFrame, *, in_a_row: int, level: float = 0.95) -> tuple[WaitingCurve | None, Answers]:
    """Estimate how many first tries it takes until so many in a row are right.

    Counted: pairs of a student and a pattern; who has not got there is kept as not there yet.

    Parameters
    ----------
    tried : DataFrame
        From `kit.questions.practice_notes.tries`.
    in_a_row : int
        Right first tries in a row.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    WaitingCurve or None
        The share not there yet after so many tries.
    Answers
        The tries that half need, or why that is not known.
    """
    columns = tried["right"].to_numpy(dtype=float, na_value=np.nan), tried["student"], tried["pattern"]
    about = f"{in_a_row} right first tries in a row, each student and pattern"
    curve = _or_none(lambda: _curve(columns, in_a_row, level))
    found = ask(trials_to_criterion, *columns, in_a_row=in_a_row, about=about, level=level)
    if isinstance(found, Estimate) and curve.at_risk[curve.times >= found.value][0] < FEWEST:
        found = LeftOut(about, f"Fewer than {FEWEST} pairs are followed for as many tries as half would need.")
    return curve, Answers([found])


def steps(curve: WaitingCurve | None) -> pd.DataFrame:
    """Lay the curve of who is not there yet out as rows, for the picture, as long as 10 pairs or more are followed.

    Returns
    -------
    DataFrame
        Columns times, waiting, low, high, censored.
    """
    names = ["times", "waiting", "low", "high", "censored"]
    rows = pd.DataFrame({name: [] if curve is None else getattr(curve, name) for name in names})
    return rows if curve is None else rows[curve.at_risk >= FEWEST]


def _curve(columns: tuple, in_a_row: int, level: float) -> WaitingCurve:
    """Make the curve of who is not there yet."""
    found = to_criterion(*columns, in_a_row=in_a_row)
    return kaplan_meier(found.trials, found.reached, clusters=found.students, level=level)


def _or_none(make: Callable[[], WaitingCurve]) -> WaitingCurve | None:
    """Give a curve, or None where there is too little for one."""
    try:
        return make()
    except TooFewError:
        return None


def transfer(
    items: pd.DataFrame, students: pd.DataFrame, *, occasions: tuple[str, str], rater: str = "", level: float = 0.95
) -> Answers:
    """Estimate the gain on notes like those drilled and on notes of other kinds, side by side.

    Counted: choirs with students tested both times, each once by the mean of its students; students of a single
    choir one by one.

    Parameters
    ----------
    items, students : DataFrame
        The tables.
    occasions : tuple of str
        The two tests.
    rater : str, optional
        Whose marks count.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        Gains about ``"notes of drilled kinds"`` and ``"notes of kinds not drilled"``.
    """
    names = {True: "notes of drilled kinds", False: "notes of kinds not drilled"}
    tests = [notes_of_test(items, students, occasion=one, rater=rater) for one in occasions]
    shares = [test.groupby(["choir", "student", "drilled"])["right"].mean() for test in tests]
    both = pd.concat(shares, axis=1, keys=["pre", "post"]).dropna().reset_index()
    if both.empty:
        return Answers([LeftOut(names[True], "Notes are not marked as drilled or not in two tests.")])
    several = len(set(both["choir"])) > 1
    means = both.groupby(["drilled", "choir" if several else "student"])[["pre", "post"]].mean().reset_index()
    found = [
        ask(mean_gain, rows["pre"], rows["post"], about=names[bool(drilled)], unit="share", level=level)
        for drilled, rows in sorted(means.groupby("drilled"), reverse=True)
    ]
    return Answers([_of_choirs(one) if several else one for one in found])


def _of_choirs(gain: Estimate | LeftOut) -> Estimate | LeftOut:
    """Say that choirs were counted, not students."""
    return gain if isinstance(gain, LeftOut) else replace(gain, counted="choirs", clusters=gain.n)
