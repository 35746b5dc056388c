"""The bootstrap of whole choirs: tools that return an Interval."""

from __future__ import annotations

from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import UnknownChoiceError
from kit.estimate import Interval
from kit.stats.bootstrap_limits import bca_limits, quantiles
from kit.stats.complete import Floats, need, upper_tail
from kit.stats.moment_bootstrap import Resamples, Statistic, checked, features, resampled_totals

Ends = Literal["bca", "percentile"]


def bootstrap_clusters(
    columns: ArrayLike,
    clusters: ArrayLike,
    statistic: Statistic,
    *,
    rng: np.random.Generator,
    within: ArrayLike | None = None,
    ends: Ends = "bca",
    level: float = 0.95,
    draws: int = 10_000,
) -> Interval:
    r"""Make the bootstrap interval of a statistic of students in choirs.

    Whole choirs are drawn with replacement, so that what students of a choir share stays shared; choirs are
    assumed independent. With few choirs the interval is too narrow: its spread is about
    :math:`\sqrt{(G-1)/G}` of what it should be for G choirs, and below about 20 choirs a method made for few
    clusters should be preferred.

    Parameters
    ----------
    columns : array_like, shape (n,) or (n, k)
        One row per student, k numbers each, in any units, none missing.
    clusters : array_like, shape (n,)
        The choir of each student.
    statistic : callable
        Takes `Moments` of students, gives one number per sample: ``lambda m: m.mean[..., 1] - m.mean[..., 0]``.
        The difference of two approaches is one too: with columns ``program`` (0 or 1) and ``score * program``
        the program mean is ``m.mean[..., 1] / m.mean[..., 0]``.
    rng : numpy.random.Generator
        Source of the draws; its seed is printed in the report.
    within : array_like, shape (n,), optional
        The group, such as program or comparison, school or pair, within which choirs are drawn, so that
        every resample has as many choirs of each as the sample. Default: choirs are drawn from all together.
    ends : {"bca", "percentile"}, optional
        Bias-corrected and accelerated ends, or plain quantiles.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    draws : int, optional
        How many resamples.

    Returns
    -------
    Interval
        In the unit of the statistic.

    Raises
    ------
    ValueError
        If a number is missing or infinite, the lists differ in length, a choir lies in two groups, `draws`
        is below 100, or `level` is not between 0 and 1.
    UnknownChoiceError
        If `ends` is neither word.
    TooFewError
        If there are fewer than 3 choirs, or fewer than 2 in a group, or the statistic is undefined in a
        resample, or is the same in all, or lies outside them.

    Notes
    -----
    G choirs (in each group) drawn from G; the sample of a draw is all their students. The acceleration comes
    from the values without each choir in turn.

    References
    ----------
    .. [1] Keys ``davison-hinkley-1997``, section 3.8 (whole clusters), and ``efron-1987`` (ends).

    Examples
    --------
    >>> scores, choirs = [10, 12, 9, 14, 11, 15, 13, 16, 8, 10], [1, 1, 2, 2, 3, 3, 4, 4, 5, 5]
    >>> mean = lambda m: m.mean[..., 0]
    >>> interval = bootstrap_clusters(scores, choirs, mean, rng=np.random.default_rng(1))
    >>> interval.low < 11.8 < interval.high
    True
    """
    name = "bootstrap_clusters"
    tail = upper_tail(name, level)
    if ends not in get_args(Ends):
        raise UnknownChoiceError(name, "ends", ends, get_args(Ends))
    values = checked(name, columns, draws)
    place, groups = _groups(name, len(values), clusters, within)
    centre, rows = features(values)
    units = np.array([np.bincount(place, row, minlength=groups.size) for row in rows])
    totals = np.zeros((len(units), draws))
    for group in np.unique(groups):
        part = np.empty_like(totals)
        resampled_totals(units[:, groups == group], rng, out=part)
        totals += part
    sample = Resamples.of(centre, units, totals)
    drawn, observed = sample.drawn(name, statistic)
    if ends == "percentile":
        low, high = quantiles(drawn, np.array([1 - tail, tail])).tolist()
    else:
        low, high = bca_limits(name, drawn, observed, acceleration=sample.acceleration(statistic), tail=tail)
    kind, source = {"bca": ("BCa", "efron-1987"), "percentile": ("percentile", "efron-tibshirani-1993")}[ends]
    method = f"{kind} bootstrap of {groups.size} whole choirs, {draws} resamples"
    return Interval(low=low, high=high, level=level, method=method, source=source)


def _groups(function: str, n: int, clusters: ArrayLike, within: ArrayLike | None) -> tuple[np.ndarray, Floats]:
    """Give each student the number of the choir, and each choir the number of the group in which it is drawn."""
    labels = [np.asarray(clusters), np.zeros(n) if within is None else np.asarray(within)]
    if any(part.shape != (n,) for part in labels):
        found = " and ".join(str(part.shape[0] if part.ndim else 1) for part in labels)
        raise ValueError(f"{function}: clusters and within must have one label per row, {n}. Got {found}.")
    (_, first, place), (_, group) = (
        np.unique(labels[0], return_index=True, return_inverse=True),
        np.unique(labels[1], return_inverse=True),
    )
    groups = group[first]
    astray = np.unique(place[group != groups[place]])
    if astray.size:
        raise ValueError(f"{function}: clusters must each lie within one group. Got {astray.size} in several.")
    need(function, "The sample", groups.size, least=3, what="choirs")
    need(function, "One", int(np.bincount(groups).min()), least=2, what="choirs in each group")
    return place, groups
