"""A share of students who come in choirs: singers of one choir are alike, so they count for fewer than they are."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import betaincinv, stdtrit

from kit.estimate import Estimate, Interval
from kit.stats.complete import Floats, need, upper_tail

ALL_THE_SAME = (
    "In no choir, or in every choir, it holds for everybody, so each choir is counted once to make the interval."
)


def share_clusters(
    holds: ArrayLike, clusters: ArrayLike, *, about: str, level: float = 0.95, dropped: int = 0
) -> Estimate:
    r"""Estimate a share of students who come in choirs, with the interval of Korn and Graubard.

    It assumes choirs that are independent of each other, like a random sample of such choirs.

    Parameters
    ----------
    holds : array_like of bool, shape (n,)
        Whether it holds, one for each student; none may be missing.
    clusters : array_like, shape (n,)
        Each student's choir, in the same order.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    dropped : int, optional
        Students the caller left out for missing values.

    Returns
    -------
    Estimate
        In ``"share"``, 0 to 1, of all students; ``df`` is the number of choirs less one.

    Raises
    ------
    ValueError
        If both lists differ in length, `holds` is anything but True and False, or `level` is not between 0 and 1.
    TooFewError
        If there are fewer than 2 choirs.

    Notes
    -----
    With p the share of n students in G choirs and :math:`e_g` the sum of :math:`x - p` in choir g,
    :math:`v = G/(G-1) \sum e_g^2 / n^2`. The interval is that of Clopper and Pearson for
    :math:`n^* = \min(n, p(1-p)/v) \, (t_{n-1}/t_{G-1})^2` students, t being quantiles at `level`. Where v is zero
    :math:`p(1-p)/v` says nothing and G is taken in its place.

    References
    ----------
    .. [1] Key ``korn-graubard-1998``.

    Examples
    --------
    >>> share = share_clusters([1, 1, 0, 1, 0, 0], ["a", "a", "a", "b", "b", "b"], about="reached 80 percent")
    >>> share.value, share.df
    (0.5, 1.0)
    """
    tail = upper_tail("share_clusters", level)
    hits, codes = np.asarray(holds, dtype=float), np.unique(np.asarray(clusters), return_inverse=True)[1]
    if hits.shape != codes.shape:
        raise ValueError(
            f"share_clusters: holds and clusters must list the same students. Got {hits.size} and {codes.size}."
        )
    if not np.isin(hits, (0, 1)).all():
        raise ValueError("share_clusters: holds must be True or False for each student, and none missing.")
    groups = int(codes.max(initial=-1)) + 1
    need("share_clusters", about, groups, least=2, what="choirs")
    share, n = float(hits.mean()), hits.size
    low, high = _limits(share, _worth(hits, codes, groups), n, groups, tail)
    return Estimate(
        about=about, name="share_clusters", value=share, unit="share", n=n, source="korn-graubard-1998",
        interval=Interval(low=low, high=high, level=level, method="Korn and Graubard's, choirs as the units",
                          source="korn-graubard-1998"),
        df=float(groups - 1), clusters=groups, dropped=dropped, notes=(ALL_THE_SAME,) if share in (0, 1) else (),
    )  # fmt: skip


def _worth(hits: Floats, codes: np.ndarray, groups: int) -> float:
    """Count independent students that would give as sure a share as these do."""
    share = hits.mean()
    off = np.bincount(codes, weights=hits - share, minlength=groups)
    variance = groups / (groups - 1) * float(off @ off) / hits.size**2
    return min(hits.size, share * (1 - share) / variance) if variance > 0 else float(groups)


def _limits(share: float, worth: float, n: int, groups: int, tail: float) -> tuple[float, float]:
    """Give the ends for so many students' worth, fewer for the doubt about the variance."""
    one = float(stdtrit(n - 1, tail)) if n > 1 else math.inf
    worth *= (one / float(stdtrit(groups - 1, tail))) ** 2
    hits, misses = worth * share, worth * (1 - share)
    low = float(betaincinv(hits, misses + 1, 1 - tail)) if hits > 0 else 0.0
    high = float(betaincinv(hits + 1, misses, tail)) if misses > 0 else 1.0
    return low, high
