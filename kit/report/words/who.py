"""Sentences about who is counted, who is missing, and how choirs are shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from kit.estimate import NO_ROSTER, Estimate
from kit.figures.labels import reason
from kit.report.phrases import counted, distance, gain_between, holds_zero, is_zero, listed, people, pick, span
from kit.report.said import Said

FEWEST_LEAVERS = 5
"""Students below which those who left are not compared: the range would span the whole scale (our choice)."""


def twice_of_all(flow: Sequence[Estimate]) -> str:
    """Write how many of all students took both tests."""
    both = next(one for one in flow if one.about == "tested both times")
    if both.value == both.n > 1:
        return f"All {people(both.n)} took both tests."
    return f"{both.value:,.0f} of {people(both.n)} took both tests."


def who_is_counted(flow: Sequence[Estimate], reasons: Sequence[Estimate]) -> Said:
    """Say how many took both tests, who did not, and why.

    Parameters
    ----------
    flow : sequence of Estimate
        From ``kit.questions.whom.flow``.
    reasons : sequence of Estimate
        From ``kit.questions.whom.reasons``.

    Returns
    -------
    Said
    """
    sentences = [twice_of_all(flow)]
    parts = [
        f"{counted(flow, about):,} {words}"
        for about, words in (
            ("tested before only", "took the first only"),
            ("tested after only", "took the second only"),
            ("tested neither time", "took neither"),
        )
        if counted(flow, about)
    ]
    both = next(one for one in flow if one.about == "tested both times")
    if parts or both.value < both.n:
        sentences.append(f"Of the others, {listed(parts)}." if parts else "The others took one of the tests or none.")
    strangers = counted(flow, "not on the roster")
    refused = counted(flow, "left out: no consent to research")
    if refused:
        sentences.append(f"{people(refused)} without consent to research {'is' if refused == 1 else 'are'} left out.")
    sentences += [NO_ROSTER for one in flow if NO_ROSTER in one.notes]
    if strangers:
        sentences.append(f"{people(strangers)} tested {'is' if strangers == 1 else 'are'} not on the roster.")
    for occasion, which in (("before", "first"), ("after", "second")):
        why = [reason(one) for one in reasons if one.about.startswith(f"{occasion}: ")]
        if why:
            sentences.append(f"Missing {which} scores: {listed(why)}.")
    if parts:
        sentences.append("Averages count those tested both times; an absence is never taken as a zero.")
    return Said(tuple(sentences), (*flow, *reasons))


def leavers(estimates: Sequence[Estimate], *, smallest: int = FEWEST_LEAVERS) -> Said:
    """Say whether those who missed the second test had started higher or lower.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.whom.leavers_and_stayers``.
    smallest : int, optional
        Leavers that are needed before their scores are told; never fewer than ``FEWEST_LEAVERS``.

    Returns
    -------
    Said
    """
    gone = pick(estimates, "mean_score", "tested before only")
    apart = pick(estimates, "mean_difference_welch")
    if gone is None:
        return Said(("There is no first score of anybody who missed the second test.",))
    fewest = max(smallest, FEWEST_LEAVERS)
    if gone.n < fewest and smallest > FEWEST_LEAVERS:
        return Said(("Too few students missed the second test to compare their first scores with the others'.",))
    if apart is None or gone.n < fewest:
        verb = "has a first score" if gone.n == 1 else "have first scores"
        few = "too few to compare with those tested twice" if gone.n < fewest else "too few were tested twice"
        return Said((f"{people(gone.n)} who missed the second test {verb}: {few}.",))
    way = "lower" if apart.value < 0 else "higher"
    far = f"about {distance(apart.value, apart.unit)} {way} than"
    if is_zero(apart):
        far = "about the same as"
    told = f"Students who missed the second test had first scores {far} those tested twice, on average"
    return Said(
        (f"{told}{_how_sure_apart(apart, way)}.", *(apart.notes if apart.interval is None else ())), (gone, apart)
    )


def _how_sure_apart(apart: Estimate, way: str) -> str:
    """Say where the difference would plausibly lie."""
    if apart.interval is None:
        return ""
    if holds_zero(apart):
        low, high = (distance(end, apart.unit) for end in (apart.interval.low, apart.interval.high))
        return f"; plausibly anything from {low} lower to {high} higher"
    return f"; plausibly {gain_between(apart, turned=apart.value < 0)} {way}"


NAMELESS = "students without a choir"


class Left(Protocol):
    """Somebody or something that an answer does not cover."""

    about: str


def choirs(estimates: Sequence[Estimate], left_out: Sequence[Left], unseen: Sequence[Estimate] = ()) -> Said:
    """Say how far the choirs' average gains reach, and that this is no ranking.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.growth.by_choir``.
    left_out : sequence of Left
        Choirs that are too small to be shown; their numbers are not told, being small.
    unseen : sequence of Estimate, optional
        Choirs that would give a small one away, from ``kit.report.page.Page.keep_groups``: only how many is told.

    Returns
    -------
    Said
    """
    gains = [one for one in estimates if one.name == "mean_gain"]
    sentences = []
    if len(gains) > 1:
        low, high = min(gains, key=_value), max(gains, key=_value)
        reach = span(low.value, high.value, low.unit)
        sentences.append(f"The average gains of the {len(gains)} choirs shown lie {reach}.")
    elif gains:
        sentences.append("One choir has enough students tested both times to be shown by itself.")
    else:
        sentences.append("No choir has enough students tested both times to be shown by itself.")
    if left_out:
        names = [one.about for one in left_out]
        why = "too few tested both times, or no choir named" if NAMELESS in names else "too few tested both times"
        sentences.append(f"Not shown by themselves: {listed(names)} ({why}).")
    if unseen:
        more = (
            "1 more choir is not shown, since its numbers"
            if len(unseen) == 1
            else (f"{len(unseen)} more choirs are not shown, since their numbers")
        )
        sentences.append(f"{more} would give a smaller group away by subtraction.")
    if len(gains) > 1:
        sentences.append("Choirs stand in the order of their names, and part of what sets them apart is chance.")
        sentences.append("This is not a ranking of choirs or teachers.")
    return Said(tuple(sentences), tuple(gains), limits=True)


def _value(estimate: Estimate) -> float:
    """Give the value, to order by."""
    return estimate.value
