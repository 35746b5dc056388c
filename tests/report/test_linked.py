"""Which number of a text is which estimate, and the link around it."""

import pytest

from kit.estimate import Estimate, Interval
from kit.report import linked
from kit.report.numbers import MINUS


def number(value, *ends, about="all", name="mean_gain", unit="points", **more):
    """Make an estimate, with an interval if it has ends."""
    interval = (
        Interval(low=ends[0], high=ends[1], level=0.95, method="Student's t", source="student-1908") if ends else None
    )
    given = {"n": 22, "notes": () if ends else ("None.",)} | more
    return Estimate(about=about, name=name, value=value, unit=unit, source="student-1908", interval=interval, **given)


def told(text, estimates, **more):
    """Write down what each number found belongs to, as its place in the list."""
    return [
        (text[one.start : one.end], estimates.index(one.estimate), one.again)
        for one in linked.find(text, estimates, **more)
    ]


def test_value_and_interval_lead_to_the_same_row():
    """The first number of an estimate is a stop for the keyboard, the others are not."""
    gain = number(3.235, 1.979, 4.492, n=14, counted="choirs")
    text = "In 14 choirs scores rose by 3.2 points, plausibly between 2.0 and 4.5 points."
    assert told(text, [gain]) == [("14", 0, False), ("3.2", 0, True), ("2.0", 0, True), ("4.5", 0, True)]


def test_of_numbers_written_alike_the_next_one_is_taken():
    """A text tells its estimates in their order."""
    form = [number(value, unit="reliability", about=str(value)) for value in (0.8307, 0.8182, 0.8179, 0.8539)]
    text = "Over melodies: 0.83 (form A) and 0.82 (form B) first; 0.82 (form A) and 0.85 (form B) second."
    assert [(shown, index) for shown, index, _ in told(text, form)] == [
        ("0.83", 0),
        ("0.82", 1),
        ("0.82", 2),
        ("0.85", 3),
    ]


def test_an_interval_is_not_taken_for_a_value_told_later():
    """Two ends are looked for together, so that an end does not use up the value of another estimate."""
    bias, drift = number(0.26, -0.10, 0.62), number(0.60, 0.15, 1.05, about="change")
    text = f"0.3 points more (between {MINUS}0.1 and 0.6 points); it became 0.6 points milder."
    assert [(shown, index) for shown, index, _ in told(text, [bias, drift])] == [
        ("0.3", 0), (f"{MINUS}0.1", 0), ("0.6", 0), ("0.6", 1),
    ]  # fmt: skip


def test_shares_are_told_in_percent_and_changes_of_them_in_points():
    """A share is found with the decimals that are printed, and a change by percentage points."""
    share = number(0.3714, 0.2423, 0.5156, name="share_clusters", unit="share", n=315)
    change = number(-0.0405, unit="share", name="share_difference_newcombe", about="lost")
    text = "Reached: 37 percent of 315 students, between 24 and 52 percent; 4.0 percentage points apart; 37.1 %."
    assert told(text, [share, change]) == [
        ("37", 0, False), ("315", 0, True), ("24", 0, True), ("52", 0, True), ("4.0", 1, False), ("37.1", 0, True),
    ]  # fmt: skip


def test_a_fall_is_told_without_its_sign():
    """A gain below zero may be told as a fall, and its interval with the signs turned; a sign that is wrong is no match."""
    fall = number(-2.437, -4.1, -0.8)
    assert told("a fall of 2.4 points, between 0.8 and 4.1 points", [fall]) == [
        ("2.4", 0, False), ("0.8", 0, True), ("4.1", 0, True),
    ]  # fmt: skip
    assert told(f"{MINUS}2.4 points", [number(2.437)]) == []


def test_p_values_are_told_as_so_many_in_a_hundred():
    """A p-value is found as printed by journals, and as so many times in 100; a level is no p-value."""
    shuffled = number(1.287, p=0.1728, df=9.0)
    assert told("about 17 times in 100", [shuffled]) == [("17", 0, False)]
    assert told("p = .173", [shuffled]) == [(".173", 0, False)]
    assert told("It holds the average about 95 times in 100.", [shuffled]) == []


@pytest.mark.parametrize(
    "text",
    ["Grade 7 minus grade 8", "on 7 January 2026", "2025-10-07", "pattern P07", "rater 7", "95 % interval", "version 7.0.1",
     "7 points", "every 7th"],
)  # fmt: skip
def test_names_days_and_levels_are_no_measured_numbers(text):
    """What only looks like a value of 7.04 points, or of 95, is left alone."""
    assert (
        told(text, [number(7.04), number(95.0, unit="points", about="b"), number(0.95, unit="share", about="c")]) == []
    )


def test_how_many_is_found_by_its_noun():
    """A number of students needs the word students near it, or an of before it; 24 points are none."""
    gain = number(2.25, n=24)
    assert told("Each test had 24 points.", [gain]) == []
    assert told("12 of 24 took both.", [gain]) == [("24", 0, False)]
    assert told("24 tested students", [gain]) == [("24", 0, False)]


def test_the_row_of_a_table_leads_to_whom_it_is_about():
    """Of two choirs with the same gain, the one that heads the row is taken."""
    choirs = [number(2.25, about="Treble 1"), number(2.25, about="Treble 2")]
    first, second = (linked.row([f"average gain: Treble {n}", "2.2 points"], choirs)[1] for n in (1, 2))
    assert 'href="#mean_gain/treble-1"' in first
    assert 'href="#mean_gain/treble-2"' in second


def test_a_number_shown_before_counts_where_the_heading_names_it():
    """A table without numbers of its own leads to those of the page, by its headings only."""
    known = [number(0.37, about="70 percent of students", name="share_clusters", unit="share")]
    assert "share_clusters/70-percent" in linked.row(["70 percent of students", "37 %"], [], known=known)[1]
    assert linked.row(["Somebody else", "37 %"], [], known=known) == ["Somebody else", "37 %"]


def test_numbers_in_a_row_s_heading_are_no_links():
    """What heads a row is a name."""
    cells = linked.row(["Class of 22 students", "2.2 points"], [number(2.25)])
    assert cells[0] == "Class of 22 students"
    assert "<a " in cells[1]


def test_a_link_says_what_and_how_many_and_by_which_method():
    """What a mouse, and a keyboard, are told of a number; everything is escaped."""
    assert linked.link("2.2", number(2.25, 1, 3.5, about='"A" & B', dropped=2)) == (
        '<a class="n" href="#mean_gain/a-b-2befc314" title="average gain: &quot;A&quot; &amp; B. Rests on 22 students, 2 left out; '
        'interval: Student&#x27;s t.">2.2</a>'
    )
    assert linked.link("1", number(1.0, n=1), again=True).endswith(
        'Rests on 1 student; no interval." tabindex="-1">1</a>'
    )


def test_text_around_numbers_is_escaped():
    """Links are put in, and nothing else becomes markup."""
    [first, second] = linked.sentences(["<b>2.2 points</b>", "1 & 2.2"], [number(2.25)])
    assert first.startswith("&lt;b&gt;<a ")
    assert first.endswith("2.2</a> points&lt;/b&gt;")
    assert second.startswith("1 &amp; <a ")


def test_nothing_to_find():
    """Texts without numbers, and numbers without estimates, stay as they are."""
    assert linked.sentences(["No number.", "2.2 points"], []) == ["No number.", "2.2 points"]
    assert linked.find("", [number(1.0)]) == []
