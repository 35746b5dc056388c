"""How small a difference could be seen with how many choirs."""

from __future__ import annotations

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from kit.figures import style

LOOKS = (
    ("-", "o", style.BLUE),
    ((0, (5, 2)), "s", style.RUST),
    ((0, (1.5, 1.5)), "^", style.INK),
    ("-.", "D", style.GREY),
)
"""Line, mark and color of one line after the other: they differ in grey too."""


def draw_detectable(rows: pd.DataFrame, *, own: int) -> Figure:
    """Draw the smallest difference that would probably be noticed against the number of choirs, a line for each ICC.

    Parameters
    ----------
    rows : DataFrame
        Columns choirs, alike (share of the variance between choirs), first_test (bool), value (in SD).
    own : int
        Choirs of the plan, marked by a line.

    Returns
    -------
    Figure

    Raises
    ------
    ValueError
        If there is nothing to draw, or more lines than can be told apart.
    """
    told = rows[rows["value"].notna()]
    lines = sorted(set(told["alike"]))
    if not 0 < len(lines) <= len(LOOKS):
        raise ValueError(f"draw_detectable: needs 1 to {len(LOOKS)} shares between choirs to draw. Got {len(lines)}.")
    names = 0.3 * ((len(lines) + 1) // 2)
    figure = style.sheet(3.8 + names)
    axes = style.plain_axes(figure, left=0.75, bottom=0.75, right=0.3, top=names + 0.15)
    for alike, look in zip(lines, LOOKS, strict=False):
        _draw_line(axes, told[told["alike"] == alike], look, f"{100 * alike:g} % between choirs")
    axes.set_xlim(0, 1.03 * told["choirs"].max())
    axes.set_ylim(0, 1.06 * told["value"].max())
    axes.axvline(own, color=style.GREY, linewidth=1.2, zorder=1, gid="own")
    axes.grid(axis="y", color="#dcdfe4", linewidth=0.8)
    axes.xaxis.get_major_locator().set_params(integer=True)
    axes.set_xlabel(
        f"choirs, both groups together (upright line: this plan, {own})", fontsize=style.TYPE, color=style.INK
    )
    axes.set_ylabel("smallest difference seen (SD)", fontsize=style.TYPE, color=style.INK)
    axes.legend(
        loc="lower left", bbox_to_anchor=(0, 1), ncols=2, fontsize=style.TYPE, frameon=False, labelcolor=style.INK,
        handlelength=3.2, borderaxespad=0.2,
    )  # fmt: skip
    return figure


def _draw_line(axes: Axes, rows: pd.DataFrame, look: tuple, name: str) -> None:
    """Draw one line; its marks are hollow where no first test is used."""
    line, mark, color = look
    axes.plot(rows["choirs"], rows["value"], linestyle=line, color=color, linewidth=1.8, zorder=2)
    for first_test, face in ((True, color), (False, style.WHITE)):
        some, which = rows[rows["first_test"] == first_test], "first test" if first_test else "no first test"
        axes.plot(
            some["choirs"], some["value"], linestyle="none", marker=mark, markersize=6.5, markerfacecolor=face,
            markeredgecolor=color, markeredgewidth=1.5, zorder=3, gid=f"{name}, {which}",
        )  # fmt: skip
    axes.plot([], [], linestyle=line, marker=mark, color=color, linewidth=1.8, markersize=6.5, label=name)
