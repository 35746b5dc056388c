"""Whether printed numbers fit one another."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.questions.replication.original_checks import checks
from kit.questions.replication.originals import Original

MCCLUNG = {"study": "McClung 2008", "design": "one_group", "n": (38,), "direction": "higher", "f": ".573", "df": "37",
           "p": ".454", "means": ("10.37", "10.84"), "sds": ("4.23", "3.96")}  # fmt: skip


def found(**printed):
    """Check an original and give the outcomes by what was checked."""
    return {check.what: check for check in checks(Original(**printed))}


def test_published_numbers_that_fit():
    """McClung (2008): p, df and the correlation .56 implied by means, SDs and F all fit."""
    outcome = found(**MCCLUNG)
    assert {what: check.fit for what, check in outcome.items()} == {"p": "fits", "df": "fits", "correlation": "fits"}
    assert outcome["correlation"].recomputed == pytest.approx(0.56, abs=0.006)


def test_a_published_p_that_fits_one_sided():
    """Henry (2004): the printed p < .00004 fits the one-sided p of t(66) = 4.38; it is flagged, no more."""
    outcome = found(
        study="Henry 2004", design="one_group", n=(67,), direction="higher", t="4.38", df="66", p="< .00004"
    )
    assert (outcome["p"].fit, outcome["p"].crosses, outcome["df"].fit) == ("fits_one_sided", False, "fits")


@given(seed=st.integers(0, 999), places=st.integers(1, 3))
@settings(max_examples=40, deadline=None)
def test_what_was_rounded_correctly_always_fits(seed, places):
    """Scores of any study, summarised and rounded without slips, never raise a flag."""
    rng = np.random.default_rng(seed)
    one, two = rng.normal(12, 4, 9), rng.normal(11, 5, 7)
    test = scipy.stats.ttest_ind(one, two)
    common = {"direction": "higher", "means": (f"{one.mean():.{places}f}", f"{two.mean():.{places}f}"), "df": "14",
              "sds": (f"{one.std(ddof=1):.{places}f}", f"{two.std(ddof=1):.{places}f}"), "p": f"{test.pvalue:.3f}"}  # fmt: skip
    for printed in ({"t": f"{test.statistic:.2f}"}, {"f": f"{test.statistic**2:.2f}"}):
        outcome = found(study="A", design="two_groups", n=(9, 7), **common, **printed)
        assert {check.fit for check in outcome.values()} == {"fits"}
        assert set(outcome) == {"p", "df", "t"}
    post = one + rng.normal(0.5, 2, 9)
    again = scipy.stats.ttest_rel(post, one)
    outcome = found(
        study="A", design="one_group", n=(9,), direction="higher", t=f"{again.statistic:.2f}", p=f"{again.pvalue:.3f}",
        means=(f"{one.mean():.{places}f}", f"{post.mean():.{places}f}"),
        sds=(f"{one.std(ddof=1):.{places}f}", f"{post.std(ddof=1):.{places}f}"),
    )  # fmt: skip
    assert {check.fit for check in outcome.values()} == {"fits"}


def test_slips_are_flagged_where_they_are():
    """A wrong t, wrong degrees of freedom and an impossible correlation are each flagged, and only they."""
    right = {"study": "A", "design": "two_groups", "n": (50, 50), "direction": "higher", "means": ("103", "100"),
             "sds": ("5.5", "4.5"), "t": "2.99", "df": "98", "p": ".004"}  # fmt: skip
    assert {check.fit for check in found(**right).values()} == {"fits"}
    outcome = found(**right | {"t": "5.40", "p": "< .001"})
    assert {what: check.fit for what, check in outcome.items()} == {"p": "fits", "df": "fits", "t": "does_not_fit"}
    assert outcome["t"].low < 2.985 < outcome["t"].high
    assert found(**right | {"df": "88"})["df"].fit == "does_not_fit"
    assert found(**MCCLUNG | {"f": "57.3", "p": "< .001"})["correlation"].fit == "fits"
    assert found(**MCCLUNG | {"f": ".00057", "p": ".98"})["correlation"].fit == "does_not_fit"


def test_correlations_are_checked_too():
    """A printed r is compared with its p by n - 2 degrees of freedom."""
    outcome = found(study="A", design="correlation", n=(36,), direction="higher", r=".33", p=".05")
    assert outcome["p"].fit == "fits"
    assert outcome["p"].recomputed == pytest.approx(scipy.stats.beta(17, 17, loc=-1, scale=2).sf(0.33) * 2)


def test_nothing_printed_nothing_checked():
    """Where nothing can be compared there is no check."""
    assert checks(Original(study="A", design="two_groups", n=(5, 5), direction="higher", t="2.1")) == []
    assert checks(Original(study="A", design="one_group", n=(5,), direction="higher", means=("1", "2"))) == []
