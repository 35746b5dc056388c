"""The formats of a report: what is asked for, what is needed for it, and what is searched before it is handed on."""

import pytest

from kit.errors import UnknownChoiceError
from kit.report import document
from kit.report.build import PersonalDataError
from kit.report.document import Forms, formats_of, forms_of, write_documents
from kit.report.document.parts import DocumentError
from tests.report.documents import Pdf, page
from tests.report.test_build import built, files


def without(monkeypatch, *modules):
    """Pretend that modules are not installed."""
    monkeypatch.setattr(document, "find_spec", lambda name: None if name in modules else object())


def test_formats_are_read_once_each_and_in_one_order(monkeypatch):
    """However they are written, the page is always among them."""
    without(monkeypatch)
    assert formats_of(" PDF,docx,pdf ,html") == ("html", "docx", "pdf")
    assert formats_of("pdf") == ("html", "pdf")
    assert formats_of("") == ("html",)


def test_a_word_that_is_no_format_is_told():
    """The sentence lists the formats there are."""
    with pytest.raises(UnknownChoiceError) as refused:
        formats_of("html,word")
    assert str(refused.value) == "report: to must be one of 'html', 'docx', 'pdf'. Got 'word'."


@pytest.mark.parametrize(
    ("lacking", "formats", "what"),
    [(("pypandoc", "typst"), "html,docx,pdf", "two more packages; install with: python -m pip install pypandoc_binary typst"),
     (("typst",), "docx,pdf", "one more package; install with: python -m pip install typst"),
     (("pypandoc", "typst"), "docx", "one more package; install with: python -m pip install pypandoc_binary")],
)  # fmt: skip
def test_without_the_extra_one_sentence_says_what_to_install(monkeypatch, lacking, formats, what):
    """Only what is asked for is missed, by the name under which it is installed."""
    without(monkeypatch, *lacking)
    with pytest.raises(DocumentError) as refused:
        formats_of(formats)
    assert str(refused.value) == f"Reports for Word and as PDF need {what}"


def test_the_page_alone_needs_no_extra(monkeypatch):
    """Without the extra the page is made as ever."""
    without(monkeypatch, "pypandoc", "typst")
    assert formats_of("html") == ("html",)


def test_styles_are_looked_at_before_anything_is_made(tmp_path, monkeypatch):
    """A mistyped file of styles is told at once, not after the reports have run."""
    without(monkeypatch)
    with pytest.raises(DocumentError, match=r"^look\.docx: There is no such file to take styles from\.$"):
        forms_of("docx", tmp_path / "look.docx")
    assert forms_of("html") == Forms()


def test_a_paper_is_looked_at_before_anything_is_made():
    """None is the usual one; another word is told with those there are."""
    assert forms_of("html", paper="a4").paper == "a4"
    assert forms_of("html").paper is None
    with pytest.raises(UnknownChoiceError) as refused:
        forms_of("html", paper="legal")
    assert str(refused.value) == "report: paper must be one of 'letter', 'a4'. Got 'legal'."


def test_nothing_is_written_where_only_the_page_is_asked_for(tmp_path):
    """The page itself is written elsewhere."""
    assert write_documents(page(), tmp_path, "small", Forms()) == {}
    assert list(tmp_path.iterdir()) == []


ALL = Forms(("html", "docx", "pdf"))


@pytest.fixture
def extra():
    """Skip where the extra is not installed."""
    for name in ("pypandoc", "typst", "pypdf"):
        pytest.importorskip(name, reason="the extra documents is not installed")


def test_word_and_pdf_lie_beside_the_page(tmp_path, extra):
    """Same name, other ending; both say what the page says, markup of a title printed as it stands."""
    out = built(tmp_path, forms=ALL).parent
    assert {"small.html", "small.docx", "small.pdf"} <= set(files(out))
    words = " ".join(Pdf((out / "small.pdf").read_bytes()).pages)
    assert "Small review" in words
    assert "<script>alert(1)</script>" in words
    assert "Table 1. Gain" in words


def test_the_same_notebook_gives_the_same_documents(tmp_path, extra):
    """Built twice, Word and PDF are equal to the last byte."""
    one, two = (files(built(tmp_path, out=out, forms=ALL).parent) for out in ("one", "two"))
    assert one == two


def test_documents_of_an_earlier_report_do_not_stay(tmp_path, extra):
    """A page made anew without them leaves no Word file or PDF of the old one."""
    assert "small.pdf" in files(built(tmp_path, forms=ALL).parent)
    assert {"small.docx", "small.pdf"} & set(files(built(tmp_path).parent)) == set()


def test_a_name_that_only_the_word_file_holds_stops_the_report(tmp_path, extra):
    """A district's own foot with a person's name in it is found in the finished file; nothing is written."""
    from kit.report.document.reading import document_of
    from kit.report.document.style import packed, unpacked
    from kit.report.document.word import word_of

    parts = unpacked(word_of(document_of(page())))
    parts["word/footer1.xml"] = parts["word/footer1.xml"].replace(b"Thimble Hill", b"Made by Quillon Ferbrake,")
    styles = tmp_path / "reference.docx"
    styles.write_bytes(packed(parts))
    with pytest.raises(PersonalDataError) as refused:
        built(tmp_path, forms=Forms(("html", "docx"), styles), personal=["quillon ferbrake"])
    assert str(refused.value).startswith("The report was not written: small.docx would hold 1 names")
    assert not (tmp_path / "out").exists()


def test_the_words_of_a_pdf_are_handed_on_to_be_searched(tmp_path, extra):
    """What is searched of a PDF holds every word that a reader of the finished PDF finds."""
    texts = write_documents(page(), tmp_path, "small", Forms(("html", "pdf")))
    found = " ".join(Pdf((tmp_path / "small.pdf").read_bytes()).pages).split()
    told = texts["small.pdf"].split()
    # bullets, numbers of a list and of the sheet are added by the setting
    assert set(found) - set(told) <= {"•", "1.", "2.", "1", "/"}
