"""What a cell of a notebook shows: a text, a table or a figure, each as clean HTML with what stands behind it."""

from __future__ import annotations

import base64
import html
import io
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

import pandas as pd
from matplotlib.figure import Figure as Drawing

from kit.estimate import Estimate
from kit.report.trace import escape_formulas, plain_row

BUNDLE = "application/vnd.kit+json"
"""Media type under which a shown object carries its estimates and table, whoever runs the notebook."""

DOTS_PER_INCH = 200
"""Sharp in print; a higher number makes a page larger and slower, not clearer."""
_WRITTEN_NUMBER = r"less than|more than|no limit|\b(?:to|points?|SD|students?|choirs?)\b|[\d\s.,%+\-−–<>]"
KEPT_TOGETHER = 14
"""Rows of the longest table that is never parted between two printed pages."""
SHORT = 24
"""Letters of the longest cell that is never broken into two lines."""
WIDE = 75
"""Letters side by side in the longest row of a table in ordinary type; a longer one is set smaller."""
TextKind = Literal["plain", "box", "list", "note", "banner", "words"]


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
    """

    kind: str
    body: str
    plain: str
    label: str = ""
    estimates: tuple[Estimate, ...] = ()
    table: pd.DataFrame | None = None
    caption: str = ""

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, Any]:
        """Show the object in a notebook, with what stands behind it."""
        behind = {
            "kind": self.kind, "id": self.label, "caption": self.caption,
            "labels": [estimate.label for estimate in self.estimates],
            "estimates": [plain_row(estimate) for estimate in self.estimates],
            "csv": None if self.table is None else escape_formulas(self.table).to_csv(index=False, lineterminator="\n"),
        }  # fmt: skip
        return {"text/html": self.body, "text/plain": self.plain, BUNDLE: behind}


def text(sentences: Sequence[str], *, kind: TextKind = "plain", estimates: Sequence[Estimate] = ()) -> Shown:
    """Lay sentences out as a paragraph, a box, a list, a note or a banner.

    Parameters
    ----------
    sentences : sequence of str
        Plain text; it is escaped here.
    kind : str, optional
        How they are set.
    estimates : sequence of Estimate, optional
        The numbers in them.

    Returns
    -------
    Shown
    """
    safe = [html.escape(sentence) for sentence in sentences]
    if kind == "list":
        body = f"<ul>{''.join(f'<li>{sentence}</li>' for sentence in safe)}</ul>"
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


def definitions(words: Sequence[tuple[str, str]]) -> Shown:
    """Lay words and their meanings out as a definition list."""
    body = "".join(f"<dt>{html.escape(word)}</dt><dd>{html.escape(meaning)}</dd>" for word, meaning in words)
    return Shown(kind="text", body=f"<dl>{body}</dl>", plain="; ".join(f"{word}: {meaning}" for word, meaning in words))


def table(
    rows: pd.DataFrame, *, number: int, caption: str, notes: Sequence[str] = (), estimates: Sequence[Estimate] = ()
) -> Shown:
    """Lay rows out as a table with caption, column headings, row headings and notes below.

    Parameters
    ----------
    rows : DataFrame
        Cells as they are printed; the first column heads the rows. Columns that hold only numbers, signs and
        units of measure are set to the right.
    number : int
        Number of the table.
    caption : str
        What the table shows.
    notes : sequence of str, optional
        Sentences below it.
    estimates : sequence of Estimate, optional
        The numbers in it.

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
    sides = ["", *(_side(rows[column]) for column in rows.columns[1:])]
    head = "".join(
        f'<th scope="col"{side}>{html.escape(str(name))}</th>' for name, side in zip(rows.columns, sides, strict=False)
    )
    lines = []
    for row in rows.itertuples(index=False):
        first, *others = (html.escape(_cell(value)).replace("\n", "<br>") for value in row)
        cells = "".join(f"<td{side}>{cell}</td>" for cell, side in zip(others, sides[1:], strict=True))
        lines.append(f'<tr><th scope="row">{first}</th>{cells}</tr>')
    label = f"table-{number}"
    below = "".join(f'<p class="note">{html.escape(note)}</p>' for note in notes)
    # a table wider than the screen can be moved with the arrow keys, and says what it is when it is reached
    kept = " kept" if len(lines) <= KEPT_TOGETHER else ""
    dense = " dense" if sum(map(_longest, (rows[column] for column in rows))) > WIDE else ""
    body = (
        f'<div class="scroll{kept}{dense}" id="{label}" role="region" tabindex="0" aria-label="Table {number}"><table>'
        f"<caption>Table {number}. {html.escape(caption)}</caption>"
        f"<thead><tr>{head}</tr></thead><tbody>{''.join(lines)}</tbody></table></div>{below}"
    )
    return Shown(
        kind="table", label=label, body=body, plain=f"Table {number}. {caption}\n{rows.to_string(index=False)}",
        estimates=tuple(estimates), table=rows, caption=caption,
    )  # fmt: skip


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
    picture = io.BytesIO()
    # without the library's version in it, so that the same numbers always give the same bytes
    drawing.savefig(picture, format="png", dpi=DOTS_PER_INCH, metadata={"Software": None})
    width, height = (round(inches * 96) for inches in drawing.get_size_inches())
    source = f"data:image/png;base64,{base64.b64encode(picture.getvalue()).decode()}"
    label = f"figure-{number}"
    below = html.escape(f"{caption.rstrip('.')}. {note}".strip())
    body = (
        f'<figure id="{label}"><img src="{source}" alt="{html.escape(alt)}" width="{width}" height="{height}">'
        f"<figcaption>Figure {number}. {below}</figcaption></figure>"
    )
    return Shown(
        kind="figure",
        label=label,
        body=body,
        plain=f"Figure {number}. {caption}",
        estimates=tuple(estimates),
        caption=caption,
    )


def _cell(value: object) -> str:
    """Write a table cell; nothing for a missing value."""
    return "" if value is None or value is pd.NA or value is pd.NaT or value != value else str(value)  # noqa: PLR0124


def _is_numeric(column: pd.Series) -> bool:
    """Say whether a column holds numbers, as numbers or written for people with their units."""
    written = column.astype(str).str.replace(_WRITTEN_NUMBER, "", regex=True)
    return bool(len(column)) and written.eq("").all()


def _side(column: pd.Series) -> str:
    """Mark the cells of a column that is set to the right, or whose cells are too short to be broken."""
    if _is_numeric(column):
        return ' class="number"'
    return ' class="short"' if len(column) and _longest(column) <= SHORT else ""


def _longest(column: pd.Series) -> int:
    """Count the letters of the longest line in a column."""
    return max((len(line) for value in column for line in _cell(value).split("\n")), default=0)
