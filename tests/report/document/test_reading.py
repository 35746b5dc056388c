"""A page taken apart: nothing that is read is lost, nothing that is hidden comes along."""

import pytest

from kit.report.document.parts import DocumentError, Frame, Grid, Heading, Items, Paragraph, Picture, Run, text_of
from kit.report.document.reading import UNDESCRIBED, document_of
from tests.report.documents import PNG, page


def read(body):
    """Read the parts of a small page."""
    return document_of(page(body)).parts


def test_a_page_becomes_its_parts_in_their_order():
    """Title, banner, headings, boxes, paragraphs, lists, words, a figure, a table and its note."""
    document = document_of(page())
    kinds = [type(part).__name__ for part in document.parts]
    assert kinds == [
        "Heading", "Frame", "Heading", "Frame", "Frame", "Heading", "Paragraph", "Items", "Items", "Definitions",
        "Picture", "Grid", "Paragraph",
    ]  # fmt: skip
    assert document.title == "Small review, Thimble Hill"
    assert document.foot == "Thimble Hill. Invented data"
    assert document.language == "en"


def test_what_is_for_the_screen_only_is_left_out():
    """Code, style sheet, the switch and the repeated banner are in no document."""
    text = text_of(document_of(page()))
    assert "secret" not in text
    assert "color" not in text
    assert "Show the code" not in text
    assert text.count("Thimble Hill") == 3


def test_a_tables_head_rows_caption_and_label():
    """Heading row, row headings, sides and label are kept."""
    [grid] = [part for part in document_of(page()).parts if isinstance(part, Grid)]
    assert grid.label == "table-1"
    assert [run.text for run in grid.caption] == ["Table 1. Two choirs"]
    assert [[box.runs[0].text for box in row] for row in grid.head] == [["Choir", "Gain"]]
    assert grid.headed
    assert [box.side for box in grid.rows[0]] == ["left", "right"]
    assert grid.columns == 2


def test_a_table_without_a_head_takes_a_first_row_of_headings():
    """A user's table with its headings in the first row has a head all the same."""
    [grid] = read("<table><tr><th>a<th>b<tr><td>1<td>2</table>")
    assert len(grid.head) == 1
    assert [box.runs[0].text for box in grid.rows[0]] == ["1", "2"]
    assert not grid.headed


def test_cells_over_several_columns_and_rows():
    """Spans are kept, and a senseless one is one."""
    [grid] = read('<table><tr><td colspan="2">x</td><td rowspan="0">y</td></tr></table>')
    assert [(box.columns, box.rows) for box in grid.rows[0]] == [(2, 1), (1, 1)]


def test_a_printed_number_leads_to_its_row():
    """The link of a number and the row it leads to have the same name."""
    document = document_of(page())
    box = document.parts[3]
    assert isinstance(box, Frame)
    assert box.parts[0].runs[1] == Run("2.5", target="mean_gain/thimble", hint="average gain")
    [grid] = [part for part in document.parts if isinstance(part, Grid)]
    assert grid.rows[1][0].runs[0] == Run("", anchor="mean_gain/thimble")


def test_text_is_kept_as_it_is_set():
    """Marks nest, line breaks stay, blanks of the source run together, a no-break blank stays."""
    [part] = read("<p> a <b>b <i>c</i></b>\n<code>d</code><br> e<sub>2</sub>&nbsp;f<sup>3</sup> </p>")
    assert part.runs == (
        Run("a "), Run("b ", ("strong",)), Run("c", ("strong", "emph")), Run(" "), Run("d", ("code",)), Run("\n"),
        Run("e"), Run("2", ("sub",)), Run("\xa0f"), Run("3", ("sup",)),
    )  # fmt: skip


def test_text_between_blocks_is_not_lost():
    """Words outside any paragraph, and a paragraph in a list item."""
    parts = read("loose <b>words</b><p>said</p>tail<ul><li>one<ul><li>two</li></ul></li></ul>")
    assert [part.runs[0].text for part in parts[:3]] == ["loose ", "said", "tail"]
    inner = parts[3].items[0]
    assert isinstance(inner[0], Paragraph)
    assert isinstance(inner[1], Items)


def test_blanks_at_the_end_of_a_line_are_no_text():
    """A tag with nothing but blanks in it becomes nothing."""
    assert read("<p> \n </p><div> </div>") == ()


