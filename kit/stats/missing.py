"""What missing scores could change: imputation by chained equations, and the worst case either way."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import TooFewError, UnknownChoiceError
from kit.estimate import Estimate
from kit.stats.chained_equations import completed, rubin
from kit.stats.complete import NO_SPREAD_OF_SCORES, Floats, complete_rows, need, spread_of, two_groups, upper_tail
from kit.stats.student import t_interval, t_p, welch_error
from kit.stats.two_tests import is_program

Estimator = Callable[[Floats], tuple[float, float]]
Side = Literal["lowest", "highest"]

LEAST_DRAWS = 20
"""Completed tables made unless more rows are incomplete, in percent."""

NOTHING_MISSING = "Nothing was missing, so nothing was filled in."
FILLED_LOW = "Every missing score was set so that the value comes out as low as it can."
FILLED_HIGH = "Every missing score was set so that the value comes out as high as it can."


def imputed(
    columns: ArrayLike, estimator: Estimator, *, rng: np.random.Generator, about: str, unit: str, level: float = 0.95,
    complete_df: float = math.inf, draws: int | None = None, cycles: int = 10,
) -> Estimate:  # fmt: skip
    r"""Estimate with missing numbers filled in many times over from the numbers that are there: chained equations.

    Each missing number is drawn from a linear regression on all other columns, with the uncertainty of the
    regression and of a single student. It assumes that whether a number is missing depends only on numbers that are
    there, straight lines between columns, and independent students. Fill in groups that may differ in slope apart.

    Parameters
    ----------
    columns : array_like, shape (n, k)
        One row per student, k numbers each (first score, second score, marks of a group ...), NaN where missing.
        A row without any number is left out and counted in ``dropped``.
    estimator : callable
        Takes a complete table, shape (n, k), and gives a value and its standard error.
    rng : numpy.random.Generator
        Source of the draws; its seed is printed in the report.
    about, unit : str
        Whom the number is about, in words; unit of the value.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    complete_df : float, optional
        Degrees of freedom that the value would have without missing data, such as n - 1 for a mean.
    draws : int, optional
        How many completed tables, at least 2; if left out, 20 or the percentage of incomplete rows if that is more.
    cycles : int, optional
        How many times the columns are gone through for each table.

    Returns
    -------
    Estimate
        In `unit`; p is for a value of zero. With nothing missing it is the estimate itself, on `complete_df`.

    Raises
    ------
    ValueError
        If `columns` is not a table of finite numbers, `draws` is below 2, `cycles` below 1, or `level` not between 0
        and 1.
    TooFewError
        If a column has too few numbers for a regression on the others, or the value has no spread.

    Notes
    -----
    :math:`y^* = X\beta^* + \sigma^* z`, :math:`\sigma^{*2} = RSS/\chi^2_{n-k}`, :math:`\beta^* \sim N(\hat\beta,
    \sigma^{*2}(X'X)^{-1})`; the tables are put together by `rubin`.

    References
    ----------
    .. [1] Keys ``van-buuren-2018`` (chained equations), ``rubin-1987`` and ``barnard-rubin-1999`` (interval).

    Examples
    --------
    >>> scores = [[10, 13], [12, 14], [15, 21], [9, 9], [14, np.nan], [11, 12], [13, 17]]
    >>> def gain(table):
    ...     gains = table[:, 1] - table[:, 0]
    ...     return gains.mean(), gains.std(ddof=1) / len(gains) ** 0.5
    >>> filled = imputed(scores, gain, rng=np.random.default_rng(1), about="Treble 1", unit="points", complete_df=6)
    >>> filled.n, filled.interval.low < filled.value < filled.interval.high
    (7, True)
    """
    tail = upper_tail("imputed", level)
    table, dropped, times = _table(columns, about, draws, cycles)
    made = [estimator(completed(table, rng, cycles)) for _ in range(times if np.isnan(table).any() else 1)]
    values, errors = np.array(made, dtype=float).T
    if not (errors > 0).all():
        raise TooFewError(f"imputed: needs a standard error above 0 in every completed table. {about} has one without.")
    if len(made) == 1:
        value, error, df, notes = float(values[0]), float(errors[0]), complete_df, (NOTHING_MISSING,)
    else:
        pooled = rubin(values, errors, complete_df=complete_df)
        value, error, df, notes = pooled.value, pooled.error, pooled.df, ()
    return Estimate(
        about=about, name="imputed", value=value, unit=unit, n=len(table), source="van-buuren-2018",
        interval=t_interval(
            value, error, df, tail, level=level, method=f"{len(made)} completed tables, Rubin's rules",
            source="barnard-rubin-1999",
        ),
        p=t_p(value, error, df), df=df if math.isfinite(df) else None, dropped=dropped, notes=notes,
    )  # fmt: skip


def worst_case_bounds(
    scores: ArrayLike, program: ArrayLike | None = None, *, least: ArrayLike, most: ArrayLike, side: Side, about: str,
    unit: str, level: float = 0.95,
) -> Estimate:  # fmt: skip
    r"""Estimate a mean, or a difference of means, as if every missing score were as bad, or as good, as can be.

    It assumes nothing about why scores are missing: the truth for all students lies between the two sides, up to
    chance. Interval (Student's t, or Welch's for two groups) assumes independent students.

    Parameters
    ----------
    scores : array_like, shape (n,)
        One number per student, in `unit`, NaN where missing: those are filled in, nobody is left out.
    program : array_like of bool, shape (n,), optional
        True for a student of the program group, False for one of the comparison group. Without it all students are
        one group.
    least, most : float or array_like, shape (n,)
        Lowest and highest possible score, or one for each student, as for gains: ``0 - pre`` and ``most - pre``.
    side : {"lowest", "highest"}
        Whether the value is to come out as low or as high as it can.
    about, unit : str
        Whom the number is about, in words; unit of the scores.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In `unit`; for two groups positive where the program group is higher, with p and df of Welch's t.

    Raises
    ------
    UnknownChoiceError
        If `side` is another word.
    ValueError
        If numbers are infinite, a score lies outside `least` to `most`, a mark of `program` is neither True nor
        False, lists differ in length, or `level` is not between 0 and 1.
    TooFewError
        If a group has fewer than 2 students.

    Notes
    -----
    Lowest: :math:`m_1(L) - m_2(M)`, means with the least possible score L for everyone missing in the program group
    (or in the one group, :math:`m(L)`), the highest M in the comparison group; highest: :math:`m_1(M) - m_2(L)`.

    References
    ----------
    .. [1] Key ``horowitz-manski-2000``; interval keys ``student-1908`` and ``welch-1947``.

    Examples
    --------
    >>> worst_case_bounds([3, 5, np.nan], least=0, most=10, side="lowest", about="Treble 1", unit="points").value
    2.6666666666666665
    """
    if side not in get_args(Side):
        raise UnknownChoiceError("worst_case_bounds", "side", side, get_args(Side))
    tail = upper_tail("worst_case_bounds", level)
    filled, inside = _filled(scores, program, least, most, side)
    notes = (FILLED_LOW if side == "lowest" else FILLED_HIGH,)
    if inside is None:
        need("worst_case_bounds", about, filled.size, least=2, what="students")
        value, error, df = float(filled.mean()), spread_of(filled) / math.sqrt(filled.size), float(filled.size - 1)
        method, source = "Student's t, one mean", "student-1908"
    else:
        one, two, _ = two_groups("worst_case_bounds", filled[inside], filled[~inside], about)
        value = float(one.mean() - two.mean())
        error, df = welch_error(one.size, spread_of(one), two.size, spread_of(two))
        method, source = "Welch's t, own spreads", "welch-1947"
    return Estimate(
        about=about, name="worst_case_bounds", value=value, unit=unit, n=filled.size, source="horowitz-manski-2000",
        interval=t_interval(value, error, df, tail, level=level, method=method, source=source),
        p=None if inside is None else t_p(value, error, df), df=df,
        notes=notes if error else (*notes, NO_SPREAD_OF_SCORES),
    )  # fmt: skip


def _table(columns: ArrayLike, about: str, draws: int | None, cycles: int) -> tuple[Floats, int, int]:
    """Check the table and give it without empty rows, how many those were, and how many tables to complete."""
    table = np.asarray(columns, dtype=float)
    if table.ndim != 2 or np.isinf(table).any():
        raise ValueError("imputed: columns must be a table of finite numbers, NaN where missing. Got something else.")
    if draws is not None and draws < 2:
        raise ValueError(f"imputed: draws must be at least 2. Got {draws!r}.")
    if cycles < 1:
        raise ValueError(f"imputed: cycles must be at least 1. Got {cycles!r}.")
    gaps = np.isnan(table)
    empty = gaps.all(axis=1)
    table, gaps = table[~empty], gaps[~empty]
    for numbers in (~gaps).sum(axis=0)[gaps.any(axis=0)]:
        least, what = table.shape[1] + 2, "students with a number in every column"
        need("imputed", about, int(numbers), least=least, what=what)
    need("imputed", about, len(table), least=2, what="students with a number")
    incomplete = math.ceil(100 * gaps.any(axis=1).mean())
    return table, int(empty.sum()), draws or max(LEAST_DRAWS, incomplete)


def _filled(
    scores: ArrayLike, program: ArrayLike | None, least: ArrayLike, most: ArrayLike, side: Side
) -> tuple[Floats, np.ndarray | None]:
    """Fill every gap with the possible score that pulls the value to one side; say who is in the program group."""
    given = np.asarray(scores, dtype=float)
    low, high = (np.broadcast_to(np.asarray(end, dtype=float), given.shape) for end in (least, most))
    complete_rows("worst_case_bounds", scores=given, least=low, most=high)
    gaps, odd = np.isnan(given), (given < low) | (given > high)
    if np.isnan(low).any() or np.isnan(high).any() or (low > high).any():
        raise ValueError("worst_case_bounds: least must be known and not above most. Got others.")
    if odd.any():
        at = int(np.flatnonzero(odd)[0])
        raise ValueError(
            f"worst_case_bounds: scores must lie between {float(low[at])!r} and {float(high[at])!r}. "
            f"Got {float(given[at])!r}."
        )
    if program is None:
        return np.where(gaps, low if side == "lowest" else high, given), None
    complete_rows("worst_case_bounds", scores=given, program=program)
    inside = is_program("worst_case_bounds", np.asarray(program, dtype=float))
    return np.where(gaps, np.where(inside == (side == "lowest"), low, high), given), inside
