"""One report in the making: numbered, gated, recorded, and silent about groups too small for its readers."""

import dataclasses
import re

import pandas as pd
import pytest
from matplotlib.figure import Figure

from kit.errors import ClaimRefusedError, UnknownChoiceError
from kit.estimate import Estimate, Interval
from kit.report import page as page_module
from kit.report.layout import BUNDLE
from kit.report.numbers import value_cell
from kit.report.page import Page
from kit.report.said import Caption, Said
from kit.stats.proportions.shares import share_wilson

INTERVAL = Interval(low=1.0, high=3.5, level=0.95, method="Student's t, gains", source="student-1908")
GAIN = Estimate(
    about="total, Treble 2",
    name="mean_gain",
    value=2.25,
    unit="points",
    n=22,
    source="student-1908",
    interval=INTERVAL,
    dropped=2,
)
CAPTION = Caption(title="Average gain", alt="A point at 2.3.", note="A bar for the interval.")


def a_page(**changed):
    """Begin a page about one choir tested twice."""
    return Page(**{"title": "Treble 2, fall", "design": "D1", "seed": 7} | changed)


def voices(*sizes):
    """Make the gain of each voice, of these sizes."""
    names = ("Soprano", "Alto", "Tenor", "Bass")
    return [dataclasses.replace(GAIN, about=name, n=n) for name, n in zip(names, sizes, strict=True)]


@pytest.fixture
def passed(monkeypatch):
    """Note every text that goes through the gate."""
    seen = []

    def note(text, **options):
        seen.append(text)
        return text

    monkeypatch.setattr(page_module, "gate", note)
    return seen


def test_figures_and_tables_are_numbered_apart():
    """The second figure is figure 2, whatever tables stand between."""
    page = a_page()
    ids = [
        page.figure(Figure(), caption=CAPTION).label,
        page.estimates([GAIN], caption="Gain").label,
        page.figure(Figure(), caption=CAPTION).label,
        page.table(pd.DataFrame({"a": ["x"]}), caption="Other").label,
    ]
    assert ids == ["figure-1", "table-1", "figure-2", "table-2"]


def test_every_text_passes_the_gate(passed):
    """Sentences, captions, alternative texts, notes and headings are all held to what the design can say."""
    page = a_page()
    page.say(Said(("One.", "Two.")))
    page.heading("Heading")
    page.figure(Figure(), caption=CAPTION)
    page.table(pd.DataFrame({"a": ["x"]}), caption="Caption", notes=["Note."])
    assert passed == [
        "One.", "Two.", "Heading", "Average gain", "A point at 2.3.", "A bar for the interval.", "Caption", "Note.",
    ]  # fmt: skip


@pytest.mark.parametrize("part", ["title", "alt", "note"])
def test_no_part_of_a_caption_can_claim_a_cause(part):
    """What a sentence may not say, a caption, its note and the text for the blind may not say either."""
    claiming = dataclasses.replace(CAPTION, **{part: "The effect of the program"})
    with pytest.raises(ClaimRefusedError):
        a_page().figure(Figure(), caption=claiming)
    with pytest.raises(ClaimRefusedError):
        a_page().table(pd.DataFrame({"a": ["x"]}), caption="The effect of the program")


def test_the_name_of_a_choir_is_no_claim():
    """A choir may be called what it likes."""
    said = Said(("The Best Choir has 22 students.",))
    with pytest.raises(ClaimRefusedError):
        a_page().say(said)
    assert "Best Choir" in a_page(names=["The Best Choir"]).say(said).body


def test_one_label_cannot_stand_for_two_numbers():
    """Two numbers under one label would make the trail lead astray."""
    page = a_page()
    page.say(Said(("x",), (GAIN,)))
    page.estimates([GAIN], caption="Gain")
    with pytest.raises(
        ValueError, match=r"^record: the label 'mean_gain/total-treble-2' stands for two different numbers\.$"
    ):
        page.estimates([dataclasses.replace(GAIN, value=3.0)], caption="Gain")


def test_a_table_of_estimates_says_method_and_text():
    """Value, interval, how many; below it how intervals were made and which texts say so, each once."""
    body = (
        a_page()
        .estimates([GAIN, dataclasses.replace(GAIN, about="total, Bass", notes=("Small.",))], caption="Gain")
        .body
    )
    assert '<th scope="row">average gain: Treble 2</th>' in body
    assert ">2.2</a> points</td>" in body
    assert re.sub(r"<[^>]+>", "", body).count("1.0 to 3.5") == 2
    assert "95 % interval</th>" in body
    assert body.count('<p class="note">') == 3
    assert "Intervals: average gain by Student&#x27;s t, gains.</p>" in body
    assert "Sources: Student (1908).</p>" in body
    assert '<p class="note">Small.</p>' in body


