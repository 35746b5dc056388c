"""Laws, messages and cross-checks of shares and changes of shares."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.contingency_tables import mcnemar
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from kit.errors import TooFewError
from kit.stats.proportions.shares import (
    NOBODY_CROSSED,
    TEST_ONLY,
    share_change_midp,
    share_change_newcombe,
    share_difference_newcombe,
    share_exact,
    share_wilson,
)

SHARES = [share_wilson, share_exact]
laws = settings(max_examples=25, deadline=None)
cells = st.tuples(*[st.integers(0, 30)] * 4).filter(lambda table: sum(table) > 0)


def ends(estimate):
    """Give value and ends."""
    return [estimate.value, estimate.interval.low, estimate.interval.high]


@pytest.mark.parametrize(("share", "method"), [(share_wilson, "wilson"), (share_exact, "beta")])
@given(n=st.integers(1, 300), part=st.floats(0, 1), level=st.floats(0.5, 0.99))
@laws
def test_share_equals_statsmodels(share, method, n, part, level):
    """The library statsmodels gives the same ends at every count and level."""
    hits = round(part * n)
    theirs = proportion_confint(hits, n, alpha=1 - level, method=method)
    assert ends(share(hits, n, about="A", level=level)) == pytest.approx([hits / n, *theirs], abs=1e-9)


@pytest.mark.parametrize("share", SHARES)
@given(n=st.integers(1, 200), part=st.floats(0, 1), levels=st.tuples(st.floats(0.5, 0.99), st.floats(0.5, 0.99)))
@laws
def test_share_mirrors_and_widens(share, n, part, levels):
    """The share of misses is the mirror image, inside 0 to 1, and a higher level is not narrower."""
    hits = round(part * n)
    inner, outer = (share(hits, n, about="A", level=level) for level in sorted(levels))
    value, low, high = ends(share(n - hits, n, about="A", level=sorted(levels)[0]))
    assert ends(inner) == pytest.approx([1 - value, 1 - high, 1 - low], abs=1e-9)
    assert 0 <= outer.interval.low <= inner.interval.low + 1e-12
    assert inner.interval.high - 1e-12 <= outer.interval.high <= 1


@given(table=st.tuples(st.integers(0, 20), st.integers(20, 40), st.integers(0, 20), st.integers(20, 40)))
@laws
def test_difference_equals_statsmodels_and_swaps(table):
    """The library statsmodels gives the same ends for different students, and swapping the groups turns them."""
    there = ends(share_difference_newcombe(*table, about="A"))
    assert there[1:] == pytest.approx(confint_proportions_2indep(*table, method="newcomb"), abs=1e-9)
    value, low, high = ends(share_difference_newcombe(*table[2:], *table[:2], about="A"))
    assert there == pytest.approx([-value, -high, -low], abs=1e-12)


@given(table=cells)
@laws
def test_change_swaps_sign(table):
    """Swapping the tests turns the sign and ends of a change, and leaves p."""
    both, lost, gained, neither = table
    there, back = (share_change_newcombe(both, *pair, neither, about="A") for pair in ((lost, gained), (gained, lost)))
    value, low, high = ends(back)
    assert ends(there) == pytest.approx([-value, -high, -low], abs=1e-12)
    assert -1 <= there.interval.low <= there.value <= there.interval.high <= 1
    one, two = (share_change_midp(both, *pair, neither, about="A") for pair in ((lost, gained), (gained, lost)))
    assert one.p == two.p
    assert one.value == -two.value


@given(table=cells.filter(lambda table: table[1] != table[2]))
@laws
def test_mid_p_lies_below_the_exact_p(table):
    """The mid-p is statsmodels' exact McNemar p less the chance of the table itself."""
    both, lost, gained, neither = table
    ours = share_change_midp(both, lost, gained, neither, about="A").p
    exact = mcnemar([[both, lost], [gained, neither]], exact=True).pvalue
    assert 0 < ours < exact


def test_crossings_that_cancel_or_are_none():
    """As many up as down give p near 1 (Fagerland 2013: 1 less half the chance); none at all give no p."""
    assert share_change_midp(3, 1, 1, 3, about="A").p == 0.75
    none = share_change_midp(3, 0, 0, 3, about="A")
    assert none.p is None
    assert none.notes == (TEST_ONLY, NOBODY_CROSSED)


def test_dropped_is_passed_on():
    """Students whom the caller left out are counted in the estimate."""
    found = [
        share_wilson(1, 2, about="A", dropped=3),
        share_exact(1, 2, about="A", dropped=3),
        share_difference_newcombe(1, 2, 1, 2, about="A", dropped=3),
        share_change_newcombe(1, 1, 1, 1, about="A", dropped=3),
        share_change_midp(1, 1, 1, 1, about="A", dropped=3),
    ]
    assert [estimate.dropped for estimate in found] == [3] * 5


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (lambda: share_wilson(0, 0, about="A"), TooFewError, "share_wilson: needs 1 student. A has 0."),
        (
            lambda: share_exact(4, 3, about="A"),
            ValueError,
            "share_exact: hits must be a whole number from 0 to 3. Got 4.",
        ),
        (
            lambda: share_difference_newcombe(1, 3, -1, 3, about="A"),
            ValueError,
            "share_difference_newcombe: comparison_hits must be a whole number from 0 to 3. Got -1.",
        ),
        (
            lambda: share_change_newcombe(0, 0, 0, 0, about="A"),
            TooFewError,
            "share_change_newcombe: needs 1 student. A has 0.",
        ),
        (
            lambda: share_change_midp(1, 1.5, 0, 0, about="A"),
            ValueError,
            "share_change_midp: lost must be a whole number from 0 to 2.5. Got 1.5.",
        ),
        (
            lambda: share_wilson(1, 2, about="A", level=1.0),
            ValueError,
            "share_wilson: level must be between 0 and 1. Got 1.0.",
        ),
    ],
)
def test_messages(call, error, message):
    """Each refusal says what is needed and what was found."""
    with pytest.raises(error) as caught:
        call()
    assert str(caught.value) == message
