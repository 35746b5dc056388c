"""Files beside a page: references, prose with its lengths, pictures and one book of tables."""

import json

import pandas as pd
import pytest
from openpyxl import load_workbook

from kit.errors import UnknownChoiceError
from kit.report.beside import bibtex, csl, write_beside
from kit.report.layout import BUNDLE
from kit.report.runner import Cell
from kit.sources import Source

ONE = Source("doe-1999", "Doe, Roe & Poe", "1999", "Choirs & {more}", "Journal 1, 2-3", "from memory")
PNG = "aGVsbG8="


def shown(kind, plain="", html=""):
    """Make one object that a cell showed."""
    return {"text/plain": plain, "text/html": html, BUNDLE: {"kind": kind}}


CELLS = [
    Cell("markdown", "# Report"),
    Cell("code", "x", [shown("text", "Ten letters.")]),
    Cell("markdown", "## Empty part"),
    Cell("code", "x", [shown("table", "Table 1", "<table></table>")]),
    Cell("markdown", "## What came out"),
    Cell("code", "x", [shown("text", "One."), shown("text", "Two."),
                       shown("figure", "Figure 1", f'<figure id="figure-1"><img src="data:image/png;base64,{PNG}"')]),
]  # fmt: skip


def test_bibtex_has_every_author_and_says_what_was_not_seen():
    """Signs that mean something to BibTeX are escaped; memory is told."""
    assert bibtex([ONE]) == (
        "@misc{doe-1999,\n  author = {Doe and Roe and Poe},\n  year = {1999},\n  title = {Choirs \\& \\{more\\}},\n"
        "  howpublished = {Journal 1, 2-3},\n  note = {cited from memory}\n}\n"
    )


def test_csl_is_a_list_of_items():
    """Id, title, authors and year, as citation programs read them."""
    [item] = json.loads(csl([ONE]))
    assert (item["id"], item["title"], item["issued"]) == ("doe-1999", "Choirs & {more}", {"raw": "1999"})
    assert [author["literal"] for author in item["author"]] == ["Doe", "Roe", "Poe"]


def test_files_of_a_cell_are_written_and_others_refused(tmp_path):
    """What a cell hands over lies beside the page; a name that no later report would take away is refused."""
    numbers = pd.DataFrame({"source": [], "interval_source": []})
    handed = {"text/plain": "x", "text/html": "<p>x</p>", BUNDLE: {"kind": "text", "files": {"committee.R": "1 + 1\n"}}}
    write_beside(tmp_path, [Cell("code", "x", [handed])], numbers, {})
    assert (tmp_path / "committee.R").read_bytes() == b"1 + 1\n"
    handed[BUNDLE]["files"] = {"../run.sh": "x"}
    with pytest.raises(UnknownChoiceError, match="write_beside: name must be one of"):
        write_beside(tmp_path, [Cell("code", "x", [handed])], numbers, {})


def test_everything_is_written(tmp_path):
    """Four files and the pictures; the book has a sheet for each table, its cells as text."""
    numbers = pd.DataFrame({"source": ["becker-1988", "counting"], "interval_source": ["student-1908", None]})
    write_beside(tmp_path, CELLS, numbers, {"table-1": "A,B\n'=1+1,007\n"})
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "figures", "narrative.md", "references.bib", "references.json", "tables.xlsx",
    ]  # fmt: skip
    assert (tmp_path / "figures" / "figure-1.png").read_bytes() == b"hello"
    sheet = load_workbook(tmp_path / "tables.xlsx")["table-1"]
    assert [[cell.value for cell in row] for row in sheet] == [["A", "B"], ["'=1+1", "007"]]
    assert {item["id"] for item in json.loads((tmp_path / "references.json").read_text())} == {
        "becker-1988", "student-1908",
    }  # fmt: skip
