"""The drawings of coverage: what is drawn is what is in the table, legible in grey, the same every time."""

from __future__ import annotations

import io

import numpy as np
import pandas as pd
import pytest
from matplotlib import image
from matplotlib.text import Text

from kit.figures import style
from kit.figures.coverage import KINDS, MARKS, draw_coverage, draw_coverage_by_size
from kit.report.document.parts import TALLEST
from kit.report.drawn import svg_of

LONG = "difference of the averages of choirs, adjusted for the first test"


def rows_of(*labels, sizes=(25,), lowest=0.8):
    """Make rows of several intervals, one of them without a share for skewed scores."""
    shares = iter(np.linspace(lowest, 0.99, len(labels) * len(KINDS) * len(sizes)))
    rows = [(label, scores, n, next(shares)) for label in labels for scores in KINDS for n in sizes]
    table = pd.DataFrame(rows, columns=["label", "scores", "n", "value"])
    off = np.select([table["value"] < 0.9, table["value"] > 0.98], ["below", "above"], "")
    return table.assign(low=table["value"] - 0.03, high=np.minimum(table["value"] + 0.02, 1), off=off)


def holed(rows):
    """Take the share of one row out."""
    rows = rows.copy()
    rows.loc[1, ["value", "low", "high"]] = np.nan
    return rows


DRAWINGS = {
    "two": lambda: draw_coverage(rows_of("average gain", LONG), level=0.95),
    "many": lambda: draw_coverage(rows_of(*(f"{LONG} {at}" for at in range(9))), level=0.95),
    "far": lambda: draw_coverage(holed(rows_of("average gain", "share", lowest=0.31)), level=0.9),
    "sizes": lambda: draw_coverage_by_size(rows_of("average gain", LONG, sizes=(5, 10, 100)), level=0.95),
    "very many sizes": lambda: draw_coverage_by_size(
        rows_of(*(f"any two raters: one of them, {at}" for at in range(14)), sizes=(5, 10, 20, 40, 100)), level=0.95
    ),
    "many sizes": lambda: draw_coverage_by_size(rows_of(*"abcdefgh", sizes=(5, 10, 20, 40, 100)), level=0.95),
}  # fmt: skip


def texts(figure):
    """Give every text that is drawn."""
    figure.draw(figure.canvas.get_renderer())
    return [text for text in figure.findobj(Text) if text.get_text() and text.get_visible()]


def marks_of(figure):
    """Find the marks by their names."""
    return {
        line.get_gid(): line for axes in figure.axes for line in axes.lines if line.get_gid() and line.get_gid() != "level"
    }  # fmt: skip


def test_marks_drawn_are_rows():
    """Each mark stands at its share in the column of its scores, with the look of what it is."""
    rows = holed(rows_of("average gain", LONG))
    figure = draw_coverage(rows, level=0.95)
    marks = marks_of(figure)
    told = rows[rows["value"].notna()]
    assert set(marks) == {f"{row.label}, {row.scores}" for row in told.itertuples()}
    for row in told.itertuples():
        mark = marks[f"{row.label}, {row.scores}"]
        assert list(mark.get_xdata()) == [row.value]
        assert (mark.get_marker(), mark.get_color()) == MARKS[row.off]
        assert mark.axes.get_title() == KINDS[row.scores]
    (bar,) = [line for line in figure.axes[0].lines if list(line.get_xdata()) == [rows["low"][0], rows["high"][0]]]
    assert list(bar.get_ydata()) == [marks["average gain, normal"].get_ydata()[0]] * 2


def test_lines_drawn_are_rows():
    """Each line of a small picture passes through the shares of its sizes; without a share there is no mark."""
    rows = holed(rows_of("average gain", "share", sizes=(5, 10, 100)))
    figure = draw_coverage_by_size(rows, level=0.95)
    for axes, label in zip(figure.axes, ("average gain", "share"), strict=True):
        assert axes.get_title(loc="left").replace("\n", " ") == label
        for line in axes.lines:
            if line.get_gid() in KINDS:
                some = rows[(rows["label"] == label) & (rows["scores"] == line.get_gid())].reset_index(drop=True)
                some = some[some["value"].notna()]
                assert list(line.get_ydata()) == list(some["value"])
                assert [(5, 10, 100)[int(at)] for at in line.get_xdata()] == list(some["n"])


