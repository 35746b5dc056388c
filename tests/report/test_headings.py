"""Headings as places that a click can lead to."""

from kit.report.headings import anchor, link, with_anchors


def test_every_heading_of_the_second_level_gets_its_anchor():
    """Words, signs and markup inside a heading give one plain name; other levels stay."""
    body = "<h1>Report</h1><h2>How it <em>began</em>, &amp; who left</h2><p>x</p><h2>Été</h2>"
    assert with_anchors(body) == (
        '<h1>Report</h1><h2 id="part-how-it-began-who-left">How it <em>began</em>, &amp; who left</h2><p>x</p>'
        '<h2 id="part-ete">Été</h2>'
    )


def test_a_link_leads_to_the_heading_and_is_escaped():
    """The link of a heading names the anchor that the heading has."""
    heading = "What < & why"
    assert link(heading) == '<a href="#part-what-why">What &lt; &amp; why</a>'
    assert f'id="{anchor(heading)}"' in with_anchors("<h2>What &lt; &amp; why</h2>")
