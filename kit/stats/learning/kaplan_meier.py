"""Time until something happens, where for some it has not happened yet."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

from kit.errors import TooFewError
from kit.estimate import Estimate, Interval
from kit.stats.complete import Floats, need, upper_tail

METHOD = "Brookmeyer and Crowley's, on the log-log scale"
ALL_ALIKE = "There is one student, or all are alike, so there is no spread between students to make an interval from."
NO_UPPER_END = "So many have not got there yet that the interval has no upper end."


@dataclass(frozen=True, slots=True)
class WaitingCurve:
    """How large a share is still waiting, by time.

    Attributes
    ----------
    times : ndarray, shape (m,)
        Times at which somebody got there or was last seen, rising.
    at_risk, events, censored : ndarray of int, shape (m,)
        Still waiting just before, got there, last seen without having got there.
    waiting : ndarray, shape (m,)
        Share not there yet, from that time on.
    low, high : ndarray, shape (m,)
        Band of the share at each time.
    n, reached, clusters : int
        How many there are, how many got there, and how many students they belong to.
    level : float
        Confidence level of the band at each time.
    """

    times: Floats
    at_risk: NDArray[np.int64]
    events: NDArray[np.int64]
    censored: NDArray[np.int64]
    waiting: Floats
    low: Floats
    high: Floats
    n: int
    reached: int
    clusters: int
    level: float


def kaplan_meier(
    durations: ArrayLike, reached: ArrayLike, *, clusters: ArrayLike | None = None, level: float = 0.95
) -> WaitingCurve:
    r"""Estimate the share that has not got there yet, by time.

    It assumes that who was last seen early would have gone on like those who were seen longer.

    Parameters
    ----------
    durations : array_like, shape (n,)
        Time until it happened, or until last seen; not below 0, none missing.
    reached : array_like of bool, shape (n,)
        Whether it happened.
    clusters : array_like, shape (n,), optional
        Student behind each duration, where a student has several.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    WaitingCurve
        The curve at every time, with its band.

    Raises
    ------
    TooFewError
        If there are no durations.
    ValueError
        If lists differ in length, a duration is missing, infinite or below 0, `reached` holds anything but True and
        False, or `level` is not between 0 and 1.

    Notes
    -----
    :math:`S(t) = \prod_{t_j \le t} (1 - d_j/Y_j)` with d of Y at risk. The variance of log S sums squared influences
    over students, :math:`\sum_j (\delta_{ij} - Y_{ij} d_j/Y_j)/(Y_j - d_j)` added up over what belongs to a student;
    with one duration each this is Greenwood's formula. Band: normal for :math:`\log(-\log S)`; from 0 where nobody
    waits any longer.

    References
    ----------
    .. [1] Key ``kaplan-meier-1958``.
    .. [2] Key ``greenwood-1926``.
    .. [3] Key ``lin-wei-1989``, for several of one student.

    Examples
    --------
    >>> curve = kaplan_meier([1, 2, 2, 3], [True, True, False, True])
    >>> curve.waiting.tolist()
    [0.75, 0.5, 0.0]
    """
    tail = upper_tail("kaplan_meier", level)
    time, there, who = _checked(durations, reached, clusters)
    need("kaplan_meier", "The list", time.size, least=1, what="duration")
    times, place = np.unique(time, return_inverse=True)
    events = np.bincount(place, weights=there, minlength=times.size)
    gone = np.bincount(place, minlength=times.size)
    at_risk = time.size - np.append(0, np.cumsum(gone)[:-1])
    waiting = np.cumprod(1 - events / at_risk)
    error = _error(place, there, who, at_risk, events)
    low, high = _band(waiting, error, tail)
    return WaitingCurve(
        times, at_risk, events.astype(int), (gone - events).astype(int), waiting, low, high, int(time.size),
        int(there.sum()), int(who.max()) + 1, level,
    )  # fmt: skip


def median_time(
    durations: ArrayLike, reached: ArrayLike, *, about: str, unit: str, clusters: ArrayLike | None = None,
    level: float = 0.95, dropped: int = 0,
) -> Estimate:  # fmt: skip
    r"""Estimate the time by which half have got there.

    It assumes that who was last seen early would have gone on like those who were seen longer, and independent
    students (or, with `clusters`, students who may have several durations that go together).

    Parameters
    ----------
    durations, reached : array_like, shape (n,)
        As for `kaplan_meier`; none missing.
    about : str
        Whom and what the number is about, in words.
    unit : str
        Unit of the durations.
    clusters : array_like, shape (n,), optional
        Student behind each duration, where a student has several.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    dropped : int, optional
        Durations the caller left out for missing values.

    Returns
    -------
    Estimate
        In `unit`; the upper end may be infinite. Without an interval, and with a note, where nothing differs between
        students: all durations belong to one, or each student has the same.

    Raises
    ------
    TooFewError
        If there are no durations, or fewer than half get there.
    ValueError
        As for `kaplan_meier`.

    Notes
    -----
    The first t with :math:`\hat S(t) \le 1/2`, :math:`\hat S(t) = \prod_{t_j \le t} (1 - d_j/Y_j)` with d of Y at risk;
    the middle between it and the next step where exactly half wait. The ends are the same of the band
    :math:`\hat S(t)^{\exp(\pm z\, s(t) / \log \hat S(t))}`, s the standard error of :math:`\log \hat S` as in
    `kaplan_meier`.

    References
    ----------
    .. [1] Key ``brookmeyer-crowley-1982``.

    Examples
    --------
    >>> median_time([2, 3, 3, 5, 8], [1, 1, 1, 0, 1], about="the example", unit="tries").value
    3.0
    """
    curve = kaplan_meier(durations, reached, clusters=clusters, level=level)
    value, low, high = (_crossing(curve.times, share) for share in (curve.waiting, curve.low, curve.high))
    if value == np.inf:
        raise TooFewError(
            f"median_time: needs half to get there. {about} has {curve.reached} of {curve.n} who did, too few."
        )
    inside = (curve.waiting > 0) & (curve.waiting < 1)
    alike = inside.any() and bool((curve.high - curve.low)[inside].max() < 1e-9)  # but for rounding
    ends = {"low": min(low, value), "high": max(high, value), "source": "brookmeyer-crowley-1982"}
    return Estimate(
        about=about, name="median_time", value=value, unit=unit, n=curve.n, source="brookmeyer-crowley-1982",
        interval=None if alike else Interval(level=level, method=METHOD, **ends),
        dropped=dropped, notes=(ALL_ALIKE,) if alike else (NO_UPPER_END,) if high == np.inf else (),
    )  # fmt: skip


def _checked(
    durations: ArrayLike, reached: ArrayLike, clusters: ArrayLike | None
) -> tuple[Floats, Floats, NDArray[np.int64]]:
    """Check durations; number the students."""
    time, there = np.asarray(durations, dtype=float), np.asarray(reached, dtype=float)
    who = np.arange(time.size) if clusters is None else np.unique(np.asarray(clusters), return_inverse=True)[1]
    for name, values in {"reached": there, "clusters": who}.items():
        if values.shape != time.shape:
            raise ValueError(
                f"kaplan_meier: durations and {name} must be as long as each other. Got {time.size} and {values.size}."
            )
    if not np.isfinite(time).all() or (time < 0).any():
        raise ValueError("kaplan_meier: durations must be 0 or more, and none missing or infinite.")
    if not np.isin(there, (0, 1)).all():
        raise ValueError("kaplan_meier: reached must be True or False for each duration, and none missing.")
    return time, there, who


def _error(place: np.ndarray, there: Floats, who: np.ndarray, at_risk: np.ndarray, events: Floats) -> Floats:
    """Give the standard error of the logarithm of the share waiting, at each time before nobody waits."""
    students, width, rest = int(who.max()) + 1, at_risk.size, at_risk - events
    each = np.divide(1.0, rest, out=np.zeros(width), where=rest > 0)
    if students == place.size:
        return np.sqrt(np.cumsum(events / at_risk * each))
    shape, cells = (students, width), who * width + place
    happened = np.bincount(cells, weights=there, minlength=students * width).reshape(shape)
    left = np.bincount(cells, minlength=students * width).reshape(shape)
    present = left.sum(axis=1, keepdims=True) - np.cumsum(left, axis=1) + left
    influence = np.cumsum((happened - present * (events / at_risk)) * each, axis=1)
    return np.sqrt((influence**2).sum(axis=0))


def _band(waiting: Floats, error: Floats, tail: float) -> tuple[Floats, Floats]:
    """Limits of the share on the log-log scale; the share itself where it is 0 or 1."""
    inside = (waiting > 0) & (waiting < 1)
    low, high = np.where(waiting > 0, waiting, 0.0), waiting.copy()
    log = np.log(waiting[inside])
    wide = ndtri(tail) * error[inside] / -log
    low[inside], high[inside] = np.exp(log * np.exp(wide)), np.exp(log * np.exp(-wide))
    if (waiting == 0).any():
        high[waiting == 0] = high[inside][-1] if inside.any() else 1.0
    return low, high


def _crossing(times: Floats, share: Floats) -> float:
    """First time at which the share is at most one half; the middle to the next step where it is exactly that."""
    near = 1e-9
    below = np.flatnonzero(share <= 0.5 + near)
    if below.size == 0:
        return float("inf")
    first = below[0]
    lower = np.flatnonzero(share < 0.5 - near)
    if share[first] >= 0.5 - near and lower.size:
        return float((times[first] + times[lower[0]]) / 2)
    return float(times[first])
