"""The drawings of practice: what is drawn is what was found, everything is legible, in grey too."""

import io

import matplotlib.image
import numpy as np
import pandas as pd
import pytest
from matplotlib.patches import Rectangle

from kit.figures.practice_curves import draw_break, draw_dose, draw_learning, draw_waiting
from kit.figures.practice_days import draw_days
from kit.figures.practice_heat import draw_instead, draw_weeks
from kit.questions.practice.degrees import MOST_WEEKS
from kit.report.drawn import svg_of
from tests.report.terms import estimate

MONDAYS = pd.date_range("2025-09-01", periods=13, freq="7D")
CELLS = pd.DataFrame([
    (label, week, 4 + at, [0.2, 0.9, np.nan][at % 3]) for label in ("low so", "do", "re") for at, week in
    enumerate(MONDAYS) if (label, at) != ("do", 1)
], columns=["label", "week", "tries", "share"])  # fmt: skip
YEAR = pd.DataFrame({
    "label": "do", "week": pd.date_range("2025-09-01", periods=MOST_WEEKS, freq="21D"), "tries": 1234, "share": 1.0,
})  # fmt: skip
YEAR.attrs["weeks"] = 3
INSTEAD = pd.DataFrame(
    [("do", "low ti", 0.6, 341), ("do", "re", 0.397, 341), ("do", "no answer", 0.003, 341), ("so", "fa", 1.0, 12)],
    columns=["label", "sung_label", "share", "misses"],
)
DAYS = pd.DataFrame({
    "choir": ["A choir with a long name of its own", "Fir", "Fir"], "date": pd.to_datetime(["2025-09-01", "2025-09-02",
    "2025-10-03"]), "minutes": [10.0, 5.0, np.nan], "before": [4.0, 0.0, np.nan],
})  # fmt: skip
CURVE = pd.DataFrame({"times": [0, 1, 2], "low": [0.3, 0.4, 0.5], "share": [0.4, 0.5, 0.6], "high": [0.5, 0.6, 0.7]})
STEPS = pd.DataFrame(
    {"times": [2.0, 3.0], "waiting": [0.8, 0.4], "low": [0.7, 0.3], "high": [0.9, 0.5], "censored": [3, 0]}
)
SIDES = pd.DataFrame([(0.74, 0.67, 27)], columns=["before", "after", "pairs"])
CHOIRS = pd.DataFrame(
    {
        "choir": list("ABCD"),
        "minutes": [180, 200, 250, 300],
        "start": [0.6, 0.5, 0.4, 0.3],
        "gain": [0.1, -0.05, 0.1, 0.2],
    }
)
LINES = pd.DataFrame({"choir": ["A", "B"], "slope": [0.03, -0.09], "spread": [3.0, 2.0], "students": [19, 23]})
WITHIN = estimate("growth by days heard alone, within choirs", "within_slope", 0.008, (-0.03, 0.04), unit="share")
DRAWINGS = {
    "weeks": lambda: draw_weeks(CELLS),
    "one week": lambda: draw_weeks(CELLS[CELLS["week"] == MONDAYS[0]]),
    "a year": lambda: draw_weeks(YEAR),
    "instead": lambda: draw_instead(INSTEAD, answers=["low ti", "re", "fa", "no answer"]),
    "days": lambda: draw_days(DAYS),
    "one day": lambda: draw_days(DAYS.iloc[1:2]),
    "no minutes": lambda: draw_days(DAYS.iloc[2:]),
    "learning": lambda: draw_learning(CURVE),
    "one point": lambda: draw_learning(CURVE.iloc[:1]),
    "waiting": lambda: draw_waiting(STEPS),
    "break": lambda: draw_break(SIDES),
    "dose": lambda: draw_dose(CHOIRS),
    "dose, both": lambda: draw_dose(CHOIRS, lines=LINES, within=WITHIN),
    "no lines": lambda: draw_dose(CHOIRS, lines=LINES.iloc[:0], within=WITHIN),
    "equal starts": lambda: draw_dose(CHOIRS.assign(start=0.5)),
}  # fmt: skip


