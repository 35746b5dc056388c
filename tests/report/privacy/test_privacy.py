"""Small groups, complementary suppression, bands, shares that tell about few."""

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import UnknownChoiceError
from kit.estimate import Estimate
from kit.report import privacy
from kit.stats.counts import count
from kit.stats.proportions.shares import share_wilson
from tests.report import terms


def group(about, n):
    """Make an estimate of a group."""
    return Estimate(
        about=about, name="mean_gain", value=1.0, unit="points", n=n, source="student-1908", notes=("none",)
    )


def test_a_single_hidden_group_takes_the_next_smallest_with_it():
    """Soprano 14, Alto 12, Tenor 4, Bass 11: hiding Tenor alone lets it be subtracted, so Bass is hidden too.

    Worked example after the Privacy Technical Assistance Center's advice on complementary suppression.
    """
    voices = [group("Soprano", 14), group("Alto", 12), group("Tenor", 4), group("Bass", 11)]
    shown, hidden = privacy.keep(voices, "public")
    assert [e.about for e in shown] == ["Soprano", "Alto"]
    assert [e.about for e in hidden] == ["Tenor", "Bass"]
    assert len(privacy.keep(voices, "public", total_known=False)[1]) == 1
    assert privacy.keep(voices, "teacher")[1] == []
    assert [e.about for e in privacy.keep(voices, "district")[1]] == ["Tenor", "Bass"]


def test_an_unknown_audience_is_refused():
    """Audiences are three words."""
    with pytest.raises(UnknownChoiceError) as refused:
        privacy.keep([], "everybody")
    assert (
        str(refused.value)
        == "smallest_group: audience must be one of 'teacher', 'district', 'public'. Got 'everybody'."
    )


def test_small_bands_are_joined_until_nobody_can_be_recognised():
    """Every band of a public distribution holds nobody or at least ten; nobody is lost."""
    bands = pd.DataFrame({"low": range(5), "high": range(1, 6), "before": [0, 3, 12, 9, 4], "after": [0, 0, 11, 15, 2]})
    public = privacy.merge_small_bands(bands, "public")
    assert public[["before", "after"]].sum().tolist() == [28, 28]
    assert (
        all(count == 0 or count >= 10 for count in public[["before", "after"]].to_numpy().ravel()) or len(public) == 1
    )
    assert privacy.merge_small_bands(bands, "teacher").equals(bands)


def test_a_choir_hidden_for_other_tables_takes_nobody_else_with_it():
    """Treble 2 is hidden since another table would give Treble 1 away: both go, the large one stays."""
    choirs = [group("pitch, Treble 1", 4), group("pitch, Treble 2", 20), group("pitch, Bass", 12)]
    shown, hidden = privacy.keep(choirs, "public", hidden=("Treble 2",))
    assert [e.about for e in shown] == ["pitch, Bass"]
    assert [e.about for e in hidden] == ["pitch, Treble 1", "pitch, Treble 2"]
    assert privacy.is_hidden(choirs[1], ["Treble 2"])
    assert not privacy.is_hidden(group("pitch, Low Treble 2 more", 20), ["Treble 2"])


def test_hidden_groups_are_together_as_many_as_a_group_needs():
    """Two hidden groups of 3 and 4 would leave 7 as a sum; a count's size is its value; choirs are no students."""
    parts = [group("Soprano", 14), group("Alto", 12), group("Tenor", 4), group("Bass", 3)]
    assert [e.about for e in privacy.keep(parts, "public")[1]] == ["Alto", "Tenor", "Bass"]
    reasons = [count(20, about="no mark", of=22), count(1, about="declined", of=22), count(1, about="voice", of=22)]
    assert [e.about for e in privacy.keep(reasons, "public")[1]] == ["no mark", "declined", "voice"]
    assert privacy.keep(reasons, "teacher")[1] == []
    choirs = count(3, about="choirs", unit="choirs")
    assert privacy.keep([choirs], "public") == ([choirs], [])


