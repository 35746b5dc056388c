"""Averages of choirs from test to test, approach by approach."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from kit.estimate import Estimate
from kit.figures import labels, style
from kit.figures.choirs import LOOKS

DODGE = 0.04
"""How far the bars of the two approaches stand apart, in distances between tests."""
LINES = ("-", (0, (5, 2)))


def draw_growth(
    curves: Sequence[Sequence[Estimate]], choirs: pd.DataFrame, *, names: Sequence[str], occasions: Sequence[str]
) -> Figure:
    """Draw the average over choirs at each test with its interval, and behind it a thin line for each choir.

    Parameters
    ----------
    curves : sequence of sequence of Estimate
        For each approach one estimate for each test.
    choirs : DataFrame
        Columns approach, choir, occasion, mean.
    names : sequence of str
        The approaches, in the order of `curves`.
    occasions : sequence of str
        The tests, in order.

    Returns
    -------
    Figure

    Raises
    ------
    ValueError
        If there is nothing to draw, units differ, or there are more than two approaches.
    """
    unit = style.one_unit("draw_growth", [one for curve in curves for one in curve])
    if len(curves) > len(LOOKS):
        raise ValueError(f"draw_growth: needs at most {len(LOOKS)} approaches. Got {len(curves)}.")
    figure = style.sheet(3.5)
    axes = style.plain_axes(figure, left=0.75, bottom=0.55, right=0.3, top=0.45)
    axes.set_xlim(-0.3, len(occasions) - 0.7)
    for at, (curve, name) in enumerate(zip(curves, names, strict=True)):
        rows = choirs[choirs["approach"] == name]
        for _, line in rows.groupby("choir", sort=True):
            places = [occasions.index(occasion) for occasion in line["occasion"]]
            axes.plot(
                places, line["mean"], linestyle=LINES[at], color=LOOKS[at][1], linewidth=0.8, alpha=0.45, zorder=1
            )
        _draw_curve(axes, curve, (at - 0.5) * DODGE, look=LOOKS[at], line=LINES[at], name=name)
    axes.set_xticks(range(len(occasions)), list(occasions))
    axes.grid(axis="y", color="#dcdfe4", linewidth=0.8)
    style.percent_axis(axes.yaxis, unit)
    axes.set_ylabel(f"average of choirs ({labels.UNITS.get(unit, unit)})", fontsize=style.TYPE, color=style.INK)
    axes.legend(
        loc="lower left", bbox_to_anchor=(0, 1), ncols=2, fontsize=style.TYPE, frameon=False, labelcolor=style.INK,
        borderaxespad=0.1, handlelength=3.2,
    )  # fmt: skip
    return figure


def _draw_curve(
    axes: Axes, curve: Sequence[Estimate], aside: float, *, look: tuple[str, str], line: object, name: str
) -> None:
    """Draw one approach: its averages joined, each with a bar from end to end of its interval."""
    mark, color = look
    places = [at + aside for at in range(len(curve))]
    axes.plot(
        places, [one.value for one in curve], linestyle=line, marker=mark, color=color, linewidth=2.2, markersize=8,
        zorder=3, label=name, gid=name,
    )  # fmt: skip
    for place, one in zip(places, curve, strict=True):
        low, high = style.ends(one)
        axes.vlines(place, low, high, color=color, linewidth=2.2, zorder=2)
