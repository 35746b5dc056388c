"""The PDF: tagged, with its fonts inside, nothing cut off, no letter lost. Each trap of the way there has its test."""

import pytest

pytest.importorskip("typst", reason="the extra documents is not installed")
pytest.importorskip("pypdf", reason="the extra test is not installed")

from kit.report.document.parts import Document, DocumentError, Paragraph, Run
from kit.report.document.pdf import pdf_of
from kit.report.document.reading import document_of
from kit.report.document.typst import typst_of
from tests.report.documents import PARTS, Pdf, drawing, long_table, page


def pdf(body=None, **words):
    """Set a page and look into it."""
    return Pdf(pdf_of(document_of(page(**words) if body is None else page(body, **words))))


@pytest.fixture(scope="module")
def small():
    """Set the small page once."""
    return pdf()


def test_language_title_and_marks_of_an_accessible_file(small):
    """The catalogue says language, title and that it is tagged; the metadata claim PDF/UA-1 (ISO 14289-1)."""
    assert small.root["/Lang"] == "en"
    assert small.root["/MarkInfo"]["/Marked"]
    assert small.reader.metadata["/Title"] == "Small review, Thimble Hill"
    assert small.root["/ViewerPreferences"]["/DisplayDocTitle"]
    metadata = small.root["/Metadata"].get_object().get_data().decode()
    assert "<pdfuaid:part>1</pdfuaid:part>" in metadata


def test_every_part_has_its_tag(small):
    """Headings in their order, two lists, a table with heading row, a caption each, a figure."""
    tags = [name for name, _ in small.tags()]
    assert [name for name in tags if name.startswith("/H")] == ["/H1", "/H2", "/H3"]
    assert tags.count("/L") == 2
    assert tags.count("/LI") == 4
    assert tags.count("/Table") == tags.count("/THead") == 1
    assert tags.count("/TH") == 2
    assert tags.count("/Caption") == 2


def test_a_figure_has_its_alternative_text(small):
    """What a blind reader is told of a figure is in the file (a writer in between once dropped it)."""
    assert [alt for name, alt in small.tags() if name == "/Figure"] == ["A red square."]


def test_headings_are_bookmarks(small):
    """The outline holds every heading."""
    assert small.outline() == ["Small review", "In short", "More"]


def test_every_font_is_inside(small):
    """No typeface is looked for on the reader's machine."""
    assert small.fonts()
    assert all(small.fonts().values())


def test_the_sheet_is_letter_unless_a4_is_asked_for(small):
    """A sheet of letter paper fits on A4 as it is; a school elsewhere asks for A4."""

    def size(sheet):
        return round(sheet.mediabox.width * 25.4 / 72), round(sheet.mediabox.height * 25.4 / 72)

    assert size(small.reader.pages[0]) == (216, 279)
    other = Pdf(pdf_of(document_of(page()), paper="a4"))
    assert size(other.reader.pages[0]) == (210, 297)


def test_the_foot_carries_what_the_report_is_about(small):
    """Title line and page number are at the foot of each sheet."""
    assert "Thimble Hill. Invented data" in small.pages[0]
    assert "1 / 1" in small.pages[0]


def test_the_title_stands_once(small):
    """The title of the page's head is a property, no second heading above the first."""
    assert small.pages[0].count("Small review") == 1


def test_captions_are_numbered_once(small):
    """The number comes from the page, and Typst adds none of its own."""
    assert small.pages[0].count("Table 1. Two choirs") == 1
    assert "Table 1. Table" not in small.pages[0]
    assert small.pages[0].count("Figure 1. A square. Nothing is counted.") == 1


def test_no_row_of_a_long_table_is_lost():
    """A table over several sheets is broken between them, every row is there, and its head is on each sheet."""
    long = pdf(long_table(200))
    assert len(long.pages) > 2
    text = " ".join(long.pages).split()
    assert [row for row in range(200) if f"r{row}c2" not in text or f"row{row}" not in text] == []
    assert all("Column 1" in words for words in long.pages)


def test_few_rows_of_very_long_text_are_not_cut_off():
    """A table of three rows that is longer than a sheet is broken too."""
    rows = "".join(f"<tr><td>{'word ' * 700} end{at}</td></tr>" for at in range(3))
    text = " ".join(pdf(f"<table>{rows}</table>").pages)
    assert all(f"end{at}" in text for at in range(3))


def test_a_short_table_stays_on_one_sheet():
    """A table of a few rows that begins near the end of a sheet goes to the next as a whole, head and all."""
    filling = "<p>x</p>" * 32
    sheets = [words for words in pdf(filling + long_table(6)).pages if "row0" in words or "row5" in words]
    assert len(sheets) == 1


def test_words_that_lead_to_a_list_stay_with_it():
    """A sentence before a list never ends a sheet, wherever on it the list begins."""
    texts = "".join(f"<li>text{at}</li>" for at in range(9))
    for filling in range(31, 38):
        sheets = pdf("<p>x</p>" * filling + f"<p>These are:</p><ul>{texts}</ul>").pages
        assert [("These are:" in one) == ("text0" in one) for one in sheets] == [True] * len(sheets)


def test_a_wide_table_is_not_cut_off():
    """Fourteen columns of words fit between the margins, and the words of forty are broken."""
    assert "word39" in pdf(f"<table><tr>{''.join(f'<td>word{at}</td>' for at in range(40))}</tr></table>").pages[
        0
    ].replace(" ", "")
    head = "".join(f"<th>Heading{at}</th>" for at in range(14))
    cells = "".join(f"<td>alpha{at} beta{at}</td>" for at in range(14))
    sheet = pdf(f"<table><thead><tr>{head}</tr></thead><tbody><tr>{cells}</tr></tbody></table>")
    at = []

    def note(text, outer, inner, *_):
        if text.strip():
            at.append(inner[4] * outer[0] + outer[4])

    sheet.reader.pages[0].extract_text(visitor_text=note)
    assert min(at) > 50
    assert max(at) < 612 - 50
    assert "Heading13" in sheet.pages[0].replace(" ", "")


