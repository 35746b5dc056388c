"""What stands under the pictures of practice, and what a blind reader is told in their place."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from kit.estimate import Estimate
from kit.figures.labels import written
from kit.report.phrases import people
from kit.report.said import Caption


def weeks_caption(cells: pd.DataFrame) -> Caption:
    """Describe the picture of degrees week by week."""
    told = []
    few = " The word few: too few singers to be shown." if cells["share"].isna().any() else ""
    for label, rows in cells.groupby("label", sort=False):
        shown = rows.dropna(subset=["share"])
        shares = [
            f"{written(share, 'share')} of {tries}" for share, tries in zip(shown["share"], shown["tries"], strict=True)
        ]
        told.append(f"{label}: {', '.join(shares) or 'hidden'}")
    return Caption(
        "First tries right for each degree, week by week",
        f"A grid of {people(len(told), 'row')}, weeks from left to right. {'; '.join(told)}.",
        "In each cell: percent right and, below it, how many notes were asked. Darker: more missed. Hatched: not "
        f"asked.{few}",
    )  # fmt: skip


def instead_caption(found: pd.DataFrame) -> Caption:
    """Describe the picture of what was sung instead."""
    told = []
    for label, rows in found.groupby("label", sort=False):
        answers = [f"{one.sung_label} {written(one.share, 'share')}" for one in rows.itertuples(index=False)]
        told.append(f"{label} ({rows['misses'].iloc[0]} misses): {', '.join(answers)}")
    return Caption(
        "What was sung instead of each note",
        f"A grid, notes asked from low at the bottom to high at the top. {'; '.join(told)}.",
        "In each cell: percent of the misses of that note. Darker: more often. Hatched: nobody sang it.",
    )


def days_caption(days: pd.DataFrame) -> Caption:
    """Describe the picture of minutes day by day."""
    each = days.groupby("choir").agg(logged=("date", "size"), minutes=("minutes", "sum"))
    told = "; ".join(f"{choir}: {row.logged:.0f} meetings, {row.minutes:.0f} minutes" for choir, row in each.iterrows())
    return Caption(
        "Minutes of drill, meeting by meeting", f"A strip of bars for each choir, a bar for each meeting. {told}.",
        "No bar: no meeting logged. Cross: a meeting without minutes.",
    )  # fmt: skip


def learning_caption(curve: pd.DataFrame) -> Caption:
    """Describe the learning curve."""
    points = "; ".join(
        f"{one.times:g} days: {written(one.share, 'share')} "
        f"({written(one.low, 'share')} to {written(one.high, 'share')})"
        for one in curve.itertuples(index=False)
    )
    return Caption(
        "First tries right by days of practice before", f"A line with a band around it. {points}.",
        "Line: what the model expects of these singers and patterns on average. Band: its interval.",
    )  # fmt: skip


def waiting_caption(curve: pd.DataFrame, in_a_row: int) -> Caption:
    """Describe the curve of who is not there yet."""
    points = "; ".join(
        f"after {time:g}: {written(share, 'share')}" for time, share in zip(curve.times, curve.waiting, strict=True)
    )
    return Caption(
        f"Not there yet: pairs of a singer and a pattern without {in_a_row} right first tries in a row",
        f"Steps downward from all. {points}.",
        "Band: interval. Upright stroke: some are not followed any further. Dashed: half.",
    )


def break_caption(sides: pd.DataFrame) -> Caption:
    """Describe the picture of a break."""
    told = [
        f"Two points: {written(one.before, 'share')} before, {written(one.after, 'share')} after."
        for one in sides.itertuples(index=False)
    ]
    return Caption(
        "Tries right before and after the longest break",
        " ".join(told),
        "The same singers and patterns on both sides.",
    )


def dose_caption(choirs: pd.DataFrame, lines: pd.DataFrame | None = None, within: Estimate | None = None) -> Caption:
    """Describe the picture of drill and growth, between choirs and within them."""
    told = "; ".join(
        f"{one.choir}: {one.minutes:.0f} minutes, {_points(one.gain)} percentage points"
        for one in choirs.itertuples(index=False)
    )
    alt = f"{people(len(choirs), 'point')}. {told}."
    notes = (
        "Larger point: the choir started higher. No line is drawn through the points: minutes follow need as much as "
        "growth may follow minutes."
    )
    if lines is None or within is None or not len(lines):
        return Caption("Minutes of drill and average growth, a point for each choir", alt, notes)
    slopes = "; ".join(f"{one.choir} {_points(one.slope)}" for one in lines.itertuples(index=False))
    ends = within.interval
    band = f", band {_points(ends.low)} to {_points(ends.high)}" if ends else ""
    return Caption(
        "Drill and growth, between choirs and within them",
        f"Above, {alt} Below, lines through each choir's average, percentage points of growth for 5 days more heard "
        f"alone: {slopes}; all choirs {_points(within.value)}{band}.",
        f"{notes} Below: as far to each side as days commonly differ in that choir; band: interval of all choirs "
        "together. Single lines rest on few singers: read the thick one.",
    )


def _points(share: float) -> str:
    """Write a difference of shares in points."""
    return written(share * 100, "percentage points", signed=True)


def answers_in_order(found: pd.DataFrame) -> Sequence[str]:
    """List the answers of the confusion picture from low to high, words last."""
    last = ("something else", "no answer")
    seen = found.assign(at=found["sung"].map(_height)).sort_values("at")["sung_label"]
    order = list(dict.fromkeys(seen))
    return [one for one in order if one not in last] + [one for one in last if one in order]


def _height(note: str) -> int:
    """Give the place of an answer in the scale."""
    digits = [letter for letter in note if letter.isdigit()]
    return int(digits[0]) + 7 * (note.count("'") - note.count(",")) if digits else 100
