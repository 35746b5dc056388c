"""Pictures of a drawing: the same bytes each time, SVG that looks the same everywhere."""

import json
import re
from xml.etree import ElementTree

from matplotlib.figure import Figure

from kit.report import layout
from kit.report.drawn import png_of, svg_of
from kit.report.layout import BUNDLE
from tests.report.test_build import CELLS, built, files


def drawing():
    """Draw a line with a name on it."""
    figure = Figure(figsize=(3, 2))
    axes = figure.subplots()
    axes.plot([1, 2], [3, 1], clip_on=True)
    axes.set_title("Thimble & Treble")
    return figure


def test_the_same_drawing_gives_the_same_bytes():
    """No day, no version, no random name in either."""
    one, two = drawing(), drawing()
    assert png_of(one) == png_of(two)
    assert svg_of(one) == svg_of(two)
    assert "Matplotlib" not in svg_of(one)
    assert not re.search(r"\d{4}-\d{2}-\d{2}T", svg_of(one))


def test_letters_of_an_svg_are_shapes():
    """It needs no typeface and fetches nothing; the words stand in comments."""
    text = svg_of(drawing())
    root = ElementTree.fromstring(text)
    assert not list(root.iter("{http://www.w3.org/2000/svg}text"))
    assert "<!-- Thimble &amp; Treble -->" in text
    assert {found for found in re.findall(r'href="([^"]*)"', text) if not found.startswith("#")} == set()


def test_a_figure_carries_its_svg_through_a_notebook():
    """What stands behind a shown figure survives as JSON."""
    shown = layout.figure(drawing(), number=3, caption="A line", alt="Down.")
    behind = json.loads(json.dumps(shown._repr_mimebundle_()[BUNDLE]))
    assert behind["id"] == "figure-3"
    assert behind["svg"] == svg_of(drawing())
    assert "svg" not in layout.text(["x"])._repr_mimebundle_()[BUNDLE]


def test_svg_lies_beside_png(tmp_path):
    """Each figure of a page is there in both, and both go when the figure goes."""
    page = built(tmp_path)
    assert {"figures/figure-1.png", "figures/figure-1.svg"} <= set(files(page.parent))
    built(tmp_path, cells=(*CELLS[:2], CELLS[-1]))
    assert not any(name.startswith("figures/") for name in files(page.parent))
