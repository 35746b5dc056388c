"""A report as PDF: tagged for screen readers (PDF/UA-1), with fonts, bookmarks, alternative texts and language."""

from __future__ import annotations

import re
import shutil
import tempfile
from pathlib import Path

from kit.report.document.parts import Document, DocumentError, Paper, pictures_of
from kit.report.document.typst import typst_of

TEMPLATE = Path(__file__).parents[1] / "template" / "document.typ"
_SHAPELESS = re.compile(r'the text `"(.*?)"` could not be displayed')
STANDARDS = ["ua-1"]
"""PDF/UA-1 (ISO 14289-1): a picture without alternative text or a letter without a shape is refused."""


def pdf_of(document: Document, *, paper: Paper = "letter") -> bytes:
    """Set a report as PDF.

    Parameters
    ----------
    document : Document
        The report.
    paper : {"letter", "a4"}, optional
        The size of the sheets.

    Returns
    -------
    bytes
        The same for the same report.

    Raises
    ------
    DocumentError
        If a letter is in no font, or the report cannot be set for another reason.
    """
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        shutil.copy(TEMPLATE, folder)
        for number, picture in enumerate(pictures_of(document), 1):
            (folder / f"picture-{number}.{picture.ending}").write_bytes(picture.content)
        (folder / "report.typ").write_text(typst_of(document, paper=paper), encoding="utf-8")
        return _compiled(folder)


def _compiled(folder: Path) -> bytes:
    """Set the text with the fonts of the package; with those of the machine only where a letter is in none of them."""
    import typst  # noqa: PLC0415 - of the extra "documents"

    refused = ""
    for without in (True, False):
        try:
            return typst.compile(
                folder / "report.typ", root=folder, ignore_system_fonts=without, pdf_standards=STANDARDS, timestamp=0
            )
        except typst.TypstError as fault:
            refused = f"{fault.message} {' '.join(fault.hints)}"
            if "could not be displayed" not in refused:
                break
    raise DocumentError(_explained(refused))


def _explained(refused: str) -> str:
    """Say in a sentence why there is no PDF, and which letters stand in the way."""
    lacking = _SHAPELESS.search(refused)
    if not lacking:
        return f"The PDF was not written: {' '.join(refused.split())[:300]}"
    letters = re.sub(r"\\u\{([0-9a-fA-F]+)\}", lambda found: chr(int(found[1], 16)), lacking[1])
    named = ", ".join(f"{letter} (U+{ord(letter):04X})" for letter in dict.fromkeys(letters))
    return (
        f"The PDF was not written: no font on this machine has a shape for {named}. "
        "Write it in other letters, or leave the PDF out: --to html,docx."
    )
