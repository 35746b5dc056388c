"""The drawings: what is drawn is what was estimated, the same bytes every time, legible, and with nothing computed."""

import ast
import io
import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from matplotlib import image
from matplotlib.colors import to_rgb

from kit.figures import style
from kit.figures.distribution import draw_before_after
from kit.figures.flow import draw_flow
from kit.figures.intervals import draw_intervals
from kit.figures.start import draw_gains_by_start
from kit.report.document.parts import TALLEST, WIDEST
from kit.report.drawn import svg_of
from tests.report import terms

LONG = [
    terms.estimate(
        "pitch, Wicket Lane Middle School experienced mixed ensemble of the seventh grade", "mean_gain", 2, (1, 3)
    ),
    terms.estimate("Alto", "mean_gain", -123.4, (-1000.5, 1000.5)),
    terms.estimate("Bass", "mean_gain", 12.0),
]
DRAWINGS = {
    "flow": lambda: draw_flow(terms.flow(), terms.REASONS),
    "flow of a district": lambda: draw_flow(terms.flow(12000, 300, 400, 50, 7), terms.REASONS),
    "distribution": lambda: draw_before_after(terms.BANDS),
    "distribution of shares": lambda: draw_before_after(terms.BANDS / [24, 24, 1, 1], unit="share", occasions=("September", "December")),
    "start": lambda: draw_gains_by_start(terms.thirds()),
    "start of shares": lambda: draw_gains_by_start(terms.thirds("share")),
    "start without chance": lambda: draw_gains_by_start([one for one in terms.thirds() if one.name == "mean_gain"]),
    "intervals": lambda: draw_intervals(terms.CHOIRS, axis="average gain"),
    "long intervals": lambda: draw_intervals(LONG, axis="average gain"),
    "one interval": lambda: draw_intervals(terms.CHOIRS[:1]),
}  # fmt: skip


def written_in(figure):
    """Give every text of a drawing, on one line each."""
    texts = [*figure.texts, *(text for axes in figure.axes for text in axes.texts)]
    ticks = [label for axes in figure.axes for label in (*axes.get_xticklabels(), *axes.get_yticklabels())]
    return [" ".join(text.get_text().split()) for text in (*texts, *ticks)]


def shown_in(figure):
    """Give every text that is drawn: no empty ones, no ticks beyond the ends of an axis."""
    figure.draw(figure.canvas.get_renderer())
    beyond = set()
    for axes in figure.axes:
        for axis in (axes.xaxis, axes.yaxis):
            low, high = sorted(axis.get_view_interval())
            beyond |= {tick.label1 for tick in axis.get_major_ticks() if not low <= tick.get_loc() <= high}
    return [
        text
        for text in figure.findobj(lambda artist: hasattr(artist, "get_text") and artist.get_text())
        if text.get_visible() and text not in beyond
    ]


def spans(figure):
    """Give both ends of every interval bar, along the axis of values."""
    drawn = [path.get_paths()[0].vertices for axes in figure.axes for path in axes.collections]
    return [tuple(sorted({*ends[:, int(ends[0, 0] == ends[1, 0])]})) for ends in drawn]


@pytest.mark.parametrize("draw", [draw_intervals, draw_gains_by_start])
def test_ends_drawn_are_ends_estimated(draw):
    """Each bar ends exactly where the interval of its estimate ends."""
    estimates = terms.CHOIRS if draw is draw_intervals else terms.thirds()
    expected = [(one.interval.low, one.interval.high) for one in estimates if one.name == "mean_gain"]
    assert spans(draw(estimates)) == expected


@pytest.mark.parametrize("draw", [draw_intervals, draw_gains_by_start])
def test_points_drawn_are_values_estimated(draw):
    """Each point stands exactly at the value of its estimate."""
    estimates = terms.CHOIRS if draw is draw_intervals else terms.thirds()
    drawn = {line.get_gid(): line for line in draw(estimates).axes[0].lines if line.get_gid()}
    for one in estimates:
        if one.name == "mean_gain":
            line = drawn[one.label]
            assert one.value in (*line.get_xdata(), *line.get_ydata())


