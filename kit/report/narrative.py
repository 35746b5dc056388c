"""The prose of a report for pasting into forms: plain text, part by part, each with its length and its limit."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kit.report.attached import attached
from kit.report.layout import BUNDLE, Shown, text
from kit.report.runner import Cell

NOT_PROSE = (
    "Reporting checklist", "Please read before using this report",
    "Words used in this report", "Where the numbers come from", "What lies beside this page",
)  # fmt: skip
"""Parts that no form asks for in prose."""
OPENING = (
    "This is the prose of the report, part by part, as plain text for pasting into forms. Below each part stands its "
    "length in characters: with blanks and line ends, as most forms count, and without them. Copy what stands between "
    "the heading and the line with the length."
)
NO_LIMITS = (
    "narrative.md, beside this page, holds the prose of this report as plain text for pasting into forms, with the "
    "length of each part. Where a form limits a part, a line in study.toml checks it: [program.limits] with lines such "
    'as "In short" = 1500.'
)
LIMITS = (
    "narrative.md, beside this page, holds the prose of this report as plain text for pasting into forms, with the "
    "length of each part and how far it lies above or below the limit that study.toml gives."
)
_TAG = re.compile(r'<(?:[^>"]|"[^"]*")*>')
_PARAGRAPH = re.compile(r"<(p|li)(?: [^>]*)?>(.*?)</\1>", re.DOTALL)


def forms(limits: Mapping[str, int]) -> Shown:
    """Say on the page that its prose lies beside it, and hand over the limits of a form.

    Parameters
    ----------
    limits : mapping of str to int
        Heading of a part -> most characters with blanks.

    Returns
    -------
    Shown
    """
    return attached(text([LIMITS if limits else NO_LIMITS]), limits=limits)


def narrative(cells: Sequence[Cell]) -> str:
    """Write the prose of a report, each part with its length, since forms limit them.

    Parameters
    ----------
    cells : sequence of Cell
        The notebook after it has run.

    Returns
    -------
    str
        Headings and paragraphs; no table, no figure, no note about what is not shown, and no part of `NOT_PROSE`.
    """
    limits = {name: most for behind in _behind(cells) for name, most in behind.get("limits", {}).items()}
    title, parts = "", []
    for heading, told in _parts(cells):
        if heading.startswith("# "):
            title = heading
        elif told and heading.removeprefix("## ") not in NOT_PROSE:
            name = heading.removeprefix("## ")
            parts.append(f"{heading}\n\n{told}\n\n({length(told, limits.get(name))})")
    known = [part.splitlines()[0].removeprefix("## ") for part in parts]
    astray = [f'No part with prose is called "{name}", so its limit was not looked at.' for name in limits
              if name not in known]  # fmt: skip
    return "\n\n".join(filter(None, (title, OPENING, *astray, *parts))) + "\n"


def length(told: str, most: int | None = None) -> str:
    """Say how long a text is, and how far that is from a limit.

    Parameters
    ----------
    told : str
        Plain text; a line end is one character.
    most : int, optional
        Most characters, blanks included.

    Returns
    -------
    str

    Examples
    --------
    >>> length("Ten words.", 8)
    '10 characters with blanks, 9 without; the limit is 8: over by 2'
    """
    whole = len(told)
    said = f"{whole:,} characters with blanks, {len(''.join(told.split())):,} without"
    if most is None:
        return said
    return f"{said}; the limit is {most:,}: {f'over by {whole - most:,}' if whole > most else f'{most - whole:,} left'}"


def _parts(cells: Sequence[Cell]) -> Iterator[tuple[str, str]]:
    """Give each heading with the paragraphs below it."""
    heading, told = "", []
    for cell in cells:
        if cell.kind == "markdown":
            yield heading, "\n\n".join(told)
            heading, told = cell.source.strip().splitlines()[0] if cell.source.strip() else "", []
        else:
            told += [prose for shown in cell.shown if (prose := _prose(shown))]
    yield heading, "\n\n".join(told)


def _prose(shown: Mapping[str, Any]) -> str:
    """Give the sentences of one object as plain text: a list line by line; nothing of a table, figure or note."""
    behind, body = shown.get(BUNDLE, {}), str(shown.get("text/html", ""))
    if behind.get("kind") != "text" or body.startswith(('<p class="note"', '<div class="banner"', "<dl", "<h2")):
        return ""
    lines = [html.unescape(_TAG.sub("", words)).strip() for _, words in _PARAGRAPH.findall(body)]
    return ("\n" if body.startswith("<ul") else " ").join(filter(None, lines))


def _behind(cells: Sequence[Cell]) -> Iterator[Mapping[str, Any]]:
    """Give what stands behind each shown object."""
    for cell in cells:
        for shown in cell.shown:
            yield shown.get(BUNDLE, {})