def test_text_is_never_a_command():
    """Whatever signs of Typst, Markdown or HTML a school's words hold, they are printed as they stand."""
    words = '#import "x": * $5,000 to $3,000 ~x~ *not bold* _a_ [b](c) @ref <label> \\ // "quoted" `code` = - + /'
    body = words.replace("&", "&amp;").replace("<", "&lt;")
    assert words in pdf(f"<p>{body}</p><table><tr><td>{body}</td></tr></table>").pages[0]


def test_points_stand_below_each_other():
    """Numbers of one column end where their decimals would: blanks at the end of a cell are set, and empty units too."""
    rows = (
        '<tr><th scope="row">x</th><td class="number">6\u2008\u2007</td></tr>'
        '<tr><th scope="row">y</th><td class="number">0.5</td></tr>'
        '<tr><th scope="row">z</th><td class="number">7.5<span class="u" style="width:4em"> points</span></td></tr>'
        '<tr><th scope="row">u</th><td class="number">8.5<span class="u" style="width:4em"></span></td></tr>'
    )
    content = pdf(f'<div class="scroll"><table><caption>Table 1. A</caption><tbody>{rows}</tbody></table></div>')
    places = {}

    def note(text, outer, inner, *_):
        if text.strip():
            places[text.strip()[0]] = outer[4] + inner[4] + outer[0] * inner[0]

    content.reader.pages[0].extract_text(visitor_text=note)
    assert places["6"] == pytest.approx(places["0"], abs=1.5)
    assert places["7"] == pytest.approx(places["8"], abs=0.5)


def test_the_first_of_long_notes_stays_with_its_table():
    """Short notes are one block; of long ones the first is a block of its own, which is never parted."""
    short, long = (
        typst_of(document_of(page("".join(f'<p class="note">{"word " * words}</p>' for _ in "abc"))))
        for words in (5, 100)
    )
    assert short.count("#kit-note(") == 1
    assert long.count("#kit-note(last: false)") == long.count("#kit-note(breakable: true)") == 1


def test_money_stays_money():
    """Two amounts in dollars are no formula between them."""
    assert (
        "from $5,000 in autumn to $3,000 in spring" in pdf("<p>from $5,000 in autumn to $3,000 in spring</p>").pages[0]
    )


def test_letters_of_many_scripts_and_music():
    """Names in Latin letters with marks, Greek, Cyrillic, and flats and sharps have a shape."""
    words = "Zoë Łukasz Ω Ж ♭ ♯ – − ’ \u2007 \u2008"
    assert "Zoë Łukasz Ω Ж ♭ ♯ – −" in pdf(f"<p>{words}</p>").pages[0]


def test_a_letter_without_a_shape_is_told(monkeypatch):
    """Where no font has a letter the PDF is not written with an empty box: a sentence names the letter."""
    with pytest.raises(DocumentError) as refused:
        pdf("<p>Choir \U000f0123 sings</p>")
    assert str(refused.value) == (
        "The PDF was not written: no font on this machine has a shape for \U000f0123 (U+F0123). "
        "Write it in other letters, or leave the PDF out: --to html,docx."
    )


def test_signs_that_steer_are_not_set():
    """A control sign in a school's words does not stop the report."""
    document = Document((Paragraph((Run("a\x07b\x1bc"),)),), "T")
    assert Pdf(pdf_of(document)).pages[0].startswith("abc")


def test_a_tall_figure_fits_on_a_sheet():
    """A picture higher than a sheet is made smaller, and keeps its caption."""
    sheet = pdf(drawing(14.0))
    assert len(sheet.pages) == 1
    assert "Figure 2. White." in sheet.pages[0]


def test_two_boxes_are_two_boxes():
    """Boxes that follow each other are not run together."""
    source = typst_of(document_of(page()))
    assert source.count("#kit-box[") == 2


def test_a_printed_number_leads_to_its_row_in_the_file(small):
    """A click on the number in the text, and one in the table, go to a place of this file."""
    links = [one.get_object() for one in small.reader.pages[0]["/Annots"]]
    assert len(links) == 2
    assert all(link["/Subtype"] == "/Link" and "/URI" not in str(link.get("/A", "")) for link in links)


def test_a_link_to_nowhere_is_plain_text():
    """A number whose row is not on the page does not stop the PDF."""
    assert "3.2 points" in pdf('<p><a href="#mean_gain/none">3.2</a> points</p>').pages[0]


def test_the_same_page_gives_the_same_bytes():
    """No day, no random name."""
    document = document_of(page())
    assert pdf_of(document) == pdf_of(document)


def test_another_folder_to_work_in_changes_nothing(tmp_path, monkeypatch):
    """Where the command is typed does not matter."""
    here = pdf_of(document_of(page()))
    monkeypatch.chdir(tmp_path)
    assert pdf_of(document_of(page())) == here
    assert list(tmp_path.iterdir()) == []


def test_a_page_of_another_language():
    """The language of the page is the language of the file."""
    assert pdf("<p>Bonjour.</p>", language="fr").root["/Lang"] == "fr"


@pytest.mark.parametrize(
    "body", ["", "<p></p>", "<table></table>", "<ul></ul>", "<ul><li></li></ul>", "<dl></dl>", "<h2></h2>", PARTS * 2]
)
def test_odd_pages_are_set(body):
    """Empty parts, and places that stand twice, stop nothing."""
    assert pdf(f"<h1>T</h1>{body}").pages
