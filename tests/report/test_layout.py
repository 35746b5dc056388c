"""What a cell shows: clean HTML, everything escaped, captions and alternative texts required."""

import re

import pandas as pd
import pytest
from matplotlib.figure import Figure

from kit.estimate import Estimate
from kit.report import layout

EVIL = '<script>alert("x")</script>'


def test_everything_a_school_wrote_is_escaped():
    """Text, captions, cells, headings and alternative texts cannot carry markup."""
    rows = pd.DataFrame({EVIL: [EVIL], "n": [3]})
    shown = [
        layout.text([EVIL]), layout.text([EVIL], kind="list"), layout.text([EVIL], kind="box"),
        layout.definitions([(EVIL, EVIL)]), layout.table(rows, number=1, caption=EVIL, notes=[EVIL]),
        layout.figure(Figure(), number=1, caption=EVIL, alt=EVIL, note=EVIL),
    ]  # fmt: skip
    for one in shown:
        assert "<script" not in one.body
        assert "&lt;script&gt;" in one.body


def test_a_table_says_what_its_headings_head():
    """Columns and rows have headings with scope; numbers stand to the right."""
    rows = pd.DataFrame({"What": ["gain"], "Estimate": ["+2.4"], "95 % interval": ["1.0 to 3.8"], "Who": ["all"]})
    body = layout.table(rows, number=3, caption="Change").body
    assert '<th scope="col">What</th>' in body
    assert '<th scope="row">gain</th>' in body
    assert '<td class="number">+2.4</td><td class="number">1.0 to 3.8</td><td class="short">all</td>' in body
    assert (
        '<div class="scroll kept" id="table-3" role="region" tabindex="0" aria-label="Table 3"><table>'
        "<caption><span>Table 3. Change</span></caption>" in body
    )


def test_captions_and_alternative_texts_are_required():
    """A picture that a blind reader gets nothing of is refused."""
    with pytest.raises(ValueError, match=r"^figure: alt must say what the figure shows\. Got an empty one\.$"):
        layout.figure(Figure(), number=1, caption="x", alt=" ")
    with pytest.raises(ValueError, match=r"^figure: caption must say what the figure shows\. Got an empty one\.$"):
        layout.figure(Figure(), number=1, caption="", alt="x")
    with pytest.raises(ValueError, match=r"^table: caption must say what the table shows\. Got an empty one\.$"):
        layout.table(pd.DataFrame(), number=1, caption="")


def test_the_same_drawing_twice_is_the_same_bytes():
    """Nothing of the moment is in a picture."""
    drawn = [layout.figure(Figure(figsize=(2, 1)), number=1, caption="x", alt="y").body for _ in range(2)]
    assert drawn[0] == drawn[1]


def test_what_stands_behind_travels_with_the_object():
    """A notebook's output carries the table as CSV, whoever runs it."""
    shown = layout.table(pd.DataFrame({"a": ["x"], "b": [1]}), number=1, caption="c")
    behind = shown._repr_mimebundle_()[layout.BUNDLE]
    assert behind == {
        "kind": "table",
        "id": "table-1",
        "caption": "c",
        "labels": [],
        "estimates": [],
        "csv": "a,b\nx,1\n",
    }


def test_estimates_travel_with_their_labels():
    """Whoever runs the notebook finds kind, anchor, labels and every field of the numbers."""
    gain = Estimate(
        about="all", name="mean_gain", value=1.5, unit="points", n=9, source="student-1908", notes=("none",)
    )
    behind = layout.text(["x"], estimates=[gain])._repr_mimebundle_()[layout.BUNDLE]
    assert behind["kind"] == "text"
    assert behind["labels"] == ["mean_gain/all"]
    assert behind["estimates"] == [gain.as_row()]
    assert behind["csv"] is None


def test_long_tables_are_set_smaller_and_short_ones_kept_together():
    """A wide row is set smaller, two lines of a cell stay two lines, and only short tables refuse a page break."""
    wide = pd.DataFrame({"a": ["x" * 80], "b": ["one\ntwo"]})
    body = layout.table(wide, number=1, caption="Wide").body
    assert 'class="scroll kept dense"' in body
    assert '<td class="short">one<br>two</td>' in body
    assert 'class="scroll"' in layout.table(pd.DataFrame({"a": range(30)}), number=1, caption="Long").body


def test_a_long_heading_may_be_broken():
    """A short one stays in one line; the name of an approach that is a sentence does not push numbers off the page."""
    rows = pd.DataFrame({"What": ["n"], "ear-first": ["6"], "Ear training before any notation is shown": ["140"]})
    body = layout.table(rows, number=1, caption="Approaches").body
    assert '<th scope="col" class="number">ear-first</th>' in body
    assert '<th scope="col" class="number long">Ear training before any notation is shown</th>' in body


def test_what_is_the_same_in_every_row_is_told_once():
    """A column of words without a difference becomes a sentence; numbers, short tables and written rows stay."""
    rows = pd.DataFrame({"What": list("abcde"), "Weak?": ["almost sure"] * 5, "n": ["3"] * 5, "Why": [""] * 5})
    shown = layout.table(rows, number=1, caption="Patterns", notes=["More."])
    assert shown.body.count("almost sure") == 1
    assert '<p class="note">Weak: almost sure, in every row.</p><p class="note">More.</p>' in shown.body
    assert [*re.findall(r'<th scope="col"[^>]*>([^<]*)<', shown.body)] == ["What", "n", "Why"]
    assert [*shown.table.columns] == ["What", "Weak?", "n", "Why"]
    assert layout.table(rows.iloc[:4], number=1, caption="Patterns").body.count("almost sure") == 4
    written = layout.table(rows, number=1, caption="Patterns", write=layout.Written)
    assert written.body.count("almost sure") == 5
