"""How many students scored how high, before and after."""

from __future__ import annotations

import math

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from kit.figures import labels, style

BAR, PAIR = 0.25, 0.66
"""Inches: thickness of a bar, distance from pair to pair."""
HATCH = "/////"


def draw_before_after(
    bands: pd.DataFrame, *, unit: str = "points", occasions: tuple[str, str] = ("before", "after")
) -> Figure:
    """Draw pairs of bars, one pair for each band of the score scale, the highest band on top.

    Parameters
    ----------
    bands : DataFrame
        Columns low, high, before, after: counts of students; a missing count is a hidden one.
    unit : str, optional
        Unit of the score scale.
    occasions : tuple of str, optional
        How the two tests are called.

    Returns
    -------
    Figure

    Raises
    ------
    ValueError
        If there is no band.
    """
    if bands.empty:
        raise ValueError(
            "draw_before_after: needs at least 1 band to draw. Got none; say in words that nobody took both tests."
        )
    names = labels.band_names(bands, unit)
    hidden = ("hidden",) if bands[["before", "after"]].isna().any(axis=None) else ()
    figure = style.sheet(len(bands) * PAIR + 0.85)
    axes = style.plain_axes(
        figure,
        left=labels.room(names) + 0.55,
        bottom=0.65,
        right=labels.room([f"{word}: {count}" for word in occasions for count in (99, *hidden)]) + 0.2,
    )
    most = max(bands["before"].max(), bands["after"].max(), 1)
    axes.set_xlim(0, most * 1.01 if math.isfinite(most) else 1)
    axes.set_ylim(-PAIR / 2, (len(bands) - 0.5) * PAIR)
    for at, row in enumerate(bands.itertuples(index=False)):
        _draw_bar(axes, at * PAIR + BAR / 2, row.before, occasions[0], first=True)
        _draw_bar(axes, at * PAIR - BAR / 2, row.after, occasions[1], first=False)
    axes.set_yticks([at * PAIR for at in range(len(bands))], names)
    axes.tick_params(axis="y", length=0)
    axes.xaxis.get_major_locator().set_params(integer=True, nbins=6)
    axes.set_xlabel("students", fontsize=style.TYPE, color=style.INK)
    figure.text(
        0.02, 0.55, f"score ({labels.UNITS.get(unit, unit)})", rotation="vertical", va="center", fontsize=style.TYPE,
        color=style.INK,
    )  # fmt: skip
    return figure


def _draw_bar(axes: Axes, middle: float, count: float, word: str, *, first: bool) -> None:
    """Draw one bar with its count and occasion at its end; hatched before, solid after."""
    hidden = bool(pd.isna(count))
    face, hatch = (style.WHITE, HATCH) if first else (style.BLUE, "")
    edge = style.RUST if first else style.BLUE
    axes.barh(middle, 0 if hidden else count, height=BAR, facecolor=face, edgecolor=edge, hatch=hatch, linewidth=1.2)
    axes.annotate(
        f"{word}: {'hidden' if hidden else f'{count:.0f}'}", (0 if hidden else count, middle),
        xytext=(4, 0), textcoords="offset points", va="center", fontsize=style.TYPE, color=edge, annotation_clip=False,
    )  # fmt: skip
