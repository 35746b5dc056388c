"""What stands under each picture of a comparison, and what a blind reader is told in its place."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain

import pandas as pd

from kit.estimate import Estimate
from kit.figures.growth_curves import frame
from kit.report.numbers import bare, percent_level, show
from kit.report.phrases import gain_between, listed, people, signed
from kit.report.said import Caption
from kit.report.words.comparison_checks import Sensitivity
from kit.report.words.comparison_start import Baseline, Loss, of_those

__all__ = ["attrition_caption", "baseline_caption", "choirs_caption", "growth_caption", "sensitivity_caption"]


def choirs_caption(
    table: pd.DataFrame, *, names: Sequence[str], unit: str = "points", occasions: tuple[str, str] = ("before", "after")
) -> Caption:
    """Describe the picture of choirs before and after.

    Parameters
    ----------
    table : DataFrame
        Columns choir, approach, pre, post: what is drawn.
    names : sequence of str
        The approaches from top to bottom.
    unit : str, optional
        Unit of the averages.
    occasions : tuple of str, optional
        How the two tests are called.

    Returns
    -------
    Caption
    """
    told = []
    for name in names:
        rows = table[table["approach"] == name]
        each = "; ".join(
            f"{row.choir} {bare(row.pre, unit)} and {bare(row.post, unit)}" for row in rows.itertuples(index=False)
        )
        told.append(f"{name} ({people(len(rows), 'choir')}): {each}.")
    words = "percent of the points" if unit == "share" else unit
    return Caption(
        f"Average score of each choir, {occasions[0]} and {occasions[1]}",
        f"One line for each choir, from its average at {occasions[0]} to that at {occasions[1]}, in {words}. "
        f"{' '.join(told)}",
        f"Hollow: {occasions[0]}. Solid: {occasions[1]}. Choirs stand in the order of their names.",
    )


def sensitivity_caption(found: Sensitivity) -> Caption:
    """Describe the picture of one difference computed in several ways.

    Parameters
    ----------
    found : Sensitivity
        What is drawn.

    Returns
    -------
    Caption
    """
    told = "; ".join(
        f"{name}: {signed(one.value, one.unit)}, {f'interval {gain_between(one)}' if one.interval else 'no interval'}"
        for name, one in zip(found.names, found.answers, strict=True)
    )
    levels = sorted({one.interval.level for one in found.answers if one.interval})
    bars = f"Bars: {listed([percent_level(level) for level in levels])} intervals. " if levels else ""
    return Caption(
        "The difference between the approaches, computed in several ways",
        f"Points with bars, one for each of {len(found.answers)} ways, and a line at zero. {told}.",
        f"{bars}Right of zero: {found.approaches[0]} above {found.approaches[1]}. The last line ignores choirs and is "
        "shown as a warning.",
    )


def attrition_caption(found: Loss) -> Caption:
    """Describe the picture of losses against the published boundary.

    Parameters
    ----------
    found : Loss
        What is drawn.

    Returns
    -------
    Caption
    """
    told = "; ".join(
        f"{level.what}{of_those(found.levels, level)}: {100 * level.loss.overall:.1f} percent lost overall, "
        f"{100 * abs(level.loss.differential):.1f} percentage points apart, limit {100 * level.loss.limit:.1f}"
        for level in found.levels
    )
    return Caption(
        "Students and choirs lost, against the published boundary",
        f"A line that slopes down to the right: the more are lost, the less far apart losses may lie. {told}.",
        f"Boundary of the federal evidence review ({found.leaving}).",
    )


def baseline_caption(found: Baseline) -> Caption:
    """Describe the picture of differences at the first test.

    Parameters
    ----------
    found : Baseline
        What is drawn.

    Returns
    -------
    Caption
    """
    told = "; ".join(f"{row.measure}: {show(row.apart.value, 'SD', signed=True)}" for row in found.rows)
    return Caption(
        "How far apart the approaches were at the first test",
        f"Points over two bands, up to 0.05 and up to 0.25 standard deviations either way. {told}.",
        f"Right of zero: {found.names[0]} began above {found.names[1]}.",
    )


def _cut(curves: Sequence[Sequence[Estimate]]) -> bool:
    """Say whether an interval reaches beyond the picture."""
    low, high = frame(curves)
    return any(one.interval and (one.interval.low < low or one.interval.high > high) for one in chain(*curves))


def growth_caption(curves: Sequence[Sequence[Estimate]], *, names: Sequence[str], occasions: Sequence[str]) -> Caption:
    """Describe the picture of averages from test to test.

    Parameters
    ----------
    curves : sequence of sequence of Estimate
        For each approach one estimate for each test.
    names, occasions : sequence of str
        The approaches and the tests.

    Returns
    -------
    Caption
    """
    told = []
    # without two approaches there are no curves, and nothing is drawn
    for name, curve in zip(names, curves, strict=bool(curves)):
        each = listed([
            f"{bare(one.value, one.unit)} at {occasion}" for one, occasion in zip(curve, occasions, strict=True)
        ])  # fmt: skip
        told.append(f"{name}: {each}.")
    levels = sorted({one.interval.level for curve in curves for one in curve if one.interval})
    bars = f"Bars: {percent_level(levels[0])} intervals over choirs. " if levels else ""
    if levels and _cut(curves):
        bars += "A bar that meets the edge of the picture goes on beyond it. "
    return Caption(
        f"Average of choirs at {listed(list(occasions))}",
        f"One thick line for each approach, and a thin one for each choir. {' '.join(told)}",
        f"{bars}Only students who took every one of these tests.",
    )
