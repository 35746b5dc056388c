"""The style of an open notebook comes with its first cell and does not get into a page."""

from kit.report import layout
from kit.report.build import page_of
from kit.report.in_notebook import styled, unstyled
from kit.report.page import Page
from kit.report.runner import Cell


def test_the_style_comes_and_goes():
    """What a cell shows is the same again once its style is taken out; what has none stays."""
    shown = layout.text(["Title"], kind="banner")
    assert ".jp-RenderedHTMLCommon a.n" in styled(shown).body
    assert unstyled(styled(shown).body) == shown.body
    assert unstyled("<p>x</p>") == "<p>x</p>"


def test_a_page_has_no_style_of_a_notebook():
    """Only the style of the page is in it, and the title is that of the banner."""
    banner = Page(title="Two Larches", design="D1").banner()
    page = page_of([Cell("markdown", "# Review"), Cell("code", "page.banner()", [banner._repr_mimebundle_()])])
    assert "jp-RenderedHTMLCommon" not in page
    assert "<title>Review, Two Larches</title>" in page
    assert page.count("<style>") == 1


def test_every_rule_stays_inside_what_cells_show():
    """No rule touches the notebook's own windows and buttons."""
    style = styled(layout.text(["x"])).body.partition("*/")[2].partition("</style>")[0]
    assert all(line.startswith(".jp-RenderedHTMLCommon ") for line in style.strip().splitlines())
