"""The published boundary, its worked examples, and the model behind it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq
from scipy.stats import norm

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.attrition import BOUNDARY, LINK, NO_INTERVAL, NOTES, attrition, attrition_boundary

laws = settings(max_examples=50, deadline=None)
sizes = st.tuples(st.integers(1, 200), st.integers(1, 200))
shares = st.tuples(st.floats(0, 1), st.floats(0, 1))


def kept_of(randomized, share):
    """Give how many of each group have the outcome."""
    return tuple(round(n * part) for n, part in zip(randomized, share, strict=True))


@pytest.mark.parametrize(
    ("randomized", "kept", "cautious", "optimistic"),
    [
        ((30, 30), (27, 22), "high", "high"),
        ((100, 100), (67, 73), "high", "low"),
        ((200, 200), (187, 181), "low", "low"),
    ],
)
def test_worked_examples(randomized, kept, cautious, optimistic):
    """Overall 18.3 %, apart 16.7: high; 30 %, apart 6: high if cautious, low if optimistic; 8 %, apart 3: low.

    US federal evidence review (2020), Standards Handbook 4.1, table II.1, as transcribed in two open codes.
    """
    assert attrition(randomized, kept, about="A").rating == cautious
    assert attrition(randomized, kept, about="A", assumption="optimistic").rating == optimistic


def test_implied_bias():
    """Of 30 in each group 27 and 22 kept: bias 0.125 SD if cautious, 0.079 SD if optimistic (derived, scipy's normal)."""
    assert attrition((30, 30), (27, 22), about="A").bias == pytest.approx(0.125, abs=0.0005)
    assert attrition((30, 30), (27, 22), about="A", assumption="optimistic").bias == pytest.approx(0.079, abs=0.0005)


@pytest.mark.parametrize(("assumption", "worst"), [("cautious", 0.0701), ("optimistic", 0.0925)])
def test_table_follows_the_model(assumption, worst):
    """From 10 % on the printed boundary is where the model's bias is 0.0548, to within a tenth of a point."""
    one, two = (link**0.5 for link in LINK[assumption])

    def bias(difference, overall):
        low, high = 1 - overall - difference / 2, 1 - overall + difference / 2
        one_way, other = (
            one * norm.pdf(norm.ppf(a)) / a - two * norm.pdf(norm.ppf(b)) / b for a, b in ((low, high), (high, low))
        )
        return max(abs(one_way), abs(other)) - 0.0548

    for percent, printed in enumerate(BOUNDARY[assumption]):
        if percent >= 10 and bias(0, percent / 100) < 0:
            model = brentq(bias, 0, min(0.19, 1.9 * (1 - percent / 100)), args=(percent / 100,))
            assert abs(100 * model - printed) < worst


@pytest.mark.parametrize("assumption", ["cautious", "optimistic"])
def test_whole_percents_read_the_table(assumption):
    """At every whole percent the limit is the printed one, a difference equal to it is low, and one above it is high."""
    for percent, printed in enumerate(BOUNDARY[assumption]):
        lost, half = 20 * percent, round(10 * printed)  # of 2 x 2,000 students; apart by `printed` points
        if half <= lost:
            there = attrition((2000, 2000), (2000 - lost - half, 2000 - lost + half), about="A", assumption=assumption)
            above = (2000 - lost - half - 1, 2000 - lost + half + 1)
            assert there.limit == pytest.approx(printed / 100, abs=1e-12)
            assert there.differential == pytest.approx(printed / 100, abs=1e-12)
            assert there.rating == "low"
            assert attrition((2000, 2000), above, about="A", assumption=assumption).rating == "high"


def test_borderline_where_rounding_decides():
    """At 15.25 % overall the limits 5.9 and 5.9 agree; at 19.5 % with 5.45 points apart 5.5 and 5.4 do not."""
    assert attrition((2000, 2000), (1695 - 59, 1695 + 59), about="A").rating == "low"
    between = attrition((4000, 4000), (3220 - 109, 3220 + 109), about="A")
    assert between.differential == pytest.approx(0.0545, abs=1e-12)
    assert between.limit == pytest.approx(0.0545, abs=1e-12)
    assert between.rating == "borderline"


def test_beyond_the_table_is_high():
    """From 58 % (cautious) and 66 % (optimistic) on, loss is high however even it is."""
    assert attrition((100, 100), (43, 43), about="A").rating == "low"
    assert attrition((100, 100), (42, 42), about="A").rating == "high"
    assert attrition((100, 100), (35, 35), about="A", assumption="optimistic").rating == "low"
    assert attrition((100, 100), (34, 34), about="A", assumption="optimistic").rating == "high"
    assert attrition((100, 100), (42, 42), about="A").limit == 0


@given(randomized=sizes, share=shares)
@laws
def test_swapping_the_groups_turns_the_difference_only(randomized, share):
    """The rating does not depend on which group is called the program group, and cautious is never laxer."""
    kept = kept_of(randomized, share)
    one, two = attrition(randomized, kept, about="A"), attrition(randomized[::-1], kept[::-1], about="A")
    lax = attrition(randomized, kept, about="A", assumption="optimistic")
    assert (one.rating, one.limit, one.bias) == (two.rating, two.limit, two.bias)
    assert one.differential == -two.differential
    assert 0 <= one.overall <= 1
    order = ["low", "borderline", "high"]
    assert order.index(lax.rating) <= order.index(one.rating)


def test_edges():
    """Nobody lost is low without bias; a group lost wholly is high and has no bias to give."""
    whole = attrition((10, 12), (10, 12), about="A")
    assert (whole.overall, whole.differential, whole.limit, whole.rating, whole.bias) == (0, 0, 0.057, "low", 0)
    gone = attrition((10, 12), (0, 12), about="A")
    assert (gone.rating, gone.bias) == ("high", None)


def test_estimate_carries_limit_and_rating():
    """The boundary as an estimate: limit as a share, those drawn, no interval, and the rating in words."""
    limit = attrition_boundary((8, 8), (8, 7), about="spring", counted="choirs")
    assert limit.value == attrition((8, 8), (8, 7), about="spring").limit
    assert (limit.n, limit.counted, limit.interval, limit.dropped) == (16, "choirs", None, 0)
    assert limit.notes == (NO_INTERVAL, NOTES["high"])


def test_huge():
    """A hundred million students are no trouble."""
    assert attrition((10**8, 10**8), (9 * 10**7, 9 * 10**7), about="A").rating == "low"


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: attrition((10, 10), (11, 9), about="A"), ValueError,
         "attrition: program group must keep a whole number from 0 to those drawn. Got 11 of 10."),
        (lambda: attrition((10, 10), (9, 8.5), about="A"), ValueError,
         "attrition: comparison group must keep a whole number from 0 to those drawn. Got 8.5 of 10."),
        (lambda: attrition((10, 0), (9, 0), about="A"), TooFewError,
         "attrition: needs 1 drawn into each group. A, comparison group, has 0."),
        (lambda: attrition_boundary((10, 10), (9, 9), about="A", assumption="bold"), UnknownChoiceError,
         "attrition: assumption must be one of 'cautious', 'optimistic'. Got 'bold'."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What cannot be is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
