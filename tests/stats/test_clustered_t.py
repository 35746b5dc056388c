"""A federal review's correction for choirs: special cases, versions and messages."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.clustered_t import clustered_t, hedges_g_clusters

laws = settings(max_examples=25, deadline=None)
GIVEN = {"n_program": 60, "n_comparison": 60, "clusters": 6, "icc": 0.2, "about": "A"}


@given(g=st.floats(-2, 2), icc=st.floats(0, 0.9))
@laws
def test_the_sign_turns_and_likeness_only_weakens(g, icc):
    """The mirror image, and never a smaller p than without likeness."""
    one, other = (clustered_t(x, **(GIVEN | {"icc": icc})) for x in (g, -g))
    assert (one.value, one.p) == pytest.approx((-other.value, other.p))
    assert one.p >= clustered_t(g, **(GIVEN | {"icc": 0.0})).p - 1e-12


def test_without_likeness_nothing_is_corrected():
    """With a correlation of zero t is that of the students and df is N - 2."""
    found = clustered_t(0.5, **(GIVEN | {"icc": 0.0}), version="3.0")
    assert (found.value, found.df) == pytest.approx((0.5 * math.sqrt(30), 118))


def test_gamma_as_published():
    """The factor of the size for 400 and 120 students in choirs of 20 (standards of the review, recomputed)."""
    for n, factor in ((200, 0.99041), (60, 0.96726)):
        given_ = GIVEN | {"n_program": n, "n_comparison": n, "clusters": n // 10}
        assert hedges_g_clusters(1.0, **given_).value == pytest.approx(factor, abs=5e-6)


def test_h_as_published():
    """100 students in 20 choirs with a correlation of .1 have 94.4 degrees of freedom."""
    found = clustered_t(0.3, n_program=50, n_comparison=50, clusters=20, icc=0.1, about="A")
    assert found.df == pytest.approx(94.4, abs=0.05)


def test_the_size_never_takes_more_degrees_of_freedom_than_choirs_less_two():
    """With many students in four choirs df is 2."""
    assert hedges_g_clusters(0.5, **(GIVEN | {"clusters": 4})).df == 2


@pytest.mark.parametrize(("error", "change", "message"), [
    (ValueError, {"icc": 1.0}, "clustered_t: icc must be from 0 to below 1. Got 1.0."),
    (ValueError, {"clusters": 0}, "clustered_t: numbers of students and choirs must be above zero."),
    (TooFewError, {"clusters": 1}, "clustered_t: needs 2 choirs and more students. A has 1 and 120."),
    (UnknownChoiceError, {"version": "5"},
     "clustered_t: version must be one of '3.0', '4.0', '4.1'. Got '5'."),
])  # fmt: skip
def test_what_is_refused(error, change, message):
    """Each refusal says what is needed."""
    with pytest.raises(error) as refused:
        clustered_t(0.5, **(GIVEN | change))
    assert str(refused.value) == message


def test_two_choirs_have_no_interval():
    """A size with an interval needs three choirs."""
    with pytest.raises(TooFewError, match=r"hedges_g_clusters: needs 3 choirs. A has 2\."):
        hedges_g_clusters(0.5, **(GIVEN | {"clusters": 2}))
