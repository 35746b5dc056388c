"""A federal review's correction for choirs: special cases, versions and messages."""

from __future__ import annotations

import math

import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.clusters.corrected_t import clustered_t, hedges_g_clusters

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
     "clustered_t: version must be one of '3.0', '4.0', '4.1', '5.0'. Got '5'."),
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


def test_hedges_on_the_connected_mathematics_project():
    """Hedges (2007, Journal of Educational and Behavioral Statistics 32, 341-370), example: d .1536, 18 and 9 classes.

    Printed: 0.1522 with variance 0.0509. The printed interval is the normal one; ours takes t with 25 degrees of
    freedom, so the variance is what is compared.
    """
    found = hedges_g_clusters(0.1536, n_program=324, n_comparison=162, clusters=27, icc=0.264, about="A")
    assert found.value == pytest.approx(0.1522, abs=6e-5)
    error = (found.interval.high - found.value) / scipy.stats.t.ppf(0.975, 25)
    assert (found.df, error**2) == (25, pytest.approx(0.0509, abs=6e-5))
    normal = [found.value - 1.96 * error, found.value + 1.96 * error]
    assert normal == pytest.approx([-0.290, 0.594], abs=6e-4)


def test_the_newest_version_divides_the_size_by_its_error():
    """Hedges (2007), the same example: 0.1522 and 0.0509 as printed give a t of 0.675; version 5.0 gives that t.

    The degrees of freedom are those of version 4.1, whose t differs here by less than two in a thousand.
    """
    of_example = {"n_program": 324, "n_comparison": 162, "clusters": 27, "icc": 0.264, "about": "A"}
    found, before = (clustered_t(0.1536, **of_example, version=version) for version in ("5.0", "4.1"))
    assert found.value == pytest.approx(0.1522 / math.sqrt(0.0509), abs=6e-4)
    assert found.df == before.df
    assert found.value == pytest.approx(before.value, rel=2e-3)


@given(g=st.floats(-2, 2), icc=st.floats(0, 0.9))
@laws
def test_the_newest_version_is_the_corrected_size(g, icc):
    """Version 5.0 has the value over the standard error of `hedges_g_clusters`, and students' degrees of freedom."""
    change = GIVEN | {"icc": icc}
    size = hedges_g_clusters(g, **change)
    error = (size.interval.high - size.value) / scipy.stats.t.ppf(0.975, size.df)
    found = clustered_t(g, **change, version="5.0")
    assert found.value == pytest.approx(size.value / error, rel=1e-9, abs=1e-12)
    assert found.p == pytest.approx(2 * scipy.stats.t.sf(abs(found.value), found.df))
