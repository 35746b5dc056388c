"""Learning and forgetting: what is refused, what stays the same; the digits are checked in tests/reference."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import expit

from kit.errors import TooFewError
from kit.stats.learning.practice import DESCRIBES, ONE_ITEM, ONE_SINGER, forgetting_rate, learning_rate, practice_rates


def log_of(n=300, students=15, items=4, seed=1):
    """Draw a small log."""
    rng = np.random.default_rng(seed)
    who, what = rng.integers(0, students, n), rng.integers(0, items, n)
    times, days = rng.integers(0, 12, n).astype(float), rng.integers(0, 15, n).astype(float)
    logit = rng.normal(0, 1, students)[who] + 0.6 * np.log1p(times) - 0.4 * np.log1p(np.where(times > 0, days, 0))
    return {"right": (rng.random(n) < expit(logit)).astype(float), "students": who, "items": what, "times": times,
            "days": days}  # fmt: skip


def test_one_fit_gives_both():
    """Both rates of one fit are those of either function alone, and say that they only describe."""
    log = log_of()
    both = practice_rates(**log, about="the choir")
    assert both.learning == learning_rate(**log, about="the choir")
    assert both.forgetting == forgetting_rate(**log, about="the choir")
    assert both.learning.notes == (DESCRIBES,)
    assert both.learning.counted == "tries"


def test_missing_tries_are_as_if_not_there():
    """Tries without a mark, times, or days count as dropped and change nothing else."""
    log = log_of()
    holes = {name: values.copy() for name, values in log.items()}
    holes["right"][:3], holes["times"][3:5] = np.nan, np.nan
    holes["days"][np.flatnonzero(log["times"] > 0)[-1]] = np.nan
    kept = ~np.isnan(holes["right"] + holes["times"] + holes["days"])
    found = learning_rate(**holes, about="the choir")
    whole = learning_rate(**{name: values[kept] for name, values in holes.items()}, about="the choir")
    assert found.dropped == 6
    assert (found.value, found.interval, found.n) == (whole.value, whole.interval, whole.n)


def test_days_before_the_first_practice_do_not_count():
    """Where nothing was practised yet, days since may be anything or missing."""
    log = log_of()
    never = log["times"] == 0
    assert never.any()
    other = log | {"days": np.where(never, np.nan, log["days"])}
    assert practice_rates(**log, about="x").forgetting == practice_rates(**other, about="x").forgetting


def test_wider_at_a_higher_level_and_mirrored():
    """A higher level is wider; right and wrong exchanged turn both rates round."""
    log = log_of()
    narrow, wide = (practice_rates(**log, about="x", level=level) for level in (0.8, 0.99))
    assert wide.learning.interval.low < narrow.learning.interval.low < narrow.learning.interval.high
    assert narrow.learning.interval.high < wide.learning.interval.high
    turned = practice_rates(**(log | {"right": 1 - log["right"]}), about="x")
    assert turned.learning.value == pytest.approx(-narrow.learning.value, abs=1e-6)
    assert turned.forgetting.value == pytest.approx(-narrow.forgetting.value, abs=1e-6)


def test_days_that_never_differ_leave_learning_alone():
    """Where practice lay equally far back each time, learning is estimated alone."""
    found = practice_rates(**(log_of() | {"days": np.full(300, 2.0)}), about="the choir")
    assert found.forgetting is None
    assert found.fit.coefficients.size == 2


def test_one_singer_and_one_item_are_told():
    """One student or one item is no error; the estimate says what is not known."""
    log = log_of() | {"students": np.zeros(300), "items": np.zeros(300)}
    assert practice_rates(**log, about="x").learning.notes == (DESCRIBES, ONE_SINGER, ONE_ITEM)


REFUSED = "learning_rate: needs "


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"right": np.full(300, np.nan)}, "20 tries with known practice. The choir has 0."),
        ({"right": np.ones(300)}, "right and wrong tries. All of The choir are right."),
        ({"right": np.zeros(300)}, "right and wrong tries. All of The choir are wrong."),
        ({"times": np.full(300, 3.0)}, "tries after different practice. The choir has none."),
        (
            {"days": np.maximum(log_of()["times"], 0)},
            "times and days that do not move together. Those of The choir do.",
        ),
        (
            {"right": (log_of()["times"] > 5).astype(float)},
            "right and wrong tries after the same practice. The choir has almost none, so any steep rate fits.",
        ),
    ],
)
def test_too_little_is_refused(change, message):
    """Nothing to learn from is refused in words: too few, all alike, no different practice, parted completely."""
    with pytest.raises(TooFewError) as caught:
        learning_rate(**(log_of() | change), about="The choir")
    assert str(caught.value) == REFUSED + message


def test_three_tries_are_too_few():
    """Three tries are refused, and so is forgetting where days never differ."""
    log = {name: values[:3] for name, values in log_of().items()}
    with pytest.raises(TooFewError) as caught:
        forgetting_rate(**log, about="The choir")
    assert str(caught.value) == "forgetting_rate: needs 20 tries with known practice. The choir has 3."
    with pytest.raises(TooFewError) as caught:
        forgetting_rate(**(log_of() | {"days": np.ones(300)}), about="The choir")
    assert str(caught.value) == ("forgetting_rate: needs days since practice that differ. The choir has none that do.")


@pytest.mark.parametrize("name", ["times", "days"])
def test_less_than_none_is_refused(name):
    """Practice fewer than 0 times, or less than 0 days ago, is refused."""
    log = log_of()
    log["times"][0] = 1
    log[name][0] = -2
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        learning_rate(**log, about="x")
    assert str(caught.value) == f"learning_rate: {name} must be 0 or more. Got -2."
