"""What to teach next: the patterns that are weak, how sure that is, and in which order they come."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.practice.confusion import pairs
from kit.questions.practice.degrees import FEWEST_TRIES, Weak, weak
from kit.questions.practice.exposed import last_days
from kit.questions.practice.notes import notes
from kit.questions.practice.plan import Practice, by_name, in_order, spoken
from kit.stats.learning.pooled_accuracy import chance_below
from kit.stats.learning.pooled_counts import Pooled

MOST = 5
"""Patterns on the list: what fits into two weeks (our own choice)."""
SURE, LIKELY = 0.95, 0.75
"""Chances of being below the mark from which a pattern is called surely and probably weak (our own choice)."""
FEWEST_INSTEAD = 3
"""How often the same wrong answer was given before it is told as what to listen for (our own rule)."""
FEW_SINGERS = "Too few singers stand behind it, or behind another choir's, to show it."
FEWEST_EACH = 5
"""First tries and singers that a pattern needs to be on the list (our own rule)."""


@dataclass(frozen=True, slots=True)
class Next:
    """One pattern to come back to.

    Attributes
    ----------
    pattern, said, kind : str
        Its name, its notes by their names, and which kind of pattern it is.
    order : int
        Its place in the list of patterns.
    share : Estimate
        Share of first tries right.
    sure : float
        The chance that the share lies below the mark of the plan, 0 to 1.
    hits, tries, singers : int
        Raw counts.
    instead : str
        What was sung most often in place of which note; empty where misses are too few to tell.
    last : Timestamp or None
        The day on which it was last drilled.
    """

    pattern: str
    said: str
    kind: str
    order: int
    share: Estimate
    sure: float
    hits: int
    tries: int
    singers: int
    instead: str
    last: pd.Timestamp | None


@dataclass(frozen=True, slots=True)
class TeachNext:
    """The list, or why there is none.

    Attributes
    ----------
    rows : tuple of Next
        In the order in which to teach them.
    secure : tuple of str
        Patterns that are probably secure.
    mark : float
        The share of first tries from which a pattern is secure.
    open : int
        Patterns of which too little is known.
    why : str
        Why there is no list; else empty.
    known : int
        Patterns of which enough is known to call them weak or not.
    """

    rows: tuple[Next, ...]
    secure: tuple[str, ...] = ()
    mark: float = 0.8
    open: int = 0
    why: str = ""
    known: int = 0


def teach_next(
    tried: pd.DataFrame, drills: pd.DataFrame, patterns: pd.DataFrame, plan: Practice, *, smallest: int = 1,
    level: float = 0.95, found: Weak | None = None,
) -> TeachNext:  # fmt: skip
    """List the patterns that are weak, in the order in which they are taught.

    Counted: first tries that can be trusted, see `kit.questions.log_honesty`. Of the patterns
    that lie below the mark with a chance of `LIKELY` the five with the lowest shares are chosen; patterns with fewer
    than 5 tries or singers are not.

    Parameters
    ----------
    tried : DataFrame
        From `kit.questions.practice.notes.tries`.
    drills, patterns : DataFrame
        The drill log and the list of patterns.
    plan : Practice
        The declared plan.
    smallest : int, optional
        Singers that a row needs to be shown.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    found : Weak, optional
        Shares of the patterns, where they are known already.

    Returns
    -------
    TeachNext
    """
    found = weak(tried, by="pattern", level=level) if found is None else found
    if found.pooled is None:
        return TeachNext((), mark=plan.secure, why=found.why)
    sure = chance_below(found.pooled, plan.secure)
    each = np.minimum(found.pooled.tries, found.pooled.singers)
    order = in_order(drills, patterns).set_index("pattern")
    known = np.isin(found.pooled.items, order.index)  # a pattern may be named whose notes can nowhere be read
    enough = (each >= FEWEST_EACH) & (found.pooled.singers >= smallest) & known
    chosen = [at for at in np.argsort(found.pooled.middle) if enough[at] and sure[at] >= LIKELY][:MOST]
    days = last_days(drills)
    rows = [
        _row(int(at), found.pooled, float(sure[at]), listed=order.loc[found.pooled.items[at]], days=days,
             instead=_instead(_tries_at(tried, found.pooled.items[at]), max(2, smallest)))
        for at in chosen
    ]  # fmt: skip
    secure = [found.labels[at] for at in np.flatnonzero(enough & (sure <= 1 - LIKELY))]
    return TeachNext(
        tuple(sorted(rows, key=lambda row: row.order)), tuple(secure), plan.secure,
        max(0, len(order) - int(enough.sum())), "" if rows else _why(enough, max(FEWEST_EACH, smallest)),
        int(enough.sum()),
    )  # fmt: skip


def each_choir(
    tried: pd.DataFrame, drills: pd.DataFrame, patterns: pd.DataFrame, plan: Practice, *, smallest: int = 1,
    level: float = 0.95,
) -> dict[str, TeachNext]:  # fmt: skip
    """Make a list of its own for each choir of the log, from its own tries alone.

    Counted: as in `teach_next`, choir by choir. A choir of which fewer singers than `smallest` were heard has no list;
    a single such choir takes the one with the next fewest with it, since the others would give it away.

    Parameters
    ----------
    tried, drills, patterns, plan, smallest, level
        As for `teach_next`.

    Returns
    -------
    dict of str to TeachNext
        By choir, in the order of their names; empty where only one choir drilled.
    """
    choirs = sorted(set(drills["choir"].astype(str)) - {""})
    if len(choirs) == 1:
        return {}
    mine = {choir: np.flatnonzero(tried["choir"] == choir) for choir in choirs}
    singers = {choir: tried["student"].iloc[rows].nunique() for choir, rows in mine.items()}
    hidden = {choir for choir, heard in singers.items() if 0 < heard < smallest}
    if hidden and (len(hidden) == 1 or sum(singers[choir] for choir in hidden) < smallest):
        others = [choir for choir, heard in singers.items() if heard >= smallest]
        hidden |= set(sorted(others, key=singers.__getitem__)[:1])
    return {
        choir: TeachNext((), mark=plan.secure, why=FEW_SINGERS)
        if choir in hidden
        else teach_next(
            tried.iloc[rows].reset_index(drop=True), drills[(drills["choir"] == choir).to_numpy(bool)], patterns, plan,
            smallest=smallest, level=level,
        )
        for choir, rows in mine.items()
    }  # fmt: skip


def _tries_at(tried: pd.DataFrame, pattern: str) -> pd.DataFrame:
    """Give what is known of the tries at one pattern."""
    codes, at = tried["pattern"].cat.codes.to_numpy(), tried["pattern"].cat.categories.get_loc(pattern)
    return tried[["student", "target", "sung", "response", "right"]].iloc[np.flatnonzero(codes == at)]


def _why(enough: np.ndarray, fewest: int) -> str:
    """Say why nothing is on the list."""
    if enough.any():
        return "No pattern is probably weak by the mark of the plan."
    return (
        f"No pattern has {FEWEST_EACH} first tries of {fewest} singers yet; about {FEWEST_TRIES} first tries of "
        f"{fewest} singers or more are a start."
    )


def _row(at: int, pooled: Pooled, sure: float, *, listed: pd.Series, days: pd.Series, instead: str) -> Next:
    """Put together what is known of one pattern."""
    pattern = pooled.items[at]
    return Next(
        pattern, by_name(str(listed["notes"])), str(listed["kind"]), int(listed["order"]), pooled.estimates[at], sure,
        int(pooled.hits[at]), int(pooled.tries[at]), int(pooled.singers[at]), instead, days.get(pattern),
    )  # fmt: skip


def _instead(tried: pd.DataFrame, fewest: int) -> str:
    """Say what was sung most often in place of which note, by so many singers at least."""
    missed = notes(tried, only_missed=True)
    _, note, sung, times = pairs(missed)
    names, answers = (missed[name].cat.categories for name in ("note", "sung"))
    total = np.zeros((len(names), len(answers)), dtype=int)
    np.add.at(total, (note, sung), times)
    singers = np.zeros_like(total)
    np.add.at(singers, (note, sung), 1)
    shown = np.where((singers >= fewest) & (total >= FEWEST_INSTEAD), total, 0)
    if not shown.any():
        return ""
    asked, given = np.unravel_index(shown.argmax(), shown.shape)
    return f"{spoken(answers[given])} for {spoken(names[asked])} ({shown.max()} of {times.sum()} misses)"
