"""A notebook -> a report folder: one self-contained page, all its numbers, the rows left out, its tables."""

from __future__ import annotations

import csv
import html
import io
import re
import shutil
import tempfile
from collections.abc import Iterable, Mapping
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import jinja2
import mistune
import pandas as pd

from kit.report.beside import FILES, write_beside
from kit.report.document import Forms, write_documents
from kit.report.document.parts import Paper
from kit.report.headings import with_anchors
from kit.report.in_notebook import unstyled
from kit.report.layout import BUNDLE
from kit.report.privacy.scan import scan_folder
from kit.report.repeats import without_repeats
from kit.report.runner import Cell, run_notebook
from kit.report.trace import numbers_table, write_tables

TEMPLATE = Path(__file__).parent / "template"
SHOWN_LABEL = "Label"
"""Heading of the column of labels in the table of all numbers."""


ACTIVE_TAGS = ("script", "iframe", "object", "embed", "link", "base", "form", "applet")
ADDRESSES = ("src", "srcset", "href", "xlink:href", "action", "formaction", "data", "poster", "background", "ping")
_FETCHED = re.compile(r"@import|url\((?!\s*[\"']?(?:data:|#))", re.IGNORECASE)
UNDESCRIBED = "A picture added to the notebook, without a description."


class PersonalDataError(ValueError):
    """A finished report holds a name, a school id or an address; it was not written."""


class OutsideAddressError(ValueError):
    """A finished page would run a script or fetch something from elsewhere; it was not written."""


class UntracedNumberError(ValueError):
    """A number on the page is not in the table of all numbers, or the other way round."""


def build_report(
    notebook: Path,
    parameters: Mapping[str, object],
    out: Path,
    *,
    name: str,
    isolated: bool = False,
    personal: Iterable[str] = (),
    left_out: pd.DataFrame | None = None,
    forms: Forms = Forms(),  # noqa: B008 - it cannot be changed
) -> Path:
    """Run a notebook and write its report folder.

    Parameters
    ----------
    notebook : Path
        The template.
    parameters : mapping
        Values for its parameters cell.
    out : Path
        The folder; an earlier report in it is replaced, and only when the new one is complete. Other files
        in it stay.
    name : str
        Name of the page without ending.
    isolated : bool, optional
        Run the notebook in a kernel of its own.
    personal : iterable of str, optional
        Names and school ids that must not be in any file.
    left_out : DataFrame, optional
        The set-aside table.
    forms : Forms, optional
        What is written beside the page: for Word, as PDF.

    Returns
    -------
    Path
        The page.

    Raises
    ------
    PersonalDataError
        If a file would hold a name, a school id or an e-mail address.
    UntracedNumberError
        If the table of all numbers and the page do not agree.
    OutsideAddressError
        If the page would run a script or fetch something.
    DocumentError
        If it cannot be written for Word or as PDF.
    CellError, StudyProblems, UnknownChoiceError
        As `kit.report.runner.run_notebook` raises them.
    """
    cells = run_notebook(notebook, parameters, isolated=isolated)
    behind = [shown[BUNDLE] for cell in cells for shown in cell.shown if BUNDLE in shown]
    numbers = numbers_table(row for one in behind for row in one["estimates"])
    _check_trail(numbers, behind)
    page = page_of(cells, paper=forms.paper)
    _refuse_outside(page)
    out.parent.mkdir(parents=True, exist_ok=True)
    # beside its final place, on the same disk, so that putting it there cannot stop half way
    with tempfile.TemporaryDirectory(prefix=".new-", dir=out.parent) as temporary:
        folder = Path(temporary)
        (folder / f"{name}.html").write_bytes(page.encode())
        tables = {one["id"]: one["csv"] for one in behind if one["csv"]}
        write_tables(folder, numbers, left_out, tables)
        write_beside(folder, cells, numbers, tables)
        documents = write_documents(page, folder, name, forms)
        _refuse_personal(folder, list(personal), documents)
        _replace(folder, out, name)
    return out / f"{name}.html"


def page_of(cells: list[Cell], *, paper: Paper | None = None) -> str:
    """Lay the cells out as one page.

    Parameters
    ----------
    cells : list of Cell
        A notebook after it has run.
    paper : {"letter", "a4"}, optional
        The size of the sheets when the page is printed; by default the reader's own.

    Returns
    -------
    str
        HTML without script and without any outside address.
    """
    template, style = _template()
    style += f"@page {{ size: {paper}; }}\n" if paper else ""
    used = [cell for cell in cells if cell.kind in ("markdown", "code")]
    made = [(_markdown(cell.source), []) if cell.kind == "markdown" else ("", _html(cell)) for cell in used]
    parts = [
        {"markdown": text} if cell.kind == "markdown" else {"code": cell.source, "shown": shown}
        for cell, (text, _), shown in zip(used, made, without_repeats(made), strict=True)
    ]
    heading = next((c.source for c in cells if c.kind == "markdown" and c.source.startswith("# ")), "# Report")
    banner = next((text for cell in cells for text in _html(cell) if 'class="banner"' in text), "")
    about = html.unescape(re.sub(r"<[^>]+>", "", banner.partition("</p>")[0])).strip()
    title = ", ".join(filter(None, (heading.removeprefix("# ").splitlines()[0].strip(), about)))
    return template.render(parts=parts, title=title, style=style, banner=banner)


