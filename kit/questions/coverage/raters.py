"""Ways of making an interval that concern the test and its raters, as they are tried on invented towns."""

from __future__ import annotations

from functools import partial

import numpy as np

from kit.estimate import Estimate, Interval
from kit.questions.coverage.draws import RESAMPLES, Draw, Way
from kit.questions.coverage.worlds import Floats, World
from kit.stats.agreement.categories import kappa_weighted, percent_agreement
from kit.stats.agreement.intraclass import icc_average, icc_single
from kit.stats.agreement.krippendorff import krippendorff_alpha
from kit.stats.agreement.limits import limit_of_agreement_low
from kit.stats.alpha_bootstrap import bootstrap_alpha
from kit.stats.consistency import cronbach_alpha, kr20
from kit.stats.reliability import spearman_brown

TWO = 2
"""Raters who mark the students of a study."""


def _alpha(town: World, draw: Draw, **method: str) -> Estimate:
    """Test students on all melodies."""
    return cronbach_alpha(draw.rows_of(town.melodies), about="draw", level=draw.level, **method)


def _alpha_redrawn(town: World, draw: Draw) -> Interval:
    """Test students on all melodies, and draw them again."""
    return bootstrap_alpha(draw.rows_of(town.melodies), rng=draw.rng, level=draw.level, draws=RESAMPLES)


def _right(town: World, melodies: Floats) -> Floats:
    """Mark each melody as right or wrong; right is the middle mark, or the top where that is lower."""
    return (melodies >= min(0.0, town.melodies.max())).astype(float)


def _over_notes(town: World, draw: Draw, **method: str) -> Estimate:
    """Test students on all melodies, each right or wrong."""
    return kr20(_right(town, draw.rows_of(town.melodies)), about="draw", level=draw.level, **method)


def _over_notes_redrawn(town: World, draw: Draw) -> Interval:
    """Test students on all melodies, each right or wrong, and draw them again."""
    marks = _right(town, draw.rows_of(town.melodies))
    return bootstrap_alpha(marks, rng=draw.rng, level=draw.level, draws=RESAMPLES)


def _of_notes(town: World) -> float:
    """Give the reliability over melodies that are right or wrong, of everybody."""
    return kr20(_right(town, town.melodies), about="town").value


def _halves(melodies: Floats) -> tuple[Floats, Floats]:
    """Sum the melodies with odd and with even numbers."""
    return melodies[:, ::2].sum(axis=1), melodies[:, 1::2].sum(axis=1)


def _stepped_up(town: World, draw: Draw, **method: str) -> Estimate:
    """Test students on two halves of a test."""
    return spearman_brown(*_halves(draw.rows_of(town.melodies)), about="draw", level=draw.level, **method)


def _one_of_two(town: World, draw: Draw) -> Estimate:
    """Let two raters mark students; ask how well one of them can be trusted."""
    return icc_single(_rated(town, draw), about="draw", level=draw.level)


def _mean_of_two(town: World, draw: Draw) -> Estimate:
    """Let two raters mark students; ask how well their average can be trusted."""
    return icc_average(_rated(town, draw), about="draw", level=draw.level)


def _one_of_these(town: World, draw: Draw) -> Estimate:
    """Let the same two raters mark students; ask how well one of these two can be trusted."""
    return icc_single(draw.rows_of(town.ratings[:, :TWO]), about="draw", method="jackknife", level=draw.level)


def _mean_of_these(town: World, draw: Draw) -> Estimate:
    """Let the same two raters mark students; ask how well the average of these two can be trusted."""
    return icc_average(draw.rows_of(town.ratings[:, :TWO]), about="draw", method="jackknife", level=draw.level)


def _rated(town: World, draw: Draw) -> Floats:
    """Let two raters, picked at random, mark students."""
    two = draw.rng.choice(town.ratings.shape[1], TWO, replace=False)
    return draw.rows_of(town.ratings)[:, two]


def _stepped(single: float) -> float:
    """Turn the agreement of single raters into that of the average of two."""
    return TWO * single / (1 + (TWO - 1) * single)


def _whole(town: World) -> Floats:
    """Give the marks of the same two raters in whole numbers."""
    return np.round(town.ratings[:, :TWO])


