"""What lies beside a page for other programs: references, prose with its lengths, pictures, tables in one book."""

from __future__ import annotations

import base64
import io
import json
import re
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path

import pandas as pd

from kit.errors import UnknownChoiceError
from kit.report.committee import script as committee_script
from kit.report.layout import BUNDLE
from kit.report.narrative import narrative
from kit.report.runner import Cell
from kit.sources import SOURCES, Source

_PICTURE = re.compile(r'<figure id="([\w-]+)"[^>]*><img src="data:image/png;base64,([^"]+)"')
_BIB_SIGNS = str.maketrans({"&": r"\&", "%": r"\%", "_": r"\_", "#": r"\#", "$": r"\$", "{": r"\{", "}": r"\}"})
_NO_DAY = (1980, 1, 1, 0, 0, 0)
"""The day that stands for none in a packed file."""
FILES = ("references.bib", "references.json", "narrative.md", "tables.xlsx", "pooling.csv", *committee_script.FILES)
"""Everything that may lie beside a page under a name of its own; an earlier report's is taken away."""


def write_beside(folder: Path, cells: Sequence[Cell], numbers: pd.DataFrame, tables: Mapping[str, str]) -> None:
    """Write references, prose, pictures and tables beside a page.

    Parameters
    ----------
    folder : Path
        The report folder.
    cells : sequence of Cell
        The notebook after it has run.
    numbers : DataFrame
        All numbers of the page.
    tables : mapping of str to str
        Label of each printed table -> its CSV text, formulas escaped already.
    """
    keys = sorted({*numbers["source"].dropna(), *numbers["interval_source"].dropna()} - {""}) if len(numbers) else []
    cited = [SOURCES[key] for key in keys if SOURCES[key].year]
    (folder / "references.bib").write_text(bibtex(cited), encoding="utf-8", newline="\n")
    (folder / "references.json").write_text(csl(cited), encoding="utf-8", newline="\n")
    (folder / "narrative.md").write_text(narrative(cells), encoding="utf-8", newline="\n")
    for name, content in _files(cells):
        (folder / name).write_text(content, encoding="utf-8", newline="\n")
    for label, picture in _pictures(cells):
        (folder / "figures").mkdir(exist_ok=True)
        (folder / "figures" / f"{label}.png").write_bytes(picture)
    for shown in (shown[BUNDLE] for cell in cells for shown in cell.shown if BUNDLE in shown):
        if shown.get("svg"):
            (folder / "figures" / f"{shown['id']}.svg").write_text(shown["svg"], encoding="utf-8", newline="\n")
    if tables:
        (folder / "tables.xlsx").write_bytes(_book(tables))


def bibtex(sources: Iterable[Source]) -> str:
    """Write texts for BibTeX.

    Parameters
    ----------
    sources : iterable of Source
        Texts with a year.

    Returns
    -------
    str
        One ``@misc`` entry for each; a text cited from memory says so in its note.
    """
    entries = []
    for source in sources:
        fields = {
            "author": " and ".join(_authors(source)), "year": source.year, "title": source.title,
            "howpublished": source.where,
            **({"note": "cited from memory"} if source.status == "from memory" else {}),
        }  # fmt: skip
        lines = ",\n".join(f"  {name} = {{{text.translate(_BIB_SIGNS)}}}" for name, text in fields.items() if text)
        entries.append(f"@misc{{{source.key},\n{lines}\n}}\n")
    return "\n".join(entries)


def csl(sources: Iterable[Source]) -> str:
    """Write texts as CSL-JSON.

    Parameters
    ----------
    sources : iterable of Source
        Texts with a year.

    Returns
    -------
    str
        A JSON list, one item for each.
    """
    items = [
        {
            "id": source.key, "type": "document", "title": source.title,
            "author": [{"literal": name} for name in _authors(source)],
            "issued": {"raw": source.year}, "publisher": source.where,
            **({"note": "cited from memory"} if source.status == "from memory" else {}),
        }
        for source in sources
    ]  # fmt: skip
    return json.dumps(items, indent=1, ensure_ascii=False) + "\n"


def _authors(source: Source) -> list[str]:
    """Part the authors of a text; several are written with commas and an ampersand."""
    return [name.strip() for name in re.split(r",| & ", source.author) if name.strip()]


def _pictures(cells: Sequence[Cell]) -> Iterable[tuple[str, bytes]]:
    """Find the pictures of a page by their labels."""
    for cell in cells:
        for shown in cell.shown:
            for label, picture in _PICTURE.findall(str(shown.get("text/html", ""))):
                yield label, base64.b64decode(picture)


def _files(cells: Sequence[Cell]) -> Iterable[tuple[str, str]]:
    """Find the files that a cell hands over; other names are refused, since they would stay."""
    for cell in cells:
        for shown in cell.shown:
            for name, content in shown.get(BUNDLE, {}).get("files", {}).items():
                if name not in FILES:
                    raise UnknownChoiceError("write_beside", "name", name, FILES)
                yield name, content


def _book(tables: Mapping[str, str]) -> bytes:
    """Put all tables into one workbook, every cell as the text that is printed."""
    from openpyxl import Workbook  # noqa: PLC0415 - only a report that is written needs it

    book = Workbook()
    book.remove(book.active)
    for label, text in tables.items():
        sheet = book.create_sheet(label)
        rows = pd.read_csv(io.StringIO(text), dtype=str, keep_default_na=False)
        for row in (rows.columns.tolist(), *rows.to_numpy().tolist()):
            sheet.append([str(cell) for cell in row])
    book.properties.created = book.properties.modified = datetime(*_NO_DAY, tzinfo=UTC).replace(tzinfo=None)
    target = io.BytesIO()
    book.save(target)
    return _undated(target)


def _undated(book: io.BytesIO) -> bytes:
    """Pack a workbook again without the time of day, so that the same tables always give the same bytes."""
    packed = io.BytesIO()
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = re.sub(rb"<dcterms:modified[^>]*>[^<]*</dcterms:modified>", b"", old.read(name))
            new.writestr(zipfile.ZipInfo(name, _NO_DAY), content, zipfile.ZIP_DEFLATED)
    return packed.getvalue()
