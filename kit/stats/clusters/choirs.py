"""How alike singers of one choir are, what that costs, and the difference of choirs taken as the units."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike
from scipy.special import fdtri, stdtr, stdtrit

from kit.errors import TooFewError
from kit.estimate import Estimate, Interval
from kit.stats.complete import Floats, need, upper_tail

NO_SPREAD = "Within each choir all scores are the same, so there is no spread to make an interval from."
NO_SPREAD_OF_CHOIRS = "The choirs' averages follow from their approach, so there is no spread to make an interval from."


def icc_clusters(
    scores: ArrayLike, clusters: ArrayLike, *, about: str, arms: ArrayLike | None = None, level: float = 0.95
) -> Estimate:
    r"""Estimate the share of the variance that lies between choirs (intraclass correlation, one-way).

    It assumes choirs that are independent of each other, with one variance inside all of them, and scores near enough
    to normal. With choirs of unequal size the interval is approximate.

    Parameters
    ----------
    scores : array_like, shape (n,)
        One number for each student; missing ones (NaN) are left out and counted.
    clusters : array_like, shape (n,)
        Each student's choir; a student without one (None or NaN) is left out and counted.
    about : str
        Whom and what the number is about, in words.
    arms : array_like, shape (n,), optional
        Each student's approach: then the variance between choirs of one approach counts.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"agreement"`` units; below zero where choirs differ less than chance would have it.

    Raises
    ------
    ValueError
        If lists differ in length or a number is infinite.
    TooFewError
        If there are fewer than 2 choirs in an approach, or no choir has 2 students, or all scores are the same.

    Notes
    -----
    :math:`(F - 1) / (F + m_0 - 1)` with F the mean square between choirs over that inside, and
    :math:`m_0 = (n - \sum m_g^2 / n) / (G - 1)`, summed over approaches; the ends put F over the quantiles of its
    distribution in the place of F.

    References
    ----------
    .. [1] Key ``searle-1971``.

    Examples
    --------
    >>> found = icc_clusters([9, 2, 6, 1, 3, 2, 10, 6, 9, 7], [1, 1, 2, 2, 3, 3, 4, 4, 5, 5], about="the example")
    >>> round(found.value, 3)
    0.146
    """
    tail = upper_tail("icc_clusters", level)
    between, within, df, size, kept, dropped = _squares("icc_clusters", scores, clusters, arms, about)
    groups = df[0] + df[2]
    options = {
        "about": about, "name": "icc_clusters", "unit": "agreement", "n": kept, "clusters": groups,
        "source": "searle-1971", "dropped": dropped,
    }  # fmt: skip
    if within == 0:
        return Estimate(**options, value=1.0, notes=(NO_SPREAD,))
    ratio = between / within
    ends = [
        (ratio / float(fdtri(df[0], df[1], quantile)) - 1) / (ratio / float(fdtri(df[0], df[1], quantile)) + size - 1)
        for quantile in (tail, 1 - tail)
    ]
    low, high = (float(end) for end in ends)
    return Estimate(
        **options, value=float((ratio - 1) / (ratio + size - 1)),
        interval=Interval(low=low, high=high, level=level, method="Searle's, by F", source="searle-1971"),
    )  # fmt: skip


def _squares(
    function: str, scores: ArrayLike, clusters: ArrayLike, arms: ArrayLike | None, about: str
) -> tuple[float, float, tuple[int, int, int], float, int, int]:
    """Give mean squares between and inside, degrees of freedom with the number of arms, m0, rows kept and left out."""
    values, labels = np.asarray(scores, dtype=float), np.asarray(clusters)
    sides = np.zeros(len(values), dtype=int) if arms is None else np.unique(np.asarray(arms), return_inverse=True)[1]
    if not values.shape == labels.shape == sides.shape or np.isinf(values).any():
        raise ValueError(f"{function}: scores, clusters and arms must list the same students, in finite numbers.")
    here = ~(np.isnan(values) | pd.isna(labels))
    values, sides = values[here], sides[here]
    codes = np.unique(np.char.add(np.asarray(labels[here], dtype=str), np.char.add("|", sides.astype(str))),
                      return_inverse=True)[1]  # fmt: skip
    groups = int(codes.max(initial=-1)) + 1
    sizes = np.bincount(codes, minlength=groups)
    of_arm = np.zeros(groups, dtype=int)
    of_arm[codes] = sides
    used = np.unique(of_arm)
    fewest = min((int((of_arm == arm).sum()) for arm in used), default=0)
    need(function, about, fewest, least=2, what="choirs in each approach")
    need(function, about, int(sizes.max()), least=2, what="students in a choir")
    means = np.bincount(codes, weights=values) / sizes
    per_arm = np.bincount(sides, minlength=of_arm.max() + 1)
    arm_means = np.bincount(sides, weights=values, minlength=per_arm.size) / np.maximum(per_arm, 1)
    df = groups - len(used), len(values) - groups
    between = float((sizes * (means - arm_means[of_arm]) ** 2).sum()) / df[0]
    within = float(((values - means[codes]) ** 2).sum()) / df[1]
    if between == 0 and within == 0:
        raise TooFewError(f"{function}: needs scores that differ. {about} has one score only.")
    unlike = sum(float((sizes[of_arm == arm] ** 2).sum()) / per_arm[arm] for arm in used)
    return between, within, (*df, len(used)), (len(values) - unlike) / df[0], len(values), int((~here).sum())


def design_effect(
    scores: ArrayLike, clusters: ArrayLike, *, about: str, arms: ArrayLike | None = None, level: float = 0.95
) -> Estimate:
    r"""Estimate how many times as many students in choirs are needed as independent ones would be.

    It assumes choirs that are independent of each other, with one variance inside all of them, as `icc_clusters` does.

    Parameters
    ----------
    scores, clusters, about, arms, level
        As for `icc_clusters`; missing scores (NaN) are left out and counted.

    Returns
    -------
    Estimate
        In ``"times"``; its ends are those of the intraclass correlation put through the formula.

    Raises
    ------
    ValueError, TooFewError
        As `icc_clusters` raises them.

    Notes
    -----
    :math:`1 + (\sum m_g^2 / n - 1) \rho`, the mean size of a student's own choir less one times the correlation.

    References
    ----------
    .. [1] Key ``kish-1965``.

    Examples
    --------
    >>> found = design_effect([9, 2, 6, 1, 3, 2, 10, 6, 9, 7], [1, 1, 2, 2, 3, 3, 4, 4, 5, 5], about="the example")
    >>> round(found.value, 3)
    1.146
    """
    alike = icc_clusters(scores, clusters, about=about, arms=arms, level=level)
    here = ~(np.isnan(np.asarray(scores, dtype=float)) | pd.isna(np.asarray(clusters)))
    sizes = np.unique(np.asarray(clusters)[here], return_counts=True)[1]
    own = float((sizes**2).sum() / sizes.sum()) - 1
    ends = alike.interval and Interval(
        low=1 + own * alike.interval.low, high=1 + own * alike.interval.high, level=level,
        method="Searle's, by F", source="searle-1971",
    )  # fmt: skip
    return Estimate(
        about=about, name="design_effect", value=1 + own * alike.value, unit="times", n=alike.n, interval=ends,
        clusters=alike.clusters, source="kish-1965", dropped=alike.dropped, notes=alike.notes,
    )  # fmt: skip


def cluster_mean_difference(
    outcome: ArrayLike,
    clusters: ArrayLike,
    program: ArrayLike,
    *,
    about: str,
    unit: str,
    pretest: ArrayLike | None = None,
    blocks: ArrayLike | None = None,
    level: float = 0.95,
) -> Estimate:
    r"""Estimate the difference of two approaches with the choirs' averages as the units, each counted once.

    It assumes choirs that are independent of each other, with averages near enough to normal and one variance.

    Parameters
    ----------
    outcome : array_like, shape (n,)
        One number for each student; students with a missing number (NaN) are left out and counted.
    clusters : array_like, shape (n,)
        Each student's choir; a student without one (None or NaN) is left out and counted.
    program : array_like of bool, shape (n,)
        Whether the student's choir has the program.
    about, unit : str
        Whom and what the number is about, and its unit.
    pretest : array_like, shape (n,), optional
        First scores; the difference is then adjusted for the choirs' first averages.
    blocks : array_like, shape (n,), optional
        The school or pair inside which each student's choir was assigned; the approaches are then compared inside them.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        Program minus comparison; n counts students, ``clusters`` choirs; df is the number of choirs less 2, less one
        more for `pretest` and for each block but one.

    Raises
    ------
    ValueError
        If lists differ in length, a number is infinite, or a choir has both approaches or stands in two blocks.
    TooFewError
        If an approach has fewer than 2 choirs, no degree of freedom is left, or every block has one approach.

    Notes
    -----
    :math:`\bar y_g = \alpha + \beta\, \mathrm{program}_g + \gamma \bar x_g + e_g` (pretest and blocks where given) by
    least squares on one row for each choir; :math:`\hat\beta \pm t_{df}\, SE`, Student's t.

    References
    ----------
    .. [1] Key ``donner-klar-2000``.

    Examples
    --------
    >>> scores, choirs = [1, 3, 2, 4, 6, 8, 5, 7], list("aabbccdd")
    >>> found = cluster_mean_difference(scores, choirs, [0] * 4 + [1] * 4, about="the example", unit="points")
    >>> round(found.value, 6), found.df
    (4.0, 2.0)
    """
    tail = upper_tail("cluster_mean_difference", level)
    means, n, dropped = _choir_means(
        "cluster_mean_difference", outcome, clusters, program, pretest=pretest, blocks=blocks, about=about
    )
    groups, df = len(means), len(means) - means.shape[1]
    x, y = np.column_stack([means[:, 1:], np.ones(groups)]), means[:, 0]
    inverse = np.linalg.pinv(x.T @ x)
    coefficients = inverse @ x.T @ y
    rest = y - x @ coefficients
    variance = float(rest @ rest) / df * inverse[0, 0]
    options = {
        "about": about, "name": "cluster_mean_difference", "value": float(coefficients[0]), "unit": unit, "n": n,
        "clusters": groups, "source": "donner-klar-2000", "dropped": dropped,
    }  # fmt: skip
    if variance <= 1e-24 * max(1.0, float(y @ y)):
        return Estimate(**options, notes=(NO_SPREAD_OF_CHOIRS,))
    error = float(np.sqrt(variance))
    reach = float(stdtrit(df, tail)) * error
    value = options["value"]
    return Estimate(
        **options, df=float(df), p=float(2 * stdtr(df, -abs(value) / error)),
        interval=Interval(low=value - reach, high=value + reach, level=level,
                          method="Student's t, choirs as the units", source="donner-klar-2000"),
    )  # fmt: skip


def _choir_means(
    function: str, outcome: ArrayLike, clusters: ArrayLike, program: ArrayLike, *, pretest: ArrayLike | None,
    blocks: ArrayLike | None, about: str,
) -> tuple[Floats, int, int]:  # fmt: skip
    """Average every choir: columns outcome, program and, where given, pretest, and marks of each block but one."""
    columns = [
        np.asarray(column, dtype=float) for column in (outcome, program, *(() if pretest is None else (pretest,)))
    ]
    labels = np.asarray(clusters)
    if any(column.shape != labels.shape or np.isinf(column).any() for column in columns):
        raise ValueError(f"{function}: outcome, clusters and program must list the same students, in finite numbers.")
    table = np.column_stack(columns)
    whole = ~(np.isnan(table).any(axis=1) | pd.isna(labels))
    table = np.column_stack([table[whole], *_block_marks(function, labels, blocks, whole)])
    codes = np.unique(labels[whole], return_inverse=True)[1]
    sizes = np.bincount(codes)
    means = np.column_stack([np.bincount(codes, weights=column) for column in table.T]) / sizes[:, None]
    if not np.isin(means[:, 1], (0, 1)).all():
        raise ValueError(f"{function}: program must be the same for all students of a choir.")
    fewest = int(min(means[:, 1].sum(), (1 - means[:, 1]).sum())) if len(means) else 0
    need(function, about, fewest, least=2, what="choirs in each approach")
    need(function, about, len(means), least=means.shape[1] + 1, what="choirs")
    inside = np.column_stack([means[:, len(columns) :], np.ones(len(means))])
    if np.linalg.matrix_rank(np.column_stack([inside, means[:, 1]])) == np.linalg.matrix_rank(inside):
        raise TooFewError(f"{function}: needs a block with both approaches. {about} has none.")
    return means, int(whole.sum()), int((~whole).sum())


def _block_marks(function: str, labels: np.ndarray, blocks: ArrayLike | None, whole: np.ndarray) -> list[Floats]:
    """Mark those of the students without a missing number who belong to each block but the first."""
    if blocks is None:
        return []
    given = np.asarray(blocks)
    if given.shape != labels.shape:
        raise ValueError(f"{function}: blocks must list the same students.")
    known = ~pd.isna(labels)
    pairs = set(zip(labels[known].tolist(), given[known].tolist(), strict=True))
    if len(pairs) > len(np.unique(labels[known])):
        raise ValueError(f"{function}: blocks must be the same for all students of a choir.")
    return [(given[whole] == name).astype(float) for name in np.unique(given[whole])[1:]]