def _same(town: World, draw: Draw) -> Estimate:
    """Ask how often two raters give the same whole number."""
    return percent_agreement(draw.rows_of(_whole(town)), about="draw", level=draw.level)


def _beyond_chance(town: World, draw: Draw, **method: str) -> Estimate:
    """Ask how far two raters agree beyond chance, far misses counting more."""
    both = draw.rows_of(_whole(town)).T
    return kappa_weighted(*both, weights="squared", about="draw", level=draw.level, **method)


def _redrawn_agreement(town: World, draw: Draw) -> Estimate:
    """Ask how far raters agree beyond chance, students drawn again."""
    return krippendorff_alpha(
        draw.rows_of(_whole(town)), metric="interval", rng=draw.rng, draws=RESAMPLES, about="draw", level=draw.level
    )


def _differences(town: World, draw: Draw) -> Estimate:
    """Ask how far the second of two raters may lie below the first."""
    first, second = draw.rows_of(town.ratings[:, :TWO]).T
    return limit_of_agreement_low(first, second, about="draw", unit="points", level=draw.level)


def _lower_limit(town: World) -> float:
    """Give the limit above which the differences of two raters lie for most students, were they normal."""
    first, second = town.ratings[:, :TWO].T
    return limit_of_agreement_low(first, second, about="town", unit="points").value


def _of_melodies(town: World) -> float:
    """Give the reliability over melodies, of everybody."""
    return cronbach_alpha(town.melodies, about="town").value


def _of_halves(town: World) -> float:
    """Give the reliability from two halves, of everybody."""
    return spearman_brown(*_halves(town.melodies), about="town").value


def _of_these(town: World) -> float:
    """Give the agreement of two raters about everybody."""
    return icc_single(town.ratings[:, :TWO], about="town").value


def _weighted(town: World) -> float:
    """Give the agreement of two raters beyond chance, about everybody."""
    return kappa_weighted(*_whole(town).T, weights="squared", about="town").value


BY_LEAVING_OUT = {"method": "jackknife"}

OF_TESTS: dict[str, Way] = {
    "cronbach_alpha": Way("cronbach_alpha", "students", _alpha, _of_melodies),
    "cronbach_alpha_jackknife": Way("cronbach_alpha", "students", partial(_alpha, **BY_LEAVING_OUT), _of_melodies),
    "cronbach_alpha_bca": Way("bootstrap_alpha", "students", _alpha_redrawn, _of_melodies),
    "kr20": Way("kr20", "students", _over_notes, _of_notes),
    "kr20_jackknife": Way("kr20", "students", partial(_over_notes, **BY_LEAVING_OUT), _of_notes),
    "kr20_bca": Way("bootstrap_alpha", "students", _over_notes_redrawn, _of_notes),
    "spearman_brown": Way("spearman_brown", "students", _stepped_up, _of_halves),
    "spearman_brown_jackknife": Way("spearman_brown", "students", partial(_stepped_up, **BY_LEAVING_OUT), _of_halves),
    "icc_single": Way(
        "icc_single", "students", _one_of_two, lambda town: icc_single(town.ratings, about="town").value
    ),
    "icc_average": Way(
        "icc_average", "students", _mean_of_two, lambda town: _stepped(icc_single(town.ratings, about="town").value)
    ),
    "icc_single_jackknife": Way("icc_single", "students", _one_of_these, _of_these),
    "icc_average_jackknife": Way(
        "icc_average", "students", _mean_of_these, lambda town: _stepped(_of_these(town))
    ),
    "percent_agreement": Way(
        "percent_agreement", "students", _same, lambda town: percent_agreement(_whole(town), about="town").value
    ),
    "kappa_weighted": Way("kappa_weighted", "students", _beyond_chance, _weighted),
    "kappa_weighted_jackknife": Way(
        "kappa_weighted", "students", partial(_beyond_chance, **BY_LEAVING_OUT), _weighted
    ),
    "krippendorff_alpha": Way(
        "krippendorff_alpha", "students", _redrawn_agreement,
        lambda town: krippendorff_alpha(_whole(town), metric="interval", about="town").value,
    ),
    "limit_of_agreement_low": Way("limit_of_agreement_low", "students", _differences, _lower_limit),
}  # fmt: skip
"""Ways by their names."""
