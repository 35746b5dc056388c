"""The prose of a report for forms: plain text, counted right, held against the limits of a form."""

from kit.report import layout
from kit.report.layout import BUNDLE
from kit.report.narrative import LIMITS, NO_LIMITS, OPENING, forms, length, narrative
from kit.report.runner import Cell


def cell(*shown):
    """Make a cell that showed objects."""
    return Cell("code", "x", [one._repr_mimebundle_() for one in shown])


CELLS = [
    Cell("markdown", "# Grant report"),
    cell(layout.text(["Two Larches", "Invented data."], kind="banner")),
    Cell("markdown", "## In short"),
    cell(layout.text(["One < two & three.", "Four."], kind="box"), layout.text(["Not shown."], kind="note")),
    cell(layout.text(["First promise.", "Second promise."], kind="list")),
    Cell("markdown", "## Only a heading"),
    Cell("markdown", "## Words used in this report"),
    cell(layout.definitions([("word", "meaning")]), layout.text(["Author (1999)."], kind="list")),
]
TOLD = "One < two & three. Four.\n\nFirst promise.\nSecond promise."


def test_each_part_is_plain_text_with_its_length():
    """No markup, no banner, note, glossary or empty part; a list has a line for each entry."""
    assert narrative(CELLS) == (
        f"# Grant report\n\n{OPENING}\n\n## In short\n\n{TOLD}\n\n(56 characters with blanks, 46 without)\n"
    )
    assert len(TOLD) == 56
    assert len("".join(TOLD.split())) == 46


def test_a_form_may_limit_a_part():
    """Over by so many, or so many left; a limit of a part that is not there is told."""
    over = [*CELLS, cell(forms({"In short": 50, "In shrt": 9}))]
    assert "(56 characters with blanks, 46 without; the limit is 50: over by 6)" in narrative(over)
    assert 'No part with prose is called "In shrt", so its limit was not looked at.' in narrative(over)
    assert "the limit is 1,500: 1,444 left)" in narrative([*CELLS, cell(forms({"In short": 1500}))])


def test_a_text_of_just_the_limit_fits():
    """The limit itself is allowed; one more is over by one; nothing is nought."""
    assert length("12345", 5) == "5 characters with blanks, 5 without; the limit is 5: 0 left"
    assert length("123456", 5) == "6 characters with blanks, 6 without; the limit is 5: over by 1"
    assert length("") == "0 characters with blanks, 0 without"


def test_letters_are_counted_and_not_bytes():
    """A typographic sign and a letter with an accent count once, as forms count them."""
    assert length("−0.8 à 1") == "8 characters with blanks, 6 without"


def test_links_and_signs_of_the_page_are_not_in_the_text():
    """A number that leads to its row is the number alone."""
    linked = {
        "text/html": '<p>Scores rose by <a class="n" href="#x" title="a > b">3.2</a> points.</p>',
        BUNDLE: {"kind": "text"},
    }
    assert "\n\nScores rose by 3.2 points.\n\n(" in narrative([Cell("markdown", "## A"), Cell("code", "x", [linked])])


def test_the_page_says_where_the_prose_lies():
    """With limits and without; the limits travel behind the sentence."""
    assert forms({}).plain == NO_LIMITS
    assert forms({"In short": 5}).plain == LIMITS
    assert forms({"In short": 5})._repr_mimebundle_()[BUNDLE]["limits"] == {"In short": 5}
