"""The check page as HTML: the same as the text, by file, with what to type, and nothing of anybody's own."""

import re
from html.parser import HTMLParser

import pytest

from kit.check import check_file, check_page
from kit.check_html import check_html
from kit.check_parts import check_parts
from kit.report.privacy.names import find_personal
from kit.study import read_study

SCORES = (
    "Treble 2,,\nID,Name,Pre,Post\n00417,Ann Lee,11/16,12/16\n00231,Bo Tan,abs,9/16\n00118,Cy Orr,17/16,IEP\n"
    "00990,Di Fox,8/16,10/16\n00417,Ann Lee,11/16,12/16\nClass avg,,10,10\n"
)
STUDY = 'title = "Fall"\n[occasions]\npre = ["September", "Pre"]\npost = ["December", "Post"]\n[[scores]]\nfile = "scores.csv"\n'
VOID = {"meta", "br", "img", "link", "input", "hr"}


class Tree(HTMLParser):
    """Check that tags are closed in order, and gather the text below each heading."""

    def __init__(self, page):
        super().__init__()
        self.open, self.tags, self.text = [], [], []
        self.feed(page)
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if "style" not in self.open and data.strip():
            self.text.append((self.open[-1], data.strip()))


@pytest.fixture
def study(tmp_path):
    (tmp_path / "scores.csv").write_text(SCORES)
    (tmp_path / "study.toml").write_text(STUDY)
    return read_study(tmp_path)


def texts(page, tag):
    """Give the texts inside a tag."""
    return [text for inside, text in Tree(page).text if inside == tag]


def test_the_whole_page(study):
    """By file: what was read, how it was understood, what was changed and how often, what was set aside and why."""
    page = check_html(study)
    assert texts(page, "h2") == ["scores.csv", "Who has which test", "What kind of study this is"]
    assert texts(page, "h3") == ["What was read", "How the columns were understood", "What was written another way",
                                 "What was set aside"]  # fmt: skip
    assert texts(page, "strong") == ["Nothing stands in the way of a report."]
    assert "5 rows = 4 used + 1 set aside (1 title line, 1 header row, 1 totals row besides)." in texts(page, "li")
    cells = texts(page, "td")
    assert "1 time" in cells
    assert "'abs' read as 'absent', row 4" in cells
    assert "The mark is above the most points that can be earned." in cells
    assert "Pre, row 5" in texts(page, "th")


def test_html_and_text_say_the_same(study):
    """Every sentence of the text page is on the HTML page, whole or in the cells of a table."""
    shown = " ".join(text for _, text in Tree(check_html(study)).text)
    for part in check_parts(study):
        for line in part.lines:
            for piece in line.cells or [line.text.removeprefix(f"{line.file}: ")]:
                assert (piece[:1].upper() + piece[1:]) in shown or piece in shown
    for line in check_page(study):
        assert (
            line == ""
            or not line.startswith("  ")
            or any(line.strip() == said.text for p in check_parts(study) for said in p.lines)
        )


def test_what_to_type_and_where(tmp_path):
    """A problem that a setting settles shows the line of study.toml, ready to be copied, and where it goes."""
    (tmp_path / "scores.csv").write_text("ID,Pre,Post\n00123,1/9,2/9\n123,3/9,4/9\n")
    page = check_html(check_file(tmp_path / "scores.csv"))
    assert texts(page, "h2")[0] == "What to mend before a report can be made"
    assert texts(page, "strong") == ["1 problem to mend; the rest was read."]
    assert texts(page, "code") == ["id_width = 5"]
    assert "At the top of study.toml:" in texts(page, "div")


def test_a_setting_of_one_file_goes_into_its_section(tmp_path):
    """What is declared of one file goes under that file's section, not at the top."""
    (tmp_path / "scores.csv").write_text("ID,Pre,Post\n1,0.5,50\n2,0.25,40\n3,0.75,30\n4,90,0.1\n")
    study = check_file(tmp_path / "scores.csv")
    assert 'declare scale = "points"' in str(study.loaded.problems[0])
    page = check_html(study)
    assert texts(page, "code") == ['scale = "points"']
    assert 'In study.toml, in the section [[scores]] with file = "scores.csv":' in texts(page, "div")


def test_one_change_in_several_sheets_is_counted_once(study):
    """The table of changes has a row for each rule of a file."""
    rules = [line.cells[0] for part in check_parts(study) for line in part.lines if line.times]
    page = check_html(study)
    assert all(page.count(f">{rule}<") == 1 for rule in rules)


def test_nothing_of_anybodys_own(study):
    """Names, school ids and private words are not on the page."""
    page = check_html(study)
    assert study.loaded.personal
    assert find_personal(page, study.loaded.personal) == []
    assert not re.search(r"Lee|Tan|00417|IEP", page)


def test_an_id_in_an_example_is_taken_out(tmp_path):
    """The example of a padded id would be a student's id."""
    (tmp_path / "scores.csv").write_text("ID,Pre,Post\n00417,1/9,2/9\n61234,3/9,4/9\n231,3/9,4/9\n")
    (tmp_path / "study.toml").write_text(STUDY.replace("[occasions]", "id_width = 5\n[occasions]"))
    study = read_study(tmp_path)
    assert "00231" in "\n".join(check_page(study))
    page = check_html(study)
    assert "00231" not in page
    assert "(not shown)" in page


def test_a_hostile_heading_stays_text(tmp_path):
    """Tags in file names, sheets and headings are shown, not run; nothing is fetched."""
    (tmp_path / "scores.csv").write_text("ID,Pre <script>alert(1)</script>,Post\n1,1/9,2/9\n2,3/9,4/9\n")
    page = check_html(check_file(tmp_path / "scores.csv"))
    tags = Tree(page).tags
    assert "script" not in {tag for tag, _ in tags}
    assert not [attrs for _, attrs in tags if {"src", "href", "onload", "onclick"} & set(attrs)]
    assert "default-src 'none'" in page
    assert "http" not in page.replace("http-equiv", "")


def test_the_page_of_a_small_screen():
    """The page is as wide as its screen, and wide tables scroll by themselves."""
    from kit.check_html import STYLE

    assert ".scroll { overflow-x: auto" in STYLE.read_text()
