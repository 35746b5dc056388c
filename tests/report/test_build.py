"""A notebook becomes a folder: one page that holds everything itself, its numbers, and nothing about a person."""

import json
import re

import pandas as pd
import pytest

from kit.report.build import OutsideAddressError, PersonalDataError, UntracedNumberError, build_report
from kit.report.document import Forms
from kit.report.runner import CellError

START = """
import pandas as pd
from matplotlib.figure import Figure
from kit.report.page import Page
from kit.report.said import Caption, Said
from kit.stats.means import mean_gain
from kit.stats.counts import count
page = Page(title=title, design="D1", synthetic=True)
gain = mean_gain([1, 4, 5, 7], [3, 5, 9, 9], about="Treble 2", unit="points")
page.banner()
"""
CELLS = (
    START,
    'page.say(Said(("Scores rose.",), (gain, count(4, about="tested both times"))))',
    'page.figure(Figure(figsize=(2, 1)), caption=Caption("A figure", "Nothing is drawn."))',
    'page.estimates([gain], caption="Gain")',
    'page.table(pd.DataFrame({"what": ["=1+1"], "n": [3]}), caption="Formula")',
    "page.where_from()",
)
PROSE = "# Small review\n\nSome *words* & <b>markup</b>.\n\n- one\n- two\n\n| a | b |\n|---|---|\n| c | d |"


def notebook(folder, cells=CELLS, prose=PROSE):
    """Write a notebook with a parameters cell."""

    def code(source, tags=()):
        return {
            "cell_type": "code",
            "metadata": {"tags": list(tags)},
            "source": source,
            "outputs": [],
            "execution_count": None,
        }

    path = folder / "small.ipynb"
    listed = [
        {"cell_type": "markdown", "metadata": {}, "source": prose},
        code('title = "Treble 2"', ["parameters"]),
        *map(code, cells),
    ]
    path.write_text(json.dumps({"cells": listed, "metadata": {}, "nbformat": 4, "nbformat_minor": 5}))
    return path


def built(tmp_path, *, cells=CELLS, prose=PROSE, out="out", **options):
    """Build the report of a small notebook."""
    return build_report(
        notebook(tmp_path, cells, prose),
        {"title": "<script>alert(1)</script>"},
        tmp_path / out,
        name="small",
        **options,
    )


def files(folder):
    """Give every file below a folder with its bytes."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }


@pytest.fixture(scope="module")
def report(tmp_path_factory):
    """Build the report once."""
    folder = tmp_path_factory.mktemp("report")
    return built(folder, left_out=pd.DataFrame({"row": [3], "found": ["=cmd"]}))


def test_a_page_holds_everything_itself(report):
    """No script, nothing fetched, a policy that forbids both, a language, a title, a width for phones."""
    page = report.read_text(encoding="utf-8")
    assert "<script" not in page
    assert "http://" not in page
    assert "https://" not in page
    assert (
        """<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">"""
        in page
    )
    assert '<html lang="en">' in page
    assert "<title>Small review, &lt;script&gt;alert(1)&lt;/script&gt;</title>" in page
    assert 'name="viewport" content="width=device-width, initial-scale=1"' in page
    assert "prefers-color-scheme: dark" in page
    assert "@media print" in page


def test_a_page_is_printed_on_the_readers_own_paper_unless_one_is_asked_for(tmp_path):
    """A size is set only where one is asked for; it stands after the other rules for sheets, so that it holds."""
    style = built(tmp_path, out="own").read_text(encoding="utf-8").partition("</style>")[0]
    assert "size:" not in style[style.index("@page") :]
    style = built(tmp_path, out="a4", forms=Forms(paper="a4")).read_text(encoding="utf-8").partition("</style>")[0]
    assert style.rstrip().endswith("@page { size: a4; }")


def test_prose_is_prose_and_what_people_wrote_is_escaped(report):
    """Headings, lists, emphasis and tables are laid out; markup in prose and parameters is shown, not run."""
    page = report.read_text(encoding="utf-8")
    assert "<h1>Small review</h1>" in page
    assert "<em>words</em> &amp; &lt;b&gt;markup&lt;/b&gt;" in page
    assert "<li>one</li>" in page
    assert '<th scope="col">a</th>' in page
    assert "<thead" in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page


def test_code_is_there_behind_one_switch(report):
    """Every code cell is in the page, hidden until the one box is ticked."""
    page = report.read_text(encoding="utf-8")
    assert page.count('<pre class="code"') == len(CELLS) + 1
    assert page.count("<input") == 1
    assert "body:has(#code:checked) .code { display: block; }" in page