def texts(figure):
    """Give what is written in a drawing."""
    return [text.get_text() for text in figure.axes[0].texts]


def shapes(figure):
    """Give the cells of a grid."""
    return [one for one in figure.axes[0].patches if isinstance(one, Rectangle)]


def visible(figure):
    """Give every text that is seen."""
    return [text for axes in figure.axes for text in written_in(axes)]


def written_in(axes):
    """Give every text that is seen in one part of a drawing."""
    ticks = [one.label1 for axis in (axes.xaxis, axes.yaxis) for one in axis.get_major_ticks()
             if axis.get_view_interval()[0] <= one.get_loc() <= axis.get_view_interval()[1]]  # fmt: skip
    labels = [*ticks, axes.xaxis.label, axes.yaxis.label, axes.title,
              axes._left_title]  # fmt: skip
    return [one for one in [*labels, *axes.texts] if one.get_text().strip() and one.get_visible()]


@pytest.mark.parametrize("name", DRAWINGS)
def test_drawings_are_the_same_every_time(name):
    """Drawn twice, the bytes are the same."""
    assert svg_of(DRAWINGS[name]()) == svg_of(DRAWINGS[name]())


@pytest.mark.parametrize("name", DRAWINGS)
def test_all_type_is_inside_the_sheet(name):
    """Nothing written leaves the sheet, nor is smaller than the counts in the cells."""
    figure = DRAWINGS[name]()
    figure.canvas.draw()
    width, height = figure.canvas.get_width_height()
    for text in visible(figure):
        assert text.get_fontsize() >= 8
        box = text.get_window_extent()
        assert min(box.x0, box.y0) >= -1, text.get_text()
        assert max(box.x1 - width, box.y1 - height) <= 1, text.get_text()


def test_cells_hold_their_share_and_count_and_empty_ones_are_hatched():
    """Percent and count in each cell, few where hidden, and the one cell that nobody was asked is hatched."""
    figure = DRAWINGS["weeks"]()
    written = texts(figure)
    assert len(written) == len(CELLS)
    assert written[:3] == ["20\n(4)", "90\n(5)", "few"]
    assert [bool(one.get_hatch()) for one in shapes(figure)].count(True) == 1
    assert len(shapes(figure)) == 39


def test_counts_fit_into_the_cells_of_a_long_log():
    """Of a whole year of weeks nothing written is wider than its cell."""
    figure = DRAWINGS["a year"]()
    figure.canvas.draw()
    axes = figure.axes[0]
    cell = axes.get_window_extent().width / axes.get_xlim()[1]
    assert max(text.get_window_extent().width for text in axes.texts) <= cell + 1


def grey(figure):
    """Give the drawing in shades of grey, 0 to 1."""
    file = io.BytesIO()
    figure.savefig(file, format="png", dpi=100)
    file.seek(0)
    picture = matplotlib.image.imread(file)[..., :3]
    return picture @ [0.2126, 0.7152, 0.0722]


@pytest.mark.parametrize("shares", [np.linspace(0, 1, 11)])
def test_darker_means_more_missed_in_grey_too(shares):
    """Shades of grey fall with every tenth more missed, and ink stays readable on each of them."""
    cells = pd.DataFrame({"label": "do", "week": MONDAYS[: len(shares)], "tries": 9, "share": shares})
    figure = draw_weeks(cells)
    faces = np.array([one.get_facecolor()[:3] for one in shapes(figure)])
    light = faces @ [0.2126, 0.7152, 0.0722]
    assert (np.diff(light) > 0).all()
    for face, text in zip(faces, figure.axes[0].texts, strict=True):
        assert contrast(face, matplotlib.colors.to_rgb(text.get_color())) >= 4.5


