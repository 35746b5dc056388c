"""How far two approaches lay apart before, against the published bands."""

from __future__ import annotations

from collections.abc import Sequence

from matplotlib.figure import Figure

from kit.estimate import Estimate
from kit.figures import labels, style

ROW = 0.45
ROOM = 0.5
"""Inches from the middle of one label to that of the next."""
BANDS = (0.05, 0.25)
"""Ends of the published bands, in SD."""


def draw_baseline(estimates: Sequence[Estimate], *, names: Sequence[str] = ()) -> Figure:
    """Draw each difference at the first test as a point, over the bands in which it counts as close or to be adjusted.

    Parameters
    ----------
    estimates : sequence of Estimate
        Differences in SD, from top to bottom.
    names : sequence of str, optional
        A short label for each; by default what it is about.

    Returns
    -------
    Figure

    Raises
    ------
    ValueError
        If there is nothing to draw, or a difference is not in SD.
    """
    unit = style.one_unit("draw_baseline", estimates)
    if unit != "SD":
        raise ValueError(f"draw_baseline: differences must be in SD. Got {unit}.")
    words = [labels.wrapped(name, 2.1) for name in (names or labels.abouts(estimates))]
    values = [labels.written(one.value, unit, signed=True) for one in estimates]
    heights = [max(ROW, labels.lines(word) * style.LINE + 0.2) for word in words]
    figure = style.sheet(sum(heights) + 1.35)
    axes = style.plain_axes(
        figure, left=labels.room(words) + 0.2, right=labels.room(values) + 0.2, bottom=0.7, top=0.65
    )
    middles = [sum(heights[:at]) + height / 2 for at, height in enumerate(heights)]
    reach = max(0.32, 1.12 * max(abs(one.value) for one in estimates))
    axes.set(xlim=(-reach, reach), ylim=(sum(heights), 0))
    close, far = BANDS
    axes.axvspan(-far, far, facecolor=style.PALE, edgecolor=style.GREY, linewidth=1.0, linestyle=(0, (4, 3)))
    axes.axvspan(-close, close, facecolor=style.WHITE, edgecolor=style.GREY, linewidth=1.0)
    axes.axvline(0, color=style.INK, linewidth=1.2)
    for middle, one, value in zip(middles, estimates, values, strict=True):
        axes.plot([one.value], [middle], "o", markersize=8, color=style.BLUE, zorder=4, gid=one.label)
        axes.text(
            1.03, middle, value, transform=axes.get_yaxis_transform(), va="center", fontsize=style.TYPE, color=style.INK
        )
    axes.set_yticks(middles, words)
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    ends = (-far, -close, close, far)
    # where a difference is large the inner band is too narrow for the words of both its ends
    roomy = 2 * close / (2 * reach) * axes.get_position().width * style.WIDTH >= ROOM
    told = [labels.signed_text(f"{end:g}") if roomy or abs(end) == far else "" for end in ends]
    axes.set_xticks(ends, told)
    axes.set_xlabel("difference at the first test (standard deviations)", fontsize=style.TYPE, color=style.INK)
    axes.set_title(
        "white: close · shaded: to be adjusted\noutside: too far apart", fontsize=style.TYPE, color=style.INK
    )
    return figure
