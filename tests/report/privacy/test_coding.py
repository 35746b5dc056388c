"""Shares near nothing and near all: told as ranges that hide three students at least."""

import dataclasses
import json
import statistics

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.estimate import Estimate, Interval
from kit.report.numbers import bare, show, value_cell
from kit.report.privacy import keep, tells_on_few
from kit.report.privacy.coding import (
    CODED,
    SAME,
    AtLeast,
    AtMost,
    code,
    code_parts,
    end_of,
    holds_nearly_all,
    is_flat,
    must_code,
)  # fmt: skip
from kit.report.privacy.readers import Readers
from kit.report.tables.estimate_rows import row
from kit.report.trace import numbers_table, plain_row
from kit.report.words.tests import ceiling
from kit.stats.proportions.shares import share_wilson


def share(hits, n, about="top score"):
    """Make a share of students."""
    return share_wilson(hits, n, about=about)


@pytest.mark.parametrize(
    ("n", "end"), [(10, 0.20), (20, 0.20), (21, 0.10), (40, 0.10), (41, 0.05), (100, 0.05), (301, 0.01), (5000, 0.01)]
)
def test_ends_are_the_recommended_ones(n, end):
    """By size of group as NCES 2011-603 recommends for percentages told to the public (from memory)."""
    assert end_of(n) == end


@pytest.mark.parametrize(("n", "end"), [(101, 0.03), (300, 0.03), (9, 0.5), (1, 0.5)])
def test_ends_of_our_own(n, end):
    """Three percent where the text gives two to three, and the half below ten students, whom it does not tell of."""
    assert end_of(n) == end


@given(st.integers(10, 5000))
@settings(max_examples=50, deadline=None)
def test_a_range_hides_three_students(n):
    """Whatever the group of ten or more, two students within an end and three are both told as a range."""
    assert all(must_code(share(hits, n)) for hits in (0, 1, 2, n - 2, n - 1, n))
    assert end_of(n) * n > 1.99


@pytest.mark.parametrize(
    ("hits", "n", "told"),
    [(0, 12, "20 % or less"), (2, 12, "20 % or less"), (3, 12, "25 %"), (12, 12, "80 % or more"), (38, 40, "90 % or more"),
     (0, 60, "5 % or less"), (60, 60, "95 % or more"), (200, 200, "97 % or more"), (0, 400, "1 % or less"),
     (399, 400, "99 % or more"), (395, 400, "98.8 %"), (3, 7, "50 % or less"), (4, 7, "50 % or more")],
)  # fmt: skip
def test_what_is_printed(hits, n, told):
    """Ends as a range, in tables and in sentences; others as they are."""
    coded = code(share(hits, n))
    assert value_cell(coded) == told
    assert show(coded.value, "share", n=n) == told.replace(" %", " percent")


@given(st.integers(10, 600), st.data())
@settings(max_examples=50, deadline=None)
def test_nobody_can_tell_how_many_are_in_a_range(n, data):
    """All shares of one range are told by the same number, with no interval and no p to tell them apart."""
    hits = data.draw(st.integers(0, n))
    coded, same = code(share(hits, n)), code(share(0 if 2 * hits <= n else n, n))
    if must_code(share(hits, n)):
        assert coded == same
        assert (coded.interval, coded.p, coded.df) == (None, None, None)
        assert CODED in coded.notes
        assert not must_code(coded)
        assert code(coded) == coded
    else:
        assert coded == share(hits, n)


def test_the_file_of_numbers_holds_the_end_alone():
    """A row of the table of all numbers has the end of the range and the note, and can be written as JSON."""
    coded = code(share(20, 20))
    line = plain_row(coded)
    assert line["value"] == 0.8
    assert line["low"] is None
    assert CODED in line["notes"]
    assert json.loads(json.dumps(line))["value"] == 0.8
    assert numbers_table([line])["value"].tolist() == [0.8]
    assert row(coded, 0.95)["Estimate"] == "80 % or more"


