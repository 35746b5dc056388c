"""The search of a finished folder: a name planted in any file, at any place of it, is found."""

import base64
import io
import json
import struct
import zipfile
import zlib

import pandas as pd
import pytest
from matplotlib import pyplot as plt
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from kit.report.privacy.scan import Found, scan_folder, words_of

NAME = "quillon ferbrake"
WRITTEN = "Quillon Ferbrake"
PERSONAL = [NAME, "R2HJ", "00417", "quill@home.example", "2011-05-07"]


def png(**texts):
    """Make a small picture with texts beside it."""
    told, target = PngInfo(), io.BytesIO()
    for key, text in texts.items():
        told.add_text(key, text)
    Image.new("RGB", (4, 4)).save(target, "PNG", pnginfo=told)
    return target.getvalue()


def packed(**parts):
    """Make a packed document."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as book:
        for name, content in parts.items():
            book.writestr(name, content)
    return target.getvalue()


def unseen(kind, name):
    """Make a picture with a chunk that is folded."""
    inside = {b"zTXt": b"Comment\0\0" + zlib.compress(name), b"iTXt": b"Comment\0\1\0\0\0" + zlib.compress(name)}[kind]
    chunk = struct.pack(">I", len(inside)) + kind + inside + struct.pack(">I", zlib.crc32(kind + inside))
    plain = png()
    return plain[:33] + chunk + plain[33:]


def drawing(**options):
    """Draw a figure that shows a name, as scalable shapes."""
    figure, axes = plt.subplots(figsize=(2, 2))
    axes.set_title(WRITTEN)
    target = io.BytesIO()
    figure.savefig(target, format="svg", **options)
    plt.close(figure)
    return target.getvalue()


def printed(name, code):
    """Make a printed page of which only the bookmarks hold a name, folded away."""
    folded = zlib.compress(b"<< /Title " + code(name) + b" >>")
    return b"%PDF-1.7\n1 0 obj << /Length 9 >>\nstream\n" + folded + b"\nendstream\nendobj\n"


def of_workbook():
    """Write a workbook with a name in a cell."""
    target = io.BytesIO()
    pd.DataFrame({"What": ["mean", WRITTEN]}).to_excel(target, index=False)
    return target.getvalue()


PLANTED = {
    "page.html": b"<p>What <b>Quillon</b> <i>Fer</i>brake sang</p>",
    "label.html": f'<img alt="{WRITTEN}">'.encode(),
    "picture.html": b'<img src="data:image/png;base64,' + base64.b64encode(png(Author=WRITTEN)) + b'">',
    "numbers.csv": b"label,value\nmean/quillon-ferbrake,3.1\n",
    "references.json": json.dumps({"author": WRITTEN}).encode(),
    "narrative.md": "of Fe\u0301rbrake,\nQuillon".encode(),
    "references.bib": b"author = {Ferbrake, Quillon}",
    "again.R": b"# for quillon.ferbrake",
    "review.ipynb": json.dumps({"cells": [{"source": WRITTEN}]}).encode(),
    "wide.txt": "\ufeffQuillon Ferbrake".encode("utf-16-le"),
    "unknown.xyz": WRITTEN.encode(),
    "figure.png": png(Comment=WRITTEN),
    "folded.png": unseen(b"zTXt", WRITTEN.encode()),
    "folded2.png": unseen(b"iTXt", WRITTEN.encode()),
    "behind.png": png() + WRITTEN.encode(),
    "figure.svg": drawing(),
    "written.svg": b"<svg><text><tspan>Quillon </tspan><tspan>Ferbrake</tspan></text></svg>",
    "metadata.svg": drawing(metadata={"Creator": "quill@home.example"}),
    "tables.xlsx": of_workbook(),
    "report.docx": packed(**{"word/document.xml": "<w:p><w:t>Quillon Fer</w:t><w:r/><w:t>brake</w:t></w:p>"}),
    "header.docx": packed(**{"word/header1.xml": f"<w:p><w:t>{WRITTEN}</w:t></w:p>"}),
    "author.docx": packed(**{"docProps/core.xml": f"<dc:creator>{WRITTEN}</dc:creator>"}),
    "alt.docx": packed(**{"word/document.xml": f'<wp:docPr id="1" descr="{WRITTEN}"/>'}),
    "media.docx": packed(**{"word/media/image1.png": png(Title=WRITTEN)}),
    "part.docx": packed(**{"word/media/quillon_ferbrake.png": png()}),
    "bookmark.pdf": printed(WRITTEN, lambda name: b"(" + name.encode() + b")"),
    "wide.pdf": printed(WRITTEN, lambda name: b"(" + b"\xfe\xff" + name.encode("utf-16-be") + b")"),
    "digits.pdf": printed(WRITTEN, lambda name: b"<FEFF" + name.encode("utf-16-be").hex().encode() + b">"),
    "xmp.pdf": b"%PDF-1.7\nstream\n<?xpacket begin=''?><dc:title>Quillon Ferbrake</dc:title>\nendstream",
    "tables/table-1.csv": b"id,n\nR2HJ,3\n",
    "zero.csv": b"n\n00417\n",
    "born.csv": b"when\n7 May 2011\n",
    "figures/R2HJ.png": png(),
    "Ferbrake_Quillon/empty.md": b"",
    "chart-00417.svg": b"<svg/>",
}


@pytest.mark.parametrize("name", PLANTED)
def test_what_is_planted_is_found(tmp_path, name):
    """A name, an id, an address or a day of birth in text, tags, properties, pictures, bookmarks or a file's name."""
    for file, content in (("harmless.md", b"Nothing of anybody."), (name, PLANTED[name])):
        (tmp_path / file).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / file).write_bytes(content)
    found = scan_folder(tmp_path, PERSONAL)
    assert [one.file for one in found] == [name]
    assert found[0].words


