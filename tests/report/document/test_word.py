"""The Word file: what Word itself knows as heading, caption, table, list and alternative text, in a school's own look."""

import re
import subprocess
from xml.etree import ElementTree

import pytest

pytest.importorskip("pypandoc", reason="the extra documents is not installed")

from kit.report.document import pandoc as document_pandoc
from kit.report.document.parts import DocumentError
from kit.report.document.reading import document_of
from kit.report.document.style import packed, reference_of, unpacked
from kit.report.document.text import text_of_word
from kit.report.document.word import pandoc_of, word_of
from tests.report.documents import FIGURE, PARTS, TABLE, drawing, long_table, page, part

W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"


def word(body=None, **words):
    """Write a page for Word."""
    return word_of(document_of(page(**words) if body is None else page(body, **words)))


def paragraphs(content):
    """List style and words of each paragraph."""
    found = []
    for one in ElementTree.fromstring(part(content)).iter(f"{W}p"):
        style = one.find(f"{W}pPr/{W}pStyle")
        text = "".join(node.text or "" for node in one.iter(f"{W}t"))
        found.append((style.get(f"{W}val") if style is not None else "", text))
    return found


@pytest.fixture(scope="module")
def small():
    """Write the small page once."""
    return word()


def test_headings_captions_boxes_and_notes_have_their_styles(small):
    """A district changes a style once, and every paragraph of that kind follows."""
    found = dict.fromkeys(paragraphs(small))
    for expected in [
        ("Title", "Small review"), ("Banner", "Thimble Hill"), ("Heading1", "In short"), ("Heading2", "More"),
        ("Box", "Scores rose by 2.5 points."), ("BoxBeside", "That is all."), ("Compact", "Voices differ."),
        ("DefinitionTerm", "average gain"), ("ImageCaption", "Figure 1. A square. Nothing is counted."),
        ("TableCaption", "Table 1. Two choirs"), ("Note", "Sources: Student (1908)."),
    ]:  # fmt: skip
        assert expected in found


def test_every_style_that_is_used_is_defined(small):
    """No paragraph names a style that is not in the file."""
    defined = set(re.findall(r'w:styleId="([^"]+)"', part(small, "word/styles.xml")))
    assert {style for style, _ in paragraphs(small) if style} - defined == set()


def test_the_number_of_a_caption_is_a_field(small):
    """Word can list figures and tables, and an update keeps the numbers of the page."""
    fields = re.findall(r'w:instr=" SEQ (\w+) \\\* ARABIC \\r (\d+) "', part(small))
    assert fields == [("Figure", "1"), ("Table", "1")]


def test_tables_are_tables_with_heading_row_and_row_headings(small):
    """The head is repeated on each sheet, first columns head their rows, and no row is parted between sheets."""
    [table] = re.findall(r"<w:tbl>.*?</w:tbl>", part(small), re.DOTALL)
    assert table.count("<w:tblHeader") == 1
    assert 'w:firstRow="1"' in table
    assert 'w:firstColumn="1"' in table
    assert table.count("<w:tr>") == table.count("<w:cantSplit/>") == 3
    assert '<w:tblCaption w:val="Two choirs" />' in table


def test_a_figure_has_its_alternative_text_once(small):
    """The text is there, and the letters of the picture are not beside it."""
    assert re.findall(r' descr="([^"]*)"', part(small)) == ["A red square."]
    assert "base64" not in part(small)


def test_figures_are_pictures_and_not_blank(small):
    """The very bytes of the page's picture are in the file."""
    pictures = [content for name, content in unpacked(small).items() if name.startswith("word/media/")]
    assert [content[:8] for content in pictures] == [b"\x89PNG\r\n\x1a\n"]


def test_a_wide_figure_keeps_inside_the_margins():
    """A picture is at most 4.7 inches wide, in the shape it has."""
    [(width, height)] = re.findall(r'<wp:extent cx="(\d+)" cy="(\d+)"', part(word(drawing(3.2))))
    assert int(width) == round(4.7 * 914400)
    assert int(height) == pytest.approx(int(width) / 2, rel=0.01)


