"""Tries and practice: a learning curve, who is not there yet, before and after a break, minutes and growth."""

from __future__ import annotations

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from kit.estimate import Estimate
from kit.figures import style

DAYS = 5
"""A slope is that of so many days heard alone."""


def draw_learning(curve: pd.DataFrame) -> Figure:
    """Draw the share of right first tries by days of practice before, with its band.

    Parameters
    ----------
    curve : DataFrame
        Columns times, low, share, high.

    Returns
    -------
    Figure
    """
    axes = _axes("days of practice before", "first tries right (percent)")
    axes.fill_between(curve["times"], curve["low"], curve["high"], color="#c9d3e0", linewidth=0)
    axes.plot(curve["times"], curve["share"], "-o", color=style.BLUE, linewidth=2, markersize=5)
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))
    _percent(axes)
    return axes.figure


def draw_waiting(curve: pd.DataFrame) -> Figure:
    """Draw the share of singers and patterns not there yet after so many tries, with its band.

    Parameters
    ----------
    curve : DataFrame
        Columns times, waiting, low, high, censored.

    Returns
    -------
    Figure
        A cross bar marks where some are not followed any further.
    """
    axes = _axes("first tries", "not there yet (percent)")
    times = [0, *curve.times]
    axes.fill_between(times, [1, *curve.low], [1, *curve.high], step="post", color="#c9d3e0", linewidth=0)
    axes.step(times, [1, *curve.waiting], where="post", color=style.BLUE, linewidth=2)
    gone = curve.censored > 0
    axes.plot(curve.times[gone], curve.waiting[gone], "|", color=style.INK, markersize=11)
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))
    axes.axhline(0.5, color=style.GREY, linewidth=1, linestyle="--")
    _percent(axes)
    return axes.figure


def draw_break(sides: pd.DataFrame) -> Figure:
    """Draw the share of right tries before and after a break, the same singers and patterns.

    Parameters
    ----------
    sides : DataFrame
        One row, columns before and after (shares) and pairs (of a singer and a pattern).

    Returns
    -------
    Figure
    """
    before, after, pairs = sides.iloc[0]
    axes = _axes("", "tries right (percent)")
    axes.plot([0, 1], [before, after], "-", color=style.GREY, linewidth=1.8)
    for at, (value, face) in enumerate(((before, style.WHITE), (after, style.BLUE))):
        axes.plot([at], [value], "o", markersize=10, markerfacecolor=face, markeredgecolor=style.BLUE,
                  markeredgewidth=2)  # fmt: skip
        axes.annotate(f"{value * 100:.0f}", (at, value), (0, 10), textcoords="offset points", ha="center",
                      fontsize=style.TYPE)  # fmt: skip
    axes.set_xlim(-0.4, 1.4)
    axes.set_xticks([0, 1], ["last day before", "first try after"])
    axes.set_title(f"{pairs:.0f} pairs of a singer and a pattern", fontsize=style.TYPE, loc="left", pad=16)
    _percent(axes)
    return axes.figure


def draw_dose(choirs: pd.DataFrame, *, lines: pd.DataFrame | None = None, within: Estimate | None = None) -> Figure:
    """Draw each choir's minutes and growth; the larger the mark, the higher the choir started.

    Parameters
    ----------
    choirs : DataFrame
        Columns choir, minutes, start, gain.
    lines : DataFrame, optional
        Columns choir, slope (share for each 5 days heard alone), spread; drawn below, a line for each choir through
        its own average.
    within : Estimate, optional
        The slope of all choirs together.

    Returns
    -------
    Figure
    """
    below = lines is not None and within is not None and len(lines) > 0
    figure = style.sheet(3.2 + 3.2 * below)
    axes = _plain(style.plain_axes(figure, left=0.85, bottom=0.65 + 3.2 * below, top=0.5))
    axes.set_xlabel("minutes of drill logged", fontsize=style.TYPE)
    axes.set_ylabel("average growth\n(percentage points)", fontsize=style.TYPE)
    axes.set_title("between choirs: a point for each", fontsize=style.TYPE, loc="left")
    low, high = choirs["start"].min(), choirs["start"].max()
    sizes = 30 + 190 * (choirs["start"] - low) / max(high - low, 1e-9)
    axes.scatter(choirs["minutes"], choirs["gain"], s=sizes, facecolor="#c9d3e0", edgecolor=style.BLUE, linewidth=1.6)
    axes.axhline(0, color=style.GREY, linewidth=1)
    style.percent_axis(axes.yaxis, "share")
    axes.margins(0.12)
    if below:
        _within(_plain(style.plain_axes(figure, left=0.85, bottom=0.65, top=3.7)), lines, within)
    return figure


def _within(axes: Axes, lines: pd.DataFrame, within: Estimate) -> None:
    """Draw a line for each choir, one standard deviation of its days to either side, and that of all choirs."""
    for slope, spread in zip(lines["slope"], lines["spread"], strict=True):
        axes.plot(
            [-spread, spread], [-slope * spread / DAYS, slope * spread / DAYS], "-", color=style.GREY, linewidth=1
        )
    reach = np.array([-1.0, 1.0]) * float(lines["spread"].max()) * 1.15
    low, high = style.ends(within)
    # a line through one point: the band opens to both sides
    axes.fill_between([reach[0], 0, reach[1]], [reach[0] * high / DAYS, 0, reach[1] * low / DAYS],
                      [reach[0] * low / DAYS, 0, reach[1] * high / DAYS], color="#c9d3e0", linewidth=0)  # fmt: skip
    axes.plot(reach, reach * within.value / DAYS, "-", color=style.BLUE, linewidth=3)
    axes.axhline(0, color=style.GREY, linewidth=1)
    axes.set_xlabel("days heard alone, above or below the choir's average", fontsize=style.TYPE)
    axes.set_ylabel("growth (percentage points)", fontsize=style.TYPE)
    axes.set_title("within choirs: a thin line for each, thick for all", fontsize=style.TYPE, loc="left")
    style.percent_axis(axes.yaxis, "share")


def _axes(below: str, beside: str) -> Axes:
    """Make axes with words."""
    axes = _plain(style.plain_axes(style.sheet(3.2), left=0.85, bottom=0.65, top=0.5))
    axes.set_xlabel(below, fontsize=style.TYPE)
    axes.set_ylabel(beside, fontsize=style.TYPE)
    return axes


def _plain(axes: Axes) -> Axes:
    """Lay a light grid behind."""
    axes.grid(axis="y", color="#dcdfe4", linewidth=0.8)
    return axes


def _percent(axes: Axes) -> None:
    """Let the axis run from none to all."""
    axes.set_ylim(0, 1.04)
    style.percent_axis(axes.yaxis, "share")
