"""Intervals tried on invented towns: towns are what they say, truths are true, counts are right, the table runs again."""

from __future__ import annotations

import importlib
import importlib.util
import inspect
import pkgutil
import re
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import kit.stats
from kit.estimate import Estimate, Interval
from kit.questions import coverage
from kit.questions.coverage import COLUMNS, NO_INTERVAL, SOME_WITHOUT, Size, long_runs, row, simulate, size
from kit.questions.coverage.draws import Draw, Way
from kit.questions.coverage.ways import WAYS
from kit.questions.coverage.worlds import world
from kit.stats.proportions.shares import share_wilson

SCRIPT = Path(__file__).parents[2] / "reference" / "make_interval_coverage.py"
EXACT_WHERE_NORMAL = (
    "mean_score", "mean_gain", "mean_difference", "mean_difference_welch", "d_pre", "d_change", "hedges_g",
    "correlation", "cronbach_alpha", "share_wilson", "mean_gain_choirs", "cluster_mean_difference", "icc_clusters",
)  # fmt: skip
"""Ways whose intervals are exact, or nearly so, for normal scores."""


def draw(students=25, choirs=8, seed=1):
    """Make a way to draw studies."""
    return Draw(students, choirs, 0.95, np.random.default_rng(seed))


@pytest.fixture(scope="module")
def script():
    """Load the script that made the table."""
    found = importlib.util.spec_from_file_location("make_interval_coverage", SCRIPT)
    module = importlib.util.module_from_spec(found)
    found.loader.exec_module(module)
    return module


@pytest.fixture
def planted(monkeypatch):
    """Plant a way whose interval holds the truth in every second study, and is not told in every fourth."""
    studies = iter(range(10_000))

    def ask(_, __):
        number = next(studies)
        if number % 4 == 3:
            return Estimate(about="draw", name="planted", value=0.0, unit="SD", n=1, source="planted", notes=("none",))
        low = 0.0 if number % 2 else 2.0
        return Interval(low=low, high=low + 1, level=0.95, method="planted", source="planted")

    monkeypatch.setitem(WAYS, "planted", Way("planted", "students", ask, lambda _: 1.0))


@pytest.mark.parametrize("name", EXACT_WHERE_NORMAL)
def test_intervals_that_are_exact_for_normal_scores_hold_the_truth_as_often_as_they_say(name):
    """With normal scores 95 % intervals hold the truth 95 times in 100, within four Monte Carlo errors."""
    _, _, _, draws, told, held, _ = row(name, world("normal"), draw(), 400)
    assert told == draws
    assert held / told == pytest.approx(0.95, abs=4 * (0.95 * 0.05 / draws) ** 0.5)


def test_students_of_choirs_treated_as_strangers_miss_the_truth_too_often():
    """An interval that forgets the choirs holds the truth far less often than it says."""
    _, _, _, draws, _, held, _ = row("mean_gain_choirs_ignored", world("normal"), draw(), 300)
    assert held / draws < 0.85


@pytest.mark.parametrize("name", WAYS)
def test_large_studies_come_near_the_truth(name):
    """The interval of a very large study lies around the true value, so both speak of the same thing."""
    choirs = WAYS[name].counts == "choirs"
    answer = WAYS[name].ask(world("ceiling"), draw(*((50, 400) if choirs else (2_000, 8))))
    interval = getattr(answer, "interval", answer)
    wide = interval.high - interval.low
    assert interval.low - wide < WAYS[name].truth(world("ceiling")) < interval.high + wide


def test_counts_are_those_of_the_planted_way(planted):
    """Told are the studies with an interval, held those whose interval has the truth in it, ends included."""
    assert row("planted", world("normal"), draw(), 80) == ("planted", "normal", 25, 80, 60, 20, 1.0)


def test_rows_and_estimates_say_the_same(planted):
    """A row's value and ends are Wilson's for held of told, and studies without interval are counted and noted."""
    found = simulate(size(students=25, choirs=8, ceiling=0.3), rng=np.random.default_rng(1), draws=80, ways=["planted"])
    assert list(found.rows["scores"]) == ["normal", "skewed", "ceiling"]
    assert list(found.rows["value"]) == pytest.approx([1 / 3] * 3)
    first, wilson = found.estimates[0], share_wilson(20, 60, about="it")
    assert (first.name, first.value, first.n, first.dropped) == ("share_wilson", wilson.value, 60, 20)
    assert (found.rows["low"][0], found.rows["high"][0]) == (wilson.interval.low, wilson.interval.high)
    assert (first.counted, first.notes) == ("simulated studies", (SOME_WITHOUT,))
    assert first.about == "planted holds the truth, normal scores, 25 students, 80 draws"


