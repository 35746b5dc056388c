"""How much low, middle and high starters gained, beside what chance alone would give."""

from __future__ import annotations

from collections.abc import Sequence

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from kit.estimate import Estimate
from kit.figures import labels, style


def draw_gains_by_start(estimates: Sequence[Estimate]) -> Figure:
    """Draw the average gain of each starting group with its interval, and a dashed line of what chance alone gives.

    Parameters
    ----------
    estimates : sequence of Estimate
        For each group, from low to high, a ``mean_gain`` and, where there is one, an ``expected_regression`` in the
        same order; ``mean_score`` adds the average first score to the label.

    Returns
    -------
    Figure

    Raises
    ------
    ValueError
        If there is no gain to draw, or units differ.
    """
    gains = [estimate for estimate in estimates if estimate.name == "mean_gain"]
    chance = [estimate for estimate in estimates if estimate.name == "expected_regression"]
    starts = [estimate for estimate in estimates if estimate.name == "mean_score"]
    unit = style.one_unit("draw_gains_by_start", [*gains, *(chance if gains else [])])
    right = 1.35 if chance else 0.5
    figure = style.sheet(3.5)
    axes = style.plain_axes(figure, left=0.85, right=right, bottom=0.95)
    axes.set_xlim(-0.45, len(gains) - 0.45)
    axes.axhline(0, color=style.INK, linewidth=1.2, zorder=1)
    for at, gain in enumerate(gains):
        _draw_gain(axes, at, gain)
    if chance:
        _draw_chance(axes, chance)
    _name_groups(axes, gains, starts)
    axes.margins(y=0.1)
    axes.grid(axis="y", color="#dcdfe4", linewidth=0.8)
    style.percent_axis(axes.yaxis, unit)
    words = "percentage points" if unit == "share" else unit
    axes.set_ylabel(f"average gain ({words})", fontsize=style.TYPE, color=style.INK)
    return figure


def _draw_gain(axes: Axes, at: int, gain: Estimate) -> None:
    """Draw one gain with its interval and its value."""
    low, high = style.ends(gain)
    axes.vlines(at, low, high, color=style.BLUE, linewidth=2.6, zorder=3)
    face = style.WHITE if gain.interval is None else style.BLUE
    axes.plot(
        [at], [gain.value], "o", markersize=9, markerfacecolor=face, markeredgecolor=style.BLUE, markeredgewidth=1.8,
        zorder=4, gid=gain.label,
    )  # fmt: skip
    axes.annotate(
        labels.written(gain.value, gain.unit, signed=True), (at, gain.value), xytext=(9, 0), textcoords="offset points",
        va="center", fontsize=style.TYPE, fontweight="bold", color=style.BLUE, zorder=5,
        bbox={"facecolor": style.WHITE, "edgecolor": "none", "pad": 1.0, "alpha": 0.85},
    )  # fmt: skip


def _draw_chance(axes: Axes, chance: Sequence[Estimate]) -> None:
    """Draw the dashed line and name it at its end."""
    values = [estimate.value for estimate in chance]
    axes.plot(
        range(len(values)), values, linestyle=(0, (4, 3)), color=style.RUST, linewidth=1.8, marker="D", markersize=6,
        markerfacecolor=style.WHITE, zorder=2, gid="chance",
    )  # fmt: skip
    axes.annotate(
        "expected\nby chance\nalone", (len(values) - 1, values[-1]), xytext=(1.02, values[-1]),
        textcoords=axes.get_yaxis_transform(), va="center", fontsize=style.TYPE, color=style.RUST, zorder=1,
        annotation_clip=False,
        arrowprops={"arrowstyle": "-", "color": style.RUST, "linewidth": 0.8, "shrinkA": 2, "shrinkB": 6},
    )  # fmt: skip


def _name_groups(axes: Axes, gains: Sequence[Estimate], starts: Sequence[Estimate]) -> None:
    """Write under each group its name, its average first score and its number of students."""
    names = []
    for at, gain in enumerate(gains):
        started = f"started at {labels.written(starts[at].value, starts[at].unit)}" if at < len(starts) else ""
        students = f"{gain.n} student{'' if gain.n == 1 else 's'}"
        names.append("\n".join(filter(None, (labels.wrapped(labels.group(gain), 1.3), started, students))))
    axes.set_xticks(range(len(gains)), names)
    axes.tick_params(axis="x", length=0)
    axes.set_xlabel("starting group", fontsize=style.TYPE, color=style.INK)
