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
from typing import Any

import pandas as pd

from kit.report.layout import BUNDLE
from kit.report.runner import Cell
from kit.sources import SOURCES, Source

_PICTURE = re.compile(r'<figure id="([\w-]+)"><img src="data:image/png;base64,([^"]+)"')
_BIB_SIGNS = str.maketrans({"&": r"\&", "%": r"\%", "_": r"\_", "#": r"\#", "$": r"\$", "{": r"\{", "}": r"\}"})
_NO_DAY = (1980, 1, 1, 0, 0, 0)
"""The day that stands for none in a packed file."""
FILES = ("references.bib", "references.json", "narrative.md", "tables.xlsx")


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
    for label, picture in _pictures(cells):
        (folder / "figures").mkdir(exist_ok=True)
        (folder / "figures" / f"{label}.png").write_bytes(picture)
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


def narrative(cells: Sequence[Cell]) -> str:
    """Write the prose of a report as Markdown, each part with its number of characters, since forms limit them.

    Parameters
    ----------
    cells : sequence of Cell
        The notebook after it has run.

    Returns
    -------
    str
        Headings and paragraphs; no table and no figure.
    """
    parts: list[tuple[str, list[str]]] = [("", [])]
    for cell in cells:
        if cell.kind == "markdown":
            parts.append((cell.source.strip(), []))
            continue
        parts[-1][1].extend(_prose(shown) for shown in cell.shown if _is_prose(shown))
    written = []
    for heading, paragraphs in parts:
        told = "\n\n".join(filter(None, paragraphs))
        count = f"\n\n({len(told)} characters)" if told else ""
        if heading.startswith("# ") or told:
            written.append("\n\n".join(filter(None, (heading, told))) + count)
    return "\n\n".join(written) + "\n"


def _is_prose(shown: Mapping[str, Any]) -> bool:
    """Tell sentences from tables and figures."""
    return shown.get(BUNDLE, {}).get("kind") == "text"


def _prose(shown: Mapping[str, Any]) -> str:
    """Give the sentences of one object."""
    return str(shown.get("text/plain", "")).strip()


def _authors(source: Source) -> list[str]:
    """Part the authors of a text; several are written with commas and an ampersand."""
    return [name.strip() for name in re.split(r",| & ", source.author) if name.strip()]


def _pictures(cells: Sequence[Cell]) -> Iterable[tuple[str, bytes]]:
    """Find the pictures of a page by their labels."""
    for cell in cells:
        for shown in cell.shown:
            for label, picture in _PICTURE.findall(str(shown.get("text/html", ""))):
                yield label, base64.b64decode(picture)


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