@pytest.mark.parametrize("name", DRAWINGS)
def test_the_promise_is_marked(name):
    """Every part of a drawing has a line at what is promised."""
    for axes in DRAWINGS[name]().axes:
        (line,) = [line for line in axes.lines if line.get_gid() == "level"]
        promised = {*line.get_xdata(), *line.get_ydata()}
        assert promised & {0.95, 0.9}


@pytest.mark.parametrize("name", DRAWINGS)
def test_every_mark_is_inside_its_axes(name):
    """No share lies beyond the ends of the axis."""
    figure = DRAWINGS[name]()
    for mark in marks_of(figure).values():
        ends = mark.axes.get_xlim() if "sizes" not in name else mark.axes.get_ylim()
        shares = mark.get_xdata() if "sizes" not in name else mark.get_ydata()
        assert ends[0] <= min(shares)
        assert max(shares) <= ends[1]


def test_marks_differ_in_grey():
    """What holds too seldom differs in its mark, not in color alone."""
    assert len({mark for mark, _ in MARKS.values()}) == len(MARKS)


def test_smallest_type_is_legible():
    """No text is smaller than the type that a phone can show."""
    for drawing in DRAWINGS.values():
        assert min(text.get_fontsize() for text in texts(drawing())) >= style.TYPE


@pytest.mark.parametrize("name", DRAWINGS)
def test_no_text_reaches_over_the_edge(name):
    """Every text lies inside the sheet."""
    figure = DRAWINGS[name]()
    sheet = figure.bbox
    for text in texts(figure):
        box = text.get_window_extent()
        assert sheet.x0 <= box.x0, text.get_text()
        assert box.x1 <= sheet.x1, text.get_text()
        assert sheet.y0 <= box.y0, text.get_text()
        assert box.y1 <= sheet.y1, text.get_text()


@pytest.mark.parametrize("name", DRAWINGS)
def test_no_text_covers_another(name):
    """No two texts overlap."""
    boxes = [text.get_window_extent() for text in texts(DRAWINGS[name]())]
    assert not [(at, other) for at in range(len(boxes)) for other in range(at) if boxes[at].overlaps(boxes[other])]


@pytest.mark.parametrize("name", DRAWINGS)
def test_same_bytes_every_time(name):
    """The same drawing twice is the same SVG, byte for byte."""
    assert svg_of(DRAWINGS[name]()) == svg_of(DRAWINGS[name]())


@pytest.mark.parametrize("name", DRAWINGS)
def test_nothing_is_cut(name):
    """The outermost dots of the sheet are blank."""
    picture = io.BytesIO()
    DRAWINGS[name]().savefig(picture, format="png")
    picture.seek(0)
    dots = image.imread(picture)[..., :3]
    assert np.concatenate([dots[0], dots[-1], dots[:, 0], dots[:, -1]]).min() > 0.98


@pytest.mark.parametrize("draw", [draw_coverage, draw_coverage_by_size])
def test_nothing_to_draw_is_refused(draw):
    """A table without any share is refused with a sentence."""
    rows = rows_of("average gain").assign(value=np.nan, low=np.nan, high=np.nan)
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        draw(rows, level=0.95)
    assert str(caught.value) == (
        f"{draw.__name__}: needs at least 1 share to draw. Got none; say in words that there is none."
    )


def test_many_small_pictures_stay_legible_on_paper():
    """More than a dozen stand closer, so that one sheet holds them at more than half of their size."""
    every = [f"two raters: weighted kappa, {at}" for at in range(25)]
    figure = draw_coverage_by_size(rows_of(*every, sizes=(5, 10, 20, 40, 100)), level=0.95)
    width, height = figure.get_size_inches()
    assert TALLEST * width / height > width / 2
    assert [one.get_text() for one in figure.axes[0].get_xticklabels()] == ["5", "", "20", "", "100"]
