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
LEAST = 0.25
"""Of the largest average, how far the frame reaches beyond all averages at least."""
NAMED = 2.0
"""Inches for the name of an approach beside its mark."""
LINES = ("-", (0, (5, 2)))


def frame(curves: Sequence[Sequence[Estimate]]) -> tuple[float, float]:
    """Say from where to where averages are drawn, so that long bars of a few choirs do not press the lines flat.

    Parameters
    ----------
    curves : sequence of sequence of Estimate
        For each approach one estimate for each test.

    Returns
    -------
    low, high : float
        A bar that reaches further is cut there; averages never are.
    """
    values = [one.value for curve in curves for one in curve]
    low, high = min(values), max(values)
    beyond = max(high - low, LEAST * max(abs(low), abs(high)))
    return (max(0.0, low - beyond) if low >= 0 else low - beyond), high + beyond


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
    told = [labels.wrapped(name, NAMED) for name in names]
    top = 0.45 + (max(map(labels.lines, told), default=1) - 1) * style.LINE
    figure = style.sheet(3.05 + top)
    axes = style.plain_axes(figure, left=0.75, bottom=0.55, right=0.3, top=top)
    axes.set_xlim(-0.3, len(occasions) - 0.7)
    for at, (curve, name) in enumerate(zip(curves, names, strict=True)):
        rows = choirs[choirs["approach"] == name]
        for _, line in rows.groupby("choir", sort=True):
            places = [occasions.index(occasion) for occasion in line["occasion"]]
            axes.plot(
                places, line["mean"], linestyle=LINES[at], color=LOOKS[at][1], linewidth=0.8, alpha=0.45, zorder=1
            )
        _draw_curve(axes, curve, (at - 0.5) * DODGE, look=LOOKS[at], line=LINES[at], name=name, told=told[at])
    _cut(axes, curves, choirs)
    axes.set_xticks(range(len(occasions)), list(occasions))
    axes.grid(axis="y", color="#dcdfe4", linewidth=0.8)
    style.percent_axis(axes.yaxis, unit)
    axes.set_ylabel(f"average of choirs ({labels.UNITS.get(unit, unit)})", fontsize=style.TYPE, color=style.INK)
    axes.legend(
        loc="lower left", bbox_to_anchor=(0, 1), ncols=2, fontsize=style.TYPE, frameon=False, labelcolor=style.INK,
        borderaxespad=0.1, handlelength=3.2,
    )  # fmt: skip
    return figure


def _cut(axes: Axes, curves: Sequence[Sequence[Estimate]], choirs: pd.DataFrame) -> None:
    """Cut the picture at its frame, but never through the line of a choir."""
    least, most = frame(curves)
    low, high = axes.get_ylim()
    drawn = [*choirs["mean"].dropna(), least, most]
    axes.set_ylim(max(low, min(drawn)), min(high, max(drawn)))


def _draw_curve(
    axes: Axes, curve: Sequence[Estimate], aside: float, *, look: tuple[str, str], line: object, name: str, told: str
) -> None:
    """Draw one approach: its averages joined, each with a bar from end to end of its interval."""
    mark, color = look
    places = [at + aside for at in range(len(curve))]
    axes.plot(
        places, [one.value for one in curve], linestyle=line, marker=mark, color=color, linewidth=2.2, markersize=8,
        zorder=3, label=told, gid=name,
    )  # fmt: skip
    for place, one in zip(places, curve, strict=True):
        low, high = style.ends(one)
        axes.vlines(place, low, high, color=color, linewidth=2.2, zorder=2)