@given(st.lists(st.integers(1, 30), min_size=1, max_size=8), st.sampled_from(["teacher", "district", "public"]))
@settings(max_examples=25, deadline=None)
def test_nothing_small_can_be_subtracted(sizes, audience):
    """What a reader can subtract from the total is nobody, everybody, or at least a group."""
    shown, hidden = privacy.keep([group(f"part {at}", n) for at, n in enumerate(sizes)], audience)
    least = privacy.SMALLEST_GROUP[audience]
    assert all(e.n >= least for e in shown)
    assert not hidden or not shown or (len(hidden) > 1 and sum(e.n for e in hidden) >= least)
    assert len(shown) + len(hidden) == len(sizes)


def test_averages_of_too_few_are_small():
    """Four students are too few for the public; three choirs are no students, and of a count nothing is judged by n."""
    least = privacy.SMALLEST_GROUP["public"]
    assert privacy.is_small(group("all", 4), least)
    assert not privacy.is_small(group("all", 10), least)
    assert privacy.is_small(count(3, about="left", of=40), least)
    assert not privacy.is_small(count(0, about="left", of=40), least)
    assert not privacy.is_small(count(3, about="choirs", unit="choirs"), least)


def test_a_distribution_of_too_few_has_no_band():
    """Nine students in one band would still be nine students."""
    bands = pd.DataFrame({"low": [0, 5], "high": [5, 9], "before": [4, 5], "after": [3, 6]})
    assert privacy.merge_small_bands(bands, "public").empty


def test_shares_that_tell_about_one_or_two_students():
    """Five percent of 21 is one student, and 0 or 100 percent tell about everybody: not so beyond the school."""
    one, none, half, everybody = (share_wilson(hits, 21, about="top score") for hits in (1, 0, 10, 21))
    assert [privacy.tells_on_few(share, "public") for share in (one, none, half, everybody)] == [
        True,
        True,
        False,
        True,
    ]
    assert not privacy.tells_on_few(one, "teacher")


def test_who_was_tested_when_gives_no_small_part_away():
    """One student who missed the second test hides all but the wholes; the teacher, and a study of one test, keep all."""
    flow = terms.flow(both=33, before_only=1, after_only=0, neither=0, strangers=0)
    assert [one.about for one in privacy.keep_flow(flow, "public")] == ["on the roster", "tested both times"]
    assert privacy.keep_flow(flow, "teacher") == flow
    once = terms.flow(both=0, before_only=33, after_only=0, neither=1, strangers=0)
    assert privacy.keep_flow(once, "public") == once
    large = terms.flow(both=33, before_only=12, after_only=11, neither=10, strangers=0)
    assert privacy.keep_flow(large, "public") == large


def test_the_own_teacher_is_shown_numbers_about_nobody():
    """Nothing is small for the own teacher, not even what rests on no student: there is nobody to protect."""
    assert not privacy.is_small(count(0, about="moved", of=0), 1)


@pytest.mark.parametrize(
    ("about", "hidden"),
    [("pitch, ear-first minus as usual", True), ("pitch, as usual minus page-first, choir means", True),
     ("as usual, tested both times", True), ("pitch, lost: students, as usual", True), ("as usual", True),
     ("pitch, Usual", False), ("pitch, ear-first minus page-first", False), ("pitch, as usual chamber", False)],
)  # fmt: skip
def test_numbers_about_a_hidden_approach_are_found(about, hidden):
    """Wherever its name stands between commas, or on one side of a difference."""
    assert privacy.is_hidden(group(about, 40), ["as usual"]) is hidden


def test_meetings_of_a_hidden_approach_may_be_told():
    """They count no people."""
    assert not privacy.is_hidden(count(40, about="as usual, meetings logged", unit="meetings"), ["as usual"])
    assert privacy.is_hidden(count(40, about="as usual, tests taken", unit="tests"), ["as usual"])
