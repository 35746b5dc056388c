"""The same report for Word and as PDF: both are made from the finished page, so that they cannot say anything else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Literal, get_args

from kit.errors import UnknownChoiceError
from kit.report.document.parts import DocumentError, Paper, text_of
from kit.report.document.pdf import pdf_of
from kit.report.document.reading import document_of
from kit.report.document.style import check_styles
from kit.report.document.text import text_of_word
from kit.report.document.word import word_of

Format = Literal["html", "docx", "pdf"]
NEEDS: Mapping[str, tuple[str, str]] = {"docx": ("pypandoc", "pypandoc_binary"), "pdf": ("typst", "typst")}
"""Format -> the module that it needs, and the package that brings it."""


@dataclass(frozen=True, slots=True)
class Forms:
    """In which formats a report is written.

    Attributes
    ----------
    formats : tuple of str
        As `formats_of` gives them.
    styles : Path or None
        A Word file whose styles, paper, header and footer the report for Word takes.
    paper : {"letter", "a4"} or None
        The size of the sheets. None: letter in Word and in the PDF, and the reader's own where a page is printed.
    """

    formats: tuple[str, ...] = ("html",)
    styles: Path | None = None
    paper: Paper | None = None


def forms_of(formats: str, styles: Path | None = None, paper: Paper | None = None) -> Forms:
    """Read in which formats reports are written, before anything is made.

    Parameters
    ----------
    formats : str
        Formats with commas between them.
    styles : Path, optional
        A Word file whose styles the report for Word takes.
    paper : {"letter", "a4"}, optional
        The size of the sheets.

    Returns
    -------
    Forms

    Raises
    ------
    UnknownChoiceError
        If a word is no format, or none of a paper.
    DocumentError
        If a package is missing, or `styles` is no Word file.
    """
    if paper not in (None, *get_args(Paper)):
        raise UnknownChoiceError("report", "paper", paper, get_args(Paper))
    if styles is not None:
        check_styles(styles)
    return Forms(formats_of(formats), styles, paper)


def formats_of(text: str) -> tuple[str, ...]:
    """Read a list of formats such as ``html,docx,pdf``.

    Parameters
    ----------
    text : str
        Formats with commas between them.

    Returns
    -------
    tuple of str
        Each once, in the order of `Format`. The page is always among them: everything else is made from it.

    Raises
    ------
    UnknownChoiceError
        If a word is no format.
    DocumentError
        If a package is missing; one sentence says which, and how it is installed.

    Examples
    --------
    >>> formats_of("html")
    ('html',)
    """
    asked = {word.strip().lower() for word in text.split(",") if word.strip()} | {"html"}
    known = get_args(Format)
    for word in sorted(asked.difference(known)):
        raise UnknownChoiceError("report", "to", word, known)
    lacking = [NEEDS[word][1] for word in known if word in asked and word in NEEDS and not find_spec(NEEDS[word][0])]
    if lacking:
        raise DocumentError(
            f"Reports for Word and as PDF need {'one more package' if len(lacking) == 1 else 'two more packages'}; "
            f"install with: python -m pip install {' '.join(lacking)}"
        )
    return tuple(word for word in known if word in asked)


def write_documents(page: str, folder: Path, name: str, forms: Forms) -> dict[str, str]:
    """Write a finished page for Word and as PDF.

    Parameters
    ----------
    page : str
        As `kit.report.build.page_of` gives it.
    folder : Path
        Where the files go.
    name : str
        Their name without ending.
    forms : Forms
        In which formats; the page itself is not written here.

    Returns
    -------
    dict of str to str
        Name of each written file -> every word in it, to be searched for names. Of a Word file they are read from the
        finished file; of a PDF, whose letters are drawn, they are those of the document it was set from.

    Raises
    ------
    DocumentError
        If the page cannot be turned into a document, with the reason.
    """
    if not {"docx", "pdf"} & set(forms.formats):
        return {}
    document, paper = document_of(page), forms.paper or "letter"
    texts: dict[str, str] = {}
    if "docx" in forms.formats:
        content = word_of(document, styles=forms.styles, paper=paper)
        (folder / f"{name}.docx").write_bytes(content)
        texts[f"{name}.docx"] = text_of_word(content)
    if "pdf" in forms.formats:
        (folder / f"{name}.pdf").write_bytes(pdf_of(document, paper=paper))
        texts[f"{name}.pdf"] = text_of(document)
    return texts
