"""Phrases that many sentences share: so many students, from here to there, between this and that."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import pandas as pd

from kit.estimate import Estimate
from kit.report.numbers import bare, percent_level, show, show_interval

FEWEST = 3
"""Students below which no average is told: it would tell of single students."""


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
    """Write ``1 student``, ``2 students``."""
    return f"{number:.0f} {noun}{'' if number == 1 else 's'}"


def unbroken(text: str) -> str:
    """Keep the parts of a short text on one line, up to a comma."""
    return ", ".join(part.replace(" ", "\u00a0") for part in text.split(", "))


def listed(parts: Sequence[str]) -> str:
    """Write ``a``, ``a and b``, ``a, b and c``."""
    return " and ".join(filter(None, (", ".join(parts[:-1]), *parts[-1:])))


def from_to(first: Estimate, second: Estimate) -> str:
    """Write ``from 9.1 to 12.3 points``, ``from 54 to 62 percent of the points``."""
    return f"from {bare(first.value, first.unit).removesuffix(' %')} to {score(second)}"


def score(estimate: Estimate) -> str:
    """Write an average score: ``12.3 points``, ``62 percent of the points``."""
    return show(estimate.value, estimate.unit) + (" of the points" if estimate.unit == "share" else "")


def distance(value: float, unit: str) -> str:
    """Write how far apart two scores are: ``3.2 points``, ``8 percentage points``; never below zero."""
    return show(abs(value) * 100, "percentage points") if unit == "share" else show(abs(value), unit)


def signed(value: float, unit: str) -> str:
    """Write a gain with its sign where it is below zero."""
    return show(value * 100, "percentage points") if unit == "share" else show(value, unit)


def between(estimate: Estimate) -> str:
    """Write ``between 2.1 and 4.3 points`` for scores and shares."""
    return f"between {show_interval(estimate).replace(' to ', ' and ')}"


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
    if estimate.unit == "share":
        return f"between {bare(low * 100, 'percentage points')} and {signed(high, 'share')}"
    return f"between {bare(low, estimate.unit)} and {signed(high, estimate.unit)}"


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
        return (f"{told}, a range that includes zero: it could be a rise or a fall.",)
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
