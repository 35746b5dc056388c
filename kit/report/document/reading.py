"""From a finished page to the parts of a document: the page is the one master, so no format can say anything else."""

from __future__ import annotations

import base64
import binascii
import re
from collections.abc import Iterator
from dataclasses import replace

from kit.report.document.parts import (
    Box,
    Definitions,
    Document,
    DocumentError,
    Frame,
    Framed,
    Grid,
    Heading,
    Items,
    Paragraph,
    Part,
    Picture,
    Run,
    Runs,
    Style,
    words_of,
)
from kit.report.document.tree import Node, letters_in, runs_in, tree_of
from kit.report.tables.widths import SHORT

FRAMES: tuple[Framed, ...] = ("box", "banner")
"""Classes on the page of what stands in a frame."""
INLINE = {
    "a", "abbr", "b", "bdi", "bdo", "br", "cite", "code", "data", "del", "dfn", "em", "i", "ins", "kbd", "label",
    "mark", "q", "s", "samp", "small", "span", "strong", "sub", "sup", "time", "u", "var", "wbr",
}  # fmt: skip
"""Tags that stand inside a line."""
PICTURE = re.compile(r"data:image/(png|jpeg|gif);base64,(.*)", re.DOTALL)
PIXELS = 96
"""Of a page in an inch."""
USUAL = 6.4
"""Inches of the width of a page's pictures."""
UNDESCRIBED = "A picture without a description."


def document_of(page: str) -> Document:
    """Take a page apart.

    Parameters
    ----------
    page : str
        As `kit.report.build.page_of` gives it.

    Returns
    -------
    Document

    Raises
    ------
    DocumentError
        If a picture is of a kind that Word would leave blank.
    """
    root = tree_of(page)
    language = next((one.given["lang"] for one in root.all("html") if one.given.get("lang")), "en")
    title = next((letters_in(one) for one in root.all("title")), "Report")
    parts = tuple(_parts(next(root.all("main"), root)))
    banner = next((one for one in parts if isinstance(one, Frame) and one.style == "banner"), Frame("banner", ()))
    foot = [one for one in banner.parts if isinstance(one, Paragraph)]
    return Document(parts, title, ". ".join(_joined(one.runs).rstrip(".") for one in foot), language)


def _parts(node: Node, label: str = "") -> Iterator[Part]:
    """Give the parts of what is in a tag; text between blocks becomes a paragraph of its own."""
    loose: list[Node | str] = []
    for one in (*node.inner, None):
        if isinstance(one, str) or (one is not None and one.tag in INLINE and not one.unseen):
            loose.append(one)
            continue
        runs = runs_in(loose)
        loose = []
        if runs:
            yield Paragraph(runs)
        if one is not None and not one.unseen:
            yield from _part(one, label)


def _part(node: Node, label: str) -> Iterator[Part]:
    """Turn one tag into parts; a table has the label of the tag around it."""
    framed = next((name for name in FRAMES if name in node.classes), "quote" if node.tag == "blockquote" else None)
    if framed:
        yield Frame(framed, tuple(_parts(Node("div", {}, node.inner))))
        return
    match node.tag:
        case "h1" | "h2" | "h3" | "h4" | "h5" | "h6":
            yield from (Heading(int(node.tag[1]), runs) for runs in [_reachable(node)] if words_of(runs))
        case "p" if not any(node.all("img", "table", "figure", "svg")):
            style: Style = "note" if "note" in node.classes else "plain"
            yield from (Paragraph(runs, style) for runs in [runs_in(node.inner)] if runs)
        case "pre":
            yield Paragraph((Run(letters_in(node).strip("\n")),), "code")
        case "ul" | "ol":
            rows = tuple(tuple(_parts(one)) for one in node.inner if isinstance(one, Node) and one.tag == "li")
            yield from (Items(rows, ordered=node.tag == "ol") for _ in rows[:1])
        case "dl":
            yield _definitions(node)
        case "table":
            yield from (grid for grid in [_grid(node, label)] if grid.columns)
        case "figure" if not any(node.all("table")):
            yield from _pictures(node)
        case "img":
            yield _picture(node)
        case "svg" | "canvas" | "math" | "object":
            raise DocumentError(
                f"The page holds a drawing of a kind (<{node.tag}>) that Word would leave blank. "
                "Show it as a PNG picture in the notebook, or make the page alone (--to html)."
            )
        case _:
            yield from _parts(node, node.given.get("id", "") if "scroll" in node.classes else label)


