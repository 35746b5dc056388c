"""Which printed ranges are known to be too narrow, by the kind of scores and the number of students."""

from __future__ import annotations

import numpy as np
import pytest

from kit.estimate import Estimate, Interval
from kit.questions import growth, quality
from kit.questions.coverage import long_runs
from kit.questions.coverage.narrow import STANDS_FOR, kind_of, of_gains, of_raters, too_narrow
from kit.questions.coverage.ways import WAYS
from kit.stats.means import mean_gain
from tests.questions.sung import TESTS, marked_by
from tests.questions.worlds import pairs_of

SKEWED = [0, 0, 0, 1, 1, 1, 2, 2, 3, 9]
EVEN = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]


def number(name, n, *, method="t", **more):
    """Make an estimate with a range."""
    ends = Interval(low=0, high=1, level=0.95, method=method, source="student-1908")
    return Estimate(about="A", name=name, value=0.5, unit="points", n=n, source="student-1908", interval=ends, **more)


@pytest.mark.parametrize(
    ("columns", "top", "kind"),
    [
        ([EVEN], None, "normal"), ([SKEWED], None, "skewed"), ([[-x for x in SKEWED]], None, "skewed"),
        ([EVEN, SKEWED], None, "skewed"), ([[*EVEN, np.nan, 9]], 9, "ceiling"), ([EVEN], 9, "normal"),
        ([[3, 3, 3]], None, "normal"), ([[np.nan]], 5, "normal"), ([], None, "normal"),
    ],
)  # fmt: skip
def test_kind_of_scores(columns, top, kind):
    """Lopsided scores are skewed in either direction, many at the top are bound by it; alike or no scores are neither."""
    assert kind_of(*columns, top=top) == kind


def test_a_range_is_judged_by_the_long_runs():
    """A gain of ten lopsided students is known to be too narrow, with the share of the stored table; others are not."""
    gain = mean_gain([0] * 10, SKEWED, about="A", unit="points")
    (found,) = too_narrow([gain], SKEWED)
    rows = long_runs().rows.set_index(["way", "scores", "n"])
    assert (found.estimate, found.scores, found.students) == (gain, "skewed", 10)
    assert found.held.value == rows.loc[("mean_gain", "skewed", 10), "value"]
    assert rows.loc[("mean_gain", "skewed", 10), "off"] == "below"
    assert too_narrow([gain], EVEN) == ()


@pytest.mark.parametrize(("n", "nearest"), [(2, 5), (7, 5), (8, 10), (15, 20), (29, 40), (500, 100)])
def test_the_nearest_size_counts(n, nearest):
    """The size among those tried that is nearest, as a ratio, stands for the number of students."""
    (found,) = too_narrow([number("limit_of_agreement_high", n)], SKEWED)
    assert found.students == nearest


def test_what_is_not_judged():
    """Numbers of choirs, without a range, or made in a way that was not simulated, are passed over."""
    choirs = number("mean_gain", 10, counted="choirs", clusters=10)
    without = Estimate(about="A", name="mean_gain", value=1, unit="points", n=10, source="student-1908", notes=("No.",))
    assert (
        too_narrow([choirs, without, number("count", 10), number("correlation", 10, method="jackknife of x")], EVEN)
        == ()
    )


def test_every_range_of_the_table_that_misses_is_found():
    """Whatever the table marks as too narrow for one kind of scores is found at its size, and nothing else."""
    columns = {"normal": [EVEN], "skewed": [SKEWED], "ceiling": [[9] * 5 + EVEN]}
    for row in long_runs().rows.itertuples():
        way = WAYS[row.way]
        if way.counts == "choirs" or row.way not in (way.statistic, f"{way.statistic}_jackknife"):
            continue
        one = number(way.statistic, row.n, method="jackknife" if row.way.endswith("jackknife") else "t")
        assert bool(too_narrow([one], *columns[row.scores], top=9)) == (row.off == "below"), row


def test_what_stands_for_another_was_simulated():
    """A number that was not simulated is judged by one that was."""
    assert set(STANDS_FOR.values()) <= set(WAYS)
    assert not set(STANDS_FOR) & set(WAYS)


def test_gains_are_judged_by_gains_and_scores_by_their_test():
    """Lopsided first scores say nothing of the range of the gain, and lopsided gains nothing of the first score."""
    first, even = [5 + mark for mark in SKEWED], [3, 4, 4, 5, 5, 5, 6, 6, 7, 4]
    lopsided = pairs_of(first, [one + more for one, more in zip(first, even, strict=True)])
    assert of_gains(growth.before_and_after(lopsided), lopsided) == ()
    gained = pairs_of(even, [one + more for one, more in zip(even, SKEWED, strict=True)])
    (found,) = of_gains(growth.before_and_after(gained), gained)
    assert (found.estimate.name, found.scores, found.students) == ("mean_gain", "skewed", 10)
    at_top = pairs_of([9, 8, 10, 12, 11], [16, 16, 14, 16, 13], most=16)
    (found,) = of_gains(growth.before_and_after(at_top), at_top)
    assert (found.estimate.about, found.scores) == ("total, second test", "ceiling")


def test_raters_are_judged_by_marks_and_differences():
    """Limits hang on how differences are spread, agreement on how marks are; both orders of names are found."""
    marks = {
        ("pre", "KB"): [10, 11, 12, 13, 14, 15, 16, 17, 18, 19],
        ("pre", "JM"): [10, 11, 12, 12, 13, 14, 14, 15, 15, 10],
    }
    given, pairs = marked_by(marks)
    marked = quality.raters_agree(given, pairs, tests=TESTS, rater="KB")
    found = of_raters(marked, quality.twice_marked(given, pairs, tests=TESTS))
    assert {one.estimate.name: one.scores for one in found}["limit_of_agreement_low"] == "skewed"
    assert {one.estimate.about for one in found} == {"total, KB minus JM, first test"}
    turned = quality.raters_agree(given, pairs, tests=TESTS, rater="JM")
    assert {one.estimate.about for one in of_raters(turned, quality.twice_marked(given, pairs, tests=TESTS))} == {
        "total, JM minus KB, first test"
    }
