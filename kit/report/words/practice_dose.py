"""Sentences about drill and growth: between choirs, and apart from that within choirs."""

from __future__ import annotations

from kit.estimate import Estimate
from kit.report.numbers import bare
from kit.report.phrases import distance, gain_between, holds_zero, people


def between_choirs(growth: Estimate | None, start: Estimate | None) -> list[str]:
    """Say how minutes go with growth and with the start, choir by choir."""
    if growth is None:
        return ["There are too few choirs with minutes and two tests to set one beside the other."]
    zero = "; the range includes zero" if holds_zero(growth) else ""
    told = [f"Between choirs: minutes and growth have a correlation of {_with_range(growth)}{zero}."]
    if start is not None and start.value < 0 and not holds_zero(start):
        told.append(
            f"Minutes and first scores run in opposite directions (correlation {_with_range(start)}), as they do where "
            "minutes follow need. So lower scores where there are many minutes do not show that drill does harm."
        )
    return told


def heard_alone(slope: Estimate | None) -> list[str]:
    """Say how growth goes with days heard alone among singers of one choir."""
    if slope is None:
        return []
    way = "less" if slope.value < 0 else "more"
    told = (
        f"Within choirs: singers heard alone on five days more than others of their choir grew by "
        f"{distance(slope.value, slope.unit)} {way}{_turned(slope)} ({people(slope.n, 'singer')} of "
        f"{people(slope.clusters, 'choir')})"
    )
    if slope.interval is None:
        return [f"{told}; how sure that is cannot be told."]
    zero = "; the range includes zero" if holds_zero(slope) else ""
    return [
        f"{told}{zero}.",
        "Whom a teacher hears often may be no accident: those who need it, or those who offer. So the difference "
        "cannot be put down to being heard.",
    ]


def again(practice: Estimate | None) -> list[str]:
    """Say how tries of the same singers went with practice before."""
    if practice is None:
        return []
    if holds_zero(practice):
        return ["Within singers: whether first tries go with practice before is open; the range includes zero."]
    often = "more" if practice.value > 0 else "less"
    return [f"Within singers: first tries were right {often} often for patterns practised on more days before."]


def _turned(slope: Estimate) -> str:
    """Write the range in the direction in which the difference is told."""
    return f", plausibly {gain_between(slope, turned=slope.value < 0)}" if slope.interval else ""


def _with_range(estimate: Estimate) -> str:
    """Write a correlation with its interval."""
    value = bare(estimate.value, estimate.unit)
    if estimate.interval is None:
        return value
    low, high = (bare(end, estimate.unit) for end in (estimate.interval.low, estimate.interval.high))
    return f"{value}, plausibly {low} to {high}, {people(estimate.n, 'choir')}"
