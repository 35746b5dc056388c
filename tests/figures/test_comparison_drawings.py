"""The drawings of a comparison: what is drawn is what was found, and everything is legible."""

from dataclasses import replace

import pytest

from kit.figures import style
from kit.figures.attrition import draw_attrition
from kit.figures.baseline import draw_baseline
from kit.figures.choirs import draw_choirs
from kit.figures.growth_curves import draw_growth, frame
from kit.questions.comparison.start import boundary
from kit.report.drawn import svg_of
from tests.figures.test_drawings import shown_in
from tests.report import comparison_terms as terms
from tests.report.terms import estimate

ROWS = [row.apart for row in terms.BASELINES["plain"].rows]
GROWN = terms.CHOIRS.melt(["approach", "choir"], ["pre", "post"], "occasion", "mean")
LONG = (
    "Ear training before any notation is shown to the singers",
    "Printed page first, then ear training and hand signs afterwards",
)
DRAWINGS = {
    "choirs": lambda: draw_choirs(terms.CHOIRS, names=terms.NAMES),
    "choirs in percent": lambda: draw_choirs(terms.CHOIRS.assign(pre=0.4, post=0.5), unit="share"),
    "attrition": lambda: draw_attrition(boundary(), terms.LOSSES["plain"].levels),
    "high attrition": lambda: draw_attrition(boundary("optimistic"), [terms.lost("students", "high")]),
    "baseline": lambda: draw_baseline(ROWS),
    "far apart": lambda: draw_baseline([estimate("a long name of a measure, first test", "hedges_g", -1.4, unit="SD")]),
    "long names": lambda: draw_choirs(
        terms.CHOIRS.replace({"approach": dict(zip(terms.NAMES, LONG, strict=True))}), names=LONG
    ),
    "growth of long names": lambda: draw_growth(
        terms.CURVES,
        GROWN.replace({"approach": dict(zip(terms.NAMES, LONG, strict=True))}),
        names=LONG,
        occasions=("pre", "post"),
    ),
    "growth": lambda: draw_growth(terms.CURVES, GROWN, names=terms.NAMES, occasions=("pre", "post")),
}


def marks(figure):
    """Give the named marks of a drawing with their places."""
    return {
        line.get_gid(): (list(line.get_xdata()), list(line.get_ydata()))
        for line in figure.axes[0].lines
        if line.get_gid()
    }


@pytest.mark.parametrize("name", DRAWINGS)
def test_drawings_are_the_same_every_time(name):
    """Drawn twice, the bytes are the same."""
    assert svg_of(DRAWINGS[name]()) == svg_of(DRAWINGS[name]())


@pytest.mark.parametrize("name", DRAWINGS)
def test_all_type_is_large_enough_and_inside(name):
    """No type is smaller than the house's, and none leaves the sheet."""
    figure = DRAWINGS[name]()
    width, height = figure.canvas.get_width_height()
    for text in (one for one in shown_in(figure) if hasattr(one, "get_fontsize")):
        assert text.get_fontsize() >= style.TYPE
        box = text.get_window_extent()
        assert min(box.x0, box.y0) >= -1, text.get_text()
        assert (box.x1, box.y1) <= (width + 1, height + 1), text.get_text()
        assert box.y1 <= height + 1, text.get_text()


def test_one_mark_before_and_one_after_for_each_choir():
    """Each choir has one hollow mark at its first average and one solid at its second, in the order of the names."""
    drawn = marks(DRAWINGS["choirs"]())
    assert len(drawn) == 2 * len(terms.CHOIRS)
    for row in terms.CHOIRS.itertuples():
        assert drawn[f"{row.choir}, {row.approach}, before"][0] == [row.pre]
        assert drawn[f"{row.choir}, {row.approach}, after"][0] == [row.post]
    down = {gid.partition(",")[0]: y[0] for gid, (_, y) in drawn.items()}
    assert sorted(down, key=down.get) == ["Larch", "Oak", "Maple"]


def test_losses_stand_where_they_were_found():
    """Each level stands at its overall loss and the size of its difference; the line is the published table."""
    drawn = marks(DRAWINGS["attrition"]())
    assert drawn["students"] == ([0.086], [0.0405])
    assert drawn["boundary"][1] == list(boundary()["limit"])


def test_first_tests_stand_over_the_published_bands():
    """Each difference stands at its value, beyond the bands too, and the bands end at 0.05 and 0.25."""
    assert [place[0] for place in marks(DRAWINGS["baseline"]()).values()] == [[0.21], [-0.03]]
    figure = DRAWINGS["far apart"]()
    (place,) = marks(figure).values()
    assert place[0] == [-1.4]
    assert figure.axes[0].get_xlim()[0] < -1.4
    assert list(figure.axes[0].get_xticks()) == [-0.25, -0.05, 0.05, 0.25]


def test_growth_passes_through_the_averages():
    """Each approach's line passes through its averages, and each bar ends where its interval ends."""
    figure = DRAWINGS["growth"]()
    drawn = marks(figure)
    assert drawn["ear-first"][1] == [12.0, 16.0]
    ends = [tuple(path.vertices[:, 1]) for bars in figure.axes[0].collections for path in bars.get_paths()]
    assert ends == [(10.0, 14.0), (14.0, 18.0), (9.0, 13.0), (12.0, 16.0)]


def test_words_of_the_inner_band_stand_only_where_there_is_room():
    """Next to a large difference both ends of the band of 0.05 lie too close for their words; their marks stay."""
    words = {
        name: [one.get_text() for one in DRAWINGS[name]().axes[0].get_xticklabels()]
        for name in ("baseline", "far apart")
    }
    assert words["baseline"] == ["\u22120.25", "\u22120.05", "0.05", "0.25"]
    assert words["far apart"] == ["\u22120.25", "", "", "0.25"]


def test_long_bars_do_not_press_the_lines_flat():
    """Of two choirs the bars reach far below zero; the frame stays near the averages, and above zero as they do."""
    few = [
        [replace(one, interval=replace(one.interval, low=-17.0, high=43.0)) for one in curve] for curve in terms.CURVES
    ]
    axes = draw_growth(few, GROWN, names=terms.NAMES, occasions=("pre", "post")).axes[0]
    low, high = axes.get_ylim()
    assert (low, high) == pytest.approx(frame(few))
    assert low >= 0
    assert high < 30
    low, high = DRAWINGS["growth"]().axes[0].get_ylim()
    assert low < 9
    assert high > 18


@pytest.mark.parametrize(
    ("draw", "message"),
    [
        (
            lambda: draw_choirs(terms.CHOIRS.iloc[:0]),
            "draw_choirs: needs choirs of at most 2 approaches to draw. Got 0 choirs of 0.",
        ),
        (lambda: draw_attrition(boundary(), []), "draw_attrition: needs 1 to 4 levels to draw. Got 0."),
        (
            lambda: draw_baseline([terms.difference()]),
            "draw_baseline: differences must be in SD. Got points.",
        ),
        (
            lambda: draw_growth(
                [*terms.CURVES, terms.CURVES[0]], GROWN, names=("a", "b", "c"), occasions=("pre", "post")
            ),
            "draw_growth: needs at most 2 approaches. Got 3.",
        ),
    ],
)
def test_nothing_to_draw_is_refused(draw, message):
    """What cannot be drawn is refused in a sentence."""
    with pytest.raises(ValueError) as refused:  # noqa: PT011  the whole text is compared below
        draw()
    assert str(refused.value) == message