def test_title_language_and_no_day(small):
    """Properties hold the title with what the report is about, and the language; no day, so that bytes repeat."""
    core = part(small, "docProps/core.xml")
    assert "<dc:title>Small review, Thimble Hill</dc:title>" in core
    assert "<dc:language>en-US</dc:language>" in core
    assert "dcterms" not in re.sub(r'xmlns:\w+="[^"]*"', "", core)
    assert re.search(r'<w:lang [^>]*w:val="en-US"', part(small, "word/styles.xml"))


@pytest.mark.parametrize(
    ("paper", "width", "height", "edge"), [("letter", 12240, 15840, 9520), ("a4", 11906, 16838, 9186)]
)
def test_the_paper_is_set(paper, width, height, edge):
    """Pandoc alone would set none; the number of the page stands at the right edge of the text."""
    content = word_of(document_of(page()), paper=paper)
    assert f'w:w="{width}"' in part(content)
    assert f'w:h="{height}"' in part(content)
    assert re.findall(r'<w:tab [^>]*w:pos="(\d+)"', part(content, "word/styles.xml")) == [str(edge)]


def test_a_box_stays_on_one_sheet():
    """Every paragraph of a box but the last is kept with the next."""
    content = word('<div class="box"><p>One.</p><p>Two.</p><p>Three.</p></div>')
    assert paragraphs(content) == [("BoxKept", "One."), ("BoxKept", "Two."), ("Box", "Three.")]
    kept = re.search(r'<w:style [^>]*w:styleId="BoxKept".*?</w:style>', part(content, "word/styles.xml"), re.DOTALL)[0]
    assert "<w:keepNext" in kept
    assert 'w:basedOn w:val="Box"' in kept


def test_the_foot(small):
    """What the report is about, the page and their number stand at the foot of each sheet."""
    foot = part(small, "word/footer1.xml")
    assert "Thimble Hill. Invented data" in foot
    assert " PAGE " in foot
    assert " NUMPAGES " in foot


def test_a_printed_number_leads_to_its_row_and_tells_its_label(small):
    """The link goes to a place in the file, shows the label when pointed at, and looks like the text around it."""
    text = part(small)
    [place] = set(re.findall(r'<w:hyperlink w:anchor="(\w+)" w:tooltip="mean_gain/thimble. average gain">', text))
    assert text.count("<w:hyperlink") == 2
    assert f'w:name="{place}"' in text
    assert 'w:val="Hyperlink"' not in text


def test_a_link_to_nowhere_is_plain_text():
    """A number whose row is not on the page is printed all the same."""
    text = part(word('<p><a href="#mean_gain/none">3.2</a> points</p>'))
    assert "3.2" in text
    assert "<w:hyperlink" not in text


def test_text_is_never_a_command():
    """Signs of Markdown, of Typst and of HTML are printed as they stand; two amounts of money are no formula."""
    words = '#import "x": * $5,000 to $3,000 ~x~ *not bold* _a_ [b](c) @ref <label> \\ // ``` ^up^ {=openxml}'
    content = word(f"<p>{words.replace('<', '&lt;')}</p>")
    assert ("BodyText", words) in paragraphs(content) or ("FirstParagraph", words) in paragraphs(content)
    assert "m:oMath" not in part(content)


def test_every_row_of_a_long_table_is_there():
    """Two thousand rows, each with its cells, in a second (pandoc's reader of HTML is worse than linear, and not used)."""
    text = part(word(long_table(2000)))
    assert text.count("<w:tr>") == 2001
    assert "r1999c2" in text


def test_cells_over_several_columns_and_rows():
    """Spans are spans in Word."""
    body = '<table><tr><td colspan="2">a</td><td rowspan="2">b</td></tr><tr><td>c</td><td>d</td></tr></table>'
    text = part(word(body))
    assert 'w:gridSpan w:val="2"' in text
    assert text.count("w:vMerge") == 2


def test_numbers_are_set_to_the_right_and_not_broken(small):
    """A cell of a column of numbers is to the right, and its blanks are no place to break a line."""
    [table] = re.findall(r"<w:tbl>.*?</w:tbl>", part(small), re.DOTALL)
    assert table.count('<w:jc w:val="right" />') == 3
    content = word('<table><tr><td class="number">3.2 points</td></tr></table>')
    assert "3.2\xa0points" in part(content)