def test_nothing_planted_nothing_found(tmp_path):
    """Drawings, pictures, workbooks and pages of a report without names hold none: no letters by chance."""
    for name, content in PLANTED.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(content)
    found = scan_folder(tmp_path, ["somebody else", "R2HK", "00418", "2012-05-07", "may", "note"])
    # an address is one, whoever's it is
    assert found == [Found("metadata.svg", ("quill@home.example",))]


def test_what_stands_there_by_chance_is_no_id(tmp_path):
    """Places of cells, colors, marks of styles and the bytes of a font are no ids of students."""
    ids = ["A1", "B2", "a10", "f0a", "normal", "note", "rId1"] + [
        f"{letter}{number}" for letter in "ABC" for number in range(99)
    ]
    rows = pd.DataFrame({f"column {at}": ["1"] * 40 for at in range(3)})
    rows.to_excel(tmp_path / "tables.xlsx", index=False)
    (tmp_path / "page.html").write_text('<style>p { color: #a10 }</style><p style="color:#f0a">1</p>', encoding="utf-8")
    font = b"\0\1\0\0 A10 " + bytes(range(256)) * 9 + b" B12 (A11) "
    (tmp_path / "report.docx").write_bytes(packed(**{
        "word/styles.xml": '<w:style w:styleId="A10"/>', "word/fonts/font1.odttf": font,
        "word/_rels/document.xml.rels": '<Relationship Id="rId1" Target="media/image1.png"/>',
    }))  # fmt: skip
    (tmp_path / "report.pdf").write_bytes(b"%PDF-1.7 /F1 12 stream\n" + zlib.compress(font) + b"endstream (A12)")
    assert scan_folder(tmp_path, ids) == []


def test_words_that_are_known_better_are_searched_too(tmp_path):
    """The letters of a printed page are drawn, so its words are handed in."""
    (tmp_path / "report.pdf").write_bytes(b"%PDF-1.7")
    assert scan_folder(tmp_path, PERSONAL) == []
    assert scan_folder(tmp_path, PERSONAL, texts={"report.pdf": f"It is said of {WRITTEN}."}) == [
        Found("report.pdf", (WRITTEN,))
    ]


def test_the_page_comes_first(tmp_path):
    """What is told first is the file that people look at."""
    for name in ("a.csv", "z.html"):
        (tmp_path / name).write_text(WRITTEN, encoding="utf-8")
    assert [one.file for one in scan_folder(tmp_path, PERSONAL)] == ["z.html", "a.csv"]


def test_letters_inside_other_files_are_read():
    """A name among the bytes of a file that is no text."""
    assert WRITTEN in "".join(words_of(b"\0\1" + WRITTEN.encode() + b"\0", ".ttf"))


def test_a_picture_cut_short_and_a_broken_one_are_read():
    """A picture that ends too early, and one that cannot be unfolded, are no reason to stop."""
    assert WRITTEN in "".join(words_of(png(Title=WRITTEN)[:-20], ".png"))
    assert WRITTEN in "".join(words_of(b"<img src='data:image/png;base64,A'>" + WRITTEN.encode(), ".html"))
    broken = unseen(b"zTXt", WRITTEN.encode()).replace(b"\x78\x9c", b"\x00\x00")
    assert WRITTEN not in "".join(words_of(broken, ".png"))


def test_what_unfolds_too_far_is_refused(monkeypatch):
    """A packed part may unfold to so many bytes and no more."""
    monkeypatch.setattr("kit.report.privacy.scan._MOST_BYTES", 10)
    with pytest.raises(ValueError, match=r"^scan_folder: a part of a packed file must have at most 10 bytes\.$"):
        list(words_of(packed(a="x" * 11), ".docx"))