def contrast(one, other):
    """Give the contrast of two colours as the accessibility guidelines define it (WCAG 2.2, 1.4.3)."""
    linear = [
        np.where(np.array(c) <= 0.04045, np.array(c) / 12.92, ((np.array(c) + 0.055) / 1.055) ** 2.4)
        for c in (one, other)
    ]
    low, high = sorted(float(c @ [0.2126, 0.7152, 0.0722]) for c in linear)
    return (high + 0.05) / (low + 0.05)


def test_answers_and_misses_are_written_out():
    """Percent of the misses, less than one told as such, misses beside the note, all others hatched."""
    figure = DRAWINGS["instead"]()
    assert texts(figure) == ["60", "40", "<1", "100"]
    assert [one.get_text() for one in figure.axes[0].get_yticklabels()] == ["do (341)", "so (12)"]
    assert [bool(one.get_hatch()) for one in shapes(figure)].count(True) == 4


def test_minutes_are_as_high_as_they_are_long():
    """The tallest bar is the longest meeting; its part before notation is solid; no minutes are a cross."""
    figure = DRAWINGS["days"]()
    heights = sorted(round(bar.get_height() / 0.85, 3) for bar in shapes(figure) if bar.get_height() > 0)
    assert heights == [0.4, 0.5, 1.0]
    crosses = [len(line.get_xdata()) for line in figure.axes[0].lines if line.get_marker() == "x"]
    assert sum(crosses) == 1
    assert figure.axes[0]._left_title.get_text() == "tallest bar: 10 minutes; solid: before notation"


def test_curves_go_through_their_points():
    """The line of learning, the steps of waiting from all on, both sides of the break."""
    learning, waiting, sides = (DRAWINGS[name]().axes[0] for name in ("learning", "waiting", "break"))
    assert learning.lines[0].get_ydata().tolist() == [0.4, 0.5, 0.6]
    assert waiting.lines[0].get_ydata().tolist() == [1, 0.8, 0.4]
    assert waiting.lines[1].get_xdata().tolist() == [2.0]
    assert [line.get_ydata()[0] for line in sides.lines[1:]] == [0.74, 0.67]
    assert texts(sides.figure) == ["74", "67"]


def test_choirs_that_started_higher_are_larger():
    """Places are minutes and gains; sizes fall with the start as here; equal starts are equal."""
    points = DRAWINGS["dose"]().axes[0].collections[0]
    assert points.get_offsets().tolist() == CHOIRS[["minutes", "gain"]].to_numpy().tolist()
    assert (np.diff(points.get_sizes()) < 0).all()
    assert len(set(DRAWINGS["equal starts"]().axes[0].collections[0].get_sizes())) == 1


@pytest.mark.parametrize("name", ["weeks", "instead", "learning", "waiting", "dose", "days"])
def test_a_picture_in_grey_still_holds_different_shades(name):
    """At least three clearly different shades are left when colour is gone."""
    shades, counts = np.unique((grey(DRAWINGS[name]()) * 20).round(), return_counts=True)
    assert (counts > 30).sum() >= 3
    assert shades.min() < 8


def test_lines_within_choirs_are_the_slopes():
    """A thin line for each choir, a standard deviation to either side, and a thick one, in a band that opens from nought."""
    below = DRAWINGS["dose, both"]().axes[1]
    thin = [line for line in below.lines if line.get_linewidth() == 1 and len(line.get_xdata()) == 2][:2]
    assert [tuple(line.get_xdata()) for line in thin] == [(-3.0, 3.0), (-2.0, 2.0)]
    assert [line.get_ydata()[1] for line in thin] == pytest.approx([0.03 * 3 / 5, -0.09 * 2 / 5])
    (thick,) = [line for line in below.lines if line.get_linewidth() == 3]
    assert thick.get_ydata()[1] / thick.get_xdata()[1] * 5 == pytest.approx(0.008)
    corners = below.collections[0].get_paths()[0].vertices
    right = corners[np.isclose(corners[:, 0], corners[:, 0].max()), 1]
    assert sorted({round(float(one) * 5 / corners[:, 0].max(), 6) for one in right}) == [-0.03, 0.04]
    assert len(DRAWINGS["no lines"]().axes) == 1
