"""What a cell of a notebook shows: a text, a table or a figure, each as clean HTML with what stands behind it."""

from __future__ import annotations

import base64
import html
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

import pandas as pd
from matplotlib.figure import Figure as Drawing

from kit.estimate import Estimate
from kit.report import linked
from kit.report.drawn import png_of, svg_of
from kit.report.tables import aligned
from kit.report.tables import widths as table_columns
from kit.report.trace import escape_formulas, plain_row

BUNDLE = "application/vnd.kit+json"
"""Media type under which a shown object carries its estimates and table, whoever runs the notebook."""

KEPT_TOGETHER = 10
"""Rows of the longest table that is never parted between two printed pages."""
TextKind = Literal["plain", "box", "list", "note", "banner", "words"]


@dataclass(frozen=True, slots=True)
class Written:
    """A row of a table as HTML: its cells, and the name under which it can be reached."""

    cells: Sequence[str]
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One object on a page.

    Attributes
    ----------
    kind : str
        text, table or figure.
    label : str
        ``figure-2``; the anchor on the page; empty for texts.
    body : str
        Its HTML.
    plain : str
        Its text, for a terminal.
    estimates : tuple of Estimate
        The numbers on it.
    table : DataFrame or None
        The table as written to CSV.
    caption : str
        Its caption.
    svg : str
        A figure once more, as SVG.
    """

    kind: str
    body: str
    plain: str
    label: str = ""
    estimates: tuple[Estimate, ...] = ()
    table: pd.DataFrame | None = None
    caption: str = ""
    svg: str = ""

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, Any]:
        """Show the object in a notebook, with what stands behind it."""
        behind = {
            "kind": self.kind, "id": self.label, "caption": self.caption,
            **({"svg": self.svg} if self.svg else {}),
            "labels": [estimate.label for estimate in self.estimates],
            "estimates": [plain_row(estimate) for estimate in self.estimates],
            "csv": None if self.table is None else escape_formulas(self.table).to_csv(index=False, lineterminator="\n"),
        }  # fmt: skip
        return {"text/html": self.body, "text/plain": self.plain, BUNDLE: behind}


def text(
    sentences: Sequence[str], *, kind: TextKind = "plain", estimates: Sequence[Estimate] = (), lead: str = ""
) -> Shown:
    """Lay sentences out as a paragraph, a box, a list, a note or a banner.

    Parameters
    ----------
    sentences : sequence of str
        Plain text; it is escaped here.
    kind : str, optional
        How they are set.
    estimates : sequence of Estimate, optional
        The numbers in them.
    lead : str, optional
        What stands above a list.

    Returns
    -------
    Shown
    """
    safe = linked.sentences(sentences, estimates)
    if kind == "list":
        above = f"<p>{html.escape(lead)}</p>" if lead else ""
        body = f"{above}<ul>{''.join(f'<li>{sentence}</li>' for sentence in safe)}</ul>"
    elif kind in ("box", "banner"):
        body = f'<div class="{kind}">{"".join(f"<p>{sentence}</p>" for sentence in safe)}</div>'
    else:
        marked = "" if kind == "plain" else f' class="{kind}"'
        body = f"<p{marked}>{' '.join(safe)}</p>" if safe else ""
    return Shown(kind="text", body=body, plain=" ".join(sentences), estimates=tuple(estimates))


def heading(words: str) -> Shown:
    """Lay out the heading of a part."""
    return Shown(kind="text", body=f"<h2>{html.escape(words)}</h2>", plain=words)


def joined(first: Shown, second: Shown, *, table: pd.DataFrame) -> Shown:
    """Show two tables as one object, with one table behind both."""
    return replace(first, body=first.body + second.body, plain=f"{first.plain}\n{second.plain}", table=table)


def definitions(words: Sequence[tuple[str, str]], *, names: Sequence[str] = ()) -> Shown:
    """Lay words and their meanings out as a definition list; with names, each word can be reached."""
    marks = [f' id="{html.escape(name)}"' for name in names] or [""] * len(words)
    body = "".join(
        f"<dt{mark}>{html.escape(word)}</dt><dd>{html.escape(meaning)}</dd>"
        for (word, meaning), mark in zip(words, marks, strict=True)
    )
    return Shown(kind="text", body=f"<dl>{body}</dl>", plain="; ".join(f"{word}: {meaning}" for word, meaning in words))


def table(
    rows: pd.DataFrame,
    *,
    number: int,
    caption: str,
    notes: Sequence[str] = (),
    estimates: Sequence[Estimate] = (),
    known: Sequence[Estimate] = (),
    write: Callable[[Sequence[str]], Written] | None = None,
) -> Shown:
    """Lay rows out as a table with caption, column headings, row headings and notes below.

    Parameters
    ----------
    rows : DataFrame
        Cells as they are printed; the first column heads the rows. A column of words that are the same in each of
        five rows or more is told once, below. Columns that hold only numbers, signs and
        units of measure are set to the right, their decimal points under each other.
    number : int
        Number of the table.
    caption : str
        What the table shows.
    notes : sequence of str, optional
        Sentences below it.
    estimates : sequence of Estimate, optional
        The numbers in it.
    known : sequence of Estimate, optional
        Numbers that the page has shown already: a row whose heading names one of them leads to it too.
    write : callable, optional
        Writes the cells of a row as HTML; without it, numbers lead to their rows in the table of all numbers.

    Returns
    -------
    Shown

    Raises
    ------
    ValueError
        If there is no caption.
    """
    if not caption.strip():
        raise ValueError("table: caption must say what the table shows. Got an empty one.")
    texts = rows.map(_cell) if len(rows) else rows
    texts, once = table_columns.told_once(texts) if write is None else (texts, [])
    notes = [*once, *notes]
    write = write or (lambda cells: Written(linked.row(cells, estimates, known=known)))
    columns = [list(texts.iloc[:, at]) for at in range(texts.shape[1])]
    kinds = ["", *map(table_columns.kind, columns[1:])]
    sides = [f' class="{kind}"' if kind else "" for kind in kinds]
    head = "".join(
        f'<th scope="col"{table_columns.heading_set(str(name), kind)}>{html.escape(str(name))}</th>'
        for name, kind in zip(texts.columns, kinds, strict=False)
    )
    lines = "".join(_line(cells, sides, write) for cells in _set(columns, kinds))
    label = f"table-{number}"
    below = "".join(f'<p class="note">{html.escape(note)}</p>' for note in notes)
    classes, shares = _classes_and_shares(texts, columns)
    # a table wider than the screen can be moved with the arrow keys, and says what it is when it is reached
    body = (
        f'<div class="{classes}" id="{label}" role="region" tabindex="0" aria-label="Table {number}"><table>'
        f"<caption><span>Table {number}. {html.escape(caption)}</span></caption>{shares}"
        f"<thead><tr>{head}</tr></thead><tbody>{lines}</tbody></table></div>{below}"
    )
    return Shown(
        kind="table", label=label, body=body, plain=f"Table {number}. {caption}\n{rows.to_string(index=False)}",
        estimates=tuple(estimates), table=rows, caption=caption,
    )  # fmt: skip


def _classes_and_shares(rows: pd.DataFrame, columns: Sequence[Sequence[str]]) -> tuple[str, str]:
    """Say how a table is set, and how its columns share the width."""
    shares = table_columns.widths([str(name) for name in rows.columns], columns)
    dense = sum(map(table_columns.longest, columns)) > table_columns.WIDE
    asked = {"kept": len(rows) <= KEPT_TOGETHER, "dense": dense, "shared": bool(shares)}
    wide = "".join(f'<col style="width:{share}%">' if share else "<col>" for share in shares)
    classes = " ".join(["scroll", *(name for name, is_so in asked.items() if is_so)])
    return classes, f"<colgroup>{wide}</colgroup>" if shares else ""


def _set(columns: Sequence[Sequence[str]], kinds: Sequence[str]) -> list[tuple[aligned.Aligned, ...]]:
    """Give the cells row by row, those of numbers with their decimal points under each other."""
    set_ = [
        aligned.column(cells) if kind == "number" else [aligned.Aligned(cell) for cell in cells]
        for cells, kind in zip(columns, kinds, strict=True)
    ]
    return list(zip(*set_, strict=True))


def _line(cells: Sequence[aligned.Aligned], sides: Sequence[str], write: Callable) -> str:
    """Write a row of a table."""
    written = write([cell.number + cell.unit for cell in cells])
    first, *others = (
        _unit_apart(body, cell).replace("\n", "<br>") for body, cell in zip(written.cells, cells, strict=True)
    )
    values = "".join(f"<td{side}>{cell}</td>" for cell, side in zip(others, sides[1:], strict=True))
    name = f' id="{html.escape(written.name)}"' if written.name else ""
    # a heading without a word heads nothing
    heads = f'<th scope="row">{first}</th>' if first else "<td></td>"
    return f"<tr{name}>{heads}{values}</tr>"


def _unit_apart(body: str, cell: aligned.Aligned) -> str:
    """Give the unit of a cell the width of the longest of its column."""
    if not cell.width:
        return body
    unit = html.escape(cell.unit)
    return f'{body.removesuffix(unit)}<span class="u" style="width:{cell.width:g}em">{unit}</span>'


def figure(
    drawing: Drawing, *, number: int, caption: str, alt: str, note: str = "", estimates: Sequence[Estimate] = ()
) -> Shown:
    """Lay a drawing out with its caption and its alternative text.

    Parameters
    ----------
    drawing : matplotlib Figure
        The drawing.
    number : int
        Number of the figure.
    caption, alt : str
        What it shows, for those who see it and for those who do not.
    note : str, optional
        A sentence below the caption.
    estimates : sequence of Estimate, optional
        The numbers in it.

    Returns
    -------
    Shown

    Raises
    ------
    ValueError
        If caption or alternative text is missing.
    """
    for name, given in (("caption", caption), ("alt", alt)):
        if not given.strip():
            raise ValueError(f"figure: {name} must say what the figure shows. Got an empty one.")
    width, height = (round(inches * 96) for inches in drawing.get_size_inches())
    source = f"data:image/png;base64,{base64.b64encode(png_of(drawing)).decode()}"
    label = f"figure-{number}"
    below = html.escape(f"{caption.rstrip('.')}. {note}".strip())
    body = (
        f'<figure id="{label}" tabindex="0">'
        f'<img src="{source}" alt="{html.escape(alt)}" width="{width}" height="{height}">'
        f"<figcaption>Figure {number}. {below}</figcaption></figure>"
    )
    return Shown(
        kind="figure",
        label=label,
        body=body,
        plain=f"Figure {number}. {caption}",
        estimates=tuple(estimates),
        caption=caption,
        svg=svg_of(drawing),
    )


def _cell(value: object) -> str:
    """Write a table cell; nothing for a missing value."""
    return "" if value is None or value is pd.NA or value is pd.NaT or value != value else str(value)  # noqa: PLR0124
