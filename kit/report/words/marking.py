"""Sentences about people who marked the same tests: how far they agree, who is milder, whether that changed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from kit.estimate import Estimate
from kit.report.numbers import bare, show
from kit.report.phrases import FEWEST, distance, gain_between, holds_zero, is_zero, listed, pick, signed
from kit.report.said import Said

WHICH = ("first test", "second test")
CHANGE = "change between tests"
MARKING_ALONE = "so marking alone could have moved the average gain by about as much"


class Gap(Protocol):
    """What could not be answered, and why."""

    about: str
    why: str


def raters(found: Sequence[Estimate], *, why: Sequence[Gap] = (), code: str) -> Said:
    """Say how far two people who marked the same tests agree, who gives more, and whether that changed.

    No rater is named: the first is the one whose marks count.

    Parameters
    ----------
    found : sequence of Estimate
        From ``kit.questions.quality.raters_agree``.
    why : sequence of LeftOut, optional
        What could not be estimated; the first reason is told where nothing could.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    pairs = list(dict.fromkeys(_of_pair(one) for one in found if one.name == "agreement_bias"))
    if not pairs:
        return Said((why[0].why if why else "No test has marks of two people.",))
    small = {_of_pair(one) for one in found if one.name == "agreement_bias" and _few(one)}
    found = [one for one in found if not (_few(one) or (one.about.endswith(CHANGE) and _of_pair(one) in small))]
    pairs = list(dict.fromkeys(_of_pair(one) for one in found if one.name == "agreement_bias"))
    if not pairs:
        return Said((f"Fewer than {FEWEST} students have marks of two people, too few to say how far they agree.",))
    told = ["Some tests have marks of two people or more; rater 1 is the one whose marks count."]
    shown: list[Estimate] = []
    for pair in pairs:
        mine = [one for one in found if _of_pair(one) == pair]
        sentences, used = _of_two(mine, *_numbers(pair, pairs))
        told, shown = told + sentences, shown + used
    return Said(tuple(told), tuple(shown)).passed(code)


def _few(one: Estimate) -> bool:
    """Say whether a number rests on too few students to be told."""
    return one.counted == "students" and one.n < FEWEST


def _numbers(pair: str, pairs: Sequence[str]) -> tuple[str, str]:
    """Call two raters by numbers, in the order in which all of them appear."""
    names = [[part.rpartition(", ")[2] for part in one.split(" minus ")] for one in pairs]
    order = list(dict.fromkeys(name for two in names for name in two))
    first, other = names[pairs.index(pair)]
    return f"rater {order.index(first) + 1}", f"rater {order.index(other) + 1}"


def _of_pair(one: Estimate) -> str:
    """Give the part of what a number is about that names its raters."""
    return one.about.rpartition(",")[0]


def _of_two(mine: Sequence[Estimate], first: str, other: str) -> tuple[list[str], list[Estimate]]:
    """Say all about two raters: who gives more, how far single marks lie apart, agreement, drift."""
    biases = [one for one in mine if one.name == "agreement_bias"]
    told = [f"On average, {first} gave {listed([_more(one, other) for one in biases])}."]
    used = list(biases)
    for which in WHICH:
        low, high = (pick(mine, f"limit_of_agreement_{end}", which) for end in ("low", "high"))
        if low is not None and high is not None:
            told.append(
                f"For most students {first}'s mark minus {other}'s was between {_plain(low)} and "
                f"{signed(high.value, high.unit)} at the {which}."
            )
            used += [low, high]
    alike = [one for one in mine if one.name == "icc_single"]
    if alike:
        parts = [f"{show(one.value, one.unit)} at the {_test(one)}" for one in alike]
        told.append(
            f"Agreement of single marks, where 1 is perfect and a milder ear counts against it: {listed(parts)}."
        )
        used += alike
    drift = next((one for one in mine if one.about.endswith(CHANGE)), None)
    if drift is not None:
        told += _drift(drift, first, other)
        used.append(drift)
    return told, used


def _plain(one: Estimate) -> str:
    """Write a limit without its unit."""
    return bare(one.value * 100, "percentage points") if one.unit == "share" else bare(one.value, one.unit)


def _test(one: Estimate) -> str:
    """Give the test that a number is about."""
    return one.about.rpartition(", ")[2]


def _more(one: Estimate, other: str) -> str:
    """Write ``0.3 points more than rater 2 at the first test (plausibly between −0.1 and 0.6 points)``."""
    far = f"{distance(one.value, one.unit)} {'more' if one.value > 0 else 'less'} than {other}"
    if is_zero(one):
        far = f"as much as {other}"
    sure = f" (plausibly {gain_between(one, turned=below(one))})" if one.interval is not None else ""
    return f"{far} at the {_test(one)}{sure}"


def below(one: Estimate) -> bool:
    """Say whether a number is told as a distance downwards.

    Parameters
    ----------
    one : Estimate
        A difference.

    Returns
    -------
    bool
        True below zero, as it is written.
    """
    return one.value < 0 and not is_zero(one)


def _drift(drift: Estimate, first: str, other: str) -> list[str]:
    """Say whether the distance between two raters changed, and what that means for a gain."""
    if drift.interval is None:
        return [f"Whether {first} became milder or stricter against {other} between the tests is not surely known."]
    way = "stricter" if below(drift) else "milder"
    moved = f"Between the tests {first} became {distance(drift.value, drift.unit)} {way} against {other}"
    if is_zero(drift):
        moved = f"Between the tests the distance of {first} and {other} stayed the same"
    told = f"{moved}, plausibly {gain_between(drift, turned=below(drift))}"
    if holds_zero(drift):
        return [f"{told}; the range includes zero, so it is open whether marking changed."]
    return [f"{told}, {MARKING_ALONE}."]
