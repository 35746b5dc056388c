"""Meetings planned and meetings logged, week by week."""

from __future__ import annotations

import pandas as pd
from matplotlib.figure import Figure

from kit.figures import style


def draw_fidelity(weeks: pd.DataFrame) -> Figure:
    """Draw for each week the meetings planned as a frame, those logged inside it, and those that kept the plan.

    Parameters
    ----------
    weeks : DataFrame
        Columns week, possible, logged, enough.

    Returns
    -------
    Figure
        Frame: planned; pale: logged; solid: with the planned minutes before notation.
    """
    figure = style.sheet(2.9)
    axes = style.plain_axes(figure, left=0.7, bottom=0.5, top=0.5)
    axes.bar(weeks["week"], weeks["logged"], width=5, color="#c9d3e0", label="logged")
    if weeks["staged"].any():
        axes.bar(weeks["week"], weeks["enough"], width=5, color=style.BLUE, label="with the planned minutes")
    axes.bar(weeks["week"], weeks["possible"], width=5, fill=False, edgecolor=style.INK, linewidth=0.9, label="planned")
    axes.set_ylim(0, None)
    axes.yaxis.get_major_locator().set_params(integer=True)
    axes.set_ylabel("meetings", fontsize=style.TYPE)
    ticks = pd.date_range(weeks["week"].min(), weeks["week"].max(), freq="MS")
    axes.set_xticks(ticks, [f"{tick:%b %Y}" for tick in ticks])
    figure.legend(loc="upper left", ncols=3, fontsize=style.TYPE, frameon=False, bbox_to_anchor=(0.08, 1.0))
    return figure
