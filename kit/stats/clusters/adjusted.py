"""Two approaches after a first test: adjusted for it, or by gains, with choirs known where there are any."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import TooFewError
from kit.estimate import Estimate
from kit.stats.clusters.robust import cluster_robust
from kit.stats.complete import Floats


def adjusted_difference(
    pre: ArrayLike,
    post: ArrayLike,
    program: ArrayLike,
    *,
    about: str,
    unit: str,
    clusters: ArrayLike | None = None,
    blocks: ArrayLike | None = None,
    level: float = 0.95,
) -> Estimate:
    r"""Estimate how far two approaches ended apart for students who began alike (analysis of covariance).

    It assumes one slope of second on first scores, the same for both approaches, and choirs that are independent of
    each other. Where groups were not made by lot, it takes for granted that equal first scores mean equal students.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Both scores of each student; students with a missing one (NaN) are left out and counted.
    program : array_like, shape (n,)
        Whether the student has the program.
    about, unit : str
        Whom and what the number is about, and its unit.
    clusters : array_like, shape (n,), optional
        Each student's choir; without it students are taken as assigned one by one.
    blocks : array_like, shape (n,), optional
        The school or pair inside which each student's choir was assigned; the approaches are then compared inside them.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        Program minus comparison; p is withheld below 4 degrees of freedom.

    Raises
    ------
    ValueError
        If lists differ in length or a number is infinite.
    TooFewError
        If there are fewer than 2 choirs, or first scores or approaches do not differ inside blocks.

    Notes
    -----
    :math:`\beta` of :math:`y_2 = \alpha + \beta\, \mathrm{program} + \gamma y_1 + e` (and blocks) by least squares;
    standard errors and degrees of freedom as in `cluster_robust`, each student a cluster of its own without `clusters`.

    References
    ----------
    .. [1] Key ``van-breukelen-2006`` (when to adjust); key ``pustejovsky-tipton-2018`` (interval).

    Examples
    --------
    >>> pre, post = [10, 12, 9, 14, 11, 13, 8, 12], [13, 17, 12, 19, 12, 13, 9, 14]
    >>> found = adjusted_difference(pre, post, [1, 1, 1, 1, 0, 0, 0, 0], about="the example", unit="points")
    >>> round(found.value, 3)
    2.948
    """
    columns = np.asarray(program, dtype=float), np.asarray(pre, dtype=float)
    if columns[0].shape != columns[1].shape:
        raise ValueError("adjusted_difference: pre and program must list the same students.")
    asked = {"clusters": clusters, "blocks": blocks, "about": about, "unit": unit, "level": level}
    return _of_students("adjusted_difference", np.asarray(post, dtype=float), columns, **asked)


def gain_difference(
    pre: ArrayLike,
    post: ArrayLike,
    program: ArrayLike,
    *,
    about: str,
    unit: str,
    clusters: ArrayLike | None = None,
    blocks: ArrayLike | None = None,
    level: float = 0.95,
) -> Estimate:
    r"""Estimate how far the average gains of two approaches lie apart.

    It assumes choirs that are independent of each other, and takes for granted that both groups would have moved by
    the same amount if taught alike.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Both scores of each student; students with a missing one (NaN) are left out and counted.
    program : array_like, shape (n,)
        Whether the student has the program.
    about, unit : str
        Whom and what the number is about, and its unit.
    clusters : array_like, shape (n,), optional
        Each student's choir; without it students are taken as assigned one by one.
    blocks : array_like, shape (n,), optional
        The school or pair inside which each student's choir was assigned; the approaches are then compared inside them.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        Program minus comparison; p is withheld below 4 degrees of freedom.

    Raises
    ------
    ValueError
        If lists differ in length or a number is infinite.
    TooFewError
        If there are fewer than 2 choirs, or approaches do not differ inside blocks.

    Notes
    -----
    :math:`\beta` of :math:`y_2 - y_1 = \alpha + \beta\, \mathrm{program} + e` (and blocks) by least squares; standard
    errors and degrees of freedom as in `cluster_robust`, each student a cluster of its own without `clusters`.

    References
    ----------
    .. [1] Key ``van-breukelen-2006`` (when to take gains); key ``pustejovsky-tipton-2018`` (interval).

    Examples
    --------
    >>> pre, post = [10, 12, 9, 14, 11, 13, 8, 12], [13, 17, 12, 19, 12, 13, 9, 14]
    >>> found = gain_difference(pre, post, [1, 1, 1, 1, 0, 0, 0, 0], about="the example", unit="points")
    >>> round(found.value, 6)
    3.0
    """
    before, after = np.asarray(pre, dtype=float), np.asarray(post, dtype=float)
    if before.shape != after.shape:
        raise ValueError("gain_difference: pre and post must list the same students.")
    asked = {"clusters": clusters, "blocks": blocks, "about": about, "unit": unit, "level": level}
    return _of_students("gain_difference", after - before, (np.asarray(program, dtype=float),), **asked)


def _of_students(
    function: str, outcome: Floats, predictors: tuple[Floats, ...], *, clusters: ArrayLike | None,
    blocks: ArrayLike | None, about: str, unit: str, level: float,
) -> Estimate:  # fmt: skip
    """Ask the regression that knows of choirs; without them each student stands alone."""
    labels = np.arange(outcome.size) if clusters is None else clusters
    if blocks is not None:
        given = np.asarray(blocks)
        if not given.shape == outcome.shape == predictors[0].shape:
            raise ValueError(f"{function}: blocks must list the same students.")
        whole = ~np.isnan(np.column_stack([outcome, *predictors])).any(axis=1)
        predictors += tuple((given == name).astype(float) for name in np.unique(given[whole])[1:])
    try:
        found = cluster_robust(outcome, labels, np.column_stack(predictors), about=about, unit=unit, level=level)
    except (TooFewError, ValueError) as error:
        raise type(error)(str(error).replace("cluster_robust", function, 1)) from error
    return replace(found, name=function, clusters=None if clusters is None else found.clusters)