def test_the_same_page_gives_the_same_bytes(small):
    """No day, no random name."""
    assert word() == small


def test_the_file_is_whole(small):
    """Every part is well-formed, every part that is referred to is there."""
    parts = unpacked(small)
    for name, content in parts.items():
        if name.endswith((".xml", ".rels")):
            ElementTree.fromstring(content)
    for target in re.findall(r'Target="([^"#]+)"', part(small, "word/_rels/document.xml.rels")):
        assert "://" in target or f"word/{target}" in parts


def test_odd_pages_are_written():
    """Empty parts, and places that stand twice, stop nothing."""
    for body in (
        "",
        "<p></p>",
        "<table></table>",
        "<ul></ul>",
        "<ul><li></li></ul>",
        "<dl></dl>",
        "<h2></h2>",
        PARTS * 2,
        TABLE * 2,
    ):
        ElementTree.fromstring(part(word(body)))


def test_pandoc_is_handed_everything_and_opens_no_file():
    """Pictures go in with the text, and a page that names a file of this machine gets nothing of it."""
    blocks = pandoc_of(document_of(page(FIGURE)))["blocks"]
    assert "data:image/png;base64," in str(blocks)
    assert "/etc/passwd" not in str(pandoc_of(document_of(page('<iframe src="/etc/passwd"></iframe><p>x</p>'))))


def test_a_binary_for_another_processor_is_told(monkeypatch):
    """Where pandoc does not start, one sentence says so and what is made without it."""
    document_pandoc._binary.cache_clear()
    monkeypatch.setattr(document_pandoc, "_binary", lambda: "/no/such/pandoc")
    with pytest.raises(DocumentError) as refused:
        document_pandoc.run_pandoc(["--version"])
    assert str(refused.value) == (
        "pandoc, which writes for Word, does not start on this machine (No such file or directory). "
        "The page and the PDF need no pandoc: --to html,pdf."
    )


def test_pandoc_that_fails_or_hangs_is_told(monkeypatch):
    """What pandoc says is passed on, and a run that does not end is ended."""
    with pytest.raises(DocumentError, match=r"^pandoc could not write for Word: .*Unknown option"):
        document_pandoc.run_pandoc(["--no-such-option"])

    def late(*_, **__):
        raise subprocess.TimeoutExpired("pandoc", 300)

    monkeypatch.setattr(subprocess, "run", late)
    with pytest.raises(DocumentError) as refused:
        document_pandoc.run_pandoc(["--version"])
    assert str(refused.value) == "pandoc was stopped after 300 seconds; the page is too long for Word."


@pytest.fixture
def district(tmp_path):
    """Make a district's file of styles: other headings, letter paper, another foot, and few of our own styles."""
    parts = dict(unpacked(reference_of("not ours")))
    text = parts["word/styles.xml"].decode()
    for name in ("Box", "Note", "Banner", "Table Cell", "After Table"):
        text = re.sub(rf'<w:style [^>]*>\s*<w:name w:val="{name}"/>.*?</w:style>', "", text, flags=re.DOTALL)
    text = text.replace(
        'w:styleId="Heading1"><w:name w:val="heading 1"/>', 'w:styleId="Ueberschrift1"><w:name w:val="heading 1"/>'
    )
    parts["word/styles.xml"] = text.encode()
    parts["word/document.xml"] = parts["word/document.xml"].replace(b'w:w="12240"', b'w:w="13000"')
    parts["word/footer1.xml"] = parts["word/footer1.xml"].replace(b"not ours", b"Two Larches Unified")
    path = tmp_path / "reference.docx"
    path.write_bytes(packed(parts))
    return path


def test_a_districts_styles_paper_and_foot_are_taken(district):
    """Headings have the district's style, whatever it is called there; paper and foot are theirs."""
    content = word_of(document_of(page()), styles=district)
    assert ("Ueberschrift1", "In short") in paragraphs(content)
    assert 'w:w="13000"' in part(content)
    assert any("Two Larches Unified" in text.decode() for name, text in unpacked(content).items() if "footer" in name)