def test_a_way_that_never_tells_is_left_out():
    """Three choirs give no difference of two approaches: no number, and the reason."""
    found = simulate(
        size(students=5, choirs=3, ceiling=0.3),
        rng=np.random.default_rng(1),
        draws=50,
        ways=["cluster_mean_difference"],
    )
    assert not found.estimates
    assert {one.why for one in found.estimates.left_out} == {NO_INTERVAL}
    assert found.rows["value"].isna().all()
    assert (found.rows["told"] == 0).all()


@pytest.mark.parametrize("students", [1, 2, 3])
def test_tiny_studies_never_raise(students):
    """One, two or three students, or choirs, nearly all of them at the top, give counts for every way."""
    town = world("ceiling", ceiling=0.9)
    for name in WAYS:
        *_, draws, told, held, _ = row(name, town, draw(students, students), 10)
        assert draws >= told >= held


def test_the_same_seed_gives_the_same_rows():
    """A run can be repeated exactly."""
    tried = size(students=10, choirs=4, ceiling=0.2)
    one, two = (simulate(tried, rng=np.random.default_rng(3), draws=50, ways=["mean_gain_bca", "d_pre"]) for _ in "ab")
    pd.testing.assert_frame_equal(one.rows, two.rows)


def test_towns_are_what_they_say():
    """Scores have mean 0 and SD 1 at first, a gain of half an SD, a tail to the right, or a share at the top."""
    normal, skewed, ceiling = (world(scores, ceiling=0.4) for scores in ("normal", "skewed", "ceiling"))
    for town in (normal, skewed):
        assert town.pre.mean() == pytest.approx(0, abs=0.05)
        assert town.pre.std() == pytest.approx(1, abs=0.03)
        assert (town.post - town.without).mean() == pytest.approx(0.5)
    assert abs((normal.pre**3).mean()) < 0.1
    assert ((skewed.pre - skewed.pre.mean()) ** 3).mean() / skewed.pre.std() ** 3 == pytest.approx(1.75, abs=0.2)
    assert (ceiling.post == ceiling.post.max()).mean() == pytest.approx(0.4, abs=0.001)
    assert ceiling.maximum == ceiling.post.max()
    assert (normal.post >= normal.mark).mean() == pytest.approx(0.8, abs=0.001)


@pytest.mark.parametrize("alike", [0.0, 0.1, 0.5])
def test_choirs_are_as_alike_as_asked(alike):
    """The asked share of the variance of normal scores lies between choirs."""
    pre = world("normal", alike=alike).pre
    between = pre.mean(axis=1).var(ddof=1) - pre.var(axis=1, ddof=1).mean() / pre.shape[1]
    assert between / pre.var() == pytest.approx(alike, abs=0.04)


def pairs_of(choirs, students, *, at_top=0.25):
    """Make marks out of 20 of some choirs, a share of them at the top of the second test."""
    n = choirs * students
    post = np.where(np.arange(n) < at_top * n, 20.0, 14.0)
    return pd.DataFrame({
        "student_id": [f"s{number}" for number in range(n)],
        "choir": np.repeat([f"Choir {letter}" for letter in "abcdefghij"[:choirs]], students),
        "measure": "total", "pre_points": 10.0, "post_points": post, "pre_share": 0.5, "post_share": post / 20,
        "pre_max": 20.0, "post_max": 20.0,
    })  # fmt: skip


def test_a_size_is_taken_from_plain_numbers():
    """Without a study the numbers given stand."""
    assert size(students=25, choirs=8, ceiling=0.3) == Size(students=25, choirs=8, ceiling=0.3)


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"draws": 49}, "simulate: draws must be at least 50. Got 49."),
        ({"tried": Size(students=0, choirs=8, ceiling=0.3)}, "simulate: students must be at least 1. Got 0."),
        ({"tried": Size(students=25, choirs=0, ceiling=0.3)}, "simulate: choirs must be at least 1. Got 0."),
        ({"tried": Size(students=5, choirs=2, ceiling=1.0)}, "world: ceiling must be from 0 to below 1. Got 1.0."),
        ({"alike": 1.1}, "world: alike must be from 0 to 1. Got 1.1."),
    ],
)
def test_messages(options, message):
    """What cannot be simulated is refused with a sentence."""
    options = {"tried": Size(students=5, choirs=2, ceiling=0.3), "draws": 50, "ways": ["mean_gain"]} | options
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        simulate(options.pop("tried"), rng=np.random.default_rng(1), **options)
    assert str(caught.value) == message


