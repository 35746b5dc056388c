"""Who was on the roster, who was tested when, and why marks are missing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from kit.estimate import Estimate
from kit.figures import labels, style

COLUMN, GAP, EDGE = 1.42, 0.2, 0.06
"""Inches: width of a column of boxes, between columns, around all."""
BETWEEN = 0.42
"""Inches from one row of boxes to the next."""
PADDING = 0.16
DASHED = (0, (3, 2))


@dataclass(frozen=True, slots=True)
class Box:
    """One box: from which column to which, its text, and how it is drawn."""

    first: int
    last: int
    text: str
    main: bool = True
    strong: bool = False

    @property
    def left(self) -> float:
        """Left edge in inches."""
        return EDGE + self.first * (COLUMN + GAP)

    @property
    def width(self) -> float:
        """Width in inches."""
        return (self.last - self.first + 1) * (COLUMN + GAP) - GAP

    @property
    def middle(self) -> float:
        """Middle in inches."""
        return self.left + self.width / 2

    @property
    def height(self) -> float:
        """Height in inches."""
        return labels.lines(self.text) * style.LINE + PADDING


def draw_flow(flow: Sequence[Estimate], reasons: Sequence[Estimate] = ()) -> Figure:
    """Draw boxes from the roster through both tests to the students tested twice.

    Parameters
    ----------
    flow : sequence of Estimate
        Counts about ``"on the roster"``, ``"tested before"``, ``"tested after"``, ``"tested both times"`` and, where
        they are above zero, ``"not on the roster"``, ``"tested before only"``, ``"tested after only"``,
        ``"tested neither time"``.
    reasons : sequence of Estimate, optional
        Counts about ``"before: absent"`` and so on.

    Returns
    -------
    Figure

    Raises
    ------
    ValueError
        If one of the first four counts is missing.
    """
    numbers = {estimate.about: int(estimate.value) for estimate in flow}
    lacking = [about for about in ("on the roster", "tested before", "tested after", "tested both times")
               if about not in numbers]  # fmt: skip
    if lacking:
        needed = ", ".join(map(repr, lacking))
        raise ValueError(f"draw_flow: needs the counts {needed}. Got {sorted(numbers) or 'none'}.")
    rows = _rows(numbers, reasons, labels.where_listed(flow))
    heights = [max(box.height for box in row.values()) for row in rows]
    figure = style.sheet(sum(heights) + BETWEEN * (len(rows) - 1) + 2 * EDGE)
    width, height = figure.get_size_inches()
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, width), ylim=(height, 0))
    axes.set_axis_off()
    middles = [EDGE + sum(heights[:at]) + tall / 2 + BETWEEN * at for at, tall in enumerate(heights)]
    for row, middle in zip(rows, middles, strict=True):
        for box in row.values():
            _draw_box(axes, box, middle)
        _join_sides(axes, row, middle)
    _join_rows(axes, rows, middles)
    return figure


def _rows(numbers: Mapping[str, int], reasons: Sequence[Estimate], where: str) -> list[dict[str, Box]]:
    """Lay out the boxes of the three rows, by name; side boxes only where they hold somebody."""
    rows = [
        {"roster": Box(1, 2, f"{numbers['on the roster']} {where}")},
        {
            "before": Box(1, 1, f"{numbers['tested before']} tested\nbefore"),
            "after": Box(2, 2, f"{numbers['tested after']} tested\nafter"),
        },
        {"both": Box(1, 2, f"{numbers['tested both times']} tested both times", strong=True)},
    ]
    sides = (
        (0, 0, "not on the roster", "not on the roster"),
        (0, 3, "tested neither time", "tested neither time"),
        (2, 0, "tested before only", "tested before only"),
        (2, 3, "tested after only", "tested after only"),
    )
    for row, column, about, words in sides:
        if numbers.get(about):
            rows[row][about] = Box(
                column, column, labels.wrapped(f"{numbers[about]} {words}", COLUMN - 0.1), main=False
            )
    for column, occasion in ((0, "before"), (3, "after")):
        listed = [
            labels.wrapped(labels.reason(estimate), COLUMN - 0.1)
            for estimate in reasons
            if estimate.about.startswith(f"{occasion}: ")
        ]
        if listed:
            rows[1][f"why not {occasion}"] = Box(column, column, "\n".join(["missing:", *listed]), main=False)
    return rows


def _draw_box(axes: Axes, box: Box, middle: float) -> None:
    """Draw one box with its text; side boxes have a dashed edge."""
    edge = {"edgecolor": style.BLUE, "linewidth": 2.6 if box.strong else 1.4}
    if not box.main:
        edge = {"edgecolor": style.GREY, "linewidth": 1.0, "linestyle": DASHED}
    corner = (box.left, middle - box.height / 2)
    axes.add_patch(Rectangle(corner, box.width, box.height, facecolor=style.PALE if box.main else style.WHITE, **edge))
    axes.text(
        box.middle, middle, box.text, ha="center", va="center", fontsize=style.TYPE, linespacing=1.2, color=style.INK,
        fontweight="bold" if box.strong else "normal",
    )  # fmt: skip


def _join_sides(axes: Axes, row: Mapping[str, Box], middle: float) -> None:
    """Draw a dashed line from each side box of the upper rows to its neighbor."""
    for name, box in row.items():
        if box.main or "only" in name:
            continue
        near, far = (box.left + box.width, box.left + box.width + GAP) if box.first == 0 else (box.left - GAP, box.left)
        axes.plot([near, far], [middle, middle], color=style.GREY, linewidth=1.2, linestyle=DASHED)


def _join_rows(axes: Axes, rows: Sequence[Mapping[str, Box]], middles: Sequence[float]) -> None:
    """Draw an arrow down each test's column, and a dashed line to those tested once only."""
    columns = (("before", 0.25), ("after", 0.75))
    for upper, (above, below) in enumerate((("roster", "test"), ("test", "both"))):
        for test, _ in columns:
            start, end = (rows[at].get(name) or rows[at][test] for at, name in ((upper, above), (upper + 1, below)))
            axes.annotate(
                "", (rows[1][test].middle, middles[upper + 1] - end.height / 2),
                xytext=(rows[1][test].middle, middles[upper] + start.height / 2),
                arrowprops={"arrowstyle": "-|>", "color": style.BLUE, "linewidth": 1.6, "shrinkA": 0, "shrinkB": 0},
            )  # fmt: skip
    for test, share in columns:
        side, box = rows[2].get(f"tested {test} only"), rows[1][test]
        if side is not None:
            out, end = box.left + share * COLUMN, middles[2] - side.height / 2
            axes.plot(
                [out, out, side.middle, side.middle],
                [middles[1] + box.height / 2, end - BETWEEN * 0.4, end - BETWEEN * 0.4, end],
                color=style.GREY, linewidth=1.2, linestyle=DASHED,
            )  # fmt: skip
