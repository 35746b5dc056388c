"""A notebook -> a report folder: one self-contained page, all its numbers, the rows left out, its tables."""

from __future__ import annotations

import csv
import io
import re
import shutil
import tempfile
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import jinja2
import mistune
import pandas as pd

from kit.report.layout import BUNDLE
from kit.report.privacy import find_personal
from kit.report.runner import Cell, run_notebook
from kit.report.trace import numbers_table, write_tables

TEMPLATE = Path(__file__).parent / "template"
SHOWN_LABEL = "Label"
"""Heading of the column of labels in the table of all numbers."""


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
    CellError, StudyProblems, UnknownChoiceError
        As `kit.report.runner.run_notebook` raises them.
    """
    cells = run_notebook(notebook, parameters, isolated=isolated)
    behind = [shown[BUNDLE] for cell in cells for shown in cell.shown if BUNDLE in shown]
    numbers = numbers_table(row for one in behind for row in one["estimates"])
    _check_trail(numbers, behind)
    page = page_of(cells)
    _refuse_outside(page)
    out.parent.mkdir(parents=True, exist_ok=True)
    # beside its final place, on the same disk, so that putting it there cannot stop half way
    with tempfile.TemporaryDirectory(prefix=".new-", dir=out.parent) as temporary:
        folder = Path(temporary)
        (folder / f"{name}.html").write_bytes(page.encode())
        write_tables(folder, numbers, left_out, {one["id"]: one["csv"] for one in behind if one["csv"]})
        _refuse_personal(folder, list(personal))
        _replace(folder, out)
    return out / f"{name}.html"


def page_of(cells: list[Cell]) -> str:
    """Lay the cells out as one page.

    Parameters
    ----------
    cells : list of Cell
        A notebook after it has run.

    Returns
    -------
    str
        HTML without script and without any outside address.
    """
    template, style = _template()
    parts = [
        {"markdown": _markdown(cell.source)} if cell.kind == "markdown" else {"code": cell.source, "shown": _html(cell)}
        for cell in cells
        if cell.kind in ("markdown", "code")
    ]
    heading = next((c.source for c in cells if c.kind == "markdown" and c.source.startswith("# ")), "# Report")
    banner = next((text for cell in cells for text in _html(cell) if 'class="banner"' in text), "")
    return template.render(parts=parts, title=heading.lstrip("# ").splitlines()[0], style=style, banner=banner)


def _markdown(source: str) -> str:
    """Turn a markdown cell into HTML, without any HTML that stands in it."""
    body = mistune.create_markdown(escape=True, plugins=["table"])(source)
    return re.sub(r"<th(?=[ >])", '<th scope="col"', body)


def _html(cell: Cell) -> list[str]:
    """Take what a cell shows as HTML; anything else is no part of a report."""
    return [shown["text/html"] for shown in cell.shown if "text/html" in shown]


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
    """Compare the labels on the page with those in its table of all numbers, where it has one."""
    tables = [
        list(csv.DictReader(io.StringIO(o["csv"]))) for o in behind if (o["csv"] or "").startswith(f"{SHOWN_LABEL},")
    ]
    if not tables:
        return
    listed, shown = {row[SHOWN_LABEL] for row in tables[-1]}, set(numbers["label"])
    if listed != shown:
        astray = ", ".join(sorted(listed ^ shown))
        raise UntracedNumberError(
            f"These numbers are on the page or in its table of all numbers, not in both: {astray}."
        )


def _refuse_outside(page: str) -> None:
    """Refuse a page that would run a script or fetch something; what schools wrote is escaped and cannot."""
    found = re.search(r"<script|\b(?:src|href|action)=\"(?!data:|#)[^\"]*", page, re.IGNORECASE)
    if found:
        raise OutsideAddressError(
            f"The report was not written: its page would fetch or run something ({found.group()[:60]}). "
            "A report holds everything itself; take the link, picture or script out of the notebook."
        )


def _refuse_personal(folder: Path, personal: list[str]) -> None:
    """Search every text file of a report for what belongs to a person."""
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            found = find_personal(path.read_text(encoding="utf-8"), personal)
            if found:
                hints = ", ".join(f"{word[0]}... ({len(word)} letters)" for word in found[:3])
                raise PersonalDataError(
                    f"The report was not written: {path.name} would hold {len(found)} names, school ids or addresses "
                    f"of the input, such as {hints}. "
                    "Check the titles, choirs and labels in study.toml and in the headings of the sheets."
                )


def _replace(folder: Path, out: Path) -> None:
    """Put a complete report in the place of an earlier one, and leave what else is in the folder alone."""
    out.mkdir(exist_ok=True)
    shutil.rmtree(out / "tables", ignore_errors=True)
    for name in ("numbers.csv", "left_out.csv"):
        (out / name).unlink(missing_ok=True)
    for path in sorted(folder.iterdir()):
        path.replace(out / path.name)
