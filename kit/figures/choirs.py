"""Choirs as the units: one dot for each choir before and one after, approach by approach."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from kit.figures import labels, style

ROW, HEAD = 0.27, 0.34
"""Inches: from choir to choir, and for the name of an approach above its choirs."""
BOLD = 1.15
"""How much wider bold letters are."""
LOOKS = (("o", style.BLUE), ("s", style.RUST))
"""Mark and color of the two approaches: they differ in grey too."""


def draw_choirs(
    table: pd.DataFrame,
    *,
    unit: str = "points",
    names: Sequence[str] = (),
    occasions: tuple[str, str] = ("before", "after"),
) -> Figure:
    """Draw each choir's average before (hollow) and after (solid) on one line, choirs in the order of their names.

    Parameters
    ----------
    table : DataFrame
        Columns choir, approach, pre, post; one row for each choir.
    unit : str, optional
        Unit of the averages.
    names : sequence of str, optional
        The approaches from top to bottom; by default in order of name.
    occasions : tuple of str, optional
        How the two tests are called.

    Returns
    -------
    Figure

    Raises
    ------
    ValueError
        If there is no choir, or more than two approaches.
    """
    names = tuple(names) or tuple(sorted(set(table["approach"])))
    if table.empty or len(names) > len(LOOKS):
        raise ValueError(
            f"draw_choirs: needs choirs of at most {len(LOOKS)} approaches to draw. Got {len(table)} choirs of "
            f"{len(names)}."
        )
    words = [labels.wrapped(name, 2.3) for name in table["choir"]]
    heights = [max(ROW, labels.lines(word) * style.LINE + 0.08) for word in words]
    left = labels.room(words) + 0.2
    # bold letters are wider
    heads = [labels.wrapped(name, (style.WIDTH - left - 0.35) / BOLD) for name in names]
    tall = [HEAD + (labels.lines(head) - 1) * style.LINE for head in heads]
    figure = style.sheet(sum(heights) + sum(tall) + 0.95)
    axes = style.plain_axes(figure, left=left, right=0.35, bottom=0.6, top=0.35)
    places, ticks, down = {}, [], 0.0
    for name, head, high in zip(names, heads, tall, strict=True):
        axes.text(
            0, down + high * 0.6, head, transform=axes.get_yaxis_transform(), fontsize=style.TYPE, fontweight="bold",
            color=style.INK, va="center",
        )  # fmt: skip
        down += high
        for at in table.index[table["approach"] == name]:
            height = heights[table.index.get_loc(at)]
            places[at] = down + height / 2
            ticks.append((places[at], words[table.index.get_loc(at)]))
            down += height
    axes.set_ylim(down, 0)
    for at, row in zip(places, table.loc[list(places)].itertuples(index=False), strict=True):
        _draw_choir(axes, places[at], row, LOOKS[names.index(row.approach)])
    _finish(axes, ticks, unit, occasions)
    return figure


def _draw_choir(axes: Axes, middle: float, row: tuple, look: tuple[str, str]) -> None:
    """Draw one choir: a line from its hollow to its solid mark."""
    mark, color = look
    axes.plot([row.pre, row.post], [middle, middle], color=color, linewidth=1.8, zorder=2)
    for value, face, side in ((row.pre, style.WHITE, "before"), (row.post, color, "after")):
        axes.plot(
            [value], [middle], mark, markersize=8, markerfacecolor=face, markeredgecolor=color, markeredgewidth=1.8,
            zorder=3, gid=f"{row.choir}, {row.approach}, {side}",
        )  # fmt: skip


def _finish(axes: Axes, ticks: list[tuple[float, str]], unit: str, occasions: tuple[str, str]) -> None:
    """Name choirs, axis and marks."""
    axes.set_yticks([place for place, _ in ticks], [word for _, word in ticks])
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    axes.grid(axis="x", color="#dcdfe4", linewidth=0.8)
    axes.margins(x=0.06)
    style.percent_axis(axes.xaxis, unit)
    axes.set_xlabel(f"average score ({labels.UNITS.get(unit, unit)})", fontsize=style.TYPE, color=style.INK)
    for word, face in zip(occasions, (style.WHITE, style.INK), strict=True):
        axes.plot(
            [], [], "o", markersize=8, markerfacecolor=face, markeredgecolor=style.INK, markeredgewidth=1.8, label=word
        )
    axes.legend(
        loc="lower left", bbox_to_anchor=(0, 1), ncols=2, fontsize=style.TYPE, frameon=False, labelcolor=style.INK,
        borderaxespad=0.1, handletextpad=0.2,
    )  # fmt: skip