def test_styles_that_a_district_lacks_are_added(district):
    """A box, a note and the cells of tables look as ours where the district has no such style."""
    content = word_of(document_of(page()), styles=district)
    styles = part(content, "word/styles.xml")
    for name in ("Box", "Note", "Banner", "Table Cell"):
        assert f'w:name w:val="{name}"' in styles
    assert "F3F5F2" in styles


def test_a_report_of_ours_can_be_the_file_of_styles(tmp_path, small):
    """The file that a district changes and saves is one of our own reports; it gives the same report again."""
    path = tmp_path / "changed.docx"
    path.write_bytes(small)
    again = word_of(document_of(page()), styles=path)
    assert paragraphs(again) == paragraphs(small)
    assert "Thimble Hill. Invented data" in text_of_word(again)


@pytest.mark.parametrize("content", [b"", b"no zip at all", packed({"word/other.xml": b"<a/>"})])
def test_a_file_of_styles_that_is_none_is_told(tmp_path, content):
    """One sentence names the file and what to do."""
    path = tmp_path / "look.docx"
    path.write_bytes(content)
    with pytest.raises(DocumentError) as refused:
        word_of(document_of(page()), styles=path)
    assert str(refused.value) == (
        "look.docx is no Word file, so no styles can be taken from it. Save it in Word as .docx."
    )


def test_a_file_of_styles_that_is_not_there_is_told(tmp_path):
    """A mistyped name is said to be missing."""
    with pytest.raises(DocumentError) as refused:
        word_of(document_of(page()), styles=tmp_path / "lok.docx")
    assert str(refused.value) == "lok.docx: There is no such file to take styles from."


MIXED = (
    '<div class="scroll"><table><caption>Table 1. Mixed</caption><thead><tr><th>What</th><th class="number">Value</th>'
    '<th>Why</th></tr></thead><tbody>'
    '<tr><th scope="row">a</th><td class="number">13.2<span class="u" style="width:3em"> points</span></td><td></td></tr>'
    '<tr><th scope="row">b</th><td class="number">0.57<span class="u" style="width:3em"> SD</span></td><td>so</td></tr>'
    '</tbody></table></div>'
)  # fmt: skip


def test_numbers_of_different_units_stand_below_each_other():
    """Filled up before them and set to the left, heading and all, their points meet whatever letters Word has."""
    found = dict(reversed(one) for one in paragraphs(word(MIXED)))
    assert "13.2\u00a0points" in found
    assert "\u20070.57\u00a0SD" in found
    [table] = re.findall(r"<w:tbl>.*?</w:tbl>", part(word(MIXED)), re.DOTALL)
    assert 'w:val="right"' not in table


def test_an_empty_cell_is_a_cell_of_the_table():
    """Its paragraph has the style of the others, so that its row is no higher."""
    [table] = re.findall(r"<w:tbl>.*?</w:tbl>", part(word(MIXED)), re.DOTALL)
    assert "<w:p />" not in table
    assert table.count('<w:pStyle w:val="Table') == table.count("<w:p>") == 9


def test_text_keeps_away_from_the_notes_above_it():
    """The last note before ordinary text has room below it; one before a heading or another note does not need it."""
    notes = '<p class="note">One.</p><p class="note">Two.</p>'
    found = dict(reversed(one) for one in paragraphs(word(f"{notes}<p>Text.</p>{notes.replace('w', 'W')}<h2>End</h2>")))
    assert [found[text] for text in ("One.", "Two.", "TWo.")] == ["NoteKept", "NoteLast", "Note"]


def test_a_heading_right_below_a_table_is_held_by_a_line():
    """LibreOffice lets such a heading stand alone at the foot of a sheet; a line a point high between them helps."""
    inside = part(word(f"{MIXED}<h2>Next</h2><p>Text.</p>"))
    assert re.search(
        r'</w:tbl><w:p><w:pPr><w:spacing[^>]*w:line="20"[^>]*/></w:pPr></w:p>\s*<w:p><w:pPr><w:pStyle w:val="Heading',
        inside,
    )
