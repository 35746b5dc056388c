"""The Word file that styles are taken from: our own, or a school's with what it lacks of ours."""

from __future__ import annotations

import html
import io
import re
import zipfile
import zlib
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from kit.report.document.pandoc import run_pandoc
from kit.report.document.parts import DocumentError, Paper

REFERENCE = "reference.docx"
"""A file of this name in a study folder gives Word reports their styles, paper, header and footer."""
STYLES = Path(__file__).parents[1] / "template" / "document_styles.xml"
NO_DAY = (1980, 1, 1, 0, 0, 0)
"""The day that stands for none in a packed file."""
_MAIN = "word/document.xml"
_STYLES = "word/styles.xml"
_STYLE = re.compile(r"<w:style\b.*?</w:style>", re.DOTALL)
_NAME = re.compile(r'<w:name\s+w:val="([^"]*)"')
_NOT_WORD = "{} is no Word file, so no styles can be taken from it. Save it in Word as .docx."
_WORD = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"
_RELATION = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
SIZES: Mapping[Paper, tuple[int, int]] = {"letter": (12240, 15840), "a4": (11906, 16838)}
"""Width and height of a sheet in twentieths of a point."""
SIDE = 1360
"""Margin at each side: 24 mm."""
SHEET = (
    f'<w:sectPr xmlns:r="{_RELATION}"><w:footerReference w:type="default" r:id="rIdKitFoot"/>'
    '<w:pgSz w:w="{width}" w:h="{height}"/><w:pgMar w:top="1134" w:right="{side}" w:bottom="1247" w:left="{side}"'
    ' w:header="567" w:footer="624" w:gutter="0"/></w:sectPr>'
)
"""The sheet, its margins and its foot."""


def reference_of(foot: str, paper: Paper = "letter") -> bytes:
    """Make our own file of styles.

    Parameters
    ----------
    foot : str
        What stands at the foot of each sheet, before the number of the page.
    paper : {"letter", "a4"}, optional
        The size of the sheets.

    Returns
    -------
    bytes
        A Word file.
    """
    parts = dict(_own(paper))
    parts["word/footer1.xml"] = _foot(foot)
    return packed(parts)


def reference_from(path: Path) -> bytes:
    """Take a school's file of styles, and add the styles of ours that it lacks.

    Parameters
    ----------
    path : Path
        A Word file.

    Returns
    -------
    bytes

    Raises
    ------
    DocumentError
        If it is no Word file.
    """
    parts = check_styles(path)
    theirs = parts[_STYLES].decode("utf-8-sig")
    known = {found.lower() for found in _NAME.findall(theirs)}
    lacking = [style for style in _ours() if _name(style) not in known]
    parts[_STYLES] = theirs.replace("</w:styles>", "".join(lacking) + "</w:styles>").encode()
    return packed(parts)


def check_styles(path: Path) -> dict[str, bytes]:
    """Read a Word file that styles are to be taken from.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    dict of str to bytes
        Its parts by name.

    Raises
    ------
    DocumentError
        If there is none, or if it is no Word file.
    """
    try:
        parts = unpacked(path.read_bytes())
    except FileNotFoundError as fault:
        raise DocumentError(f"{path.name}: There is no such file to take styles from.") from fault
    except (OSError, zipfile.BadZipFile, EOFError, zlib.error) as fault:
        raise DocumentError(_NOT_WORD.format(path.name)) from fault
    if _STYLES not in parts or _MAIN not in parts:
        raise DocumentError(_NOT_WORD.format(path.name))
    return parts


def packed(parts: Mapping[str, bytes]) -> bytes:
    """Pack the parts of a Word file, without the time of day."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name, content in parts.items():
            new.writestr(zipfile.ZipInfo(name, NO_DAY), content, zipfile.ZIP_DEFLATED)
    return target.getvalue()


def unpacked(content: bytes) -> dict[str, bytes]:
    """Give the parts of a Word file by name, in their order."""
    with zipfile.ZipFile(io.BytesIO(content)) as old:
        return {name: old.read(name) for name in old.namelist()}


@cache
def _own(paper: Paper) -> Mapping[str, bytes]:
    """Put our styles, paper and footer in the place of pandoc's."""
    parts = unpacked(run_pandoc(["--print-default-data-file", "reference.docx"]))
    styles = parts[_STYLES].decode()
    ours = {_name(style): style for style in _ours()}
    styles = _STYLE.sub(lambda found: "" if _name(found[0]) in ours else found[0], styles)
    width, height = SIZES[paper]
    edge = f'<w:tab w:val="right" w:pos="{width - 2 * SIDE}"/>'
    added = re.sub(r'<w:tab w:val="right"[^>]*/>', edge, "".join(ours.values()))
    parts[_STYLES] = styles.replace("</w:styles>", f"{added}</w:styles>").encode()
    body = re.sub(r"<w:sectPr\b[^>]*/>|<w:sectPr\b.*?</w:sectPr>", "", parts[_MAIN].decode(), flags=re.DOTALL)
    parts[_MAIN] = body.replace("</w:body>", SHEET.format(width=width, height=height, side=SIDE) + "</w:body>").encode()
    relation = f'<Relationship Type="{_RELATION}/footer" Id="rIdKitFoot" Target="footer1.xml"/></Relationships>'
    name = "word/_rels/document.xml.rels"
    parts[name] = parts[name].replace(b"</Relationships>", relation.encode())
    kind = "application/vnd.openxmlformats-officedocument.wordprocessingml.footer+xml"
    types = f'<Override PartName="/word/footer1.xml" ContentType="{kind}"/></Types>'
    parts["[Content_Types].xml"] = parts["[Content_Types].xml"].replace(b"</Types>", types.encode())
    return parts


def _ours() -> list[str]:
    """List our styles."""
    return _STYLE.findall(STYLES.read_text(encoding="utf-8"))


def _name(style: str) -> str:
    """Read the name of a style; Word itself does not tell capitals from small letters in it."""
    found = _NAME.search(style)
    return found[1].lower() if found else ""


def _foot(text: str) -> bytes:
    """Write the foot of each sheet: what the report is about, the page and how many there are."""
    field = (
        '<w:r><w:fldChar w:fldCharType="begin"/></w:r><w:r><w:instrText xml:space="preserve"> {} </w:instrText></w:r>'
    )
    field += '<w:r><w:fldChar w:fldCharType="separate"/></w:r><w:r><w:t>1</w:t></w:r>'
    field += '<w:r><w:fldChar w:fldCharType="end"/></w:r>'
    return (
        f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?><w:ftr xmlns:w="{_WORD}"><w:p><w:pPr>'
        f'<w:pStyle w:val="Footer"/></w:pPr><w:r><w:t xml:space="preserve">{html.escape(text)}</w:t></w:r>'
        f'<w:r><w:tab/></w:r>{field.format("PAGE")}<w:r><w:t xml:space="preserve"> / </w:t></w:r>'
        f"{field.format('NUMPAGES')}</w:p></w:ftr>"
    ).encode()
