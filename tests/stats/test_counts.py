"""Counts."""

from __future__ import annotations

import pytest

from kit.estimate import COUNTED_NOT_ESTIMATED
from kit.stats.counts import count


def test_count_is_not_estimated():
    """A count has no interval and says why; its base is the whole it is part of, or itself."""
    part = count(17, about="tested both times", of=24)
    assert (part.value, part.n, part.unit, part.counted) == (17.0, 24, "students", "students")
    assert (part.interval, part.notes) == (None, (COUNTED_NOT_ESTIMATED,))
    assert count(3, about="choirs", unit="choirs").n == 3


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: count(-1, about="A"), "count: n must be a whole number of 0 or more. Got -1."),
        (lambda: count(1.5, about="A"), "count: n must be a whole number of 0 or more. Got 1.5."),
        (lambda: count(float("inf"), about="A"), "count: n must be a whole number of 0 or more. Got inf."),
        (lambda: count(float("nan"), about="A"), "count: n must be a whole number of 0 or more. Got nan."),
        (lambda: count(5, about="A", of=4), "count: n must not be more than of. Got 5 of 4."),
    ],
)
def test_messages(call, message):
    """Numbers that are no counts are refused."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        call()
    assert str(caught.value) == message
