"""What stands under each picture, and what a blind reader is told in its place."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from kit.estimate import Estimate
from kit.figures.labels import band_names, group, reason, where_listed
from kit.report.numbers import percent_level, show, show_interval
from kit.report.phrases import counted, gain_between, listed, moved, people, score, signed
from kit.report.said import Caption


def flow_caption(flow: Sequence[Estimate], reasons: Sequence[Estimate] = ()) -> Caption:
    """Describe the picture of who was tested when.

    Parameters
    ----------
    flow, reasons : sequence of Estimate
        What is drawn.

    Returns
    -------
    Caption
    """
    path = (
        f"Boxes lead from {counted(flow, 'on the roster')} {where_listed(flow)} to "
        f"{counted(flow, 'tested before')} tested before and {counted(flow, 'tested after')} tested after, and on to "
        f"{counted(flow, 'tested both times')} tested both times."
    )
    sides = [
        f"{counted(flow, about)} {about}"
        for about in ("not on the roster", "tested before only", "tested after only", "tested neither time")
        if counted(flow, about)
    ]
    told = [path, f"At the side: {listed(sides)}." if sides else "Nobody is missing."]
    for occasion in ("before", "after"):
        why = [reason(one) for one in reasons if one.about.startswith(f"{occasion}: ")]
        if why:
            told.append(f"Missing {occasion}: {listed(why)}.")
    return Caption("Who was tested, and who is missing", " ".join(told))


def distribution_caption(
    bands: pd.DataFrame, *, unit: str = "points", occasions: tuple[str, str] = ("before", "after")
) -> Caption:
    """Describe the picture of scores before and after.

    Parameters
    ----------
    bands : DataFrame
        Columns low, high, before, after: what is drawn.
    unit : str, optional
        Unit of the score scale.
    occasions : tuple of str, optional
        How the two tests are called.

    Returns
    -------
    Caption
    """
    words = "percent" if unit == "share" else unit
    told = [
        f"{name} {words}, {occasions[0]}: {_hidden_or(row.before)}, {occasions[1]}: {_hidden_or(row.after)}"
        for name, row in zip(band_names(bands, unit), bands.itertuples(index=False), strict=True)
    ]
    return Caption(
        f"How many students scored how high, {occasions[0]} and {occasions[1]}",
        f"Pairs of bars for bands of the score, students tested both times. {'; '.join(told)}.",
        f"Hatched: {occasions[0]}. Solid: {occasions[1]}.",
    )


def _hidden_or(count: float) -> str:
    """Write a count of students, or that it is hidden."""
    return "hidden" if pd.isna(count) else f"{count:.0f}"


def start_caption(estimates: Sequence[Estimate]) -> Caption:
    """Describe the picture of gains by starting group.

    Parameters
    ----------
    estimates : sequence of Estimate
        What is drawn.

    Returns
    -------
    Caption
    """
    gains = [one for one in estimates if one.name == "mean_gain"]
    chance = [one for one in estimates if one.name == "expected_regression"]
    starts = [one for one in estimates if one.name == "mean_score"]
    told = []
    for at, gain in enumerate(gains):
        start = f", {score(starts[at])} at the first test" if at < len(starts) else ""
        sure = f", interval {gain_between(gain)}" if gain.interval else ", no interval"
        luck = f"; expected by chance alone {moved(chance[at])}" if at < len(chance) else ""
        told.append(f"{group(gain).capitalize()} starters ({people(gain.n)}{start}): {moved(gain)}{sure}{luck}.")
    return Caption(
        "Average gain by starting group, beside what is expected by chance alone",
        f"Points with bars for {people(len(gains), 'starting group')}. {' '.join(told)}",
        f"{_bars(gains)} Dashed line: the movement expected by chance alone, had nobody learned anything.".strip(),
    )


def intervals_caption(estimates: Sequence[Estimate], *, what: str = "Average gain") -> Caption:
    """Describe a picture of several estimates with their intervals.

    Parameters
    ----------
    estimates : sequence of Estimate
        What is drawn.
    what : str, optional
        What each of them is.

    Returns
    -------
    Caption
    """
    told = "; ".join(f"{one.about}: {_told(one)}" for one in estimates)
    return Caption(
        f"{what}, each with its interval",
        f"Points with bars, one for each of {len(estimates)}, and a line at zero. {told}.",
        f"{_bars(estimates)} A bar that crosses the line of zero leaves the direction open.".strip(),
    )


def _told(estimate: Estimate) -> str:
    """Write a value and its interval."""
    gain = estimate.name.endswith(("gain", "difference", "welch", "regression"))
    value = signed(estimate.value, estimate.unit) if gain else show(estimate.value, estimate.unit)
    if estimate.interval is None:
        return f"{value}, no interval"
    return f"{value}, interval {gain_between(estimate) if gain else show_interval(estimate)}"


def _bars(estimates: Sequence[Estimate]) -> str:
    """Say of which level the bars are."""
    levels = sorted({one.interval.level for one in estimates if one.interval})
    return f"Bars: {listed([percent_level(level) for level in levels])} intervals." if levels else ""
