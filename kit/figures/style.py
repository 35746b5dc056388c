"""One look for every drawing: size, type, and colors that survive grey and color blindness."""

from __future__ import annotations

from collections.abc import Sequence

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from kit.estimate import Estimate
from kit.figures.labels import signed_text

WIDTH = 6.4
"""Inches; a phone shows this at two thirds, so no type is smaller than ``TYPE``."""
TYPE = 10.5
LARGE = 12
LINE = 0.185
"""Inches from one line of type to the next."""

INK, BLUE, RUST, GREY = "#1d1d22", "#1f4f8f", "#99400d", "#565b63"
PALE, WHITE = "#e9eef5", "#ffffff"
COLORS = (INK, BLUE, RUST, GREY)
"""Each at least 4.5 to 1 against white."""


def sheet(height: float) -> Figure:
    """Make an empty drawing of the one width.

    Parameters
    ----------
    height : float
        Inches.

    Returns
    -------
    Figure
    """
    figure = Figure(figsize=(WIDTH, height), dpi=100, facecolor=WHITE)
    FigureCanvasAgg(figure)
    return figure


def plain_axes(figure: Figure, *, left: float, bottom: float, right: float = 0.15, top: float = 0.15) -> Axes:
    """Make axes with margins in inches, two spines and a light grid behind.

    Parameters
    ----------
    figure : Figure
        From `sheet`.
    left, bottom, right, top : float
        Margins in inches.

    Returns
    -------
    Axes
    """
    width, height = figure.get_size_inches()
    axes = figure.add_axes(
        (left / width, bottom / height, (width - left - right) / width, (height - bottom - top) / height)
    )
    axes.spines[["top", "right"]].set_visible(False)
    axes.spines[["left", "bottom"]].set_color(GREY)
    axes.tick_params(labelsize=TYPE, color=GREY, labelcolor=INK)
    axes.set_axisbelow(True)
    return axes


def ends(estimate: Estimate) -> tuple[float, float]:
    """Give the ends of the interval; twice the value where there is none."""
    if estimate.interval is None:
        return estimate.value, estimate.value
    return estimate.interval.low, estimate.interval.high


def one_unit(drawing: str, estimates: Sequence[Estimate]) -> str:
    """Give the unit that all estimates share.

    Parameters
    ----------
    drawing : str
        Which drawing asks, for the message.
    estimates : sequence of Estimate
        What is to be drawn.

    Returns
    -------
    str

    Raises
    ------
    ValueError
        If there is nothing to draw, or units differ.
    """
    if not estimates:
        raise ValueError(
            f"{drawing}: needs at least 1 estimate to draw. Got none; say in words that nothing can be shown."
        )
    units = sorted({estimate.unit for estimate in estimates})
    if len(units) > 1:
        raise ValueError(f"{drawing}: estimates must have one unit. Got {', '.join(units)}; draw each unit by itself.")
    return units[0]


def percent_axis(axis: mpl.axis.Axis, unit: str) -> None:
    """Write the ticks of an axis as the report writes numbers of this unit."""
    if unit == "share":
        axis.set_major_formatter(lambda value, _: signed_text(f"{value * 100:g}"))
