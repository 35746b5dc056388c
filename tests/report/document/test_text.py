"""Every word of a finished Word file is found before it is handed on, wherever it stands."""

import re

import pytest

pytest.importorskip("pypandoc", reason="the extra documents is not installed")

from kit.report.document.parts import text_of
from kit.report.document.reading import document_of
from kit.report.document.style import packed, unpacked
from kit.report.document.text import text_of_word
from kit.report.document.word import word_of
from kit.report.privacy.names import find_personal
from tests.report.documents import FIGURE, page

NAME = "quillon ferbrake"
PLACES = {
    "a paragraph": "<p>So Quillon Ferbrake sang.</p>",
    "a name set in two ways": "<p>So <b>Quillon</b> Ferbrake sang.</p>",
    "a cell": "<table><tr><td>Ferbrake, Quillon</td></tr></table>",
    "a cell that is not broken": '<table><tr><td class="short">Ferbrake, Quillon</td></tr></table>',
    "a heading": "<h2>Quillon Ferbrake</h2>",
    "a caption": FIGURE.replace("A square", "Quillon Ferbrake"),
    "an alternative text": FIGURE.replace("A red square", "Quillon Ferbrake"),
    "a list": "<ul><li>Quillon\nFerbrake</li></ul>",
    "a word and its meaning": "<dl><dt>x</dt><dd>Quillon Ferbrake</dd></dl>",
    "what a link tells": '<p><a href="#a" aria-description="Quillon Ferbrake">3</a></p><p><span id="a"></span>4</p>',
    "the foot of each sheet": '<div class="banner"><p>Quillon Ferbrake</p></div>',
}


@pytest.mark.parametrize("place", PLACES)
def test_a_name_is_found_wherever_it_stands(place):
    """The words of the finished Word file, and those that the PDF is set from, hold the name."""
    document = document_of(page(PLACES[place]))
    assert find_personal(text_of_word(word_of(document)), [NAME])
    assert find_personal(text_of(document), [NAME])


def test_a_name_in_the_title_is_found():
    """The properties of the file are read as well."""
    document = document_of(page("<p>x</p>", title="Review, Quillon Ferbrake"))
    assert find_personal(text_of_word(word_of(document)), [NAME])
    assert find_personal(text_of(document), [NAME])


def test_a_single_name_that_fills_a_cell_is_found():
    """Each cell is a line of its own."""
    document = document_of(page("<table><tr><td>3</td><td>Quillon</td></tr></table>"))
    assert find_personal(text_of_word(word_of(document)), ["quillon"])


def test_what_a_district_left_in_its_file_of_styles_is_found(tmp_path):
    """A header or a comment of the district's own file, with a name in it, comes along and is read."""
    parts = dict(unpacked(word_of(document_of(page()))))
    parts["word/footer1.xml"] = re.sub(rb">Thimble Hill[^<]*<", b">by Quillon Ferbrake<", parts["word/footer1.xml"])
    path = tmp_path / "reference.docx"
    path.write_bytes(packed(parts))
    assert find_personal(text_of_word(word_of(document_of(page()), styles=path)), [NAME])


def test_no_letter_of_a_picture_is_read():
    """Pictures are letters by chance, and are left out."""
    assert len(text_of_word(word_of(document_of(page(FIGURE))))) < 400
