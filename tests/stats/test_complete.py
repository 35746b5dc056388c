"""Incomplete rows, faulty options and spreads that are only rounding."""

from __future__ import annotations

import numpy as np
import pytest

from kit.errors import TooFewError
from kit.stats.complete import (
    complete_rows,
    gains_of,
    need,
    need_counts,
    need_spread,
    proportion,
    spread_of,
    two_groups,
    upper_tail,
)


def test_incomplete_rows_are_counted():
    """A row with any missing number is left out of all columns and counted once."""
    (x, y), dropped = complete_rows("f", x=[1, np.nan, 3, np.nan], y=[1, 2, None, np.nan])
    assert (x.tolist(), y.tolist(), dropped) == ([1.0], [1.0], 3)


def test_gains_and_groups():
    """Pairs lose both scores together; groups lose students apart."""
    before, after, dropped = gains_of("f", [1, 2, np.nan], [4, np.nan, 5], "A", least=1)
    assert (before.tolist(), after.tolist(), dropped) == ([1.0], [4.0], 2)
    one, two, dropped = two_groups("f", [1, 2, np.nan], [np.nan, 4, 5, np.nan], "A")
    assert (one.tolist(), two.tolist(), dropped) == ([1.0, 2.0], [4.0, 5.0], 3)


def test_spread_of_rounding_dust_is_zero():
    """Differences that only rounding makes are no spread; real ones stay."""
    pre = np.array([0.1, 0.2, 0.7])
    assert (pre + 0.3 - pre).std(ddof=1) > 0
    assert spread_of(pre + 0.3 - pre, pre) == 0.0
    assert spread_of(np.array([1.0, 1.0 + 1e-9])) > 0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: complete_rows("f", x=[[1, 2]]), "f: x must be one flat list of numbers. Got 2 dimensions."),
        (
            lambda: complete_rows("f", x=[1, np.inf]),
            "f: x must be finite numbers, or NaN where missing. Got an infinite one.",
        ),
        (lambda: complete_rows("f", x=[1], y=[1, 2]), "f: x and y must list the same students. Got 1 and 2 numbers."),
        (lambda: need_counts("f", "A", 3, hits=4), "f: hits must be a whole number from 0 to 3. Got 4."),
        (lambda: need_counts("f", "A", 3, hits=1.5), "f: hits must be a whole number from 0 to 3. Got 1.5."),
        (lambda: need_counts("f", "A", np.inf, hits=4), "f: counts must be whole numbers. Got inf."),
        (lambda: need_counts("f", "A", 3, hits=np.nan), "f: hits must be a whole number from 0 to 3. Got nan."),
        (lambda: need("f", "A", 2.5, least=2, what="students"), "f: counts must be whole numbers. Got 2.5."),
        (lambda: upper_tail("f", 1), "f: level must be between 0 and 1. Got 1."),
        (lambda: proportion("f", "reliability", 1.2), "f: reliability must be between 0 and 1. Got 1.2."),
    ],
)
def test_wrong_numbers(call, message):
    """Each faulty input is refused with a sentence that names it."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        call()
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: need("f", "A", 1, least=2, what="students"), "f: needs 2 students. A has 1."),
        (lambda: need_counts("f", "A", 0), "f: needs 1 student. A has 0."),
        (lambda: need_spread("f", "A", 0.0, what="gains"), "f: needs gains that differ. A has none that do."),
    ],
)
def test_too_few(call, message):
    """Too little data is refused with a sentence that says what is needed."""
    with pytest.raises(TooFewError) as caught:
        call()
    assert str(caught.value) == message


def test_what_is_right_passes():
    """Right numbers pass unchanged."""
    need("f", "A", 2, least=2, what="students")
    need_counts("f", "A", 2, hits=2)
    need_spread("f", "A", 0.1, what="gains")
    assert upper_tail("f", 0.95) == pytest.approx(0.975)
    assert proportion("f", "reliability", 1) == 1.0
