"""The drawing of sizes against choirs: what is drawn is what is in the table, legible in grey, the same every time."""

from __future__ import annotations

import io

import numpy as np
import pandas as pd
import pytest
from matplotlib import image
from matplotlib.text import Text

from kit.figures import style
from kit.figures.planning import LOOKS, draw_detectable
from kit.report.drawn import svg_of


def rows_of(*shares, numbers=(4, 8, 12, 40), first_from=8):
    """Make a table of falling sizes."""
    return pd.DataFrame([
        {"choirs": choirs, "alike": share, "first_test": choirs >= first_from, "value": (1 + 3 * share) * 6 / choirs,
         "why": ""}
        for share in shares for choirs in numbers
    ])  # fmt: skip


DRAWINGS = {
    "three": lambda: draw_detectable(rows_of(0.1, 0.2, 0.3), own=8),
    "one": lambda: draw_detectable(rows_of(0.125), own=4),
    "four": lambda: draw_detectable(rows_of(0.05, 0.1, 0.2, 0.33), own=120),
    "no first test": lambda: draw_detectable(rows_of(0.1, 0.2, numbers=(4, 5, 6)), own=5),
}  # fmt: skip


def texts(figure):
    """Give every text that is drawn."""
    figure.draw(figure.canvas.get_renderer())
    return [text for text in figure.findobj(Text) if text.get_text() and text.get_visible()]


@pytest.mark.parametrize("shares", [(0.1,), (0.1, 0.3)])
def test_points_drawn_are_rows(shares):
    """Each line passes through its rows, and filled and hollow marks part them by the first test."""
    rows = rows_of(*shares)
    lines = {line.get_gid(): line for line in draw_detectable(rows, own=8).axes[0].lines if line.get_gid()}
    for share in shares:
        for first_test, words, hollow in ((True, "first test", False), (False, "no first test", True)):
            line = lines[f"{100 * share:g} % between choirs, {words}"]
            some = rows[(rows["alike"] == share) & (rows["first_test"] == first_test)]
            assert list(line.get_xdata()) == list(some["choirs"])
            assert list(line.get_ydata()) == list(some["value"])
            assert (line.get_markerfacecolor() == style.WHITE) == hollow


def test_own_choirs_are_marked():
    """An upright line stands at the choirs of the plan, which the axis names."""
    axes = draw_detectable(rows_of(0.1), own=12).axes[0]
    (own,) = [line for line in axes.lines if line.get_gid() == "own"]
    assert list(own.get_xdata()) == [12, 12]
    assert "this plan, 12" in axes.get_xlabel()


def test_rows_without_a_number_are_not_drawn():
    """A row that cannot be told has no mark."""
    rows = rows_of(0.1)
    rows.loc[0, "value"] = np.nan
    axes = draw_detectable(rows, own=8).axes[0]
    assert 4 not in {x for line in axes.lines for x in line.get_xdata() if line.get_gid() != "own"}


def test_lines_differ_in_grey():
    """Lines differ in dashes and marks, not in color alone."""
    assert len({str(line) for line, _, _ in LOOKS}) == len({mark for _, mark, _ in LOOKS}) == len(LOOKS)


def test_smallest_type_is_legible():
    """No text is smaller than the type that a phone can show."""
    assert min(text.get_fontsize() for text in texts(DRAWINGS["three"]())) >= style.TYPE


@pytest.mark.parametrize("name", DRAWINGS)
def test_no_text_reaches_over_the_edge(name):
    """Every text lies inside the sheet."""
    figure = DRAWINGS[name]()
    sheet = figure.bbox
    legend = figure.axes[0].get_legend().get_window_extent()
    assert legend.x1 <= sheet.x1
    assert legend.y1 <= sheet.y1
    for text in texts(figure):
        box = text.get_window_extent()
        assert sheet.x0 <= box.x0, text.get_text()
        assert sheet.y0 <= box.y0, text.get_text()


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


@pytest.mark.parametrize("name", DRAWINGS)
def test_the_legend_hides_no_mark(name):
    """No mark lies under the names of the lines."""
    figure = DRAWINGS[name]()
    figure.draw(figure.canvas.get_renderer())
    axes = figure.axes[0]
    box = axes.get_legend().get_window_extent()
    for line in axes.lines:
        if line.get_gid() and line.get_gid() != "own":
            points = axes.transData.transform(np.column_stack([line.get_xdata(), line.get_ydata()]))
            assert not any(box.contains(x, y) for x, y in points)


@pytest.mark.parametrize(("rows", "number"), [(rows_of(0.1).iloc[:0], 0), (rows_of(0, 0.1, 0.2, 0.3, 0.4), 5)])
def test_messages(rows, number):
    """Nothing to draw, or more lines than can be told apart, is refused with a sentence."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        draw_detectable(rows, own=8)
    assert str(caught.value) == f"draw_detectable: needs 1 to 4 shares between choirs to draw. Got {number}."