def test_printed_text_keeps_its_lines():
    """What a cell prints is set line by line."""
    [part] = read('<pre class="printed">a\n  b</pre>')
    assert part == Paragraph((Run("a\n  b"),), "code")


def test_a_picture_without_description_says_so():
    """No picture goes without an alternative text."""
    [part] = read(f'<img src="data:image/png;base64,{PNG}">')
    assert isinstance(part, Picture)
    assert part.alt == UNDESCRIBED
    assert part.width == 6.4


@pytest.mark.parametrize("source", ["data:image/svg+xml;base64,PHN2Zy8+", "picture.png", "data:image/png;base64,", ""])
def test_a_picture_that_word_would_leave_blank_is_refused(source):
    """A drawing as SVG, a file elsewhere and an empty picture are refused in one sentence."""
    with pytest.raises(DocumentError) as refused:
        read(f'<img src="{source}" alt="x">')
    assert str(refused.value) == (
        "A picture on the page is not PNG, JPEG or GIF, and Word would leave it blank. "
        "Show it as PNG in the notebook, or make the page alone (--to html)."
    )


def test_a_drawing_inside_the_page_is_refused():
    """An SVG drawn into the page is refused, not passed over."""
    with pytest.raises(DocumentError) as refused:
        read("<p><svg><text>3</text></svg></p>")
    assert str(refused.value) == (
        "The page holds a drawing of a kind (<svg>) that Word would leave blank. "
        "Show it as a PNG picture in the notebook, or make the page alone (--to html)."
    )


def test_a_style_sheet_of_a_users_table_does_not_come_along():
    """What a library's table says of all tables is dropped with its tag, and the table stays."""
    parts = read("<div><style>thead, td {border-style: none}</style><table><tr><td>kept</td></tr></table></div>")
    assert [type(part) for part in parts] == [Grid]


def test_headings_and_words_can_be_reached():
    """A heading and a word of the glossary that a link leads to are places."""
    parts = read('<h2 id="a">A</h2><dl><dt id="b">B</dt><dd>c</dd></dl>')
    assert isinstance(parts[0], Heading)
    assert parts[0].runs[0].anchor == "a"
    assert parts[1].words[0][0][0].anchor == "b"


@pytest.mark.parametrize(
    ("width", "height", "printed"),
    [
        (614, 400, 4.7),
        (614, 470, 3.3 * 614 / 470),
        (614, 540, 4.2),
        (200, 100, 200 / 96),
        (614, 2400, 7.5 * 614 / 2400),
    ],
)
def test_a_picture_is_no_larger_than_a_sheet_leaves(width, height, printed):
    """A wide one keeps its letters small, a high one is made somewhat smaller, and a very high one is never cut off."""
    [picture] = read(f'<img src="data:image/png;base64,{PNG}" alt="x" width="{width}" height="{height}">')
    assert picture.printed == pytest.approx(printed)


def test_a_picture_without_a_size_has_its_own_shape():
    """A drawing that a user added says in its file how wide and high it is."""
    [picture] = read(f'<img src="data:image/png;base64,{PNG}" alt="x">')
    assert (picture.width, picture.height) == (6.4, 6.4)


def test_a_number_keeps_its_place_in_its_column():
    """Blanks as wide as a figure behind a number stay, and where others have a unit an empty one keeps its width."""
    [grid] = read(
        '<table><tr><th>a</th><td class="number">6\u2008\u2007 </td>'
        '<td class="number">0.62<span class="u" style="width:3.64em"></span></td></tr></table>'
    )
    _, first, second = grid.rows[0]
    assert [run.text for run in first.runs] == ["6\u2008\u2007"]
    assert [(run.text, run.width) for run in second.runs] == [("0.62", 0.0), ("", 3.64)]


def test_a_long_heading_is_broken_before_a_table_is_made_small():
    """Numbers are never broken, and short headings above them neither; a long name of an approach is."""
    head = '<th class="number">ear-first</th><th class="number">Ear training before any notation is shown</th>'
    [grid] = read(
        f'<table><thead><tr>{head}</tr></thead><tr><td class="number">6</td><td class="number">140</td></tr></table>'
    )
    assert [box.whole for box in grid.head[0]] == [True, False]
    assert all(box.whole for box in grid.rows[0])
