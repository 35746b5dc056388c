"""How often intervals hold the truth: by kind of scores at one size, and by size."""

from __future__ import annotations

import math

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from kit.figures import style
from kit.figures.labels import lines, wrapped
from kit.figures.planning import LOOKS

KINDS = {"normal": "normal scores", "skewed": "a few far ahead", "ceiling": "many at the top"}
"""Kind of scores -> how it is written."""
MARKS = {"": ("o", style.BLUE), "below": ("s", style.RUST), "above": ("^", style.GREY)}
"""Mark and color: about as often as promised, clearly less often, clearly more often."""
LABELS = 2.35
"""Inches for the names of intervals."""
FEW, ACROSS, SMALL = 12, (3, 4), (1.65, 1.25)
"""Small pictures up to which fewer stand side by side; how many do, and their height in inches without a title, where
there are few and many: a picture that is too high for a sheet would be printed too small to read."""


def draw_coverage(rows: pd.DataFrame, *, level: float) -> Figure:
    """Draw how often each interval holds the truth, a column for each kind of scores, with the error of simulation.

    Parameters
    ----------
    rows : DataFrame
        Columns label, scores (keys of `KINDS`), value, low, high, off (keys of `MARKS`); shares, NaN where there is
        none.
    level : float
        What the intervals promise, marked by a line.

    Returns
    -------
    Figure

    Raises
    ------
    ValueError
        If there is nothing to draw.
    """
    if rows["value"].notna().sum() == 0:
        raise ValueError("draw_coverage: needs at least 1 share to draw. Got none; say in words that there is none.")
    names = [wrapped(label, LABELS) for label in dict.fromkeys(rows["label"])]
    heights = [0.13 + style.LINE * lines(name) for name in names]
    figure = style.sheet(sum(heights) + 1.15)
    places = _places(heights)
    kinds = [kind for kind in KINDS if kind in set(rows["scores"])]
    least = _floor(rows["low"].min(), level)
    for at, kind in enumerate(kinds):
        axes = _column(figure, at, len(kinds), sum(heights))
        _draw_kind(axes, rows[rows["scores"] == kind], places, level)
        axes.set_xlim(least, 1.004)
        axes.set_ylim(sum(heights), 0)
        axes.set_title(KINDS[kind], fontsize=style.TYPE, color=style.INK)
        axes.set_yticks(places, names if at == 0 else [""] * len(names))
        axes.set_xticks(_ticks(least, level))
        style.percent_axis(axes.xaxis, "share")
    middle = (LABELS + 0.15 + style.WIDTH - 0.15) / 2 / style.WIDTH
    figure.text(middle, 0.1 / figure.get_figheight(), "intervals that hold the truth (percent)", ha="center",
                fontsize=style.TYPE, color=style.INK)  # fmt: skip
    return figure


def draw_coverage_by_size(rows: pd.DataFrame, *, level: float) -> Figure:
    """Draw how often intervals hold the truth against the size of a study, a small picture for each interval.

    Parameters
    ----------
    rows : DataFrame
        Columns label, scores (keys of `KINDS`), n, value, low, high; shares, NaN where there is none.
    level : float
        What the intervals promise, marked by a line.

    Returns
    -------
    Figure

    Raises
    ------
    ValueError
        If there is nothing to draw.
    """
    labels = list(dict.fromkeys(rows.loc[rows["value"].notna(), "label"]))
    if not labels:
        raise ValueError(
            "draw_coverage_by_size: needs at least 1 share to draw. Got none; say in words that there is none."
        )
    many = int(len(labels) > FEW)
    names = [wrapped(label, (1.7, 1.1)[many]) for label in labels]
    title = 0.1 + style.LINE * max(map(lines, names))
    figure = style.sheet((SMALL[many] + title) * math.ceil(len(labels) / ACROSS[many]) + 0.75)
    sizes = sorted(set(rows["n"]))
    least = _floor(rows.loc[rows["label"].isin(labels), "low"].min(), level)
    for at, (label, name) in enumerate(zip(labels, names, strict=True)):
        axes = _small(figure, at, title, ACROSS[many], SMALL[many])
        _draw_sizes(axes, rows[rows["label"] == label], sizes, level)
        axes.set_ylim(least, 1.01)
        axes.set_yticks(_ticks(least, level))
        if many:  # there is room for every other number
            axes.set_xticks(range(len(sizes)), [str(size) if not place % 2 else "" for place, size in enumerate(sizes)])
        style.percent_axis(axes.yaxis, "share")
        axes.set_title(name, fontsize=style.TYPE, color=style.INK, loc="left")
    marks = [line for line in figure.axes[0].lines if line.get_gid() in KINDS]
    figure.legend(
        marks, [KINDS[line.get_gid()] for line in marks], loc="upper center", ncols=len(marks), frameon=False,
        fontsize=style.TYPE, labelcolor=style.INK,
    )  # fmt: skip
    figure.text(0.5, 0.08 / figure.get_figheight(), "size of the study; up: intervals that hold the truth (percent)",
                ha="center", fontsize=style.TYPE, color=style.INK)  # fmt: skip
    return figure


