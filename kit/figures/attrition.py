"""What two approaches lost, against the published boundary."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import pandas as pd
from matplotlib.figure import Figure

from kit.figures import style

MARKS = ("o", "s", "^", "D")


class Level(Protocol):
    """Loss of one kind of unit; see ``kit.questions.lost.Lost``."""

    what: str
    loss: object


def draw_attrition(boundary: pd.DataFrame, levels: Sequence[Level]) -> Figure:
    """Draw overall loss against the difference of the losses: below the line the loss counts as low.

    Parameters
    ----------
    boundary : DataFrame
        Columns overall and limit, as shares.
    levels : sequence of Lost
        Each with ``what`` and ``loss`` (``overall`` and ``differential``, as shares).

    Returns
    -------
    Figure

    Raises
    ------
    ValueError
        If there is nothing to draw, or more kinds of units than can be told apart.
    """
    if not 0 < len(levels) <= len(MARKS):
        raise ValueError(f"draw_attrition: needs 1 to {len(MARKS)} levels to draw. Got {len(levels)}.")
    figure = style.sheet(3.2)
    axes = style.plain_axes(figure, left=0.75, bottom=0.7, right=0.3, top=0.45)
    axes.fill_between(boundary["overall"], boundary["limit"], color=style.PALE, linewidth=0)
    axes.plot(boundary["overall"], boundary["limit"], color=style.BLUE, linewidth=1.8, gid="boundary")
    for level, mark in zip(levels, MARKS, strict=False):
        axes.plot(
            [level.loss.overall], [abs(level.loss.differential)], mark, markersize=9, color=style.RUST, zorder=4,
            label=level.what, gid=level.what, clip_on=False,
        )  # fmt: skip
    most = max(abs(level.loss.differential) for level in levels)
    axes.set_xlim(0, max(boundary["overall"].max(), *(level.loss.overall for level in levels)) * 1.04)
    axes.set_ylim(0, 1.15 * max(most, boundary["limit"].max()))
    for axis in (axes.xaxis, axes.yaxis):
        style.percent_axis(axis, "share")
    axes.text(0.03, 0.05, "shaded: counts as low", transform=axes.transAxes, fontsize=style.TYPE, color=style.INK)
    axes.set_xlabel("lost of both approaches together (percent)", fontsize=style.TYPE, color=style.INK)
    axes.set_ylabel("difference in loss\n(percentage points)", fontsize=style.TYPE, color=style.INK)
    axes.legend(
        loc="lower left", bbox_to_anchor=(0, 1), ncols=2, fontsize=style.TYPE, frameon=False, labelcolor=style.INK,
        borderaxespad=0.1, handletextpad=0.2,
    )  # fmt: skip
    return figure