def test_invented_data_are_called_so_on_every_printed_page(report):
    """The banner stands at the top and once more where a printer repeats it; a screen reader hears it once."""
    page = report.read_text(encoding="utf-8")
    assert page.count("Invented data: no real student") == 2
    assert '<div class="running" aria-hidden="true"><div class="banner">' in page


def test_every_number_of_the_page_is_in_the_file(report):
    """Labels in the table of all numbers are the labels of numbers.csv, with all digits there."""
    numbers = pd.read_csv(report.parent / "numbers.csv").set_index("label")
    assert sorted(numbers.index) == ["count/tested-both-times", "mean_gain/treble-2"]
    assert numbers.value["mean_gain/treble-2"] == 2.25
    page = report.read_text(encoding="utf-8")
    assert set(re.findall(r'<tr id="(\w+/[\w-]+)">', page)) == set(numbers.index)


def test_the_folder_holds_page_numbers_rows_left_out_and_tables(report):
    """Nothing more, and no cell that a spreadsheet program would run."""
    assert list(files(report.parent)) == [
        "figures/figure-1.png", "figures/figure-1.svg", "left_out.csv", "narrative.md", "numbers.csv", "references.bib",
        "references.json", "small.html", "tables/table-1.csv", "tables/table-2.csv", "tables/table-3.csv", "tables.xlsx",
    ]  # fmt: skip
    assert (report.parent / "left_out.csv").read_text() == "row,found\n3,'=cmd\n"
    assert (report.parent / "tables/table-2.csv").read_text() == "what,n\n'=1+1,3\n"


def test_the_same_notebook_gives_the_same_bytes(tmp_path, report):
    """Built again elsewhere, every file is equal to the last byte."""
    again = built(tmp_path, left_out=pd.DataFrame({"row": [3], "found": ["=cmd"]}))
    assert files(again.parent) == files(report.parent)


def test_a_new_report_replaces_the_old_and_nothing_else(tmp_path):
    """Tables of the old report go, a teacher's own file in the folder stays."""
    first = built(tmp_path, left_out=pd.DataFrame({"row": [3]}))
    (first.parent / "my notes.txt").write_text("keep me")
    built(tmp_path, cells=(*CELLS[:2], CELLS[-1]))
    assert list(files(first.parent)) == [
        "my notes.txt", "narrative.md", "numbers.csv", "references.bib", "references.json", "small.html",
        "tables/table-1.csv", "tables.xlsx",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("word", "cells"),
    [("Quillon Ferbrake", 'page.say(Said(("Ferbrake, Quillon has 3 points.",)))'),
     ("00417", 'page.table(pd.DataFrame({"id": ["00417"], "n": [3]}), caption="Ids")')],
)  # fmt: skip
def test_a_report_with_a_name_or_id_is_not_written(tmp_path, word, cells):
    """The old report stays as it is, nothing half-made is left, and the message does not repeat the name."""
    before = files(built(tmp_path).parent)
    with pytest.raises(PersonalDataError) as refused:
        built(tmp_path, cells=(*CELLS, cells), personal=[word.lower()])
    hint = f"{'F' if word[0] == 'Q' else '0'}... ({17 if word[0] == 'Q' else 5} letters)"
    assert str(refused.value) == (
        f"The report was not written: small.html would hold 1 names, school ids or addresses of the input, such as {hint}. "
        "Check the titles, choirs and labels in study.toml and in the headings of the sheets."
    )
    assert files(tmp_path / "out") == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["out", "small.ipynb"]


def test_rows_left_out_are_searched_too(tmp_path):
    """A name in left_out.csv is as bad as one on the page."""
    with pytest.raises(PersonalDataError, match=r"^The report was not written: left_out\.csv would hold 1 names"):
        built(tmp_path, left_out=pd.DataFrame({"found": ["Quillon Ferbrake"]}), personal=["quillon ferbrake"])


def test_an_ordinary_word_that_is_also_a_name_does_no_harm(tmp_path):
    """A singer called Mark does not forbid the word mark, in prose or in code."""
    assert built(
        tmp_path, prose="# Marks\n\nMay a mark be low? Mark it. The mark stands.", personal=["mark", "may"]
    ).is_file()