def test_no_part_of_a_whole_follows_from_the_others():
    """Rose 12, stayed 8, fell 1 of 21: the last would be what is left, so only the largest is told."""
    rose, same, fell = (share(hits, 21, about) for hits, about in ((12, "rose"), (8, "same"), (1, "fell")))
    gain = Estimate(about="all", name="mean_gain", value=1.0, unit="points", n=21, source="student-1908", notes=("-",))
    assert code_parts([gain, rose, same, fell]) == [gain, rose]
    everybody = [share(21, 21, "rose"), share(0, 21, "same"), share(0, 21, "fell")]
    assert [value_cell(one) for one in code_parts(everybody)] == ["90 % or more"]
    open_ = [share(hits, 21, str(hits)) for hits in (9, 7, 5)]
    assert code_parts(open_) == open_
    assert code_parts([gain]) == [gain]


def test_other_numbers_are_not_shares_of_students():
    """A difference of shares, a mean of share scores and an agreement near 1 are told as they are."""
    for changed in ({"name": "mean_score"}, {"name": "icc_single", "unit": "agreement"}):
        other = dataclasses.replace(share(20, 20), **changed)
        assert code(other) is other


def test_ends_count_as_numbers():
    """Arithmetic and comparisons take a range for its end."""
    assert AtMost(0.05) == 0.05
    assert AtLeast(0.95) > 0.9
    assert bare(AtMost(0.05), "share") == "5 % or less"


def test_a_range_from_nothing_is_no_warning():
    """20 percent or less at the top may be nobody: no warning that the test was too easy; 80 percent or more is one."""
    few, many = (code(share(hits, 12, "pitch, top score, second test")) for hits in (1, 12))
    assert "20 percent or less" in " ".join(ceiling([few]).sentences)
    assert "could not show" not in " ".join(ceiling([few]).sentences)
    assert "could not show" in " ".join(ceiling([many]).sentences)


def average(sd, n, unit="points", **changed):
    """Make an average of students with so far a spread, as Student's interval tells it."""
    half = 2.2 * sd / n**0.5
    ends = Interval(low=12 - half, high=12 + half, level=0.95, method="Student's t", source="student-1908")
    made = Estimate(about="x", name="mean_score", value=12.0, unit=unit, n=n, source="student-1908", interval=ends)
    return dataclasses.replace(made, **changed)


@pytest.mark.parametrize(
    ("one", "flat"),
    [(average(0, 24), True), (average(0.2, 12), True), (average(1.0, 12), False), (average(0.15, 60), False),
     (average(5, 12), False), (average(0, 24, counted="choirs"), False), (average(0, 24, name="cronbach_alpha"), False),
     (average(0, 24, interval=None, notes=("none",)), False), (average(0.005, 24, "share"), True),
     (average(0.2, 24, "share"), False)],
)  # fmt: skip
def test_an_average_that_everybody_has_tells_about_each(one, flat):
    """With no room for differences in its interval, who is in the group has the average."""
    assert is_flat(one) is flat
    assert tells_on_few(one, "public") is flat
    assert not tells_on_few(one, "teacher")
    assert (keep([one], "public")[1] == [one]) is flat


@given(st.lists(st.integers(0, 24), min_size=2, max_size=30))
@settings(max_examples=50, deadline=None)
def test_nobody_in_a_flat_group_is_far_from_the_average(marks):
    """Whatever the marks: where the interval is flat, everybody lies within a point (Samuelson's bound)."""
    sd = statistics.stdev(marks)
    if is_flat(dataclasses.replace(average(sd, len(marks)), value=statistics.mean(marks))):
        assert max(abs(mark - statistics.mean(marks)) for mark in marks) <= SAME["points"] * 2.2 / 1.95


@pytest.mark.parametrize(
    ("counts", "tells"), [([24, 0, 0], True), ([22, 2, 0], True), ([12, 12], False), ([], False), ([0, 0], False)]
)
def test_a_band_that_holds_nearly_all_tells_about_each(counts, tells):
    """As a share near all does."""
    assert holds_nearly_all(counts) is tells
    table = pd.DataFrame({"low": range(len(counts)), "high": range(len(counts)), "before": counts, "after": counts})
    assert Readers("teacher").bands(table).shape[0] == (len(counts) if len(counts) > 1 else 0)
    if tells:
        assert Readers("public").bands(table).empty
