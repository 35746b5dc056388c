"""Linear mixed models: two approaches with choirs drawn from many, and students' growth over two or more tests."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal, get_args

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from kit.errors import UnknownChoiceError
from kit.estimate import Estimate, Interval
from kit.stats.clusters.crossproducts import numbered
from kit.stats.complete import Floats, upper_tail
from kit.stats.mixed.bootstrap import bootstrap_mixed
from kit.stats.mixed.df import satterthwaite
from kit.stats.mixed.fit import MixedFit, fit_mixed
from kit.stats.student import t_interval, t_p

Slopes = Literal["students and choirs", "students", "choirs", "none"]

METHOD = "restricted maximum likelihood, Satterthwaite degrees of freedom"
DRAWN = "restricted maximum likelihood, parametric bootstrap of t, {draws:,} draws"
NO_CHOIRS_APART = (
    "This fit finds no spread between choirs at all (a boundary fit), so it treats singers of one choir as strangers: "
    "its range may be too narrow, and no test is made."
)
SINGULAR = {
    "students": "Students' levels and paces are fitted on a boundary: one of the spreads is zero or both go together.",
    "choirs": (
        "Choirs' levels and paces are fitted on a boundary: one of the spreads is zero or both go together; with few "
        "choirs the range may then be too narrow."
    ),
}
ONE_PACE = "Students have too few tests each to tell their paces from chance, so each has a level of its own only."
TESTS_TAKEN = "Each student counts with whatever tests were taken."


def mixed_difference(
    outcome: ArrayLike,
    clusters: ArrayLike,
    predictors: ArrayLike,
    *,
    about: str,
    unit: str,
    contrast: ArrayLike | None = None,
    rng: np.random.Generator | None = None,
    draws: int = 999,
    level: float = 0.95,
) -> Estimate:
    r"""Estimate a linear contrast of a regression in which each choir has a level of its own (random intercepts).

    It assumes choirs whose levels are drawn from one normal distribution, singers inside them likewise, and one spread
    inside all choirs.

    Parameters
    ----------
    outcome : array_like, shape (n,)
        One number for each student; rows with a missing number (NaN) are left out and counted.
    clusters : array_like, shape (n,)
        Each student's choir; a student without one (None or NaN) is left out and counted.
    predictors : array_like, shape (n,) or (n, k)
        Predictors without the intercept, which is added; the first is the one asked about unless `contrast` is given.
    about, unit : str
        Whom and what the number is about, and its unit.
    contrast : array_like, shape (k,), optional
        Weight of each predictor in the contrast.
    rng : numpy.random.Generator, optional
        Source of draws. Where it is given, interval and p come from scores drawn from the fit and fitted again
        (parametric bootstrap of t), and there are no degrees of freedom.
    draws : int, optional
        How many drawings.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        Where no spread between choirs fits best, choirs are as good as forgotten: p is withheld, and a note says so.

    Raises
    ------
    ValueError
        If rows differ in number, a number is infinite, `contrast` does not fit, or `draws` is below 100.
    TooFewError
        If there are fewer than 2 choirs or no choir of 2 students, a predictor follows from the others, or nothing is
        left to spread.
    NotConvergedError
        If the search for the best spread does not arrive.

    Notes
    -----
    :math:`y = X\beta + Z u + e`, fitted by restricted maximum likelihood (`kit.stats.mixed.fit`), Student's t with
    Satterthwaite's degrees of freedom. Drawn anew: the share of drawings whose t, of the fit's own value, lies at least
    as far from zero.
    Simulated without a difference, with 6 to 20 uneven choirs that hold 5 or 20 % of the spread between them, p lies
    below .05 in 4 to 6 % of drawings; but in 13 to 43 % of those few where no spread between choirs fits best.

    References
    ----------
    .. [1] Key ``bates-2015`` (fit); key ``kuznetsova-2017`` (degrees of freedom); key ``efron-tibshirani-1993``
       (drawings).

    Examples
    --------
    >>> post, program = [15, 18, 13, 15, 12, 13, 17, 14], [1, 1, 0, 0, 1, 1, 0, 0]
    >>> found = mixed_difference(post, [1, 1, 2, 2, 3, 3, 4, 4], program, about="the example", unit="points")
    >>> round(found.value, 2), round(found.df, 2)
    (-0.25, 2.0)
    """
    upper_tail("mixed_difference", level)
    if draws < 100:
        raise ValueError(f"mixed_difference: draws must be at least 100. Got {draws!r}.")
    fit = fit_mixed("mixed_difference", outcome, clusters, predictors, about, slopes=(None,))
    weights = _contrast(contrast, len(fit.coefficients) - 1)
    found = _estimate(
        fit, weights, about=about, name="mixed_difference", unit=unit, clusters=fit.units[0], level=level, notes=(),
    )  # fmt: skip
    if rng is not None:
        found = _drawn_anew(found, fit, weights, rng=rng, draws=draws, level=level)
    return replace(found, p=None, notes=(NO_CHOIRS_APART,)) if fit.boundary[0] else found


def _drawn_anew(
    found: Estimate, fit: MixedFit, weights: Floats, *, rng: np.random.Generator, draws: int, level: float
) -> Estimate:
    """Take interval and p from drawings of the fit: how far each lies off it, in standard errors of its own."""
    drawn = bootstrap_mixed(fit, rng=rng, draws=draws)
    errors = np.sqrt(np.einsum("i,bij,j->b", weights, drawn.covariance, weights))
    off = np.sort(np.abs((drawn.coefficients - fit.coefficients) @ weights) / errors)
    error = float(np.sqrt(weights @ fit.covariance @ weights))
    reach = float(off[min(math.ceil((draws + 1) * level), draws) - 1]) * error
    ends = Interval(
        low=found.value - reach, high=found.value + reach, level=level, method=DRAWN.format(draws=draws),
        source="efron-tibshirani-1993",
    )  # fmt: skip
    as_far = int(np.count_nonzero(off >= abs(found.value) / error))
    return replace(found, interval=ends, p=(1 + as_far) / (draws + 1), df=None)


def growth_model(
    scores: ArrayLike,
    students: ArrayLike,
    times: ArrayLike,
    *,
    about: str,
    unit: str,
    clusters: ArrayLike | None = None,
    program: ArrayLike | None = None,
    slopes: Slopes = "students and choirs",
    level: float = 0.95,
) -> Estimate:
    r"""Estimate how much scores grew for each unit of time, or how much more with the program.

    It assumes growth along straight lines, levels and paces of students (and of choirs) that are drawn from normal
    distributions, and tests that are missing for reasons that the others tell.

    Parameters
    ----------
    scores : array_like, shape (n,)
        One row for each test taken; rows with a missing number (NaN) are left out and counted.
    students : array_like, shape (n,)
        Who took it.
    times : array_like, shape (n,)
        When, counted in any unit: 0, 1, 2 for terms.
    about, unit : str
        Whom and what the number is about, and the unit of the scores.
    clusters : array_like, shape (n,), optional
        The student's choir, the same at every test.
    program : array_like, shape (n,), optional
        Whether the student has the program; then the difference of paces is asked about.
    slopes : {"students and choirs", "students", "choirs", "none"}, optional
        Who has a pace of its own beside a level. Where tests are too few, students have levels only, and a note.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In `unit` for each unit of time; n counts tests. Its notes say where the fit lies on a boundary.

    Raises
    ------
    UnknownChoiceError
        If `slopes` is another word.
    ValueError
        If rows differ in number, a number is infinite, or a student is in two choirs.
    TooFewError
        If there are fewer than 2 students or choirs, no student has 2 tests, or nothing is left to spread.
    NotConvergedError
        If the search for the best spreads does not arrive.

    Notes
    -----
    :math:`y = X\beta + Z_c u_c + Z_s u_s + e` with time, program and their product in X, choirs' and students' effects
    of any covariance; restricted maximum likelihood (`kit.stats.mixed.fit`), Satterthwaite's degrees of freedom.

    References
    ----------
    .. [1] Key ``laird-ware-1982`` (model); key ``bates-2015`` (fit); key ``kuznetsova-2017`` (degrees of freedom).

    Examples
    --------
    >>> scores = [3, 4, 7, 5, 6, 9, 2, 5, 6, 4, 4, 8]
    >>> found = growth_model(scores, [1, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 4], [0, 1, 2] * 4, about="A", unit="points")
    >>> round(found.value, 6)
    2.0
    """
    upper_tail("growth_model", level)
    if slopes not in get_args(Slopes):
        raise UnknownChoiceError("growth_model", "slopes", slopes, get_args(Slopes))
    table = _columns(scores, students, times, program)
    paces, notes = _paces(table, students, slopes, clusters)
    fit = fit_mixed(
        "growth_model", table[:, 0], students, table[:, 1:], about, slopes=paces, clusters=clusters, what="students",
    )  # fmt: skip
    asked = np.zeros(len(fit.coefficients))
    asked[0 if program is None else 2] = 1
    singular = [SINGULAR[who] for who, at in zip(("students", "choirs"), fit.boundary, strict=False) if at]
    found = _estimate(
        fit, asked, about=about, name="growth_model", unit=unit, level=level,
        clusters=fit.units[1] if clusters is not None else None,
        notes=(TESTS_TAKEN, *notes, *singular),
    )  # fmt: skip
    return replace(found, counted="tests")


def _columns(scores: ArrayLike, students: ArrayLike, times: ArrayLike, program: ArrayLike | None) -> Floats:
    """Lay out scores, times from their average on and, where given, program and its product with time."""
    columns = [np.asarray(column, dtype=float) for column in (scores, times, *(() if program is None else (program,)))]
    if any(column.ndim != 1 or column.shape != np.shape(students) for column in columns):
        raise ValueError("growth_model: scores, students, times and program must list the same tests.")
    known = np.isfinite(columns[1])
    columns[1] = columns[1] - columns[1][known].mean() if known.any() else columns[1]
    return np.column_stack([*columns, *(() if program is None else (columns[1] * columns[2],))])


def _paces(
    table: Floats, students: ArrayLike, slopes: Slopes, clusters: ArrayLike | None
) -> tuple[tuple[int | None, ...], tuple[str, ...]]:
    """Say who has a pace along time, the first predictor; students only with more tests than effects."""
    here = ~np.isnan(table).any(axis=1) & ~pd.isna(np.asarray(students))
    if clusters is not None and np.shape(clusters) == here.shape:
        here &= ~pd.isna(np.asarray(clusters))
    enough = here.sum() > 2 * numbered(np.asarray(students)[here])[1]
    wanted = slopes in ("students and choirs", "students")
    own = 0 if wanted and enough else None
    above = (0 if slopes in ("students and choirs", "choirs") else None,) if clusters is not None else ()
    return (own, *above), (ONE_PACE,) if wanted and not enough else ()


def _contrast(contrast: ArrayLike | None, predictors: int) -> Floats:
    """Give the weights of all coefficients, the intercept's last."""
    given = np.eye(1, predictors)[0] if contrast is None else np.asarray(contrast, dtype=float)
    if given.shape != (predictors,) or not np.isfinite(given).all() or not given.any():
        raise ValueError(
            f"mixed_difference: contrast must have a weight for each of {predictors} predictors, not all zero."
        )
    return np.append(given, 0.0)


def _estimate(fit: MixedFit, weights: Floats, *, level: float, notes: tuple[str, ...], **words: object) -> Estimate:
    """Make the estimate of a contrast of fixed effects."""
    found = satterthwaite(fit, weights)
    ends = t_interval(
        found.value, found.error, found.df, (1 + level) / 2, level=level, method=METHOD, source="kuznetsova-2017"
    )
    return Estimate(
        **words, value=found.value, n=fit.n, source="bates-2015", interval=ends, dropped=fit.dropped,
        p=t_p(found.value, found.error, found.df), df=found.df, notes=notes,
    )  # fmt: skip
