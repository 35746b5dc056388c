"""Tables of students by raters or by items: checks, complete rows, and the mean squares of a two-way table."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import TooFewError
from kit.stats.complete import Floats, need


@dataclass(frozen=True, slots=True)
class MeanSquares:
    """Mean squares of a complete table, one row per student; exactly zero where only rounding is left.

    Attributes
    ----------
    n, k : int
        Rows (students) and columns (raters or items).
    rows, columns, error, within : float
        Between rows; between columns; what is left of both; and within rows, columns and error together.
    """

    n: int
    k: int
    rows: float
    columns: float
    error: float
    within: float


def whole_table(function: str, name: str, values: ArrayLike) -> Floats:
    """Check a table of students by raters or items, and give it as an array.

    Parameters
    ----------
    function, name : str
        Who asks, and what the table is called.
    values : array_like, shape (n, k)
        One row per student, NaN where missing.

    Returns
    -------
    ndarray, shape (n, k)

    Raises
    ------
    ValueError
        If it is not a table, or holds an infinite number.
    """
    table = np.asarray(values, dtype=float)
    if table.ndim != 2:
        raise ValueError(f"{function}: {name} must be a table, one row per student. Got {table.ndim} dimensions.")
    if np.isinf(table).any():
        raise ValueError(f"{function}: {name} must be finite numbers, or NaN where missing. Got an infinite one.")
    return table


def complete_table(
    function: str, about: str, *, columns: str, least: int = 2, **table: ArrayLike
) -> tuple[Floats, int]:
    """Keep the students without a missing cell, and refuse too few students or columns.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    columns : str
        What the columns are: ``"raters"`` or ``"items"``; at least 2 are needed.
    least : int, optional
        How many complete students are needed.
    **table : array_like, shape (n, k)
        The table by its name.

    Returns
    -------
    kept : ndarray, shape (m, k)
        Complete rows only.
    dropped : int
        Rows left out, ``n - m``.

    Raises
    ------
    ValueError
        If it is not a table, or holds an infinite number.
    TooFewError
        If there are fewer than 2 columns, or fewer than `least` complete rows.
    """
    ((name, values),) = table.items()
    whole = whole_table(function, name, values)
    need(function, about, whole.shape[1], least=2, what=columns)
    kept = whole[~np.isnan(whole).any(axis=1)]
    need(function, about, len(kept), least=least, what=f"student{'s' * (least > 1)} with a score from all {columns}")
    return kept, len(whole) - len(kept)


def mean_squares(table: Floats) -> MeanSquares:
    """Split the spread of a complete table into students, columns and the rest.

    Parameters
    ----------
    table : ndarray, shape (n, k)
        At least 2 rows and 2 columns, none missing.

    Returns
    -------
    MeanSquares
        In squared units of the table.

    Examples
    --------
    >>> parts = mean_squares(np.array([[1.0, 3.0], [2.0, 4.0], [6.0, 8.0]]))
    >>> parts.rows, parts.columns, parts.error, parts.within
    (14.0, 6.0, 0.0, 2.0)
    """
    n, k = table.shape
    away = table - table.mean()
    by_row, by_column = away.mean(axis=1), away.mean(axis=0)
    rest = away - by_row[:, None] - by_column
    dust = (8 * np.finfo(float).eps * np.abs(table).max()) ** 2
    squares = {
        "rows": k * (by_row**2).sum() / (n - 1),
        "columns": n * (by_column**2).sum() / (k - 1),
        "error": (rest**2).sum() / ((n - 1) * (k - 1)),
        "within": ((away - by_row[:, None]) ** 2).sum() / (n * (k - 1)),
    }
    return MeanSquares(
        n, k, **{name: 0.0 if value <= k * n * dust else float(value) for name, value in squares.items()}
    )


def need_table_spread(function: str, about: str, spread: float, *, what: str) -> None:
    """Refuse a table in which the number that the statistic divides by is not above zero.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    spread : float
        What is divided by.
    what : str
        What is needed, as in ``"students whose average scores differ"``.

    Raises
    ------
    TooFewError
        If `spread` is zero or below.
    """
    if spread <= 0:
        raise TooFewError(f"{function}: needs {what}. {about} has none.")


def stepped_up(reliability: float, times: float) -> float:
    r"""Give the reliability of a test made longer by the formula of Spearman and Brown.

    Parameters
    ----------
    reliability : float
        Of the test as it is, at most 1.
    times : float
        How many times as long it becomes, above 0.

    Returns
    -------
    float
        ``-inf`` where the formula has no value, for `reliability` of ``-1 / (times - 1)`` or below.

    Notes
    -----
    :math:`k r / (1 + (k - 1) r)`.

    References
    ----------
    .. [1] Key ``spearman-brown-1910``.

    Examples
    --------
    >>> round(stepped_up(0.7, 2), 4)
    0.8235
    """
    below = 1 + (times - 1) * reliability
    return times * reliability / below if below > 0 else -np.inf
