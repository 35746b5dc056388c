"""Minutes of drill, day after day: a strip for each choir."""

from __future__ import annotations

import pandas as pd
from matplotlib.figure import Figure

from kit.figures import labels, style

ROW = 0.42
"""Inches from choir to choir."""


def draw_days(days: pd.DataFrame) -> Figure:
    """Draw the minutes of each logged meeting as a bar on its day; before notation solid, the rest pale.

    Parameters
    ----------
    days : DataFrame
        Columns choir, date, minutes, before.

    Returns
    -------
    Figure
        A day without a bar has no logged meeting; a cross is a meeting without minutes.
    """
    choirs = sorted(set(days["choir"]))
    figure = style.sheet(len(choirs) * ROW + 1.35)
    names = [labels.wrapped(choir, 2.0) for choir in choirs]
    axes = style.plain_axes(figure, left=labels.room(names) + 0.2, bottom=0.65, top=0.45)
    tallest = max(float(days["minutes"].max()), 1.0)
    for at, choir in enumerate(choirs):
        mine, floor = days[days["choir"] == choir], len(choirs) - 1 - at
        axes.axhline(floor, color=style.GREY, linewidth=0.5)
        axes.bar(mine["date"], mine["minutes"].fillna(0) / tallest * 0.85, bottom=floor, width=0.95,
                 facecolor="#c9d3e0", edgecolor=style.GREY, linewidth=0.4)  # fmt: skip
        axes.bar(mine["date"], mine["before"].fillna(0) / tallest * 0.85, bottom=floor, width=0.95, color=style.BLUE)
        blank = mine.loc[mine["minutes"].isna(), "date"]
        axes.plot(blank, [floor + 0.2] * len(blank), "x", color=style.RUST, markersize=5)
    axes.set_yticks([len(choirs) - 1 - at + 0.3 for at in range(len(choirs))], names)
    axes.tick_params(axis="y", length=0)
    axes.set_ylim(0, len(choirs))
    axes.spines["left"].set_visible(False)
    ticks = pd.date_range(days["date"].min().normalize(), days["date"].max(), freq="MS")
    axes.set_xticks(ticks, [f"{tick:%b %Y}" for tick in ticks])
    axes.set_title(f"tallest bar: {tallest:g} minutes; solid: before notation", fontsize=style.TYPE, loc="left")
    return figure