def test_where_each_number_comes_from():
    """From a label to all digits, and from the statistic to its formula, its check and its text."""
    page = a_page()
    page.say(Said(("x",), (GAIN,)))
    shown = page.where_from()
    bundle = shown._repr_mimebundle_()[BUNDLE]
    assert bundle["labels"] == ["mean_gain/total-treble-2"]
    assert bundle["csv"].splitlines() == [
        "Label,Value,Interval,Based on,Statistic,In words,Formula,Check,Method,Texts",
        'mean_gain/total-treble-2,2.25 points,1 to 3.5,22 students (2 left out),mean_gain,average gain,"kit/stats/means.py, '
        'def mean_gain",tests/reference/mean_gain.json,"Student\'s t, gains",Student (1908)',
    ]
    for hop in ("kit/stats/means.py, def mean_gain", "tests/reference/mean_gain.json", "Table 1. ", "Table 2. "):
        assert hop in shown.body


def test_a_page_without_numbers_has_no_table_of_them():
    """An empty table would look like a fault."""
    assert a_page().where_from().body == '<p class="note">No number is in this report.</p>'


def test_words_and_texts_are_those_of_this_page():
    """Glossary and references list what was used and nothing else."""
    page = a_page()
    page.say(Said(("x",), (GAIN,)))
    assert page.glossary().body.count("<dt ") == 1
    assert page.references().body.count("<li>") == 1
    assert "(cited from memory)" in page.references().body


def test_the_public_sees_no_small_group():
    """Tenor with 4 and, since it could be subtracted, Bass with 11 are hidden; how many is told."""
    body = a_page(audience="public").estimates(voices(14, 12, 4, 11), caption="Voices", groups=True).body
    assert "Soprano" in body
    assert "Alto" in body
    assert "Tenor" not in body
    assert "Bass" not in body
    assert (
        "2 numbers are not shown, so that nobody can be recognized: shown numbers rest on 10 students or more." in body
    )
    assert "Tenor" in a_page().estimates(voices(14, 12, 4, 11), caption="Voices", groups=True).body


def test_sentences_and_figures_about_too_few_are_not_public():
    """A sentence, a figure or a table that rests on four students is replaced by a line that says so, and not recorded."""
    page = a_page(audience="public")
    small = voices(14, 12, 4, 11)[2]
    shown = [
        page.say(Said(("The four tenors gained.",), (small,))),
        page.draw(lambda _: Figure(), [small], caption=CAPTION, estimates=[small]),
        page.estimates([small], caption="Tenors"),
    ]
    for one in shown:
        assert (
            "1 number is not shown, so that nobody can be recognized: shown numbers rest on 10 students or more."
            in one.body
        )
        assert "tenors" not in one.body
        assert one.estimates == ()
    assert page.shown == {}


def test_nothing_to_draw_is_a_line():
    """An empty figure is not drawn; a line says why."""
    said = "No figure here: there are too few scores for one."
    assert a_page().draw(lambda _: Figure(), [], caption=CAPTION).body == f'<p class="note">{said}</p>'
    public = "No figure here: there are too few scores for one, or it would show groups of fewer than 10 students."
    assert a_page(audience="public").draw(lambda _: Figure(), [], caption=CAPTION).plain == public


def test_invented_data_are_called_invented():
    """The banner says so, and only then."""
    assert "Invented data" in a_page(synthetic=True).banner().body
    assert "Invented data" not in a_page().banner().body
    assert 'class="banner"' in a_page().banner().body


def test_the_standing_cautions_are_all_there():
    """Grades, auditions, placement, teachers; voices and hearing; policy, ethics, privacy; a statistician."""
    said = a_page().cautions().plain
    for word in ("grades", "auditions", "placement", "judging teachers", "Voices and hearing", "private retest", "local policy",
                 "ethics review", "privacy law", "qualified statistician"):  # fmt: skip
        assert word in said


def test_an_unknown_audience_is_refused():
    """A page for nobody in particular is not begun."""
    with pytest.raises(UnknownChoiceError) as refused:
        a_page(audience="all")
    assert str(refused.value) == "smallest_group: audience must be one of 'teacher', 'district', 'public'. Got 'all'."


