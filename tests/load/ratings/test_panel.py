"""Rules of a panel, against the statistics of a general library and against charts written out by hand."""

import math

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from kit.errors import UnknownChoiceError
from kit.load.ratings.panel import RULES, Panel, follows, panel_rating, rules_disagree

panels = st.lists(st.integers(1, 5).map(float), min_size=1, max_size=7)


@settings(max_examples=50, deadline=None)
@given(panels)
def test_median_is_that_of_numpy(ratings):
    """The median is numpy's."""
    assert panel_rating(ratings, "median") == np.median(ratings)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.integers(1, 100).map(float), min_size=5, max_size=5))
def test_trimmed_mean_is_that_of_scipy(ratings):
    """Without the highest and the lowest of five, the mean is scipy's trimmed mean of one fifth."""
    assert panel_rating(ratings, "trimmed_mean") == pytest.approx(stats.trim_mean(ratings, 0.2), abs=1e-9)


@settings(max_examples=50, deadline=None)
@given(panels)
def test_halves_go_upward(ratings):
    """The rounded mean is within half a rating of the mean, and a half goes to the greater number."""
    found = panel_rating(ratings, "mean_round_half_up")
    assert found == math.floor((2 * sum(ratings) + len(ratings)) / (2 * len(ratings)))


def test_bands():
    """The sum falls into the first band whose lowest sum it reaches; below all bands there is no rating."""
    panel = Panel(bands=(99, 84, 69))
    found = [panel_rating([total], "sum_bands", panel) for total in (105, 99, 98.5, 84, 69, 68)]
    assert found == [1, 1, 2, 2, 3, None]


def test_chart():
    """The chart is looked up without regard to the order of the judges; what it lacks has no result."""
    panel = Panel(chart={"1 1 2": 1, "3 1 2": 2})
    assert panel_rating([2, 1, 1], "lookup_table", panel) == 1
    assert panel_rating([3, 2, 1], "lookup_table", panel) == 2
    assert panel_rating([3, 3, 1], "lookup_table", panel) is None


def test_rules_that_say_nothing():
    """Without ratings no rule has a result, and two ratings cannot be trimmed."""
    assert all(panel_rating([], rule) is None for rule in RULES)
    assert panel_rating([1, 2], "trimmed_mean") is None
    assert follows(1, [1, 2], "trimmed_mean") is None


def test_follows():
    """A result follows its rule exactly; a mean may have been written with fewer digits."""
    assert follows(2, [1, 2, 3], "median")
    assert not follows(1, [1, 2, 3], "median")
    assert follows(91.33, [80, 90, 91, 93, 99], "trimmed_mean")
    assert follows(91, [80, 90, 91, 93, 99], "trimmed_mean")
    assert not follows(91.4, [80, 90, 91, 93, 99], "trimmed_mean")


def test_unknown_rule():
    """A rule that does not exist is refused with the list."""
    with pytest.raises(UnknownChoiceError) as caught:
        panel_rating([1], "mode")
    assert str(caught.value) == (
        "panel_rating: rule must be one of 'median', 'mean_round_half_up', 'sum_bands', 'trimmed_mean', "
        "'lookup_table'. Got 'mode'."
    )


def test_how_often_rules_disagree():
    """Of two panels, median and rounded mean disagree on the one whose ratings are lopsided."""
    rows = [("X", j, r) for j, r in (("A", 1), ("B", 1), ("C", 3), ("panel", 1))]
    rows += [("Y", j, r) for j, r in (("A", 2), ("B", 2), ("C", 2), ("panel", 2))]
    ratings = pd.DataFrame(rows, columns=["choir", "judge", "rating"]).assign(file="f", date=pd.NaT, part="")
    found = rules_disagree(ratings)
    assert found.loc[0].to_dict() == {
        "rule": "median", "other_rule": "mean_round_half_up", "panels": 2, "disagree": 1, "share": 0.5
    }  # fmt: skip
    assert set(found.rule) | set(found.other_rule) == {"median", "mean_round_half_up", "trimmed_mean"}
    with_chart = rules_disagree(ratings, Panel(chart={"1 1 3": 1}))
    assert with_chart.set_index(["rule", "other_rule"]).panels["median", "lookup_table"] == 1
