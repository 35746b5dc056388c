"""From a printed number to its row, from there to the formula, and on to the plain words."""

import re

from kit.estimate import Estimate, Interval
from kit.report.page import Page
from kit.report.said import Said

GAIN = Estimate(
    about="Treble & 2", name="mean_gain", value=2.25, unit="points", n=22, source="student-1908",
    interval=Interval(low=1.0, high=3.5, level=0.95, method="Student's t", source="student-1908"),
)  # fmt: skip


def test_every_step_of_the_trail_is_a_link():
    """Sentence, row of all numbers, formula with its check, and meaning: each leads to the next."""
    page = Page(title="T", design="D1")
    said = page.say(Said(("Scores rose by 2.2 points.",), (GAIN,))).body
    words, all_numbers = page.glossary().body, page.where_from().body
    assert 'href="#mean_gain/treble-2-e6478156"' in said
    row = re.search(r'<tr id="mean_gain/treble-2-e6478156">.*?</tr>', all_numbers)[0]
    assert '<a href="#formula-mean_gain">mean_gain</a>/<wbr>treble-2-e6478156' in row
    formula = re.search(r'<tr id="formula-mean_gain">.*?</tr>', all_numbers)[0]
    assert "kit/stats/means.py, def mean_gain" in formula
    assert "tests/reference/mean_gain.json" in formula
    assert '<a href="#word-mean_gain">mean_gain</a><br>average gain' in formula
    assert '<dt id="word-mean_gain">average gain</dt>' in words


def test_the_table_itself_keeps_its_plain_labels():
    """Files beside the page and the text of a terminal hold labels without any markup."""
    page = Page(title="T", design="D1")
    page.say(Said(("Scores rose by 2.2 points.",), (GAIN,)))
    shown = page.where_from()
    assert list(shown.table["Label"]) == ["mean_gain/treble-2-e6478156"]
    assert "<" not in shown.plain
