"""What pooling rests on, beside a published table and a general library."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar
from statsmodels.stats.meta_analysis import combine_effects

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.studies.between_studies import (
    between_variance,
    profile_limits,
    studies_of,
    variance_where_squares_are,
    weighted_mean,
    weighted_squares,
)

EFFECTS, ERRORS = [0.1, 0.5, 0.3, 0.8, -0.2], [0.1, 0.2, 0.15, 0.25, 0.2]
laws = settings(max_examples=30, deadline=None)
some = st.lists(st.tuples(st.floats(-3, 3), st.floats(0.05, 1)), min_size=2, max_size=12)


def given_studies():
    """Make the studies."""
    return studies_of("test", EFFECTS, ERRORS, "five", least=2)


@pytest.mark.parametrize(("estimator", "peer"), [("dersimonian_laird", "chi2"), ("paule_mandel", "iterated")])
def test_variance_beside_statsmodels(estimator, peer):
    """DerSimonian-Laird and Paule-Mandel equal those of statsmodels (its iteration stops at 1e-5)."""
    studies = given_studies()
    theirs = combine_effects(np.array(EFFECTS), np.square(ERRORS), method_re=peer).tau2
    assert between_variance("test", studies, estimator) * studies.scale**2 == pytest.approx(theirs, abs=1e-5)


@given(rows=some)
@laws
def test_restricted_likelihood_is_at_its_top(rows):
    """No other variance has a higher restricted likelihood, by scipy's own minimizer and on a grid."""
    effects, errors = np.array(rows).T
    studies = studies_of("test", effects, errors, "all", least=2)

    def lost(between):
        """Minus twice the restricted log likelihood, written out from its definition."""
        total = studies.variances + between
        mean = np.average(studies.effects, weights=1 / total)
        return np.log(total).sum() + np.log((1 / total).sum()) + ((studies.effects - mean) ** 2 / total).sum()

    ours = lost(between_variance("test", studies, "reml"))
    most = 10 * (np.ptp(studies.effects) ** 2 + studies.variances.max())
    theirs = minimize_scalar(lost, bounds=(0, most), method="bounded").fun
    assert ours <= min(theirs, *(lost(between) for between in np.linspace(0, most, 300))) + 1e-9


@given(rows=some)
@laws
def test_paule_mandel_meets_its_equation(rows):
    """The weighted squares at the Paule-Mandel variance are k - 1, or it is zero and they are smaller."""
    effects, errors = np.array(rows).T
    studies = studies_of("test", effects, errors, "all", least=2)
    between = between_variance("test", studies, "paule_mandel")
    squares = weighted_squares(studies, between)
    assert squares == pytest.approx(studies.k - 1, rel=1e-6) or (between == 0 and squares <= studies.k - 1)


def test_one_effect_has_no_variance():
    """The choice "none" takes all studies to have one effect, and its mean is the precision-weighted one."""
    studies = given_studies()
    assert between_variance("test", studies, "none") == 0
    weights = 1 / np.square(ERRORS)
    mean, error = weighted_mean(studies, 0)
    assert mean * studies.scale == pytest.approx(np.average(EFFECTS, weights=weights))
    assert error * studies.scale == pytest.approx(1 / np.sqrt(weights.sum()))


def test_profile_limits_bracket_the_chi_square():
    """At the limits the weighted squares are the quantiles of chi-square with k - 1 degrees of freedom."""
    studies = given_studies()
    low, high = profile_limits(studies, tail=0.975)
    # chi-square with 4 degrees of freedom, table: 0.4844 and 11.1433
    assert weighted_squares(studies, low) == pytest.approx(11.1433, abs=6e-5)
    assert weighted_squares(studies, high) == pytest.approx(0.4844, abs=6e-5)
    assert variance_where_squares_are(studies, 1e6) == 0


def test_refusals_are_said_in_full():
    """An error that is not above zero, too few studies and an unknown word are refused."""
    with pytest.raises(ValueError, match=r"^f: errors must be above zero. Got 0.0.$"):
        studies_of("f", [1, 2], [0.1, 0], "A", least=2)
    with pytest.raises(TooFewError, match=r"^f: needs 2 studies with an effect and its standard error. A has 1.$"):
        studies_of("f", [1, np.nan], [0.1, 0.2], "A", least=2)
    with pytest.raises(UnknownChoiceError) as caught:
        between_variance("f", given_studies(), "remel")
    assert str(caught.value) == (
        "f: estimator must be one of 'reml', 'paule_mandel', 'dersimonian_laird', 'none'. Got 'remel'."
    )