def test_fifteen_choirs_take_less_than_half_a_sheet():
    """An interval stands beside its value; below it only where names and numbers would leave no room for the bars."""
    many = [terms.estimate(f"pitch, Treble {at}", "mean_gain", at, (at - 1, at + 1)) for at in range(15)]
    figure = draw_intervals(many)
    assert "14.0 (13.0 to 15.0)" in [text.get_text() for text in figure.axes[0].texts]
    assert figure.get_size_inches()[1] * WIDEST / style.WIDTH < 11 / 2
    wide = draw_intervals(many, names=["a name of many words " * 3] * 15)
    assert "14.0\n(13.0 to 15.0)" in [text.get_text() for text in draw_intervals(LONG + many).axes[0].texts]
    assert wide.get_size_inches()[1] > figure.get_size_inches()[1]


def test_forty_choirs_are_printed_nearly_as_wide_as_a_few():
    """Many rows stand closer, so that a sheet holds them without making the letters small."""
    many = [terms.estimate(f"pitch, Treble {at}", "mean_gain", at, (at - 1, at + 1)) for at in range(40)]
    width, height = draw_intervals(many).get_size_inches()
    assert TALLEST * width / height > 0.9 * WIDEST


def test_line_of_chance_is_the_estimate():
    """The dashed line passes through what chance alone gives, and is named where it is drawn."""
    figure = draw_gains_by_start(terms.thirds())
    (line,) = [line for line in figure.axes[0].lines if line.get_gid() == "chance"]
    assert list(line.get_ydata()) == [1.3, -0.02, -1.2]
    assert line.is_dashed()
    assert "expected by chance alone" in written_in(figure)


def test_missing_interval_is_a_hollow_point():
    """Without an interval the point is hollow and says so."""
    figure = draw_intervals([terms.estimate("Alto", "mean_gain", 1.0)])
    (point,) = [line for line in figure.axes[0].lines if line.get_gid()]
    assert point.get_markerfacecolor() == style.WHITE
    assert "1.0 (no interval)" in written_in(figure)


def test_open_end_is_an_arrow():
    """An interval without an upper end reaches the edge of the drawing and ends in an arrow."""
    figure = draw_intervals([terms.estimate("Alto", "mean_gain", 1.0, (0.5, math.inf))])
    assert ">" in [line.get_marker() for line in figure.axes[0].lines]
    assert "1.0 (0.5 to no limit)" in written_in(figure)


def test_counts_drawn_are_counts_on_file():
    """Each bar is as long as its count, and each count is written."""
    figure = draw_before_after(terms.BANDS)
    widths = [bar.get_width() for bar in figure.axes[0].patches]
    assert widths == [9, 2, 15, 12, 8, 14, 1, 5]
    assert {"before: 9", "after: 2", "before: 15", "after: 12", "before: 1", "after: 5"} <= set(written_in(figure))


def test_bars_differ_in_grey():
    """Before and after differ in fill, not in color alone."""
    bars = draw_before_after(terms.BANDS).axes[0].patches
    assert {bar.get_hatch() for bar in bars[::2]} == {"/////"}
    assert {bar.get_hatch() for bar in bars[1::2]} <= {None, ""}


def test_hidden_count_has_no_bar():
    """A count that may not be shown has no bar, and says so."""
    figure = draw_before_after(terms.BANDS.assign(before=[9, 15, 8, None]))
    assert figure.axes[0].patches[6].get_width() == 0
    assert "before: hidden" in written_in(figure)


def test_flow_holds_every_count():
    """Each count of the flow and each reason stands in a box."""
    found = written_in(draw_flow(terms.flow(), terms.REASONS))
    for text in (
        "42 on the roster", "2 not on the roster", "37 tested before", "35 tested after", "33 tested both times",
        "4 tested before only", "2 tested after only", "5 tested neither time", "missing: 5 absent 2 no reason given",
        "missing: 8 absent 1 voice change or illness",
    ):  # fmt: skip
        assert text in found


def test_flow_without_losses_has_no_side_boxes():
    """Where nobody is missing there are four boxes."""
    assert len(draw_flow(terms.flow(22, 0, 0, 0, 0)).axes[0].patches) == 4


@pytest.mark.parametrize("name", DRAWINGS)
def test_same_bytes_every_time(name):
    """The same drawing twice is the same SVG, byte for byte."""
    assert svg_of(DRAWINGS[name]()) == svg_of(DRAWINGS[name]())