def _markdown(source: str) -> str:
    """Turn a markdown cell into HTML, without any HTML that stands in it."""
    body = mistune.create_markdown(escape=True, plugins=["table"])(source)
    return with_anchors(re.sub(r"<th(?=[ >])", '<th scope="col"', body))


def _html(cell: Cell) -> list[str]:
    """Take what a cell shows; what a user added without our layout is not lost, and a picture says what it lacks."""
    return [_as_html(shown) for shown in cell.shown]


def _as_html(shown: Mapping[str, Any]) -> str:
    """Give the best that an output has: its HTML, its picture, its text."""
    if "text/html" in shown:
        return unstyled(shown["text/html"])
    if "image/png" in shown:
        source = f"data:image/png;base64,{shown['image/png'].strip()}"
        return f'<figure><img src="{source}" alt="{UNDESCRIBED}"><figcaption>{UNDESCRIBED}</figcaption></figure>'
    return f'<pre class="printed">{html.escape(shown.get("text/plain", ""))}</pre>'


@cache
def _template() -> tuple[jinja2.Template, str]:
    """Read template and style sheet.

    A template of our own on the two libraries below nbconvert, which itself takes longer to import than the
    whole report takes to make.
    """
    environment = jinja2.Environment(
        autoescape=True, trim_blocks=True, lstrip_blocks=True, undefined=jinja2.StrictUndefined
    )
    source = (TEMPLATE / "page.html.j2").read_text(encoding="utf-8")
    return environment.from_string(source), (TEMPLATE / "page.css").read_text(encoding="utf-8")


def _check_trail(numbers: pd.DataFrame, behind: list[dict[str, Any]]) -> None:
    """Compare the labels on the page with those in its table of all numbers."""
    tables = [
        list(csv.DictReader(io.StringIO(o["csv"]))) for o in behind if (o["csv"] or "").startswith(f"{SHOWN_LABEL},")
    ]
    listed = {row[SHOWN_LABEL] for table in tables for row in table}
    shown = set(numbers["label"])
    if listed != shown:
        astray = ", ".join(sorted(listed ^ shown))
        raise UntracedNumberError(
            f"These numbers are on the page or in its table of all numbers, not in both: {astray}."
        )


class _Outside(HTMLParser):
    """Find what a browser would run or fetch: schools' words are escaped, but a user's cell may show anything."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Look at a tag and at each of its attributes."""
        if tag in ACTIVE_TAGS or (tag == "meta" and ("http-equiv", "refresh") in attrs):
            self.found.append(f"<{tag}>")
        for name, value in attrs:
            address = name in ADDRESSES and not (value or "").strip().lower().startswith(("data:image/", "#"))
            if address or name.startswith("on") or (name == "style" and _FETCHED.search(value or "")):
                self.found.append(f'{name}="{value}"')

    def handle_data(self, data: str) -> None:
        """Look at a style sheet."""
        if self.cdata_elem == "style" and _FETCHED.search(data):
            self.found.append("a style sheet with an address")


def _refuse_outside(page: str) -> None:
    """Refuse a page that would run a script or fetch something."""
    parser = _Outside()
    parser.feed(page)
    if parser.found:
        raise OutsideAddressError(
            f"The report was not written: its page would fetch or run something ({parser.found[0][:60]}). "
            "A report holds everything itself; take the link, picture or script out of the notebook."
        )


def _refuse_personal(folder: Path, personal: list[str], documents: Mapping[str, str]) -> None:
    """Search every file of a report for what belongs to a person; printed documents by their words."""
    for found in scan_folder(folder, personal, texts=documents):
        hints = ", ".join(f"{word[0]}... ({len(word)} letters)" for word in found.words[:3])
        raise PersonalDataError(
            f"The report was not written: {found.file.rpartition('/')[2]} would hold {len(found.words)} names, school "
            f"ids or addresses of the input, such as {hints}. "
            "Check the titles, choirs and labels in study.toml and in the headings of the sheets."
        )


def _replace(folder: Path, out: Path, page: str) -> None:
    """Put a complete report in the place of an earlier one, and leave what else is in the folder alone."""
    out.mkdir(exist_ok=True)
    for name in ("tables", "figures"):
        shutil.rmtree(out / name, ignore_errors=True)
    for name in ("numbers.csv", "left_out.csv", f"{page}.docx", f"{page}.pdf", *FILES):
        (out / name).unlink(missing_ok=True)
    for path in sorted(folder.iterdir()):
        path.replace(out / path.name)
