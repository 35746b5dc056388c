"""A page as a tree of tags, and the text in it as it is set."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from html.parser import HTMLParser

from kit.report.document.parts import Run, Runs

VOID = frozenset(["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"])
UNSEEN = frozenset(["style", "script", "title", "template", "noscript"])
UNSEEN_CLASSES = frozenset(("code", "switch", "running"))
MARKED = {
    "strong": "strong", "b": "strong", "em": "emph", "i": "emph", "sub": "sub", "sup": "sup", "code": "code",
    "kbd": "code", "samp": "code",
}  # fmt: skip
CLOSES = {"li": ("li",), "td": ("td", "th"), "th": ("td", "th"), "tr": ("td", "th", "tr"), "dt": ("dt", "dd"),
          "dd": ("dt", "dd"), "p": ("p",)}  # fmt: skip
"""Tags that end another one that was left open."""


_BLANKS = " \n"
"""What is left out at the end of a text; a blank as wide as a figure keeps a number in its place."""
_WIDTH = re.compile(r"(?<![-\w])width:\s*([\d.]+)em")


@dataclass(slots=True)
class Node:
    """A tag with what is in it."""

    tag: str
    given: dict[str, str] = field(default_factory=dict)
    inner: list[Node | str] = field(default_factory=list)

    @property
    def classes(self) -> set[str]:
        """Give its classes."""
        return set(self.given.get("class", "").split())

    @property
    def unseen(self) -> bool:
        """Say whether it is not for print."""
        hidden = self.given.get("aria-hidden") == "true" or "hidden" in self.given
        return self.tag in UNSEEN or hidden or bool(self.classes & UNSEEN_CLASSES)

    def all(self, *tags: str) -> Iterator[Node]:
        """Find every tag of some kinds inside."""
        for one in self.inner:
            if isinstance(one, Node):
                if one.tag in tags:
                    yield one
                yield from one.all(*tags)


class _Tree(HTMLParser):
    """Read a page as a tree."""

    def __init__(self) -> None:
        super().__init__()
        self.open = [Node("")]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Begin a tag, and end what it ends."""
        while self.open[-1].tag in CLOSES.get(tag, ()):
            self.open.pop()
        node = Node(tag, {name: value or "" for name, value in attrs})
        self.open[-1].inner.append(node)
        if tag not in VOID:
            self.open.append(node)

    def handle_endtag(self, tag: str) -> None:
        """End a tag, with everything that was left open in it."""
        at = next((at for at in range(len(self.open) - 1, 0, -1) if self.open[at].tag == tag), 0)
        if at:
            del self.open[at:]

    def handle_data(self, data: str) -> None:
        """Keep text."""
        self.open[-1].inner.append(data)


def tree_of(page: str) -> Node:
    """Read a page as a tree.

    Parameters
    ----------
    page : str
        HTML, also with tags left open.

    Returns
    -------
    Node
        One without a name, with the page in it.
    """
    tree = _Tree()
    tree.feed(page)
    tree.close()
    return tree.open[0]


def runs_in(inner: Iterable[Node | str]) -> Runs:
    """Read text as it is set, with the blanks of a page run together.

    Parameters
    ----------
    inner : iterable of Node and str
        What is in a tag.

    Returns
    -------
    tuple of Run
        Without blanks at both ends; empty where there is no letter.
    """
    tidy: list[Run] = []
    for run in _loose(inner, Run("")):
        text = re.sub(r" *\n *", "\n", re.sub(r"[ \t\r\f]+", " ", run.text))
        if not tidy or tidy[-1].text.endswith((" ", "\n")):
            text = text.lstrip(" ")
        if text or run.anchor or run.width:
            tidy.append(replace(run, text=text))
    while tidy and not tidy[-1].anchor and not tidy[-1].width and not tidy[-1].text.strip(_BLANKS):
        tidy.pop()
    if tidy:
        tidy[-1] = replace(tidy[-1], text=tidy[-1].text.rstrip(_BLANKS))
    return tuple(tidy)


def letters_in(node: Node) -> str:
    """Give the letters of a tag as they stand there."""
    return "".join(one if isinstance(one, str) else letters_in(one) for one in node.inner)


def _loose(inner: Iterable[Node | str], like: Run) -> Iterator[Run]:
    """Give the pieces of some text, each with its marks."""
    for one in inner:
        if isinstance(one, str):
            yield replace(like, text=one.replace("\n", " "))
        elif one.tag in ("br", "wbr"):
            yield replace(like, text="\n" if one.tag == "br" else "\u200b")
        elif not one.unseen:
            if one.given.get("id"):
                yield Run("", anchor=one.given["id"])
            inside = _inside(one, like)
            # a number without a unit keeps the place of one
            yield from _loose(one.inner, inside) if one.inner else [inside] if inside.width and not like.width else []


def _inside(node: Node, like: Run) -> Run:
    """Say how text inside a tag is set."""
    mark, href = MARKED.get(node.tag), node.given.get("href", "")
    width = _WIDTH.search(node.given.get("style", ""))
    return replace(
        like,
        marks=like.marks if mark is None or mark in like.marks else (*like.marks, mark),
        target=href[1:] if href.startswith("#") else like.target,
        hint=node.given.get("aria-description") or node.given.get("title") or like.hint,
        width=float(width[1]) if width else like.width,
    )