@pytest.mark.parametrize(
    ("prose", "found"),
    [("[look](https://example.org)", 'href="https://example.org'), ("![a](picture.png)", 'src="picture.png')],
)
def test_a_page_that_would_fetch_something_is_not_written(tmp_path, prose, found):
    """A link or a picture from elsewhere is refused with what to take out."""
    with pytest.raises(OutsideAddressError) as refused:
        built(tmp_path, prose=prose)
    assert str(refused.value) == (
        f'The report was not written: its page would fetch or run something ({found}"). '
        "A report holds everything itself; take the link, picture or script out of the notebook."
    )


def test_a_number_shown_after_the_table_of_all_numbers_is_refused(tmp_path):
    """A number that no trail leads to may not be on the page."""
    late = 'page.say(Said(("x",), (count(4, about="late"),)))'
    with pytest.raises(UntracedNumberError) as refused:
        built(tmp_path, cells=(*CELLS, late))
    assert str(refused.value) == (
        "These numbers are on the page or in its table of all numbers, not in both: count/late."
    )


def test_a_failing_notebook_leaves_no_folder(tmp_path):
    """One sentence, and nothing on the disk."""
    with pytest.raises(CellError, match=r"^small\.ipynb, cell 2: no such choir$"):
        built(tmp_path, cells=("raise ValueError('no such choir')",))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["small.ipynb"]


@pytest.mark.parametrize(
    ("shown", "found"),
    [("<script>1</script>", "<script>"), ("<img src='//example.org/x.png'>", 'src="//example.org/x.png"'),
     ("<a href=javascript:1>x</a>", 'href="javascript:1"'), ("<p onclick=x>x</p>", 'onclick="x"'),
     ("<style>p {background: url(x.png)}</style>", "a style sheet with an address"),
     ("<p style='background: URL(x.png)'>x</p>", 'style="background: URL(x.png)"'),
     ("<meta http-equiv=refresh content=0>", "<meta>"), ("<IFRAME></IFRAME>", "<iframe>")],
)  # fmt: skip
def test_html_that_a_user_adds_cannot_fetch_or_run(tmp_path, shown, found):
    """However it is quoted, a cell's own HTML with a script or an address refuses the page."""
    with pytest.raises(OutsideAddressError) as refused:
        built(tmp_path, cells=(*CELLS, f"from IPython.display import HTML\nHTML({shown!r})"))
    assert f"fetch or run something ({found}). " in str(refused.value)


def test_what_a_user_adds_is_not_lost(tmp_path):
    """Printed text and a plain picture come out, escaped, and the picture says that it lacks a description."""
    png = "from IPython.display import Image\nImage(data=b'\\x89PNG\\r\\n\\x1a\\n', format='png')"
    page = built(tmp_path, cells=(*CELLS, "print('<i>seen</i>')", png)).read_text(encoding="utf-8")
    assert '<pre class="printed">&lt;i&gt;seen&lt;/i&gt;</pre>' in page
    assert page.count("A picture added to the notebook, without a description.") == 2


def test_numbers_without_a_table_of_all_numbers_are_refused(tmp_path):
    """A notebook that shows a number and no trail makes no report; one without numbers does."""
    with pytest.raises(UntracedNumberError, match=r"not in both: count/tested-both-times, mean_gain/treble-2\.$"):
        built(tmp_path, cells=CELLS[:2])
    assert built(tmp_path, cells=CELLS[:1]).is_file()


def test_a_name_with_an_apostrophe_is_found(tmp_path):
    """The page writes the apostrophe as a code, and the search reads it as the apostrophe."""
    said = 'page.say(Said(("Bríd O\'Harrow sang.",)))'
    with pytest.raises(PersonalDataError, match=r"^The report was not written: small\.html would hold 1 names"):
        built(tmp_path, cells=(*CELLS, said), personal=["bri\u0301d o'harrow"])


def test_letters_of_a_picture_are_no_id(tmp_path, report):
    """A short id that stands in the code of a picture by chance does not refuse the page."""
    code = re.search(r"base64,([^\"]+)", report.read_text(encoding="utf-8"))[1]
    parts = [part for part in re.split(r"[+/=]", code) if 3 <= len(part) <= 12 and re.search(r"\d", part)]
    assert built(tmp_path, personal=[part for part in parts if re.search("[A-Za-z]", part)][:1]).is_file()


@pytest.mark.filterwarnings("ignore")  # the kernel's own libraries warn of their transport and their event loop
def test_a_kernel_makes_the_same_report(tmp_path, report):
    """Isolated or not, every file is the same to the last byte."""
    apart = built(tmp_path, left_out=pd.DataFrame({"row": [3], "found": ["=cmd"]}), isolated=True)
    assert files(apart.parent) == files(report.parent)
