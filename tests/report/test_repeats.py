"""What a part of a page says twice, it says once."""

from kit.report.repeats import without_repeats

WHY = "Two approaches are not compared in this study."


def left(*cells):
    """Give what is left of some cells, each a heading or what it shows."""
    return [*without_repeats([(cell, []) if isinstance(cell, str) else ("", cell) for cell in cells])]


def test_a_reason_is_given_once_under_a_heading():
    """In whatever way it is set, the same sentence stands once in a part, and again in the next one."""
    assert left("<h2>Ours</h2>", [f"<p>{WHY}</p>"], [f'<p class="note">{WHY}</p>', f"<ul><li>{WHY}</li></ul>"],
                '<h2 id="x">Theirs</h2>', [f"<p>{WHY}</p>"]) == [[], [f"<p>{WHY}</p>"], [], [], [f"<p>{WHY}</p>"]]  # fmt: skip


def test_a_heading_of_a_cell_begins_a_part_too():
    """A heading that a cell shows counts like one of the notebook."""
    assert left([f"<p>{WHY}</p>"], ["<h2>More</h2>", f"<p>{WHY}</p>"]) == [
        [f"<p>{WHY}</p>"],
        ["<h2>More</h2>", f"<p>{WHY}</p>"],
    ]


def test_what_holds_more_than_words_always_stays():
    """Figures, tables, links, lists of several and different sentences are never left out."""
    bodies = [
        "<figure></figure>",
        '<p>rose by <a href="#x">2.2</a></p>',
        "<ul><li>One.</li><li>Two.</li></ul>",
        "<p>One.</p>",
    ]
    assert left("<h2>Ours</h2>", bodies, bodies[:3]) == [[], bodies, bodies[:3]]


def test_smaller_headings_do_not_begin_a_part():
    """Only titles and headings of parts do."""
    assert left([f"<p>{WHY}</p>"], "<h3>Detail</h3>", [f"<p>{WHY}</p>"]) == [[f"<p>{WHY}</p>"], [], []]