def test_how_the_report_was_made():
    """Fingerprints, versions, seed, level and reader are on the page."""
    body = a_page(level=0.9).provenance({"a.csv": "0123456789abcdef0123"}).body
    for text in ("fingerprint 0123456789abcdef<", "pandas", ">7<", ">90 %<", ">teacher<"):
        assert text in body
    assert re.search(r"made on</th><td[^>]*>\d{1,2} [A-Z][a-z]+ \d{4}<", body)


def test_fingerprints_kept_in_the_school_are_one_row():
    """Beyond the school the files are named once; only the plan's has its fingerprint."""
    body = (
        a_page(audience="public")
        .provenance({"a.csv": "0" * 20, "b.csv": "1" * 20, "plan.md": "2" * 20}, plan="plan.md")
        .body
    )
    assert "files whose fingerprints are kept in the school</th><td>a.csv, b.csv</td>" in body
    assert body.count("fingerprint ") == 1
    assert "fingerprint 2222222222222222<" in body


def test_references_stand_by_their_names():
    """The list is in the order of what is printed, not of the keys behind it."""
    page = a_page()
    page.say(Said(sentences=("Numbers.",), estimates=(
        dataclasses.replace(GAIN, source="galton-regression", name="expected_regression", interval=None, notes=("None.",)),
        dataclasses.replace(GAIN, source="cohen-1988", name="detectable_gain", interval=None, notes=("None.",)),
        dataclasses.replace(GAIN, source="becker-1988", name="d_pre", interval=None, notes=("None.",)),
    )))  # fmt: skip
    listed = re.findall(r"<li>(.*?)</li>", page.references().body)
    assert listed == sorted(listed, key=str.casefold)
    assert len(listed) == 3


def test_a_table_has_intervals_of_one_level():
    """The heading says 95 %, so an interval of another level may not stand below it."""
    other = dataclasses.replace(GAIN, interval=dataclasses.replace(INTERVAL, level=0.9))
    with pytest.raises(ValueError, match=r"^estimates: every interval must have the level 0\.95\. Got \[0\.9\]\.$"):
        a_page().estimates([GAIN, other], caption="Gain")


def test_one_share_of_a_whole_takes_the_others_with_it():
    """Rose, stayed and fell add up to all: where one may not be told, the largest is and nothing else."""
    rose, same, fell = (share_wilson(hits, 24, about=about) for hits, about in ((15, "rose"), (1, "same"), (8, "fell")))
    page = Page(title="T", design="D1", audience="public")
    assert page.shares([GAIN, rose, same, fell], parts=True) == [GAIN, rose]
    gain, first, second, third = page.shares([GAIN, rose, same, fell])
    assert (gain, first, third) == (GAIN, rose, fell)
    assert value_cell(second) == "10 % or less"
    assert Page(title="T", design="D1").shares([rose, same, fell], parts=True) == [rose, same, fell]


def test_an_empty_table_says_why():
    """Where there is no row the sentence stands instead, and it too passes the gate."""
    empty = pd.DataFrame(columns=["Asked", "Said"])
    assert a_page().table(empty, caption="The program", empty="Nothing was said.").body == (
        '<p class="note">Nothing was said.</p>'
    )
    with pytest.raises(ClaimRefusedError):
        a_page().table(empty, caption="The program", empty="The program improved scores.")


def test_choirs_too_small_for_the_reader_are_not_drawn():
    """One choir of nine hides the picture from the public and not from the teacher; no choir leaves nothing to draw."""
    choirs = pd.DataFrame({"choir": ["A", "B"], "students": [12, 9]})

    def draw(table, **_):
        return Figure()

    assert "figure" in a_page().choirs(draw, choirs, caption=CAPTION).body
    hidden = a_page(audience="public").choirs(draw, choirs, caption=CAPTION).plain
    assert hidden.startswith("Average gain: 1 number is not shown, so that nobody can be recognized")
    assert a_page().choirs(draw, choirs.iloc[:0], caption=CAPTION).plain.endswith(page_module.NOT_DRAWN)


def test_what_must_be_hidden():
    """Too few students, or a share that tells about single ones."""
    public = a_page(audience="public")
    assert public.must_hide(dataclasses.replace(GAIN, n=9))
    assert public.must_hide(share_wilson(19, 20, about="top"))
    assert not public.must_hide(share_wilson(10, 20, about="top"))


def test_the_name_of_an_approach_is_no_claim():
    """A program may be called what it likes; what is said of it is still looked at."""
    page = a_page(approaches=["Success for All"])
    assert page.say(Said(("Choirs taught Success for All sang in May.",))).plain
    with pytest.raises(ClaimRefusedError):
        page.say(Said(("Success for All improved scores.",)))
