"""Laws, messages and cross-checks of differences of shares drawn towards zero."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.proportion import confint_proportions_2indep

from kit.errors import TooFewError
from kit.stats.proportions.adjusted import DRAWN, share_change_bonett_price, share_difference_agresti_caffo

laws = settings(max_examples=50, deadline=None)
cells = st.tuples(*[st.integers(0, 30)] * 4)


def ends(estimate):
    """Give value and ends."""
    return np.array([estimate.value, estimate.interval.low, estimate.interval.high])


@given(table=cells, levels=st.tuples(st.floats(0.5, 0.99), st.floats(0.5, 0.99)))
@laws
def test_difference_equals_statsmodels(table, levels):
    """The library statsmodels gives the same ends (uncut); swapping turns the sign; a higher level is not narrower."""
    a, b, c, d = table
    if a + b == 0 or c + d == 0:
        return
    low, high = sorted(levels)
    inner, outer = (share_difference_agresti_caffo(a, a + b, c, c + d, about="A", level=level) for level in (low, high))
    theirs = confint_proportions_2indep(a, a + b, c, c + d, method="agresti-caffo", alpha=1 - low)
    assert ends(inner)[1:] == pytest.approx(np.clip(theirs, -1, 1), abs=1e-9)
    back = share_difference_agresti_caffo(c, c + d, a, a + b, about="A", level=low)
    assert ends(back) == pytest.approx(-ends(inner)[[0, 2, 1]], abs=1e-12)
    assert outer.interval.low <= inner.interval.low <= inner.interval.high <= outer.interval.high
    assert inner.notes == (DRAWN,)


@given(table=cells, levels=st.tuples(st.floats(0.5, 0.99), st.floats(0.5, 0.99)))
@laws
def test_change_turns_and_widens(table, levels):
    """Swapping the tests turns the sign, who stayed counts only in n, and a higher level is not narrower."""
    both, lost, gained, neither = table
    if sum(table) == 0:
        return
    low, high = sorted(levels)
    inner, outer = (share_change_bonett_price(*table, about="A", level=level) for level in (low, high))
    back = share_change_bonett_price(neither, gained, lost, both, about="A", level=low)
    assert ends(back) == pytest.approx(-ends(inner)[[0, 2, 1]], abs=1e-12)
    assert -1 <= outer.interval.low <= inner.interval.low <= inner.interval.high <= outer.interval.high <= 1
    assert inner.value == pytest.approx((gained - lost) / (sum(table) + 2))


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (
            lambda: share_difference_agresti_caffo(3, 2, 1, 2, about="A"),
            ValueError,
            "share_difference_agresti_caffo: hits must be a whole number from 0 to 2. Got 3.",
        ),
        (
            lambda: share_difference_agresti_caffo(1, 2, 0, 0, about="A"),
            TooFewError,
            "share_difference_agresti_caffo: needs 1 student. A has 0.",
        ),
        (
            lambda: share_change_bonett_price(0, 0, 0, 0, about="A"),
            TooFewError,
            "share_change_bonett_price: needs 1 student. A has 0.",
        ),
        (
            lambda: share_change_bonett_price(0, 1, 0.5, 0, about="A"),
            ValueError,
            "share_change_bonett_price: gained must be a whole number from 0 to 1.5. Got 0.5.",
        ),
        (
            lambda: share_change_bonett_price(0, 1, 1, 0, about="A", level=2),
            ValueError,
            "share_change_bonett_price: level must be between 0 and 1. Got 2.",
        ),
    ],
)
def test_messages(call, error, message):
    """Each refusal says what is needed and what was found."""
    with pytest.raises(error) as caught:
        call()
    assert str(caught.value) == message
