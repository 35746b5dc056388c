"""Degrees week by week, and what was sung instead: grids of shares with their counts written in."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from kit.figures import labels, style

CELL = 0.52
"""Inches from row to row."""
DARK = (31, 79, 143)
"""Red, green and blue of a share of one; white stands for none."""
LEAST = 0.005
"""A share below which a rounded percent would say that nobody did."""
SMALL = 8.5
BLACK = "#000000"
SOFT = 0.5
"""Lightness (relative luminance and 0.05, as WCAG 2.2 counts contrast) from which dark grey ink is readable."""


def draw_weeks(cells: pd.DataFrame) -> Figure:
    """Draw the share of right tries of each degree in each week; darker: more missed.

    Parameters
    ----------
    cells : DataFrame
        Columns label, week, tries, share (NaN: hidden); degrees in the order of the scale.

    Returns
    -------
    Figure
        A cell without any try is hatched; a hidden one says so.
    """
    rows, columns = list(dict.fromkeys(cells["label"])), sorted(set(cells["week"]))
    many = cells.attrs.get("weeks", 1)
    below = "week of" if many == 1 else f"{many} weeks from"
    axes = _grid(rows, [f"{week.day} {week:%b}" for week in columns], below)
    filled = {(one.label, one.week): one for one in cells.itertuples(index=False)}
    for down, label in enumerate(rows):
        for across, week in enumerate(columns):
            one = filled.get((label, week))
            if one is None:
                _empty(axes, across, down)
            elif pd.isna(one.share):
                _cell(axes, across, down, 0.0, "few")
            else:
                _cell(axes, across, down, 1 - one.share, f"{one.share * 100:.0f}\n{_count(one.tries)}")
    return axes.figure


def draw_instead(found: pd.DataFrame, *, answers: Sequence[str]) -> Figure:
    """Draw what was sung in place of each degree, in percent of its misses.

    Parameters
    ----------
    found : DataFrame
        Columns label, sung_label, share, misses; degrees in the order of the scale.
    answers : sequence of str
        The answers from left to right.

    Returns
    -------
    Figure
        A cell that nobody sang is hatched.
    """
    rows = list(dict.fromkeys(found["label"]))
    misses = dict(zip(found["label"], found["misses"], strict=True))
    axes = _grid([f"{label} ({misses[label]})" for label in rows], list(answers), "sung instead")
    filled = {(one.label, one.sung_label): one.share for one in found.itertuples(index=False)}
    for down, label in enumerate(rows):
        for across, answer in enumerate(answers):
            share = filled.get((label, answer))
            if share is None:
                _empty(axes, across, down)
            else:
                _cell(axes, across, down, share, f"{share * 100:.0f}" if share >= LEAST else "<1")
    axes.set_ylabel("asked (misses)", fontsize=style.TYPE)
    return axes.figure


def _grid(rows: Sequence[str], columns: Sequence[str], below: str) -> Axes:
    """Make an empty grid with its names."""
    figure = style.sheet(len(rows) * CELL + 1.35)
    axes = style.plain_axes(figure, left=labels.room(rows) + 0.45, bottom=1.15, top=0.1)
    axes.set_xlim(0, len(columns))
    axes.set_ylim(0, len(rows))
    axes.set_yticks([at + 0.5 for at in range(len(rows))], rows)
    axes.set_xticks([at + 0.5 for at in range(len(columns))], columns, rotation=45, ha="right", rotation_mode="anchor")
    axes.tick_params(length=0)
    axes.spines[["left", "bottom"]].set_visible(False)
    axes.set_xlabel(below, fontsize=style.TYPE)
    return axes


def _cell(axes: Axes, across: int, down: int, depth: float, text: str) -> None:
    """Fill one cell and write into it."""
    color = [(255 - (255 - part) * depth) / 255 for part in DARK]
    axes.add_patch(Rectangle((across, down), 1, 1, facecolor=color, edgecolor="#c4c8cd", linewidth=0.8))
    axes.text(across + 0.5, down + 0.5, text, ha="center", va="center", fontsize=SMALL, color=_ink(color),
              linespacing=1.05)  # fmt: skip


def _count(tries: int) -> str:
    """Write a count in brackets, for which there is no room from a thousand on."""
    return f"({tries})" if tries < 1000 else str(tries)


def _ink(face: Sequence[float]) -> str:
    """Pick white or black, whichever stands out more, and the softer ink where that is enough."""
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in face]
    light = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2] + 0.05
    if light > SOFT:
        return style.INK
    return BLACK if light / 0.05 > 1.05 / light else style.WHITE


def _empty(axes: Axes, across: int, down: int) -> None:
    """Hatch a cell in which nothing was seen."""
    axes.add_patch(Rectangle(
        (across, down), 1, 1, facecolor="#f4f4f4", edgecolor="#c4c8cd", hatch="///", linewidth=0,
    ))  # fmt: skip
