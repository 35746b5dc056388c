"""Captions and alternative texts of figures: what the picture shows, in numbers, for those who cannot see it."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from kit.estimate import Estimate
from kit.report.numbers import bare, show, show_interval
from kit.report.words import Caption, Labels, number


def flow_caption(flow: Sequence[Estimate], *, occasions: Labels) -> Caption:
    """Describe the participant flow."""
    before, after = occasions
    return Caption(
        title="From the roster to both tests.",
        alt=(
            f"Flow of students. On the roster: {number(flow, 'on the roster')}. Tested in {before}: "
            f"{number(flow, 'tested before')}. Tested in {after}: {number(flow, 'tested after')}. "
            f"Tested both times: {number(flow, 'tested both times')}."
        ),
    )


def distribution_caption(bands: pd.DataFrame, *, unit: str, occasions: Labels) -> Caption:
    """Describe the two distributions band by band."""
    told = "; ".join(
        f"{bare(row.low, unit).removesuffix('.0').removesuffix(' %')} to {show(row.high, unit).replace('.0 ', ' ')}: "
        f"{int(row.before)} in {occasions[0]}, {int(row.after)} in {occasions[1]}"
        for row in bands.itertuples()
    )
    return Caption(
        title=f"How many students scored in each band of the scale, in {occasions[0]} and in {occasions[1]}.",
        alt=f"Paired bars of students by score. {told}.",
        note="Only students tested both times. A score on an edge belongs to the higher band.",
    )


def start_caption(estimates: Sequence[Estimate]) -> Caption:
    """Describe what each starting group did beside what chance alone would give."""
    gains = [e for e in estimates if e.name == "mean_gain"]
    chance = [e for e in estimates if e.name == "expected_regression"]
    told = "; ".join(
        f"{gain.about.rpartition(', ')[2]}: {show(gain.value, gain.unit, signed=True)}"
        f"{f' ({show_interval(gain)})' if gain.interval else ''}, by chance alone "
        f"{show(expected.value, expected.unit, signed=True)}"
        for gain, expected in zip(gains, chance, strict=True)
    )
    return Caption(
        title="Average change by starting level, beside what chance alone would give.",
        alt=f"Points with intervals for each starting group, and a dashed line for chance. {told}.",
        note="Lines through the points are intervals.",
    )


def intervals_caption(estimates: Sequence[Estimate], *, title: str) -> Caption:
    """Describe an interval plot row by row."""
    told = "; ".join(
        f"{e.about}: {show(e.value, e.unit, signed=True)}{f', {show_interval(e)}' if e.interval else ''}"
        for e in estimates
    )
    return Caption(title=title, alt=f"Points with intervals. {told}.")