@pytest.mark.parametrize("name", DRAWINGS)
def test_nothing_is_cut(name):
    """No text reaches over the edge of the sheet, and the outermost dots are blank."""
    figure = DRAWINGS[name]()
    sheet = figure.bbox
    for text in shown_in(figure):
        box = text.get_window_extent()
        assert box.x0 >= sheet.x0, text.get_text()
        assert box.x1 <= sheet.x1, text.get_text()
        assert box.y0 >= sheet.y0, text.get_text()
        assert box.y1 <= sheet.y1, text.get_text()
    picture = io.BytesIO()
    figure.savefig(picture, format="png")
    picture.seek(0)
    dots = image.imread(picture)[..., :3]
    edges = np.concatenate([dots[0], dots[-1], dots[:, 0], dots[:, -1]])
    assert edges.min() > 0.98


@pytest.mark.parametrize("name", DRAWINGS)
def test_labels_do_not_overlap(name):
    """No two labels lie on each other."""
    boxes = [(text.get_text(), text.get_window_extent()) for text in shown_in(DRAWINGS[name]())]
    met = [
        (one, other)
        for at, (one, box) in enumerate(boxes)
        for other, second in boxes[at + 1 :]
        if box.overlaps(second) and min(box.x1, second.x1) - max(box.x0, second.x0) > 1
        and min(box.y1, second.y1) - max(box.y0, second.y0) > 2
    ]  # fmt: skip
    assert met == []


@pytest.mark.parametrize("name", DRAWINGS)
def test_type_is_legible(name):
    """The sheet is 6.4 inches wide and no type is smaller than 10 points; no title is inside."""
    figure = DRAWINGS[name]()
    assert figure.get_size_inches()[0] == style.WIDTH
    assert min(text.get_fontsize() for text in shown_in(figure)) >= 10
    assert [axes.get_title() for axes in figure.axes] == [""]


def luminance(color):
    """Relative luminance as in WCAG 2.1 (W3C, 2018), definition "relative luminance"; from memory."""
    channels = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in to_rgb(color)]
    return float(np.dot([0.2126, 0.7152, 0.0722], channels))


def test_contrast_ratio_is_that_of_the_standard():
    """Grey #767676 on white has a contrast of 4.54 (WCAG 2.1 techniques, G18; from memory)."""
    assert round(1.05 / (luminance("#767676") + 0.05), 2) == 4.54


@pytest.mark.parametrize("color", style.COLORS)
def test_colors_stand_out_on_white(color):
    """Each color has a contrast of at least 4.5 to 1 on white (WCAG 2.1, success criterion 1.4.3; from memory)."""
    assert 1.05 / (luminance(color) + 0.05) >= 4.5


@pytest.mark.parametrize(
    "path", sorted((Path(__file__).parents[2] / "kit/figures").glob("*.py")), ids=lambda path: path.name
)
def test_figures_compute_nothing(path):
    """No module of figures imports a library of statistics or the global state of pyplot."""
    names = {
        name
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        for name in (
            [alias.name for alias in node.names] if isinstance(node, ast.Import)
            else [f"{node.module}.{alias.name}" for alias in node.names] if isinstance(node, ast.ImportFrom)
            else []
        )
    }  # fmt: skip
    assert not [name for name in names if re.match(r"scipy|statsmodels|seaborn|matplotlib\.pyplot", name)]


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: draw_intervals([]),
         "draw_intervals: needs at least 1 estimate to draw. Got none; say in words that nothing can be shown."),
        (lambda: draw_gains_by_start([]),
         "draw_gains_by_start: needs at least 1 estimate to draw. Got none; say in words that nothing can be shown."),
        (lambda: draw_before_after(pd.DataFrame({"low": [], "high": [], "before": [], "after": []})),
         "draw_before_after: needs at least 1 band to draw. Got none; say in words that nobody took both tests."),
        (lambda: draw_flow([]),
         "draw_flow: needs the counts 'on the roster', 'tested before', 'tested after', 'tested both times'. Got none."),
        (lambda: draw_intervals([*terms.CHOIRS, replace(terms.DETECTABLE, unit="SD")]),
         "draw_intervals: estimates must have one unit. Got SD, points; draw each unit by itself."),
    ],
)  # fmt: skip
def test_nothing_to_draw_is_said(ask, message):
    """Nothing to draw, or two units on one axis, is refused with a remedy."""
    with pytest.raises(ValueError, match=re.escape(message)):
        ask()
