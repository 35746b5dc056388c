"""Sentences about practice, continued: trust in the log, sticking, transfer, minutes and growth, who was heard."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Protocol

import pandas as pd

from kit.estimate import Estimate
from kit.report.numbers import bare, show
from kit.report.phrases import distance, gain_between, holds_zero, listed, people, pick, signed
from kit.report.said import Said
from kit.report.words import practice_dose
from kit.report.words.practice import day


class Doubt(Protocol):
    """Something odd in a log, and what follows."""

    kind: str
    choir: str
    file: str
    found: str
    follows: str
    since: pd.Timestamp | None


LOOKED_FOR = (
    "Looked for and not found: logs of mistakes only or of good days only, copied days, the same lines twice, minutes "
    "that cannot be, days without school. That does not make a log complete."
)
FOLLOWS = {
    "no_shares": "These lines are not counted in shares of tries right.",
    "no_minutes": "These minutes are not counted.",
    "no_meetings": "These lines are not counted as meetings.",
    "once": "What stands in both is counted once.",
    "told": "Nothing is left out for it.",
}
_KINDS = {
    "errors_only": "{where} holds mistakes only. Without the right tries there is no share; what was sung instead is "
    "still counted.",
    "good_days": "{where}: {found}. Shares from good days only would look too high.",
    "copied": "{where}: {found}; they look copied.",
    "minutes": "{where}: {found}.",
}


def trust(doubts: Sequence[Doubt], lines: int | None = None) -> Said:
    """Say what looks odd in the logs and what follows, a sentence or two each.

    Parameters
    ----------
    doubts : sequence of Doubt
        From ``kit.questions.log_honesty``.
    lines : int, optional
        Lines of the logs, where they are counted: without any there is nothing to trust.

    Returns
    -------
    Said
    """
    if lines == 0:
        return Said(("No drill log was read with this study.",))
    if not doubts:
        return Said((LOOKED_FOR,))
    alike: dict[tuple, list[Doubt]] = {}
    for at, doubt in enumerate(doubts):
        key = (doubt.found, doubt.follows) if doubt.kind == "good_days" else (at,)
        alike.setdefault(key, []).append(doubt)
    return Said(tuple(f"{_said(group)} {FOLLOWS[group[0].follows]}" for group in alike.values()), limits=True)


def _said(group: Sequence[Doubt]) -> str:
    """Put doubts that are alike into words."""
    where = listed([
        f"{one.choir or one.file or 'The log'}{f' (from {day(one.since)} on)' if one.kind == 'good_days' else ''}"
        for one in group
    ])  # fmt: skip
    return _KINDS.get(group[0].kind, "{found}").format(where=where, found=group[0].found)


def sticking(rates: Sequence[Estimate], curve: pd.DataFrame, retained: Sequence[Estimate]) -> Said:
    """Say how tries went with practice before, with days since, and over the break.

    Parameters
    ----------
    rates, retained : sequence of Estimate
        From ``kit.questions.practice.memory``.
    curve : DataFrame
        Columns times, low, share, high.

    Returns
    -------
    Said
    """
    told = [*_practised(rates, curve), *_faded(rates), *_over_the_break(retained)]
    told += [note for one in rates[:1] for note in one.notes if "drawn at random" in note]
    return Said(tuple(told), (*rates, *retained), limits=True)


def _practised(rates: Sequence[Estimate], curve: pd.DataFrame) -> list[str]:
    """Say how tries went with practice before."""
    learning = pick(rates, "learning_rate")
    if learning is None or curve.empty:
        return ["There are too few dated first tries to say how they go with practice."]
    if holds_zero(learning):
        return [
            "Whether first tries are right more often after more days of practice is open: the range includes zero."
        ]
    first, last = curve.iloc[0], curve.iloc[-1]
    times = people(last["times"], "day")
    return [
        f"Of patterns not practised before, about {show(first['share'], 'share')} of first tries would be right; of "
        f"patterns practised on {times} before, about {show(last['share'], 'share')} "
        f"(plausibly {bare(last['low'], 'share').removesuffix(' %')} to {show(last['high'], 'share')}).",
        "Patterns practised often were begun early, so this describes how tries went and does not show that practice "
        "is the reason.",
    ]


def _faded(rates: Sequence[Estimate]) -> list[str]:
    """Say how tries went with the days since."""
    fading = pick(rates, "forgetting_rate")
    if fading is None:
        return []
    if holds_zero(fading):
        return ["Whether tries are right less often after more days without the pattern is open."]
    way = "less" if fading.value < 0 else "more"
    return [f"After more days without the pattern, first tries were right {way} often."]


def _over_the_break(retained: Sequence[Estimate]) -> list[str]:
    """Say what was left after the break."""
    left = pick(retained, "retention_change")
    if left is None:
        return [
            "The log has no break with the same singers and patterns on both sides, so what is left cannot be told."
        ]
    told = (
        f"Over the longest break the share of right tries differed by {signed(left.value, 'share')} "
        f"({people(left.n, 'pair')} of a singer and a pattern)"
    )
    if left.interval is None:
        return [f"{told}; how sure that is cannot be told."]
    more = ", so it could be lower or higher" if holds_zero(left) else ""
    return [f"{told}, plausibly {gain_between(left)}{more}."]


def until_there(estimates: Sequence[Estimate], curve: object | None, in_a_row: int, why: str = "") -> Said:
    """Say how many tries half of the singers need until so many in a row are right; or why that is not told."""
    found = pick(estimates, "trials_to_criterion")
    if curve is None:
        return Said((f"How many tries it takes until {in_a_row} in a row are right is not told. {why}",))
    followed = int(curve.at_risk[curve.times >= in_a_row][0]) if (curve.times >= in_a_row).any() else 0
    pairs = people(curve.n, "pair")
    got = (
        f"Of {pairs} of a singer and a pattern, {followed} were heard on {in_a_row} first tries or more, and "
        f"{curve.reached} had {in_a_row} in a row right."
    )
    if found is None:
        return Said((got, "Too few are followed for long enough to say how many tries half of them need."))
    return Said(
        (
            got,
            f"Half would need about {found.value:.0f} first tries{_tries_range(found)}, if those heard less often go "
            "like those heard more often. Who is not there yet is kept in the count.",
        ),
        (found,),
    )


def _tries_range(found: Estimate) -> str:
    """Write the range of a number of tries."""
    if found.interval is None:
        return ""
    low, high = found.interval.low, found.interval.high
    return f", plausibly {low:.0f} or more" if math.isinf(high) else f", plausibly {low:.0f} to {high:.0f}"


def carried_over(estimates: Sequence[Estimate], between: Sequence[Estimate] = ()) -> Said:
    """Put the growth on notes of drilled kinds beside that on notes of other kinds, and say how far they are apart.

    Parameters
    ----------
    estimates, between : sequence of Estimate
        From ``kit.questions.practice.transfer``: both gains with their difference; and two approaches side by side.

    Returns
    -------
    Said
    """
    if not estimates:
        return Said(("The tests do not say which notes are of drilled kinds, so transfer cannot be looked at.",))
    drilled, other, more = estimates
    told = [
        f"{one.about.capitalize()}: {signed(one.value, one.unit)} from the first test to the second{_plausibly(one)} "
        f"({people(one.n, one.counted[:-1])})."
        for one in (drilled, other)
    ]
    told.append(_apart(more))
    told += [f"{_first_large(one.about)}: growth differs by {signed(one.value, one.unit)}{_plausibly(one)} "
             f"({people(one.clusters or one.n, 'choir')})." for one in between]  # fmt: skip
    told.append(_what_it_holds(compared=bool(between)))
    return Said(tuple(told), (*estimates, *between), limits=True)


def _apart(more: Estimate) -> str:
    """Say how much more was gained on drilled kinds than on others by the same students."""
    way = "less" if more.value < 0 else "more"
    told = f"On notes of drilled kinds the same students gained {distance(more.value, more.unit)} {way} than on others"
    if more.interval is None:
        return f"{told}; how sure that is cannot be told."
    zero = "; the range includes zero" if holds_zero(more) else ""
    return f"{told}, plausibly {gain_between(more, turned=more.value < 0)}{zero}."


def _what_it_holds(*, compared: bool) -> str:
    """Say what growth on both kinds holds."""
    told = "Growth on both kinds holds a term of singing and practice with the test"
    if compared:
        return (
            f"{told}, under both approaches alike. If drill carries over, the approaches differ on notes of drilled "
            "kinds; if it goes beyond them, on the others too."
        )
    return f"{told}; only a comparison of approaches could tell what goes with the drill."


def _plausibly(one: Estimate) -> str:
    """Write a range behind a comma; nothing where there is none."""
    return f", plausibly {gain_between(one)}" if one.interval else ""


def _first_large(words: str) -> str:
    """Begin with a capital and leave the rest as it is."""
    return words[:1].upper() + words[1:]


def minutes_and_growth(
    between_choirs: Sequence[Estimate], within: Sequence[Estimate], alone: Sequence[Estimate] = ()
) -> Said:
    """Say how drill goes with growth from choir to choir, and apart from that within choirs, as association only.

    Parameters
    ----------
    between_choirs, alone : sequence of Estimate
        From ``kit.questions.practice.dose``: correlations of choirs; the slope within choirs.
    within : sequence of Estimate
        Rates from ``kit.questions.practice.memory``.

    Returns
    -------
    Said
    """
    growth, start = (pick(between_choirs, "correlation", f"{words}, choirs") for words in ("growth", "first scores"))
    slope, practice = pick(alone, "within_slope"), pick(within, "learning_rate")
    told = [
        *practice_dose.between_choirs(growth, start), *practice_dose.heard_alone(slope), *practice_dose.again(practice),
        "All this describes what was seen together. None of it says what more minutes would do.",
    ]  # fmt: skip
    kept = tuple(one for one in (growth, start, slope, practice) if one is not None)
    return Said(tuple(told), kept, limits=True)


def class_table(found: pd.DataFrame) -> pd.DataFrame:
    """Lay out single singers' tries by the rating of the whole class that day."""
    return pd.DataFrame([
        {
            "Class did": f"{row.rating:g}", "Days": row.days, "First tries of single singers": row.tries,
            "Right": bare(row.share, "share"),
        }
        for row in found.itertuples(index=False)
    ])  # fmt: skip


def not_heard_words(found: pd.DataFrame, *, smallest: int) -> Said:
    """Say how many singers have not been heard lately; who they are stands in the teacher's own copy alone."""
    if not found.attrs.get("heard", True):
        return Said(("The log has no try of a single singer, so whom to hear next cannot be told.",))
    if found.empty:
        return Said(("By the log, no singer has waited more than two weeks for a try alone.",))
    never = int(found["last"].isna().sum())
    if smallest > 1:
        return Said(("Who has not been heard alone lately stands in the teacher's own copy only.",))
    told = f"{people(len(found), 'singer')} had no try alone in the last two weeks of the log"
    return Said((f"{told}; {never} of them never." if never else f"{told}.",))


def not_heard_table(found: pd.DataFrame, *, smallest: int, most: int = 12) -> pd.DataFrame:
    """List whom to hear next, longest ago first; nothing outside the teacher's own copy."""
    if smallest > 1:
        return pd.DataFrame()
    return pd.DataFrame([
        {"Singer": row.student, "Choir": row.choir, "Last heard alone": day(row.last)}
        for row in found.head(most).itertuples(index=False)
    ])  # fmt: skip
