"""Several estimates of one unit below each other, each with its interval."""

from __future__ import annotations

import math
from collections.abc import Sequence

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from kit.estimate import Estimate
from kit.figures import labels, style

ROW = 0.15
"""Inches of air around the lines of a row."""
CLOSE, MANY = 0.05, 20
"""Inches of it where there are more rows than so many: a picture that is too high for a sheet would be made smaller."""
BESIDE = 2.2
"""Inches that the bars need at least where the interval is written beside its value and not below it."""


def draw_intervals(
    estimates: Sequence[Estimate], *, axis: str = "", names: Sequence[str] = (), zero: bool = True
) -> Figure:
    """Draw estimates as points on bars that reach from end to end of their intervals.

    Parameters
    ----------
    estimates : sequence of Estimate
        From top to bottom, all of one unit.
    axis : str, optional
        What is drawn, under the axis; the unit is added.
    names : sequence of str, optional
        A short label for each; where not given, what it is about, without a beginning that all share.
    zero : bool, optional
        Whether the line of zero is drawn.

    Returns
    -------
    Figure

    Raises
    ------
    ValueError
        If there is nothing to draw, or units differ.
    """
    unit = style.one_unit("draw_intervals", estimates)
    names = [labels.wrapped(name, 2.1) for name in (names or labels.abouts(estimates))]
    values = _values(estimates, style.WIDTH - labels.room(names) - 0.2)
    rows = zip(names, values, strict=True)
    air = ROW if len(names) <= MANY else CLOSE
    heights = [max(labels.lines(name), labels.lines(value)) * style.LINE + air for name, value in rows]
    figure = style.sheet(sum(heights) + 0.85)
    axes = style.plain_axes(figure, left=labels.room(names) + 0.2, right=labels.room(values) + 0.2, bottom=0.7)
    middles = [sum(heights[:at]) + height / 2 for at, height in enumerate(heights)]
    axes.set_ylim(sum(heights), 0)
    axes.set_xlim(*_limits(estimates, zero))
    if zero:
        axes.axvline(0, color=style.INK, linewidth=1.2, zorder=1)
    for middle, estimate, value in zip(middles, estimates, values, strict=True):
        _draw_one(axes, middle, estimate)
        axes.text(
            1.03, middle, value, transform=axes.get_yaxis_transform(), va="center", fontsize=style.TYPE, color=style.INK
        )
    axes.set_yticks(middles, names)
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    axes.grid(axis="x", color="#dcdfe4", linewidth=0.8)
    style.percent_axis(axes.xaxis, unit)
    axes.set_xlabel(_axis_label(axis, estimates), fontsize=style.TYPE, color=style.INK)
    return figure


def _values(estimates: Sequence[Estimate], inches: float) -> list[str]:
    """Write each value with its interval, in one line where that leaves room enough for the bars."""
    values = [labels.with_interval(estimate) for estimate in estimates]
    in_one_line = [value.replace("\n", " ") for value in values]
    return in_one_line if inches - labels.room(in_one_line) - 0.2 >= BESIDE else values


def _draw_one(axes: Axes, middle: float, estimate: Estimate) -> None:
    """Draw a bar with an arrow at each open end, and a point; hollow where there is no interval."""
    low, high = style.ends(estimate)
    left, right = axes.get_xlim()
    axes.hlines(middle, max(low, left), min(high, right), color=style.BLUE, linewidth=2.6, zorder=2)
    for end, edge, arrow in ((low, left, "<"), (high, right, ">")):
        if math.isinf(end):
            axes.plot([edge], [middle], arrow, color=style.BLUE, markersize=8, clip_on=False, zorder=3)
    face = style.WHITE if estimate.interval is None else style.BLUE
    axes.plot(
        [estimate.value], [middle], "o", markersize=8, markerfacecolor=face, markeredgecolor=style.BLUE,
        markeredgewidth=1.8, zorder=4, gid=estimate.label,
    )  # fmt: skip


def _limits(estimates: Sequence[Estimate], zero: bool) -> tuple[float, float]:
    """Give the ends of the axis, with air."""
    drawn = [end for estimate in estimates for end in (estimate.value, *style.ends(estimate)) if math.isfinite(end)]
    low, high = min([*drawn, 0] if zero else drawn), max([*drawn, 0] if zero else drawn)
    air = (high - low) * 0.06 or 1
    return low - air, high + air


def _axis_label(axis: str, estimates: Sequence[Estimate]) -> str:
    """Name what is drawn and its unit."""
    unit = labels.UNITS.get(estimates[0].unit, estimates[0].unit)
    if estimates[0].unit == "share" and estimates[0].name.endswith("gain"):
        unit = "percentage points"
    return f"{axis} ({unit})" if axis else unit