def _draw_kind(axes: Axes, rows: pd.DataFrame, places: list[float], level: float) -> None:
    """Draw one kind of scores: a bar and a mark for each interval."""
    axes.axvline(level, color=style.INK, linewidth=1.1, zorder=1, gid="level")
    for place, row in zip(places, rows.itertuples(), strict=True):
        if pd.isna(row.value):
            continue
        mark, color = MARKS[row.off]
        axes.plot([row.low, row.high], [place, place], color=color, linewidth=1.8, zorder=2, clip_on=False)
        axes.plot(
            [row.value], [place], mark, color=color, markersize=6, zorder=3, clip_on=False,
            gid=f"{row.label}, {row.scores}",
        )  # fmt: skip
    axes.grid(axis="x", color="#dcdfe4", linewidth=0.8)
    axes.tick_params(axis="y", length=0)


def _draw_sizes(axes: Axes, rows: pd.DataFrame, sizes: list[int], level: float) -> None:
    """Draw one interval: a line for each kind of scores over the sizes."""
    axes.axhline(level, color=style.INK, linewidth=1.1, zorder=1, gid="level")
    for (kind, some), (line, mark, color) in zip(rows.groupby("scores", sort=False), LOOKS, strict=False):
        told = some[some["value"].notna()]
        places = [sizes.index(n) for n in told["n"]]
        axes.plot(places, told["value"], linestyle=line, marker=mark, color=color, markersize=5, linewidth=1.5,
                  zorder=3, clip_on=False, gid=kind)  # fmt: skip
        axes.vlines(places, told["low"], told["high"], color=color, linewidth=1.2, zorder=2)
    axes.set_xticks(range(len(sizes)), [str(size) for size in sizes])
    axes.set_xlim(-0.4, len(sizes) - 0.6)
    axes.grid(axis="y", color="#dcdfe4", linewidth=0.8)


def _column(figure: Figure, at: int, of: int, height: float) -> Axes:
    """Make the axes of one kind of scores."""
    width = (style.WIDTH - LABELS - 0.3) / of
    left = LABELS + 0.15 + at * width
    return style.plain_axes(
        figure, left=left, bottom=0.65, right=style.WIDTH - left - width + 0.16,
        top=figure.get_figheight() - 0.65 - height,
    )  # fmt: skip


def _small(figure: Figure, at: int, title: float, across: int, high: float) -> Axes:
    """Make the axes of one small picture."""
    row, column = divmod(at, across)
    width = style.WIDTH / across
    top = 0.4 + (high + title) * row
    return style.plain_axes(
        figure, left=column * width + 0.45, right=style.WIDTH - (column + 1) * width + 0.12, top=top + title,
        bottom=figure.get_figheight() - top - title - high + 0.35,
    )  # fmt: skip


def _places(heights: list[float]) -> list[float]:
    """Give the middle of each row, in inches from the top."""
    return [sum(heights[:at]) + height / 2 for at, height in enumerate(heights)]


def _floor(lowest: float, level: float) -> float:
    """Give the left or lower end of the axis: a round share below everything that is drawn."""
    return max(0.0, math.floor(min(lowest, level - 0.05) * 20) / 20)


def _ticks(least: float, level: float) -> list[float]:
    """Give the marks of an axis of shares: its end, what is promised, and one between if they are far apart."""
    middle = round(10 * (least + level) / 2) / 10
    return sorted({least, level} if level - least < 0.3 else {least, middle, level})
