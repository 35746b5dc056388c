"""The ways to compute one difference between two approaches: each takes the students of a comparison and answers."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Literal

import numpy as np
import pandas as pd

from kit.errors import TooFewError
from kit.estimate import Estimate
from kit.questions.answers import LeftOut, ask
from kit.questions.compared import Rows
from kit.stats.clusters.adjusted import adjusted_difference, gain_difference
from kit.stats.clusters.choirs import cluster_mean_difference
from kit.stats.clusters.permutation import Permutation, permutation_clusters
from kit.stats.clusters.wild import cluster_wild
from kit.stats.models import mixed_difference

Model = Literal["gain", "adjusted"]
EACH_CHOIR_ONCE = "Each choir counts once, by the average of its students, however many they are."
BOTH_IN_ONE = "Singers of one choir had both approaches, so choirs cannot be the units."
NAMELESS = "Students tested both times whose choir is not known are not in it: {number}."
FOLLOWS = 1e-9
"""Squared length below which an assignment follows from the first averages."""
UNEVEN = (
    "Schools gave different shares of their choirs to the approaches; where they are not held apart, part of what sets "
    "schools apart is in the number."
)
APART = "Schools are held apart, since they gave different shares of their choirs to the approaches."
SHUFFLED = (
    "The p-value is the share of all ways to deal out the approaches to these choirs, {how}, in which the difference "
    "lies at least as far from zero; the smallest it could be is {smallest:.2g}."
)


def choir_table(rows: Rows) -> pd.DataFrame:
    """Average each choir.

    Counted: everyone in `rows`.

    Parameters
    ----------
    rows : Rows
        From `kit.questions.compared.rows_of`.

    Returns
    -------
    DataFrame
        Columns pre, post, gain, program, block; one row for each choir.
    """
    table = pd.DataFrame({
        "choir": rows.choir, "pre": rows.pre, "post": rows.post, "program": rows.program, "block": rows.block
    })  # fmt: skip
    means = table.groupby("choir", sort=True).agg(
        pre=("pre", "mean"), post=("post", "mean"), program=("program", "first"), block=("block", "first")
    )
    return means.assign(gain=means["post"] - means["pre"])


def shuffled(
    rows: Rows, *, model: Model, rng: np.random.Generator, about: str, draws: int = 10_000, schools: bool = False
) -> tuple[Estimate | LeftOut, Permutation | None]:
    """Deal the approaches out to the choirs in every other way, and see how rare such a difference is.

    Counted: choirs, each by its average.

    Parameters
    ----------
    rows, model, about
        As for `choir_means_difference`.
    rng : numpy.random.Generator
        Source of the draws where there are too many ways to list.
    draws : int, optional
        How many ways to draw then.
    schools : bool, optional
        Whether schools within which choirs were assigned are held apart.

    Returns
    -------
    answer : Estimate or LeftOut
        The difference with the p-value, without an interval.
    found : Permutation or None
        The smallest p that could have been reached, and how many ways there were.
    """
    means = choir_table(rows)
    values = means[["gain"] if model == "gain" else ["pre", "post"]].to_numpy()
    blocks = means["block"].to_numpy()
    try:
        found = permutation_clusters(
            values, means["program"].to_numpy(), rng=rng, draws=draws, within=blocks if blocks.any() else None,
            statistic=partial(difference_of, blocks=blocks if schools else None),
        )  # fmt: skip
    except TooFewError as error:
        return LeftOut(about, str(error).replace("permutation_clusters: needs", "Shuffling choirs needs")), None
    notes = (SHUFFLED.format(how=found.method, smallest=found.smallest), EACH_CHOIR_ONCE, *([APART] if schools else []))
    answer = Estimate(
        about=about, name="cluster_mean_difference", value=found.observed, unit=rows.unit, n=len(means),
        clusters=len(means), counted="choirs", source=found.source, p=found.p, notes=notes,
    )  # fmt: skip
    return answer, found


def difference_of(table: np.ndarray, assigned: np.ndarray, *, blocks: np.ndarray | None = None) -> np.ndarray:
    """Difference of averages, adjusted for first ones, schools held apart where asked, for many assignments at once.

    Counted: every row of `table`.

    Parameters
    ----------
    table : ndarray, shape (G, 1) or (G, 2)
        The average of each choir; two columns: the first and the second, which is adjusted for it.
    assigned : ndarray of bool, shape (m, G)
        Assignments, True for the program; each of them gives a school as many choirs of the program.
    blocks : ndarray of str, shape (G,), optional
        School of each choir, where schools are held apart.

    Returns
    -------
    ndarray, shape (m,)
        The least-squares weight of the assignment beside all these; NaN where it is not defined.
    """
    schools = np.unique(np.zeros(len(table)) if blocks is None else blocks, return_inverse=True)[1]
    belongs = (schools[:, None] == np.arange(schools.max() + 1)).astype(float)
    sizes = belongs.sum(axis=0)
    *first, second = (table - belongs @ (belongs.T @ table / sizes[:, None])).T
    inside = assigned @ belongs
    # the squared length of an assignment once its averages and its slope on the first averages are taken out
    over, free = assigned @ second, (inside * (1 - inside / sizes)).sum(axis=1)
    if first:
        length = max(float(first[0] @ first[0]), np.finfo(float).tiny)
        along = assigned @ first[0]
        over, free = over - along * float(first[0] @ second) / length, free - along**2 / length
    return over / np.where(free > FOLLOWS, free, np.nan)


def choir_means_difference(
    rows: Rows, *, model: Model, about: str, level: float, schools: bool = False
) -> Estimate | LeftOut:
    """Compute the difference with each choir counted once, by its average.

    Counted: everyone in `rows`.

    Parameters
    ----------
    rows : Rows
        From `kit.questions.compared.rows_of`.
    model : {"gain", "adjusted"}
        By gains, or by second averages adjusted for first ones.
    about : str
        Whom and what the number is about, in words.
    level : float
        Confidence level, a proportion in (0, 1).
    schools : bool, optional
        Whether schools within which choirs were assigned are held apart.

    Returns
    -------
    Estimate or LeftOut
    """
    if pd.Series(rows.program).groupby(rows.choir).nunique().max() > 1:
        return LeftOut(about, BOTH_IN_ONE)
    adjusted = model == "adjusted"
    return _noted(rows, ask(
        cluster_mean_difference, rows.post if adjusted else rows.post - rows.pre, rows.choir, rows.program,
        pretest=rows.pre if adjusted else None, blocks=rows.block if schools else None, about=about, unit=rows.unit,
        level=level,
    ), EACH_CHOIR_ONCE, apart=schools)  # fmt: skip


def sandwich(rows: Rows, *, model: Model, about: str, level: float, schools: bool = False) -> Estimate | LeftOut:
    """Compute the difference of students, with standard errors that know their choirs (CR2, Satterthwaite).

    Counted: everyone in `rows`.

    Parameters
    ----------
    rows, model, about, level, schools
        As for `choir_means_difference`.

    Returns
    -------
    Estimate or LeftOut
    """
    return _noted(rows, _students(rows, model, clusters=rows.choir, blocks=rows.block if schools else None,
                                  about=about, level=level), apart=schools)  # fmt: skip


def _students(rows: Rows, model: Model, **options: object) -> Estimate | LeftOut:
    """Ask for the difference of students, adjusted or by gains."""
    way = adjusted_difference if model == "adjusted" else gain_difference
    return ask(way, rows.pre, rows.post, rows.program, unit=rows.unit, **options)


def mixed(
    rows: Rows, *, model: Model, about: str, level: float, rng: np.random.Generator | None = None
) -> Estimate | LeftOut:
    """Compute the difference of students by a mixed model in which each choir has a level of its own.

    Counted: everyone in `rows`.

    Parameters
    ----------
    rows, model, about, level
        As for `choir_means_difference`.
    rng : numpy.random.Generator, optional
        Source of draws, where interval and p-value come from scores drawn anew from the fit.

    Returns
    -------
    Estimate or LeftOut
        Where the fit finds no spread between choirs, its notes say so.
    """
    if pd.Series(rows.program).groupby(rows.choir).nunique().max() > 1:
        return LeftOut(about, BOTH_IN_ONE)
    outcome, predictors = _regression(rows, model)
    options = {"about": about, "unit": rows.unit, "level": level, "rng": rng}
    return _noted(rows, ask(mixed_difference, outcome, rows.choir, predictors, **options))


def wild(
    rows: Rows, *, model: Model, about: str, level: float, rng: np.random.Generator, draws: int
) -> Estimate | LeftOut:
    """Compute the difference of students, tested and bounded by the restricted wild bootstrap of choirs.

    Counted: everyone in `rows`.

    Parameters
    ----------
    rows, model, about, level
        As for `choir_means_difference`.
    rng : numpy.random.Generator
        Source of the draws.
    draws : int
        How many.

    Returns
    -------
    Estimate or LeftOut
    """
    outcome, predictors = _regression(rows, model)
    options = {"about": about, "unit": rows.unit, "level": level, "rng": rng, "draws": draws}
    return _noted(rows, ask(cluster_wild, outcome, rows.choir, predictors, **options))


def one_by_one(rows: Rows, *, model: Model, about: str, level: float) -> Estimate | LeftOut:
    """Compute the difference of students as if none of them shared a choir.

    Counted: everyone in `rows`.

    Parameters
    ----------
    rows, model, about, level
        As for `choir_means_difference`.

    Returns
    -------
    Estimate or LeftOut
        Standard errors allow for spreads that differ from student to student, and for nothing else.
    """
    return _noted(rows, _students(rows, model, about=about, level=level))


def _regression(rows: Rows, model: Model) -> tuple[np.ndarray, np.ndarray]:
    """Lay out outcome and predictors, the program first."""
    columns = [rows.program.astype(float), *([rows.pre] if model == "adjusted" else [])]
    return rows.post if model == "adjusted" else rows.post - rows.pre, np.column_stack(columns)


def _noted(rows: Rows, answer: Estimate | LeftOut, *notes: str, apart: bool = False) -> Estimate | LeftOut:
    """Add notes, that schools are not held apart though they should be, and how many students name no choir."""
    if isinstance(answer, LeftOut):
        return answer
    mixed_up = (UNEVEN,) if not apart and uneven_schools(rows) else ()
    nameless = (NAMELESS.format(number=rows.nameless),) if rows.nameless else ()
    return replace(answer, notes=(*answer.notes, *mixed_up, *notes, *nameless))


def uneven_schools(rows: Rows) -> bool:
    """Say whether schools in which choirs were assigned gave different shares of their choirs to the program.

    Counted: choirs.

    Parameters
    ----------
    rows : Rows
        From `kit.questions.compared.rows_of`.

    Returns
    -------
    bool
        False where choirs were not assigned inside schools.
    """
    if not rows.block.any():
        return False
    choirs = np.unique(rows.choir, return_index=True)[1]
    school, program = rows.block[choirs], rows.program[choirs]
    return len({float(program[school == name].mean()) for name in np.unique(school)}) > 1
