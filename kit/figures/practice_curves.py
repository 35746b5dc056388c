"""Tries and practice: a learning curve, who is not there yet, before and after a break, minutes and growth."""

from __future__ import annotations

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from kit.figures import style


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


def draw_dose(choirs: pd.DataFrame) -> Figure:
    """Draw each choir's minutes and growth; the larger the mark, the higher the choir started.

    Parameters
    ----------
    choirs : DataFrame
        Columns choir, minutes, start, gain.

    Returns
    -------
    Figure
    """
    axes = _axes("minutes of drill logged", "average growth (percentage points)")
    low, high = choirs["start"].min(), choirs["start"].max()
    sizes = 30 + 190 * (choirs["start"] - low) / max(high - low, 1e-9)
    axes.scatter(choirs["minutes"], choirs["gain"], s=sizes, facecolor="#c9d3e0", edgecolor=style.BLUE, linewidth=1.6)
    axes.axhline(0, color=style.GREY, linewidth=1)
    style.percent_axis(axes.yaxis, "share")
    axes.margins(0.12)
    return axes.figure


def _axes(below: str, beside: str) -> Axes:
    """Make axes with words."""
    axes = style.plain_axes(style.sheet(3.2), left=0.85, bottom=0.65, top=0.5)
    axes.grid(axis="y", color="#dcdfe4", linewidth=0.8)
    axes.set_xlabel(below, fontsize=style.TYPE)
    axes.set_ylabel(beside, fontsize=style.TYPE)
    return axes


def _percent(axes: Axes) -> None:
    """Let the axis run from none to all."""
    axes.set_ylim(0, 1.04)
    style.percent_axis(axes.yaxis, "share")