def test_an_unknown_town_is_refused():
    """A kind of scores that does not exist is named with those that do."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        world("flat")
    assert str(caught.value) == "world: scores must be one of 'normal', 'skewed', 'ceiling'. Got 'flat'."


def test_the_table_is_whole(script):
    """Every cell is there once, each of 4,000 draws or more."""
    rows = long_runs().rows
    assert tuple(rows.columns[: len(COLUMNS)]) == COLUMNS
    assert len(rows) == len(WAYS) * len(script.SCORES) * len(script.SIZES)
    assert not rows.duplicated(["way", "scores", "n"]).any()
    assert (rows["draws"] >= 4_000).all()


@pytest.mark.slow
@pytest.mark.parametrize(("way", "scores", "n"), [("mean_gain", "skewed", 10), ("icc_clusters", "normal", 10)])
def test_a_cell_runs_again(script, way, scores, n):
    """Other draws of one cell lie within four Monte Carlo errors of what is stored; its truth is the same."""
    stored = long_runs().rows.set_index(["way", "scores", "n"]).loc[(way, scores, n)]
    *_, draws, told, held, truth = script.cell((way, scores, n, 300, 7))
    share = stored["value"]
    assert told == draws
    assert held / told == pytest.approx(share, abs=4 * (share * (1 - share) / draws) ** 0.5)
    assert truth == pytest.approx(stored["truth"], rel=1e-5)


def test_coverage_module_gives_an_answer_for_every_row_of_the_table():
    """Rows of the table without any interval are left out, the others told, in order."""
    found = coverage.long_runs()
    told = found.rows[found.rows["told"] > 0]
    assert list(told["value"]) == [one.value for one in found.estimates]
    assert len(found.estimates) + len(found.estimates.left_out) == len(found.rows)


@pytest.mark.parametrize(("choirs", "students"), [(1, 24), (4, 10)])
def test_a_size_is_taken_from_a_study(choirs, students):
    """Students of a choir, choirs (if several) and the share at the top are those of the study."""
    found = size(pairs_of(choirs, students), students=3, choirs=7, ceiling=0.9)
    taken = ("students", "choirs", "ceiling") if choirs > 1 else ("students", "ceiling")
    assert found == Size(students=students, choirs=choirs if choirs > 1 else 7, ceiling=0.25, from_study=taken)


def test_what_a_study_does_not_tell_stays_as_given():
    """With everybody at the top, or nobody tested twice, the numbers given stand."""
    everybody = pairs_of(1, 10, at_top=1.0)
    assert size(everybody, students=3, choirs=7, ceiling=0.4).ceiling == 0.4
    nobody = everybody.assign(pre_points=np.nan, pre_share=np.nan)
    assert size(nobody, students=3, choirs=7, ceiling=0.4) == Size(students=3, choirs=7, ceiling=0.4)


def test_parts_of_a_run_keep_rows_and_estimates_together():
    """A part has the rows of its ways and their estimates only, in order."""
    tried = size(students=5, choirs=3, ceiling=0.3)
    ways = ["mean_gain", "cluster_mean_difference", "share_wilson"]
    found = simulate(tried, rng=np.random.default_rng(1), draws=50, ways=ways)
    part = coverage.part(found, ["share_wilson", "cluster_mean_difference"])
    assert set(part.rows["way"]) == {"share_wilson", "cluster_mean_difference"}
    assert [one.about.split()[0] for one in part.estimates] == ["share_wilson"] * 3
    assert list(part.rows.loc[part.rows["told"] > 0, "value"]) == [one.value for one in part.estimates]


def test_ways_that_hold_the_truth_too_seldom_are_found():
    """Choirs ignored is found, with its rows for all kinds of scores; choirs counted once are not."""
    tried = size(students=25, choirs=20, ceiling=0.3)
    ways = ["mean_gain_choirs", "mean_gain_choirs_ignored"]
    found = simulate(tried, rng=np.random.default_rng(1), draws=150, ways=ways)
    seldom = coverage.too_seldom(found)
    assert list(seldom.rows["way"]) == ["mean_gain_choirs_ignored"] * 3
    assert len(seldom.estimates) == 3


def test_docstrings_say_where_intervals_fall_short():
    """A statistic whose interval holds the truth clearly too seldom somewhere says so in its Notes, with the figure."""
    functions = {
        name: function
        for module in pkgutil.walk_packages(kit.stats.__path__, "kit.stats.")
        for name, function in inspect.getmembers(importlib.import_module(module.name), inspect.isfunction)
    }
    seldom = coverage.too_seldom(long_runs()).rows
    for statistic, rows in seldom.groupby(seldom["way"].map(lambda way: WAYS[way].statistic)):
        notes = inspect.getdoc(functions[statistic]).partition("Notes\n-----")[2].partition("References\n")[0]
        assert re.search(rf"Simulated.*\b{100 * rows['value'].min():.0f}\b", notes, re.DOTALL), (statistic, notes)
