"""Phrases that many sentences share: so many students, from here to there, between this and that."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

import pandas as pd

from kit.estimate import Estimate
from kit.report.numbers import bare, percent_level, show

FEWEST = 3
"""Students below which no average is told: it would tell of single students."""

FEWEST_CHOIRS = 2
"""Choirs from which an average has a range at all; with so few it mostly leaves the whole scale open."""


def pick(estimates: Iterable[Estimate], name: str, about: str = "") -> Estimate | None:
    """Find the first estimate of a name that is about something.

    Parameters
    ----------
    estimates : iterable of Estimate
        Where to look.
    name : str
        The statistic.
    about : str, optional
        How ``Estimate.about`` ends.

    Returns
    -------
    Estimate or None
    """
    return next((one for one in estimates if one.name == name and one.about.endswith(about)), None)


def people(number: float, noun: str = "student") -> str:
    """Write ``1 student``, ``2 students``, ``20,000 students``."""
    return f"{number:,.0f} {noun}{'' if number == 1 else 's'}"


def unbroken(text: str) -> str:
    """Keep the parts of a short text on one line, up to a comma."""
    return ", ".join(part.replace(" ", "\u00a0") for part in text.split(", "))


def listed(parts: Sequence[str]) -> str:
    """Write ``a``, ``a and b``, ``a, b and c``."""
    return " and ".join(filter(None, (", ".join(parts[:-1]), *parts[-1:])))


def from_to(first: Estimate, second: Estimate) -> str:
    """Write ``from 9.1 to 12.3 points``, ``from 54 to 62 percent of the points``."""
    return f"from {bare(first.value, first.unit).removesuffix(' %')} to {score(second)}"


def went(first: Estimate, second: Estimate) -> str:
    """Write ``went from 9.1 to 12.3 points``, ``stayed at 9.1 points``."""
    return f"stayed at {score(second)}" if alike(first, second) else f"went {from_to(first, second)}"


def alike(one: Estimate, other: Estimate) -> bool:
    """Say whether two numbers are written alike, so that they are told once."""
    return signed(one.value, one.unit) == signed(other.value, other.unit)


def score(estimate: Estimate) -> str:
    """Write an average score: ``12.3 points``, ``62 percent of the points``."""
    return show(estimate.value, estimate.unit) + (" of the points" if estimate.unit == "share" else "")


def distance(value: float, unit: str) -> str:
    """Write how far apart two scores are: ``3.2 points``, ``8 percentage points``; never below zero."""
    return show(abs(value) * 100, "percentage points") if unit == "share" else show(abs(value), unit)


def signed(value: float, unit: str) -> str:
    """Write a gain with its sign where it is below zero."""
    return show(value * 100, "percentage points") if unit == "share" else show(value, unit)


def span(low: float, high: float, unit: str, write: Callable[[float, str], str] = signed) -> str:
    """Write a range of gains by both its ends, by the one it has, or once where both are written alike.

    Parameters
    ----------
    low, high : float
        Its ends; infinite where there is none.
    unit : str
        Their unit.
    write : callable, optional
        How one number is written.

    Returns
    -------
    str
        ``between −1.2 and 4.3 points``, ``close to 1.2 points``, ``from 0.3 points up, with no upper limit``.
    """
    if math.isinf(low) and math.isinf(high):
        return "with no limit on either side"
    if math.isinf(low):
        return f"up to {write(high, unit)}, with no lower limit"
    if math.isinf(high):
        return f"from {write(low, unit)} up, with no upper limit"
    first, second = write(low, unit), write(high, unit)
    if first == second:
        return f"close to {second}"
    number, _, words = first.partition(" ")  # what stands behind both is written once
    once = second.rstrip("s").endswith(f" {words.rstrip('s')}")
    return f"between {number if once else first} and {second}"


def between(estimate: Estimate) -> str:
    """Write ``between 2.1 and 4.3 points`` for scores and shares."""
    return span(estimate.interval.low, estimate.interval.high, estimate.unit, show)


def gain_between(estimate: Estimate, *, turned: bool = False) -> str:
    """Write the range of a gain or a difference: ``between −1.2 and 4.3 points``.

    Parameters
    ----------
    estimate : Estimate
        With an interval.
    turned : bool, optional
        Whether the sign is turned, to tell a gain below zero as a fall.

    Returns
    -------
    str
    """
    sign = -1 if turned else 1
    low, high = sorted(sign * end for end in (estimate.interval.low, estimate.interval.high))
    return span(low, high, estimate.unit)


def is_zero(estimate: Estimate) -> bool:
    """Say whether a gain is written as zero."""
    return not any(digit in "123456789" for digit in signed(estimate.value, estimate.unit))


def holds_zero(estimate: Estimate) -> bool:
    """Say whether the interval includes zero."""
    return estimate.interval is not None and estimate.interval.low <= 0 <= estimate.interval.high


def how_sure(gain: Estimate, *, who: str = "students like these") -> tuple[str, ...]:
    """Say where the average gain would lie if this were repeated, or why that is not known.

    Parameters
    ----------
    gain : Estimate
        A mean gain.
    who : str, optional
        With whom it would be repeated.

    Returns
    -------
    tuple of str
        Sentences.
    """
    if gain.interval is None:
        return ("How sure that is cannot be told from these numbers.", *gain.notes)
    turned = gain.interval.high < 0
    word = "fall" if turned else "gain"
    told = (
        f"If we could repeat this with {who}, the average {word} would plausibly lie "
        f"{gain_between(gain, turned=turned)}"
    )
    if holds_zero(gain):
        few = gain.counted == "choirs" and gain.n == FEWEST_CHOIRS
        open_ = f"; {gain.n} choirs are too few to tell a rise from a fall" if few else ": it could be a rise or a fall"
        return (f"{told}, a range that includes zero{open_}.",)
    return (f"{told}.",)


def what_plausible_means(estimate: Estimate) -> str:
    """Say in words what the level of an interval promises."""
    times = percent_level(estimate.interval.level).removesuffix(" %")
    return f"A range made in this way holds the true average about {times} times in 100."


def sentence(text: str) -> str:
    """End a text with a full stop, once."""
    text = text.strip()
    return text if text.endswith((".", "!", "?")) else f"{text}."


def day(date: pd.Timestamp | None) -> str:
    """Write a day: ``7 January 2026``; ``never`` where there is none."""
    return "never" if date is None or pd.isna(date) else f"{date.day} {date:%B %Y}"


def moved(estimate: Estimate) -> str:
    """Write ``a rise of 3.2 points``, ``a fall of 0.4 points``, ``neither rise nor fall``."""
    if is_zero(estimate):
        return "neither rise nor fall"
    return f"a {'rise' if estimate.value > 0 else 'fall'} of {distance(estimate.value, estimate.unit)}"


def counted(flow: Sequence[Estimate], about: str) -> int:
    """Give one count of the flow, zero where it is not listed."""
    found = next((one for one in flow if one.about == about), None)
    return 0 if found is None else int(found.value)
