"""Reading printed statistics and checking them against one another, beside scipy's distributions."""

from __future__ import annotations

import math

import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import UnknownChoiceError
from kit.stats.studies.printed import check_printed_p, p_of, read_printed

laws = settings(max_examples=50, deadline=None)


@pytest.mark.parametrize(
    ("text", "value", "low", "high"),
    [
        ("4.38", 4.38, 4.375, 4.385), (".573", 0.573, 0.5725, 0.5735), ("12", 12, 11.5, 12.5), ("−2.1", -2.1, -2.15, -2.05),
        ("4.3e-5", 4.3e-5, 4.25e-5, 4.35e-5), ("1,204", 1204, 1203.5, 1204.5), ("p = .05", 0.05, 0.045, 0.055),
        ("< .05", 0.05, -math.inf, 0.05), ("p>.05", 0.05, 0.05, math.inf), ("≤ .001", 0.001, -math.inf, 0.001),
    ],
)  # fmt: skip
def test_printed_numbers_are_read(text, value, low, high):
    """A printed number stands for everything that rounds to it, a comparison for everything on its side."""
    number = read_printed(text)
    assert (number.value, number.low, number.high) == pytest.approx((value, low, high))
    assert number.text == text


@pytest.mark.parametrize("text", ["", "n.s.", ".", "4.3.1", "five", "--2"])
def test_what_is_no_number_is_refused(text):
    """Anything else is refused with what was found."""
    with pytest.raises(
        ValueError, match=r"^read_printed: text must be a printed number such as '4.38' or '< .05'. Got "
    ):
        read_printed(text)


def test_p_beside_scipy():
    """The p of t, F, r, z and chi-square equals scipy's."""
    assert p_of("t", -2.1, 20) == pytest.approx(2 * scipy.stats.t(20).sf(2.1))
    assert p_of("f", 3.3, 40, df_between=3) == pytest.approx(scipy.stats.f(3, 40).sf(3.3))
    assert p_of("z", 1.7) == pytest.approx(2 * scipy.stats.norm.sf(1.7))
    assert p_of("chi2", 5.2, 2) == pytest.approx(scipy.stats.chi2(2).sf(5.2))
    x, y = [1, 2, 3, 4, 5, 6], [2, 1, 4, 3, 7, 5]
    peer = scipy.stats.pearsonr(x, y)
    assert p_of("r", peer.statistic, 4) == pytest.approx(peer.pvalue)
    assert p_of("f", 2.1**2, 20) == pytest.approx(p_of("t", 2.1, 20))
    assert p_of("r", 1.0, 4) == 0


@given(t=st.floats(-8, 8), df=st.integers(2, 300), places=st.integers(1, 3), digits=st.integers(2, 4))
@laws
def test_what_was_rounded_correctly_always_fits(t, df, places, digits):
    """A t and its p, each rounded to any number of digits, fit one another, both ways round and as F."""
    p = 2 * scipy.stats.t(df).sf(abs(t))
    found = check_printed_p("t", f"{t:.{places}f}", f"{p:.{digits}f}", df=df)
    assert found.fit == "fits"
    assert found.crosses is False
    assert found.p_low <= found.p <= found.p_high
    assert check_printed_p("f", f"{t * t:.{places}f}", f"{p:.{digits}f}", df=df).fit == "fits"


@given(t=st.floats(1, 5), df=st.integers(5, 300))
@laws
def test_half_a_p_fits_one_sided(t, df):
    """Half of the p, printed to five digits, does not fit two-sided but fits one-sided."""
    p = scipy.stats.t(df).sf(t)
    found = check_printed_p("t", f"{t:.4f}", f"{p:.3g}", df=df)
    assert found.fit == "fits_one_sided"
    assert found.crosses == (
        p < 0.05 and found.p_low > 0.05 and float(f"{p:.3g}") <= 0.05 and found.printed.high <= 0.05
    )


def test_a_published_case():
    """Henry (2004): t(66) = 4.38, p < .00004; two-sided 4.26e-5 to 4.42e-5 by rounding of t, one-sided 2.2e-5."""
    found = check_printed_p("t", "4.38", "p < .00004", df=66)
    assert found.fit == "fits_one_sided"
    assert (found.p_low, found.p_high) == pytest.approx((4.26e-5, 4.42e-5), abs=6e-8)
    assert found.p / 2 == pytest.approx(2.2e-5, abs=6e-7)
    assert found.crosses is False


def test_another_published_case():
    """McClung (2008): F(1, 37) = .573, p = .454 fit one another."""
    assert check_printed_p("f", ".573", ".454", df=37).fit == "fits"


def test_a_contradiction_is_flagged():
    """A printed p that fits neither way is flagged, and so is one on the other side of .05."""
    found = check_printed_p("t", "1.20", ".03", df=28)
    assert (found.fit, found.crosses) == ("does_not_fit", True)
    assert check_printed_p("t", "3.00", "> .05", df=28).crosses is True
    assert check_printed_p("chi2", "5.99", ".025", df=2).fit == "does_not_fit"  # half of .05: no one-sided chi-square
    assert check_printed_p("t", "1.2", "< .05", df=28).fit == "does_not_fit"


def test_an_r_near_one_stays_below_it():
    """Rounding never pushes a correlation over 1."""
    assert check_printed_p("r", ".999", "< .001", df=10).fit == "fits"
    assert check_printed_p("r", "1.0", "< .001", df=10).p_low == 0


def test_refusals_are_said_in_full():
    """An unknown statistic, missing degrees of freedom and an impossible r are refused."""
    with pytest.raises(UnknownChoiceError) as word:
        p_of("T", 2, 10)
    assert str(word.value) == "p_of: statistic must be one of 't', 'f', 'r', 'z', 'chi2'. Got 'T'."
    with pytest.raises(ValueError, match=r"^p_of: df must be above zero for t. Got None.$"):
        p_of("t", 2)
    with pytest.raises(ValueError, match=r"^p_of: r must be between -1 and 1. Got 1.2.$"):
        p_of("r", 1.2, 10)
