"""One choir or student observed often, before and after a change: how far two phases lie apart."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import brentq
from scipy.special import ndtr, ndtri
from scipy.stats import rankdata

from kit.errors import UnknownChoiceError
from kit.estimate import Estimate, Interval
from kit.stats.complete import Floats, complete_rows, need, upper_tail
from kit.stats.dominance import dominance

Better = Literal["higher", "lower"]

LONGEST_EXACT = 100
"""Observations up to which every split into two phases is counted; beyond, the normal approximation."""

SEPARATION = (
    "It shows how far the two phases lie apart, not how large the change is or where it came from, and takes "
    "observations close in time as independent."
)
PART_OF_THE_TREND = (
    "The correction takes off only part of a steady trend: points that rise along one line throughout still come out "
    "above zero."
)


def nap(
    before: ArrayLike, after: ArrayLike, *, about: str, better: Better = "higher", level: float = 0.95
) -> Estimate:
    r"""Estimate how often an observation after the change is better than one before: nonoverlap of all pairs.

    Level pairs count half. Interval and p-value (for one half) assume independent observations; a trend
    that was there before the change counts as if it came with it.

    Parameters
    ----------
    before, after : array_like, shape (n,) and (k,)
        Observations of the two phases in one unit; NaN where missing, left out and counted in ``dropped``.
    about : str
        Whom and what the number is about, in words.
    better : {"higher", "lower"}, optional
        Which direction is better.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, above one half where observations after the change are better.

    Raises
    ------
    UnknownChoiceError
        If `better` is another word.
    ValueError
        If a phase is not a flat list of finite numbers, or `level` is not between 0 and 1.
    TooFewError
        If a phase has fewer than 2 observations.

    Notes
    -----
    :math:`A = P(\text{after} > \text{before}) + P(\text{level})/2` over all pairs. Limits solve
    :math:`(A-x)^2 nk = z^2 x(1-x)\left(1 + h\left(\frac{1-x}{2-x} + \frac{x}{1+x}\right)\right)`,
    :math:`h = (n+k)/2 - 1` (Newcombe's method 5). p counts every split of the observations into two phases
    (100 observations at most; the normal approximation with ties beyond).

    References
    ----------
    .. [1] Keys ``parker-vannest-2009`` (size), ``newcombe-2006`` (interval), ``mann-whitney-1947`` (p).

    Examples
    --------
    >>> round(nap([20, 20, 26, 25, 22, 23], [28, 25, 24, 27, 30, 30, 29], about="Treble 1").value, 4)
    0.9167
    """
    phases = _phases("nap", before, after, about, better)
    low, high = phases.newcombe_limits(upper_tail("nap", level))
    return phases.estimate("nap", phases.nap, "share", "parker-vannest-2009", (low, high), level)


def tau(
    before: ArrayLike, after: ArrayLike, *, about: str, better: Better = "higher", level: float = 0.95
) -> Estimate:
    r"""Estimate how much more often an observation after the change is better than worse, pair by pair.

    The same as `nap` on a scale from -1 to 1. Interval and p-value (for zero) assume independent
    observations; a trend that was there before the change counts as if it came with it.

    Parameters
    ----------
    before, after : array_like, shape (n,) and (k,)
        Observations of the two phases in one unit; NaN where missing, left out and counted in ``dropped``.
    about : str
        Whom and what the number is about, in words.
    better : {"higher", "lower"}, optional
        Which direction is better.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, -1 to 1, positive where observations after the change are better.

    Raises
    ------
    UnknownChoiceError
        If `better` is another word.
    ValueError
        If a phase is not a flat list of finite numbers, or `level` is not between 0 and 1.
    TooFewError
        If a phase has fewer than 2 observations.

    Notes
    -----
    :math:`2A - 1` with A, its limits and its p as in `nap`.

    References
    ----------
    .. [1] Keys ``parker-2011`` (size), ``newcombe-2006`` (interval), ``mann-whitney-1947`` (p).

    Examples
    --------
    >>> round(tau([20, 20, 26, 25, 22, 23], [28, 25, 24, 27, 30, 30, 29], about="Treble 1").value, 4)
    0.8333
    """
    phases = _phases("tau", before, after, about, better)
    low, high = phases.newcombe_limits(upper_tail("tau", level))
    return phases.estimate("tau", phases.delta, "share", "parker-2011", (2 * low - 1, 2 * high - 1), level)


def tau_trend_corrected(
    before: ArrayLike, after: ArrayLike, *, about: str, better: Better = "higher", level: float = 0.95
) -> Estimate:
    r"""Estimate how far two phases lie apart, less the trend that was there before the change: Tau-U.

    Interval and p-value (for zero) assume independent observations and use the spread that the number has
    when nothing changes and nothing drifts; where it is far from zero the interval is wider than needed.

    Parameters
    ----------
    before, after : array_like, shape (n,) and (k,)
        Observations of the two phases in one unit, `before` in the order of time; NaN where missing, left
        out and counted in ``dropped``.
    about : str
        Whom and what the number is about, in words.
    better : {"higher", "lower"}, optional
        Which direction is better.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, positive where observations after the change are better. It can lie a little beyond
        -1 and 1; its notes say what the correction cannot do.

    Raises
    ------
    UnknownChoiceError
        If `better` is another word.
    ValueError
        If a phase is not a flat list of finite numbers, or `level` is not between 0 and 1.
    TooFewError
        If a phase has fewer than 2 observations.

    Notes
    -----
    :math:`(S_{AB} - S_{AA})/(nk)`: pairs better minus worse between phases, less pairs rising minus falling
    within the first. :math:`\pm z \sqrt{nk(n+k+1)/3 + n(n-1)(2n+5)/18}/(nk)`, cut at the ends that can be
    reached; ties make it a little wide.

    References
    ----------
    .. [1] Keys ``parker-2011`` (size) and ``kendall-1970`` (spread of the two counts).

    Examples
    --------
    >>> tau_trend_corrected([3, 3, 4, 5], [4, 5, 6, 7, 7], about="Treble 1").value
    0.55
    """
    phases = _phases("tau_trend_corrected", before, after, about, better)
    z, error = float(ndtri(upper_tail("tau_trend_corrected", level))), phases.error_if_nothing_changed
    value, end = phases.delta - phases.trend, 1 + (phases.before.size - 1) / (2 * phases.after.size)
    limits = max(value - z * error, -end), min(value + z * error, end)
    return phases.estimate("tau_trend_corrected", value, "share", "parker-2011", limits, level)
