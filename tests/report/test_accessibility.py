"""Every page can be read without a mouse, without eyes, without good eyes, on a telephone and on paper."""

import re
from html.parser import HTMLParser
from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path

import pytest

from kit.figures import style
from kit.report.build import TEMPLATE
from tests.report.browser import browser, look_at
from tests.report.pages import READERS, WORKBENCHES, pages_of, small_study

NAMES = [*(f"{name}, {audience}" for name in READERS for audience in ("teacher", "public")), *WORKBENCHES]
needs_browser = pytest.mark.skipif(
    browser() is None or find_spec("axe_core_python") is None,
    reason="no Chromium (or no axe-core-python) here: the accessibility engine runs in a browser",
)
FAULTY = (
    '<!DOCTYPE html><html lang="en"><head><title>x</title></head><body><main><h1>Faults</h1><h3>Left out</h3>'
    '<p style="color: #999">Too pale to be read.</p><img src="data:image/gif;base64,">'
    '<div style="width: 2000px">wide</div></main></body></html>'
)


class Outline(HTMLParser):
    """Read what a page is made of: its language, headings, places, and attributes of tags."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def all(self, *names: str) -> list[dict[str, str | None]]:
        return [attrs for tag, attrs in self.tags if tag in names]

    @property
    def headings(self) -> list[int]:
        return [int(tag[1]) for tag, _ in self.tags if re.fullmatch("h[1-6]", tag)]


@pytest.fixture(scope="module")
def pages(tmp_path_factory) -> dict[str, str]:
    """Make all pages of a small study once."""
    return pages_of(small_study(tmp_path_factory.mktemp("study")))


@pytest.fixture(scope="module")
def outlines(pages) -> dict[str, Outline]:
    """Read all pages."""
    return {name: Outline(page) for name, page in pages.items()}


@pytest.fixture(scope="module")
def found(pages) -> dict[str, dict]:
    """Look at all pages, and at one with faults, in one start of a browser."""
    return look_at({**pages, "faulty": FAULTY}, rows=4)


@pytest.fixture(scope="module")
def demo() -> dict[str, str]:
    """Make all pages of the invented district."""
    return pages_of(Path(__file__).parents[2] / "synthetic_data" / "two_larches")


@needs_browser
@pytest.mark.parametrize("name", NAMES)
def test_the_engine_finds_nothing(found, name):
    """No fault of levels A and AA or of best practice, and no contrast that cannot be told."""
    assert found[name]["faults"] == []
    assert [one for one in found[name]["unsure"] if one.startswith("color-contrast")] == []
    assert {"color-contrast", "document-title", "heading-order", "html-has-lang", "link-name"} <= set(
        found[name]["passed"]
    )


@needs_browser
@pytest.mark.parametrize("name", NAMES)
def test_no_page_is_wider_than_the_screen(found, name):
    """At 1000, 390 and 320 pixels nothing but tables and pictures, in their own frames, can be moved sideways."""
    assert {width: wide <= int(width) for width, wide in found[name]["wide"].items()} == {
        "1000": True,
        "390": True,
        "320": True,
    }


@needs_browser
def test_the_engine_finds_what_is_there(found):
    """A page with faults is told each of them, and that it is too wide."""
    names = {fault.partition(":")[0] for fault in found["faulty"]["faults"]}
    assert {"color-contrast", "heading-order", "image-alt"} <= names
    assert found["faulty"]["wide"]["320"] > 320


@pytest.mark.slow
@needs_browser
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_the_engine_finds_nothing_in_the_whole_demo(demo, dark):
    """Every row of every page of the invented district, in light and where a reader asks for dark pages."""
    found = look_at(demo, dark=dark)
    assert {name: one["faults"] for name, one in found.items() if one["faults"]} == {}
    assert {
        name for name, one in found.items() if any(wide > int(width) for width, wide in one["wide"].items())
    } == set()
    assert [one for page in found.values() for one in page["unsure"] if one.startswith("color-contrast")] == []


@pytest.mark.parametrize("name", NAMES)
def test_headings_go_down_step_by_step(outlines, name):
    """One title, and no level of heading left out on the way down."""
    levels = outlines[name].headings
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(lower - upper <= 1 for upper, lower in pairwise(levels))


@pytest.mark.parametrize("name", NAMES)
def test_language_pictures_and_tables_say_what_they_are(outlines, name):
    """The language is set, every picture is described, every table has a caption and headings with their scope."""
    page = outlines[name]
    assert page.all("html") == [{"lang": "en"}]
    assert all((picture["alt"] or "").strip() for picture in page.all("img"))
    assert len(page.all("caption")) == len(page.all("table"))
    assert {heading.get("scope") for heading in page.all("th")} <= {"col", "row"}


@pytest.mark.parametrize("name", NAMES)
def test_the_keyboard_gets_everywhere(outlines, name):
    """What can be moved sideways can be reached and has a name, and the first key leads to the report."""
    page = outlines[name]
    moved = [attrs for attrs in page.all("div") if "scroll" in (attrs.get("class") or "").split()]
    assert moved
    assert all((one["tabindex"], one["role"]) == ("0", "region") and one["aria-label"] for one in moved)
    assert all(one["tabindex"] == "0" for one in page.all("figure"))
    assert page.all("a")[0] == {"class": "skip", "href": "#report"}
    assert [attrs["id"] for attrs in page.all("main")] == ["report"]


@pytest.mark.parametrize("name", NAMES)
def test_every_link_leads_somewhere(outlines, name):
    """A name stands once on a page, and every link leads to one that is there."""
    page = outlines[name]
    names = [attrs["id"] for _, attrs in page.tags if "id" in attrs]
    assert len(names) == len(set(names))
    assert {attrs["href"] for attrs in page.all("a")} <= {f"#{one}" for one in names}


STYLE = (TEMPLATE / "page.css").read_text(encoding="utf-8")
COLORS = [dict(re.findall(r"--(\w+): (#\w{6})", block)) for block in re.findall(r":root \{([^}]*)\}", STYLE)]


def luminance(color: str) -> float:
    """Give the relative luminance of a color (WCAG 2.2, definition of relative luminance; from memory)."""
    parts = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    """Give the contrast ratio of two colors (WCAG 2.2, success criterion 1.4.3; from memory)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_that_of_the_standard():
    """Black on white is 21 to 1; grey #767676 on white is 4.54 to 1 (WCAG 2.1 techniques, G18; from memory)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("colors", COLORS, ids=["light", "dark", "print"])
@pytest.mark.parametrize("text", ["ink", "soft", "mark", "warn"])
def test_text_stands_out_from_its_ground(colors, text):
    """Text of every kind has a contrast of 4.5 to 1 at least, on paper and in a tinted box."""
    assert min(contrast(colors[text], colors[ground]) for ground in ("paper", "tint")) >= 4.5


@pytest.mark.parametrize("file", ["page.css", "notebook.css"])
@pytest.mark.parametrize("color", style.COLORS)
def test_what_is_drawn_stands_out_on_the_dimmed_card_of_a_dark_page(color, file):
    """Drawings keep a light card in the dark, less bright than white: their colors stand out from it and from pale areas."""
    [dim] = map(float, re.findall(r"brightness\((\.\d+)\)", (TEMPLATE / file).read_text(encoding="utf-8")))

    def dimmed(one):
        return "#" + "".join(f"{round(int(one[at : at + 2], 16) * dim):02x}" for at in (1, 3, 5))

    assert dim < 1
    assert min(contrast(dimmed(color), dimmed(ground)) for ground in (style.WHITE, style.PALE)) >= 4.5


def test_there_are_colors_for_light_dark_and_print():
    """Each of the three sets names every color, so that none is left from another."""
    assert len(COLORS) == 3
    assert {tuple(colors) for colors in COLORS} == {("paper", "ink", "soft", "rule", "tint", "mark", "warn")}


def test_paper_keeps_things_together():
    """On paper pictures, rows and short tables are not cut, headings stay with what follows, and any paper size serves."""
    printed = STYLE[STYLE.index("@media print") :]
    kept = re.search(r"([^{}]*)\{ break-inside: avoid; \}", printed)[1]
    assert {"figure", "tr", ".box"} <= set(re.split(r",\s*", kept.strip()))
    assert re.search(r"h1, h2, h3, dt, caption \{ break-after: avoid; \}", printed)
    assert not re.search(r"@page[^{]*\{[^}]*\bsize:", STYLE)
    assert re.search(r"figure img \{[^}]*max-height: \d+mm", printed)


def test_this_file_names_every_notebook():
    """A notebook that is added is looked at too."""
    there = {path.stem for path in (Path(__file__).parents[2] / "notebooks").glob("*.ipynb")}
    assert there == {*READERS, *WORKBENCHES}
