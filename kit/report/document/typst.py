"""Parts of a report as text for Typst, which sets the PDF; every word stands inside quotation marks."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import groupby

from kit.report.document.columns import LONG_NOTE, columns_of
from kit.report.document.parts import (
    Box,
    Definitions,
    Document,
    Frame,
    Grid,
    Heading,
    Items,
    Paper,
    Paragraph,
    Part,
    Picture,
    Run,
    anchors_of,
    pictures_of,
)
from kit.report.tables.aligned import FIGURE, POINT

TYPE, DENSE = 9.5, 8.5
"""Points of the type of tables, and of those with much in a row."""
_PAPERS = {"letter": "us-letter", "a4": "a4"}
_TRAILING = re.compile(f"[{FIGURE}{POINT}]$")
_JOINER = "\u2060"
"""Nothing is seen of it; without it Typst drops blanks at the end of a line, and a number its place in its column."""
_CALLS = {"strong": "strong", "emph": "emph", "sub": "sub", "sup": "super", "code": "typed"}


def typst_of(document: Document, *, paper: Paper = "letter") -> str:
    """Write a report for Typst.

    Parameters
    ----------
    document : Document
        The report.
    paper : {"letter", "a4"}, optional
        The size of the sheets.

    Returns
    -------
    str
        Text that needs the template beside it, and its pictures as ``picture-1.png`` and so on.
    """
    places, language = anchors_of(document), document.language.partition("-")[0]
    numbers = {id(one): at for at, one in enumerate(pictures_of(document), 1)}
    return (
        '#import "document.typ": *\n'
        f"#show: sheet.with(title: {quoted(document.title)}, foot: {quoted(document.foot)}, "
        f"language: {quoted(language)}, paper: {quoted(_PAPERS[paper])})\n\n"
        f"{_Writer(places, numbers).all(document.parts)}\n"
    )


def quoted(text: str) -> str:
    r"""Write a text inside quotation marks of Typst, where nothing in it is a command.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str

    Examples
    --------
    >>> quoted('a "b" #c')
    '"a \\"b\\" #c"'
    """
    safe = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", " ")
    return '"' + re.sub(r"[\x00-\x1f\x7f]", "", safe) + '"'


class _Writer:
    """Write parts, knowing which places there are and the number of each picture."""

    def __init__(self, places: Collection[str], numbers: Mapping[int, int]) -> None:
        self.places, self.numbers = places, numbers

    def all(self, parts: Sequence[Part]) -> str:
        """Write parts below each other."""
        written: list[str] = []
        for note, group in groupby(enumerate(parts), lambda one: _is_note(one[1])):
            below = [self.before(part, parts[at + 1 : at + 2]) for at, part in group]
            written += _notes(below) if note else below
        return "\n\n".join(written)

    def before(self, part: Part, following: Sequence[Part]) -> str:
        """Write one part that stays with what follows, where it is a table with a note or leads to a list."""
        if isinstance(part, Grid):
            return self.grid(part, followed=any(map(_is_note, following)))
        leads = (
            isinstance(part, Paragraph) and part.style == "plain" and any(isinstance(one, Items) for one in following)
        )
        return f"#kit-lead[{self.part(part)}]" if leads else self.part(part)

    def part(self, part: Part) -> str:
        """Write one part that is no table."""
        match part:
            case Heading():
                return f"#heading(level: {part.level})[{self.text(part.runs)}]"
            case Paragraph():
                text = self.text(part.runs)
                return f"#kit-code[{text}]" if part.style == "code" else text
            case Frame():
                return f"#kit-{part.style}[{self.all(part.parts)}]"
            case Items():
                items = "".join(f"[{self.all(item)}]" for item in part.items)
                return f"#{'enum' if part.ordered else 'list'}(tight: false){items}"
            case Definitions():
                return "\n".join(f"#meant[{self.text(word)}][{self.text(meaning)}]" for word, meaning in part.words)
            case Picture():
                return self.picture(part)
        raise TypeError(type(part).__name__)

    def grid(self, grid: Grid, *, followed: bool) -> str:
        """Write a table; a short one stays with the note below it."""
        columns = columns_of(grid)
        widths = ", ".join(f"{100 * share:.2f}%" for share in columns.shares)
        whole = not columns.squeezed
        head = "".join(f"{self.box(box, whole)}, " for row in grid.head for box in row)
        cells = ",\n  ".join(", ".join(self.box(box, whole) for box in row) for row in grid.rows if row)
        size = (DENSE if columns.dense else TYPE) * columns.size
        kept = {"kept": columns.kept, "followed": followed, "rows": columns.rows_kept}
        how = ", ".join([*(f"{name}: {_yes(so)}" for name, so in kept.items()), f"size: {size:.2f}pt"])
        return (
            f"#told([{self.text(grid.caption)}], {how}, "
            f"columns: ({widths},), head: ({head}),\n  {cells}){_named(grid.label)}"
        )

    def box(self, box: Box, whole: bool) -> str:
        """Write a cell; the lines of numbers and other short cells are not broken."""
        spans = "".join(
            f"{name}: {number}, " for name, number in (("colspan", box.columns), ("rowspan", box.rows)) if number > 1
        )
        side = "align: right + top, " if box.side == "right" else ""
        inner = f"[{self.text(box.runs if whole else map(_breakable, box.runs))}]"
        inner = f"[#box{inner}]" if whole and box.whole and box.runs else inner
        return f"table.cell({side}{spans}{inner})" if side or spans else inner

    def picture(self, picture: Picture) -> str:
        """Write a picture."""
        name = quoted(f"picture-{self.numbers[id(picture)]}.{picture.ending}")
        return (
            f"#drawn(image({name}, alt: {quoted(picture.alt)}, width: {picture.printed:.2f}in), "
            f"[{self.text(picture.caption)}]){_named(picture.label)}"
        )

    def text(self, runs: Iterable[Run]) -> str:
        """Write some text as it is set."""
        return "".join(map(self.run, runs))

    def run(self, run: Run) -> str:
        """Write a piece of text; a click on it leads to a place that is there."""
        lines = [_TRAILING.sub(r"\g<0>" + _JOINER, line) for line in run.text.split("\n")]
        text = "#linebreak()".join(f"#{quoted(line)}" if line else "" for line in lines)
        for mark in run.marks if text else ():
            text = f"#{_CALLS[mark]}[{text}]"
        if run.width:
            text = f"#unit({run.width:g}em)[{text}]"
        if run.target in self.places and text:
            text = f"#link(label({quoted(run.target)}))[{text}]"
        return f"#metadata(none)#label({quoted(run.anchor)})" if run.anchor else text


def _is_note(part: Part) -> bool:
    """Tell a note from other parts."""
    return isinstance(part, Paragraph) and part.style == "note"


def _notes(below: list[str]) -> list[str]:
    """Write the notes below a table; of long ones the first stays with the table, and the rest may be parted."""
    every, rest = "\n\n".join(below), "\n\n".join(below[1:])
    if len(every) <= LONG_NOTE or not rest:
        return [f"#kit-note(breakable: {_yes(len(every) > LONG_NOTE)})[{every}]"]
    return [f"#kit-note(last: false)[{below[0]}]", f"#kit-note(breakable: true)[{rest}]"]


def _breakable(run: Run) -> Run:
    """Let a long word be broken where there is no other way."""
    return replace(run, text=re.sub(r"(\w{4})(?=\w{2})", "\\1\u200b", run.text))


def _named(label: str) -> str:
    """Give a table or a figure its name."""
    return f"#label({quoted(label)})" if label else ""


def _yes(whether: bool) -> str:
    """Write a truth for Typst."""
    return "true" if whether else "false"