def _definitions(node: Node) -> Definitions:
    """Read words with their meanings; a meaning without a word stands alone."""
    words: list[tuple[Runs, Runs]] = []
    for one in node.all("dt", "dd"):
        if one.tag == "dt":
            words.append((_reachable(one), ()))
        else:
            word, known = words.pop() if words else ((), ())
            words.append((word, (*known, *runs_in(one.inner))))
    return Definitions(tuple(words))


def _grid(node: Node, label: str) -> Grid:
    """Read a table; its heading rows are those of its head, or a first row of headings only."""
    rows = [row for row in node.all("tr") if any(row.all("td", "th"))]
    inside = {id(row) for head in node.all("thead") for row in head.all("tr")}
    if not inside and rows and not any(rows[0].all("td")):
        inside = {id(rows[0])}
    caption = next((runs_in(one.inner) for one in node.all("caption")), ())
    return Grid(
        label=label or node.given.get("id", ""),
        caption=caption,
        head=tuple(_row(row) for row in rows if id(row) in inside),
        rows=tuple(_row(row) for row in rows if id(row) not in inside),
    )


def _row(row: Node) -> tuple[Box, ...]:
    """Read the cells of a row; what a click leads to may be the row itself."""
    boxes = [_box(one) for one in row.inner if isinstance(one, Node) and one.tag in ("td", "th")]
    if boxes and row.given.get("id"):
        boxes[0] = replace(boxes[0], runs=(Run("", anchor=row.given["id"]), *boxes[0].runs))
    return tuple(boxes)


def _reachable(node: Node) -> Runs:
    """Read the text of a tag that a click may lead to."""
    here = (Run("", anchor=node.given["id"]),) if node.given.get("id") else ()
    return here + runs_in(node.inner)


def _box(node: Node) -> Box:
    """Read a cell."""
    # a long heading above short numbers is broken rather than the table made small
    long = node.tag == "th" and len(letters_in(node)) > SHORT
    right = "number" in node.classes or re.search(r"text-align:\s*right", node.given.get("style", ""))
    return Box(
        _reachable(node),
        heads=node.tag == "th",
        side="right" if right else "left",
        columns=_count(node.given.get("colspan", "")),
        rows=_count(node.given.get("rowspan", "")),
        whole=bool(node.classes & {"number", "short"}) and not long,
    )


def _count(text: str) -> int:
    """Read how many columns or rows a cell covers."""
    return max(1, min(int(text), 1000)) if text.isdecimal() else 1


def _pictures(node: Node) -> Iterator[Part]:
    """Read a figure; the caption belongs to its first picture."""
    caption = next((runs_in(one.inner) for one in node.all("figcaption")), ())
    for at, one in enumerate(node.all("img")):
        yield replace(_picture(one), caption=() if at else caption, label="" if at else node.given.get("id", ""))
    if not any(node.all("img")):
        yield from _parts(Node("div", {}, node.inner))


def _picture(node: Node) -> Picture:
    """Read a picture, which must be of a kind that Word and Typst both show."""
    found = PICTURE.fullmatch(node.given.get("src", "").strip())
    try:
        content = base64.b64decode(found[2]) if found else b""
    except binascii.Error:
        content = b""
    if not found or not content:
        raise DocumentError(
            "A picture on the page is not PNG, JPEG or GIF, and Word would leave it blank. "
            "Show it as PNG in the notebook, or make the page alone (--to html)."
        )
    ending = {"jpeg": "jpg"}.get(found[1], found[1])
    width, height = (_inches(node.given.get(side, "")) for side in ("width", "height"))
    if not (width and height) and ending == "png":
        # its own size stands in its head; it is shown as wide as the page
        wide, high = (int.from_bytes(content[at : at + 4], "big") for at in (16, 20))
        width, height = USUAL, USUAL * high / max(wide, 1)
    return Picture(
        content=content,
        ending=ending,
        alt=node.given.get("alt", "").strip() or UNDESCRIBED,
        **({"width": width, "height": height} if width and height else {}),
    )


def _inches(pixels: str) -> float:
    """Read a length on the page; 0 where there is none."""
    return int(pixels) / PIXELS if pixels.isdecimal() else 0.0


def _joined(runs: Runs) -> str:
    """Give text in one line."""
    return " ".join("".join(run.text for run in runs).split())
